"""The printed sheets: letter paper, all stops and counts, QR codes that scan, names that cannot break it."""

import io
import re
import subprocess
from functools import cache

import pypdf
import pytest
import zxingcpp
from PIL import Image

from api.files.pdf import drop_sheet_pages, drop_sheet_pdf, yard_sheets_pages, yard_sheets_pdf
from api.files.qr import qr_svg
from fixtures.nasty import NASTY_NAMES, nasty_plan
from fixtures.tiny import tiny_plan
from routing.sheets.drop_sheet import drop_sheet, drop_sheets
from routing.sheets.yard_sheet import yard_nights, yard_sheets

MAY = "2027-05-11 Old blue"


@cache
def _may_pdf() -> bytes:
    return drop_sheet_pdf(drop_sheet(tiny_plan(), MAY))


def _text(pdf: bytes) -> str:
    pages = pypdf.PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u200b", "").split())


def _pictures(pdf: bytes, tmp_path) -> list[Image.Image]:
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "110", "-png", str(file), str(tmp_path / "page")], check=True)
    return [Image.open(page) for page in sorted(tmp_path.glob("page*.png"))]


@pytest.fixture(scope="module")
def may_pictures(tmp_path_factory):
    return _pictures(_may_pdf(), tmp_path_factory.mktemp("may"))


def test_the_sheet_holds_every_stop_time_place_and_count():
    sheet = drop_sheet(tiny_plan(), MAY)
    text = _text(drop_sheet_pdf(sheet))
    for stop in sheet.stops:
        for part in (stop.place, f"{stop.arrive_words} {stop.zone}", stop.date_words, stop.doing_words):
            assert part in text
    for part in (
        "16 hives on 4 pallets",
        "6 loose hives",
        "B1 to B4",
        "On deck when leaving: 22 hives",
        "On deck when leaving: 0 hives",
        "Wed May 12, AFTER MIDNIGHT",
        "power line over the north gate",
        "Every hive on the ground by 5:47 am EDT",
        "911",
        "555-0114",
        "fetch 8",
        "set down 22",
    ):
        assert part in text


def test_checks_not_made_are_printed():
    assert "NOT CHECKED: weight limits of this State's roads" in _text(_may_pdf())


def test_every_page_is_letter_paper_and_says_truck_night_and_page_of_pages():
    pages = pypdf.PdfReader(io.BytesIO(_may_pdf())).pages
    for number, page in enumerate(pages, start=1):
        assert (float(page.mediabox.width), float(page.mediabox.height)) == (612.0, 792.0)  # 8.5 x 11 in x 72
        text = " ".join(page.extract_text().split())
        assert "Old blue, night of Tue May 11" in text
        assert f"page {number} of {len(pages)}" in text


def test_each_working_stop_begins_its_own_page():
    pages = pypdf.PdfReader(io.BytesIO(_may_pdf())).pages
    begun = [page.extract_text() for page in pages if "ARRIVE" in page.extract_text()]
    assert len(begun) == 3
    assert [text.count("ARRIVE") for text in begun] == [1, 1, 1]


def test_hives_picked_up_at_the_base_itself_have_their_page():
    sheet = drop_sheet(tiny_plan(), MAY)
    stops = (sheet.stops[1].model_copy(update={"kind": "base", "number": 0}), *sheet.stops[2:])
    pages = pypdf.PdfReader(io.BytesIO(drop_sheet_pdf(sheet.model_copy(update={"stops": stops})))).pages
    assert [page.extract_text().count("ARRIVE") for page in pages].count(1) == 3


def test_a_figure_taller_than_a_page_is_made_to_fit(tmp_path):
    # A code at the foot of a figure nine times as high as wide still scans.
    code = qr_svg("the foot").replace("<svg", '<svg x="0" y="800" viewBox="0 0 116 116"', 1)
    code = re.sub(r' (?:width|height)="\d+"', "", code, count=2).replace(
        " viewBox", ' width="100" height="100" viewBox', 1
    )
    size = 'viewBox="0 0 100 900" width="100" height="900"'
    tall = f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{code}</svg>'
    sheet = drop_sheet(tiny_plan(), MAY)
    load = sheet.loads[0].model_copy(update={"figure_svg": tall})
    pictures = _pictures(drop_sheet_pdf(sheet.model_copy(update={"loads": (load,)})), tmp_path)
    assert "the foot" in {code.text for picture in pictures for code in zxingcpp.read_barcodes(picture)}


def test_a_stop_that_runs_over_its_page_says_so_at_the_top_of_the_next():
    sheet = drop_sheet(tiny_plan(), MAY)
    stop = sheet.stops[2]
    lots = tuple(stop.picked_up[0].model_copy(update={"lot": f"L{number}"}) for number in range(20))
    long = stop.model_copy(update={"picked_up": lots})
    pdf = drop_sheet_pdf(sheet.model_copy(update={"stops": (*sheet.stops[:2], long, *sheet.stops[3:])}))
    texts = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    over = [text for text in texts if "Stop 2, Early cherries, continued" in text]
    assert over
    assert not any("ARRIVE" in text for text in over)
    assert {f"L{number}" for number in range(20)} <= set(" ".join(texts).split())


def test_a_page_after_a_stop_has_ended_is_not_called_its_continuation():
    sheet = drop_sheet(tiny_plan(), MAY)
    # A last stop with so much to tell that it must begin the next page.
    finish = sheet.stops[-1].model_copy(update={"hazards": " ".join(["ditch beside the track"] * 90)})
    pdf = drop_sheet_pdf(sheet.model_copy(update={"stops": (*sheet.stops[:-1], finish)}))
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    last = [text for text in pages if "finish: Home yard" in text]
    assert len(last) == 1
    assert "ARRIVE" not in last[0]
    assert "continued" not in last[0]


def test_each_load_is_told_on_one_page_and_no_stop_of_the_night_takes_two():
    # Cover, start with the way and the cautions, one load, three stops, the finish.
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(_may_pdf())).pages]
    assert len(pages) == 7
    assert [("Load 1:" in text, "checks met" in text) for text in pages] == [
        (False, False), (False, False), (True, True), (False, False), (False, False), (False, False),
        (False, False),
    ]  # fmt: skip
    assert "Cautions" in pages[1]
    assert all("Write what was" in text for text in pages[3:6])


@pytest.mark.parametrize("count", [0, 2, 5, 7])
def test_a_load_with_the_usual_number_of_checks_not_made_is_one_page(count):
    sheet = drop_sheet(tiny_plan(), MAY)
    # Two lines of print each, and a third axle group, as with a trailer.
    told = tuple(f"NOT CHECKED: {'word ' * 26}{number}" for number in range(count))
    axles = (*sheet.loads[0].axles, sheet.loads[0].axles[-1])
    square = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 520 520" width="520" height="520"></svg>'
    load = sheet.loads[0].model_copy(update={"problems": told, "axles": axles, "figure_svg": square})
    pdf = drop_sheet_pdf(sheet.model_copy(update={"loads": (load,)}))
    assert len(pypdf.PdfReader(io.BytesIO(pdf)).pages) == 7


def test_a_long_list_of_checks_not_made_runs_on_under_its_loads_name_and_leaves_the_deck_plan_large():
    sheet = drop_sheet(tiny_plan(), MAY)
    load = sheet.loads[0].model_copy(update={"problems": tuple(f"NOT CHECKED: {'word ' * 40}{n}" for n in range(15))})
    pdf = drop_sheet_pdf(sheet.model_copy(update={"loads": (load,)}))
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    over = [text for text in pages if "Load 1, continued" in text]
    assert len(over) == 1
    assert "checks met" in over[0]
    assert len(pages) == 8  # one more than with a short list


def test_an_orchard_stop_of_four_lots_leaves_room_to_write_on_its_page():
    sheet = drop_sheet(tiny_plan(), MAY)
    stop = sheet.stops[2]
    lots = tuple(stop.picked_up[0].model_copy(update={"lot": lot}) for lot in "BCDE")
    full = stop.model_copy(update={"picked_up": lots})
    pdf = drop_sheet_pdf(sheet.model_copy(update={"stops": (*sheet.stops[:2], full, *sheet.stops[3:])}))
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    assert not any("continued" in text for text in pages)


def test_pages_as_pictures_are_the_pages_of_the_pdf():
    sheet = drop_sheet(tiny_plan(), MAY)
    pictures = [Image.open(io.BytesIO(page)) for page in drop_sheet_pages(sheet, dots_per_inch=100)]
    assert len(pictures) == len(pypdf.PdfReader(io.BytesIO(drop_sheet_pdf(sheet))).pages)
    assert {picture.size for picture in pictures} == {(850, 1100)}  # 8.5 x 11 in x 100
    home = yard_sheets(tiny_plan(), yard_nights(tiny_plan())[0])
    assert Image.open(io.BytesIO(yard_sheets_pages(home, dots_per_inch=50)[0])).size == (425, 550)


def test_the_same_sheet_is_the_same_bytes():
    sheet = drop_sheet(tiny_plan(), MAY)
    assert drop_sheet_pdf(sheet) == drop_sheet_pdf(sheet)


def test_only_the_carried_fonts_are_used_and_all_are_embedded():
    names = set()
    for page in pypdf.PdfReader(io.BytesIO(drop_sheet_pdf(drop_sheets(nasty_plan())[1]))).pages:
        for font in page["/Resources"]["/Font"].values():
            inner = font["/DescendantFonts"][0]
            names.add(str(inner["/BaseFont"]).split("+")[-1].split("-")[0])
            assert {"/FontFile2", "/FontFile3"} & set(inner["/FontDescriptor"].keys())
    assert names <= {"AtkinsonHyperlegible", "DejaVuSansMono", "LibertinusSerif"}


def test_qr_codes_on_the_paper_hold_the_geo_uri_of_each_working_stop(may_pictures):
    sheet = drop_sheet(tiny_plan(), MAY)
    found = {code.text for picture in may_pictures for code in zxingcpp.read_barcodes(picture)}
    assert found == {stop.geo_uri for stop in sheet.stops if stop.doing_words}


def test_paper_is_black_and_white(may_pictures):
    for picture in may_pictures:
        if picture.mode != "L":
            red, green, blue = picture.convert("RGB").split()
            assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_nasty_names_are_printed_as_they_are():
    plan = nasty_plan()
    text = _text(drop_sheet_pdf(drop_sheets(plan)[1])).replace(" ", "")
    for old in ("Old blue", "P. Nobody", "Home yard", "Early cherries", "Late blueberries", "H1"):
        assert NASTY_NAMES[old].replace(" ", "") in text


def test_a_script_that_the_fonts_do_not_draw_is_told():
    plan = tiny_plan()
    assert "cannot show" not in _text(drop_sheet_pdf(drop_sheet(plan, MAY)))
    sheet = drop_sheet(plan, MAY).model_copy(update={"crew_words": "北京 and 1 helper"})
    assert "letters that this print cannot show" in _text(drop_sheet_pdf(sheet))


def test_yard_sheets_hold_each_yard_with_its_tasks_and_lots():
    plan = tiny_plan()
    for night in yard_nights(plan):
        sheets = yard_sheets(plan, night)
        text = _text(yard_sheets_pdf(sheets))
        for sheet in sheets:
            for part in (sheet.yard, sheet.ready_by_words, *(task.task for task in sheet.tasks)):
                assert part in text
            for lot in (*sheet.leaving, *sheet.coming):
                assert lot.count_words in text
                assert lot.time_words in text


def test_a_yard_that_runs_over_its_page_says_so_at_the_top_of_the_next():
    sheet = yard_sheets(tiny_plan(), yard_nights(tiny_plan())[1])[0]
    tasks = tuple(sheet.tasks[0].model_copy(update={"task": f"task {number}"}) for number in range(40))
    pdf = yard_sheets_pdf([sheet.model_copy(update={"tasks": tasks})])
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    assert ["Home yard, continued" in text for text in pages] == [False] + [True] * (len(pages) - 1)
    assert len(pages) > 1


def test_no_yard_is_no_sheet():
    with pytest.raises(ValueError, match="no yard sheet"):
        yard_sheets_pdf(())
