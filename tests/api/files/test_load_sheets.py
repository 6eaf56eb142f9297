"""The load sheet: one sheet of paper in letters read in the dark, every check with figures and source, drops in order."""

import io
import json

import pypdf
import pytest

from api.files.html import load_sheets_html
from api.files.load_sheets import typed_load_sheet
from api.files.pdf import load_sheets_pages, load_sheets_pdf
from routing.loads.document import LoadDocument
from routing.loads.typed import document_from_json, load_example, load_of, rig_of_document
from routing.sheets.load_report import load_report


def document(**changes) -> LoadDocument:
    return document_from_json(json.dumps(json.loads(load_example()) | changes), "load.json")


def semi_document() -> LoadDocument:
    """Return a semi with 100 pallets in two layers and five drops."""
    truck = {"name": "Hired *semi* #1 $ [x]", "vehicle_class": "semi", "deck_on": "trailer", "deck_length_in": 576,
             "deck_width_in": 102,
             "deck_height_in": 60, "deck_front_in": -36, "most_tiers": 2, "payload_lb": 48000, "gross_rating_lb": 80000,
             "coupling_in": 195, "unloading": "side"}  # fmt: skip
    axles = [
        {"position": 1, "axles": 1, "centre_in": 0, "empty_lb": 10800, "rating_lb": 12000},
        {"position": 2, "axles": 2, "centre_in": 205, "spread_in": 52, "empty_lb": 11700, "rating_lb": 38000},
        {"position": 3, "axles": 2, "centre_in": 480, "spread_in": 49, "empty_lb": 6500, "rating_lb": 38000, "unit": "trailer"},
    ]
    units = [
        {"label": f"{'ABCDE'[row // 5]}{4 * (row % 5) + 2 * side + tier}", "hives": 4, "length_in": 23, "width_in": 45,
         "height_in": 25.75, "front_in": 23 * row, "left_in": 6 + 45 * side, "tier": tier, "weight_low_lb": 350,
         "weight_high_lb": 470, "drop_order": 5 - row // 5, "destination": f"Orchard number {5 - row // 5}"}
        for row in range(25) for side in (0, 1) for tier in (1, 2)
    ]  # fmt: skip
    return document(truck=truck, axle_groups=axles, units=units, tie_downs=[], temperature_f=85, net=False)


def text(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u200b", "").split())


def sizes_pt(pdf: bytes, page: int) -> list[tuple[float, str]]:
    """Return every run of letters on a page with its size, the drawing's own left out. [pt]"""
    found: list[tuple[float, str]] = []

    def look(words: str, placed: list[float], text_matrix: list[float], font: object, size: float) -> None:
        if words.strip():
            found.append((size * abs(text_matrix[3]) * abs(placed[3]), words))

    pypdf.PdfReader(io.BytesIO(pdf)).pages[page].extract_text(visitor_text=look)
    return found


def semi_document_that_rides() -> LoadDocument:
    """Return the same semi with lighter hives: nothing of it is broken but what the tables leave unknown."""
    units = [unit.model_copy(update={"weight_low_lb": 300.0, "weight_high_lb": 330.0}) for unit in semi_document().units]
    return semi_document().model_copy(update={"units": tuple(units), "temperature_f": 45.0})


@pytest.mark.parametrize("make", [document, semi_document_that_rides])
def test_a_load_sheet_is_one_sheet_of_paper_printed_on_both_sides(make):
    pdf = typed_load_sheet(make(), "pdf")
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 2


@pytest.mark.parametrize("make", [document, semi_document, semi_document_that_rides])
def test_the_words_are_read_at_arms_length(make):
    pdf = typed_load_sheet(make(), "pdf")
    last = len(pypdf.PdfReader(io.BytesIO(pdf)).pages) - 1
    checks = [size for size, words in sizes_pt(pdf, 0) if "UNKNOWN" in words or "BROKEN" in words]
    assert min(checks) >= 11.0
    assert min(size for size, _ in sizes_pt(pdf, last)) >= 10.5 - 0.01


@pytest.mark.parametrize("make", [document, semi_document])
def test_every_check_stands_with_its_figures_and_source(make):
    one = make()
    sheet = load_report(load_of(one), rig_of_document(one))
    pages = (text(load_sheets_pdf([sheet])), load_sheets_html([sheet]).decode())
    assert len(sheet.checks) == len(load_of(one).findings)
    for check in sheet.checks:
        assert all(check.check.split(",")[0] in page.replace("&#39;", "'") for page in pages), check.check
        assert check.source.split(": ", 1)[1]
    for drop in sheet.drops:
        assert all(drop.place in page for page in pages)
    assert all("DO NOT ROLL" in page for page in pages) == (make is semi_document)


def test_what_could_not_be_made_is_not_called_sound():
    sheet = load_report(load_of(document()), rig_of_document(document()))
    assert not sheet.sound
    assert "NOT MADE" in sheet.verdict


def test_drops_are_lifted_in_order_and_weights_told_after_each():
    sheet = load_report(load_of(document()), rig_of_document(document()))
    first, last = sheet.drops
    assert (first.place, first.hives, first.labels) == ("Creek", 8, "A2, A1")
    # After Creek two pallets of 520 lb are left, 78.5 in behind the steer axle of 190.
    assert f"rear axle {round(6400 + 2 * 520 * 78.5 / 190):,} lb" in first.after_words
    assert last.after_words == ""


def test_each_axle_group_has_weight_limit_margin_and_source():
    sheet = load_report(load_of(document()), rig_of_document(document()))
    steer = sheet.axles[0]
    assert (steer.limit_words, steer.over, steer.source) == ("8,500 lb", False, "rating in the table of axle groups")
    assert steer.margin_words.endswith("lb left")
    own = document(road_limits=[{"where": "County", "kind": "steer axle", "value": 6000, "source": "sign"}])
    steer = load_report(load_of(own), rig_of_document(own)).axles[0]
    assert (steer.limit_words, steer.over, steer.source) == ("6,000 lb", True, "sign")


def test_several_loads_stand_on_a_sheet_of_paper_each():
    one = document()
    sheet = load_report(load_of(one), rig_of_document(one))
    assert len(load_sheets_pages([sheet, sheet], dots_per_inch=20)) == 4


@pytest.mark.parametrize("make", [load_sheets_pdf, load_sheets_html])
def test_without_a_load_there_is_no_sheet(make):
    with pytest.raises(ValueError, match="Nothing rides"):
        make([])


def test_names_are_only_text():
    page = typed_load_sheet(document(truck=json.loads(load_example())["truck"] | {"name": "<b>Old</b>"}), "html").decode()
    assert "<b>Old</b>" not in page
    assert "&lt;b&gt;Old" in page
