"""Every sheet of a plan by name and format; a folder with nothing half-written or out of date."""

import re

import pytest

from api.files.sheets import (
    LIST_FILE,
    MEDIA_TYPES,
    NoSuchSheetError,
    render,
    sheet_names,
    stamp_of,
    write_sheets,
)
from fixtures.nasty import nasty_plan
from fixtures.tiny import tiny_plan
from routing.plan_record import Plan


def _with_trucks(plan: Plan, *names: str) -> Plan:
    trucks = tuple(plan.operation.trucks[0].model_copy(update={"name": name}) for name in names)
    nights = tuple(
        plan.truck_nights[0].model_copy(update={"id": f"2027-04-24 {name}", "truck": name}) for name in names
    )
    operation = plan.operation.model_copy(update={"trucks": trucks})
    return plan.model_copy(update={"operation": operation, "truck_nights": nights, "loads": ()})


def test_a_folder_holds_one_file_for_each_sheet_and_format(tmp_path):
    names = {path.name for path in write_sheets(tiny_plan(), tmp_path)}
    expected = {"plan.json", "season.svg", "summary.txt", "checks.csv"} | {
        f"moves.{kind}" for kind in ("csv", "xlsx", "geojson", "gpx", "ics")
    }
    for night in ("2027-04-24", "2027-05-11", "2027-06-05"):
        expected |= {f"{night}-old-blue.{kind}" for kind in ("pdf", "html", "txt")}
        expected |= {f"{night}-{part}.{kind}" for part in ("yards", "loads") for kind in ("pdf", "html")}
    assert names == expected
    assert {path.name for path in tmp_path.iterdir()} == expected | {LIST_FILE}


def test_the_plan_comes_back_whole_from_its_file(tmp_path):
    write_sheets(tiny_plan(), tmp_path)
    text = (tmp_path / "plan.json").read_text(encoding="utf-8")
    assert Plan.model_validate_json(text) == tiny_plan()
    assert text.split('"')[1] == "cost_usd"


def test_every_sheet_can_be_rendered_and_has_a_media_type():
    plan = tiny_plan()
    for name, formats in sheet_names(plan).items():
        for format in formats:
            assert format in MEDIA_TYPES
            assert render(plan, name, format)


def test_writing_twice_leaves_the_same_bytes(tmp_path):
    first = [path.read_bytes() for path in write_sheets(tiny_plan(), tmp_path)]
    assert [path.read_bytes() for path in write_sheets(tiny_plan(), tmp_path)] == first


def test_file_names_are_safe_under_any_name(tmp_path):
    for path in write_sheets(nasty_plan(), tmp_path / "out"):
        assert path.parent == tmp_path / "out"
        assert re.fullmatch(r"[a-z0-9-]+\.[a-z]+", path.name)
    assert list(tmp_path.iterdir()) == [tmp_path / "out"]


def test_trucks_whose_names_look_alike_get_files_of_their_own():
    names = sheet_names(_with_trucks(tiny_plan(), "Old blue", "old-BLUE", "北京", "東京", "Yards"))
    nights = {name for name in names if name.startswith("2027")}
    assert nights == {
        f"2027-04-24-{part}" for part in ("old-blue", "old-blue-2", "truck", "truck-2", "yards-2", "yards")
    }


def test_sheets_of_an_earlier_plan_are_taken_away_and_other_files_stay(tmp_path):
    write_sheets(tiny_plan(), tmp_path)
    mine = tmp_path / "2027-01-01-my-notes.txt"
    mine.write_text("keep")
    plan = tiny_plan()
    write_sheets(
        plan.model_copy(update={"truck_nights": plan.truck_nights[:1], "loads": plan.loads[:1]}), tmp_path
    )
    assert mine.exists()
    assert (tmp_path / "2027-04-24-old-blue.pdf").exists()
    assert not list(tmp_path.glob("2027-05-11*"))


def test_a_list_that_names_files_elsewhere_takes_nothing_away(tmp_path):
    outside = tmp_path / "2027-01-01-a.txt"
    outside.write_text("keep")
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / LIST_FILE).write_text("../2027-01-01-a.txt\n/2027-01-01-a.txt\nplan.json\n")
    write_sheets(tiny_plan(), folder)
    assert outside.exists()


def test_a_plan_whose_sheets_cannot_be_made_writes_nothing(tmp_path):
    plan = tiny_plan()
    night = plan.truck_nights[0]
    stops = tuple(stop.model_copy(update={"set_down": ()}) for stop in night.stops)
    torn = plan.model_copy(update={"truck_nights": (night.model_copy(update={"stops": stops}),)})
    with pytest.raises(ValueError, match="never set down"):
        write_sheets(torn, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_no_temporary_file_is_left(tmp_path):
    (tmp_path / "plan.json").mkdir()
    with pytest.raises(IsADirectoryError):
        write_sheets(tiny_plan(), tmp_path)
    assert not list(tmp_path.glob(".*"))


def test_an_unknown_sheet_or_format_is_refused_with_what_there_is():
    with pytest.raises(NoSuchSheetError, match="no sheet called"):
        render(tiny_plan(), "../plan", "json")
    with pytest.raises(NoSuchSheetError, match="only as csv, xlsx, geojson, gpx, ics"):
        render(tiny_plan(), "moves", "pdf")


def test_the_stamp_stands_on_the_plan_and_not_on_a_clock():
    # The last inspection of the tiny operation is that of L1, 2 May 2027.
    assert stamp_of(tiny_plan()).isoformat() == "2027-05-02T00:00:00+00:00"
