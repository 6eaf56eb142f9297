"""A person at a desk: bring in, plan, look, change, compare, print. Driven by keyboard and mouse in Chromium."""

import re
from collections.abc import Callable
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from fixtures.demo import demo_beginning
from tests.api.pages.conftest import bring_in

Window = Callable[..., Page]
Planned = tuple[str, str]
DESK, PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
ORCHARD = ("/orchards/0", "/orchards/0/bees")
PLAN_PAGES = ("", "/season", "/nights", "/loads/0", "/orchards", *ORCHARD, "/checks", "/change", "/sheets")
SMALL_PEARS = {
    "Name of the contract": "Small pears",
    "Grower": "N. Imaginary",
    "Crop": "pear",
    "Colonies": "8",
    "Least average frames": "7",
    "Least frames of one hive": "5",
    "In, first night": "2027-05-12",
    "In, last night": "2027-05-14",
    "Out, first night": "2027-05-25",
    "Out, last night": "2027-05-29",
    "Latitude of the gate": "43.8",
    "Longitude of the gate": "-860",
    "Fee offered": "65",
}
OPERATION_PAGES = ("", "/land", "/quote")
OTHER_PAGES = ("/", "/reader", "/nothing-here")


def _every_page(page: Page, planned: Planned) -> list[str]:
    operation, plan = planned
    page.goto(f"{plan}/nights")
    night = page.get_by_role("rowheader").first.get_by_role("link").get_attribute("href")
    assert night
    return [*OTHER_PAGES, *(operation + one for one in OPERATION_PAGES), *(plan + one for one in PLAN_PAGES), night]


def _bars_nobody(page: Page, only: str = "") -> None:
    found = Axe().run(page, options={"runOnly": [only]} if only else None).response["violations"]
    assert [(page.url, one["id"], one["nodes"][0]["html"][:200]) for one in found] == []


def test_a_workbook_is_brought_in_and_shown(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(planned[0])
    expect(page.get_by_role("heading", level=1)).to_have_text("Tiny Bees")
    groups = page.get_by_role("table").filter(has=page.get_by_role("columnheader", name="Frames counted on"))
    row = groups.get_by_role("row").filter(has=page.get_by_role("rowheader", name="H1", exact=True))
    # 16 hives, 4 on a pallet.
    expect(row).to_contain_text("4 pallets")
    # Seen: (8 x 4 + 9 x 6 + 10 x 2) / 12 = 106 / 12 = 8.83.
    expect(row).to_contain_text("8.8")


def test_the_plan_says_what_it_costs_what_is_proven_and_what_is_kept(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(planned[1])
    expect(page.get_by_text(re.compile(r"Proven: no plan costs less than \$[\d,.]+"))).to_be_visible()
    promises = page.get_by_role("group", name="Promises")
    # Late blueberries wants 24 colonies; the 16 of H1 and 6 of L1 are all that is strong enough.
    late = promises.get_by_role("row").filter(has_text="Late blueberries")
    expect(late).to_contain_text("NOT KEPT")
    expect(late).to_contain_text("22 of 24")
    early = promises.get_by_role("row").filter(has_text="Early cherries")
    expect(early).to_contain_text("16 of 16")
    assert early.get_by_text("NOT KEPT").count() == 0


def test_a_night_has_its_stops_and_leads_to_the_load_with_its_deck(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/nights")
    page.get_by_role("rowheader").first.get_by_role("link").click()
    expect(page.get_by_role("columnheader", name="On the deck then").first).to_be_visible()
    expect(page.get_by_text("Pick up 16 hives on 4 pallets of H1").first).to_be_visible()
    page.get_by_role("link", name="Load 1: deck and checks").first.click()
    expect(page.locator("svg").filter(has_text="FRONT, against the headboard")).to_be_visible()
    expect(page.get_by_role("row").filter(has_text="rear axle").first).to_be_visible()


def test_an_orchard_has_its_stakes_and_a_map_from_this_machine(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/orchards/0")
    expect(page.get_by_role("heading", level=1)).to_have_text("Early cherries")
    expect(page.get_by_text("stake 1: 8").first).to_be_visible()
    page.locator("[data-ground-of][data-ready=yes]").wait_for()
    # Block 1 has an outline; two gates and two stakes are points with a mark.
    assert page.locator(".leaflet-interactive[d]").count() == 1
    assert page.locator(".spot.gate").count() == page.locator(".spot.stake").count() == 2


def test_every_mistake_stands_at_its_sheet_row_and_column(window: Window, broken_workbook: Path) -> None:
    page = window()
    bring_in(page, broken_workbook)
    expect(page.get_by_role("heading", level=1)).to_have_text("2 mistakes")
    groups = page.get_by_role("group", name="hive groups").get_by_role("row").nth(1)
    expect(groups).to_contain_text(re.compile(r"2\s+yard.*'Nowhere yard'.*nearest is 'Home yard'"))
    trucks = page.get_by_role("group", name="trucks").get_by_role("row").nth(1)
    expect(trucks).to_contain_text("payload")
    expect(trucks).to_contain_text("12")
    _bars_nobody(page)


def test_a_change_is_planned_beside_the_plan_and_taken_on_once(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/change")
    page.get_by_role("group", name="A contract wants another number").get_by_label("Contract").select_option("Late blueberries")
    page.get_by_label("Colonies wanted").fill("20")
    page.get_by_role("button", name="Plan it with this change").click()
    page.get_by_role("link", name="Look at the plan").click(timeout=30_000)
    page.get_by_role("link", name="See it beside the plan before").click()
    expect(page.get_by_text("Late blueberries wants 20 colonies")).to_be_visible()
    # Two colonies missing of 24 cost 2 x (70 fee + 15 penalty) = 170 USD; with 20 wanted none is missing.
    lost = page.get_by_role("row").filter(has_text="Fees lost for colonies missing")
    expect(lost).to_contain_text("$140.00 less")
    _bars_nobody(page)
    second = window()
    second.goto(urlsplit(page.url).path)
    page.get_by_role("button", name="Keep the changed operation").click()
    expect(page.get_by_text("Version 2, from tiny.xlsx")).to_be_visible()
    second.get_by_role("button", name="Keep the changed operation").click()
    expect(second.get_by_role("heading", level=1)).to_have_text("Somebody was here before you")
    expect(second.get_by_text("It is version 2 by now; you looked at version 1")).to_be_visible()
    _bars_nobody(second)


def test_a_change_that_names_nothing_is_told_and_keeps_what_was_typed(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/change")
    page.get_by_label("Hives lost").fill("3")
    page.get_by_role("button", name="Plan it with this change").click()
    expect(page.get_by_role("alert")).to_contain_text("Group: found nothing, allowed: a name from the list")
    expect(page.get_by_label("Hives lost")).to_have_value("3")
    _bars_nobody(page)


def test_a_plan_is_tried_in_a_thousand_seasons_and_its_orchards_tell_the_odds(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/odds")
    page.get_by_role("button", name="Try it in a thousand seasons").click()
    page.get_by_role("link", name="Look at it").click(timeout=30_000)
    row = page.get_by_role("group", name="Contract by contract").get_by_role("row").filter(has_text="Late blueberries")
    # The plan itself brings 22 of 24, so in no season all of them stand there.
    expect(row).to_contain_text("2 colonies short in the plan itself")
    expect(row.get_by_role("cell").first).to_contain_text("0 %")
    _bars_nobody(page)
    page.goto(f"{planned[1]}/orchards/0")
    expect(page.get_by_text(re.compile(r"\d+\.\d % of 1000 seasons drawn by chance"))).to_be_visible()


def test_a_new_contract_is_priced_and_a_wrong_one_is_told_at_its_fields(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[0]}/quote")
    new = page.locator("form").filter(has=page.get_by_label("Name of the contract"))
    for label, text in SMALL_PEARS.items():
        new.get_by_label(label).fill(text)
    new.get_by_label("Minutes to think").fill("0.05")
    new.get_by_role("button", name="Find its price").click()
    expect(page.get_by_role("alert")).to_contain_text(re.compile(r"gates\[3\].longitude_deg: found -860, allowed"))
    assert new.get_by_label("Grower").input_value() == "N. Imaginary"
    new.get_by_label("Longitude of the gate").fill("-86.0")
    new.get_by_role("button", name="Find its price").click()
    page.get_by_role("link", name="Look at it").click(timeout=40_000)
    expect(page.get_by_role("heading", level=1)).to_have_text("Price of Small pears")
    expect(page.get_by_text("You break even at")).to_be_visible()
    _bars_nobody(page)


def test_planning_is_watched_and_stopped_when_it_is_good_enough(window: Window, tmp_path: Path) -> None:
    page = window()
    file = tmp_path / "busy.json"
    file.write_text(demo_beginning(contracts=2).model_dump_json(), encoding="utf-8")
    bring_in(page, file)
    page.get_by_label("Minutes to think").fill("2")
    page.get_by_role("button", name="Plan the season").click()
    # The figures come by themselves.
    expect(page.get_by_role("img", name="Cost and proven bound over time")).to_be_visible(timeout=30_000)
    _bars_nobody(page)
    page.get_by_role("button", name="Stop here, keep the best").click()
    page.get_by_role("link", name="Look at the plan").click(timeout=30_000)
    expect(page.get_by_text("It was stopped before its time")).to_be_visible()


def test_without_scripts_a_plan_being_made_shows_itself_anew(window: Window, tiny_workbook: Path) -> None:
    page = window(java_script_enabled=False)
    bring_in(page, tiny_workbook)
    page.get_by_label("Minutes to think").fill("0.05")
    page.get_by_role("button", name="Plan the season").click()
    # The page asks for itself every few seconds until the plan is there.
    expect(page.get_by_role("heading", level=1)).to_have_text("Plan of Tiny Bees", timeout=30_000)


def test_pages_and_sheets_print(window: Window, planned: Planned, tmp_path: Path) -> None:
    page = window()
    page.goto(planned[1])
    page.pdf(path=tmp_path / "plan.pdf", format="Letter")
    words = "".join(one.extract_text() for one in PdfReader(tmp_path / "plan.pdf").pages)
    assert "Late blueberries" in words
    assert "Plan it again" not in words
    page.goto(f"{planned[1]}/sheets")
    address = page.get_by_role("link", name="Drop sheet Old blue PDF to print").first.get_attribute("href")
    assert address is not None
    answer = page.request.get(address)
    (tmp_path / "sheet.pdf").write_bytes(answer.body())
    assert "Old blue" in PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()


def test_units_and_clock_are_the_readers_own(window: Window, planned: Planned) -> None:
    page = window()
    page.goto(f"{planned[1]}/nights")
    expect(page.get_by_role("row").nth(1)).to_contain_text("miles")
    page.get_by_role("link", name="Units, clock, light").click()
    page.get_by_label("Kilometres, kilograms, metres").check()
    page.get_by_label("21:40").check()
    page.get_by_role("button", name="Keep this").click()
    assert urlsplit(page.url).path == f"{planned[1]}/nights"
    expect(page.get_by_role("row").nth(1)).to_contain_text(" km")
    page.get_by_role("rowheader").first.get_by_role("link").click()
    assert page.get_by_text(re.compile(r"^\d+:\d\d [ap]m$")).count() == 0
    assert page.get_by_text(re.compile(r"^\s*[012]\d:\d\d\s*$")).count() > 0


def test_the_keyboard_goes_past_the_head_of_the_page_and_reaches_the_button(window: Window) -> None:
    page = window()
    page.goto("/")
    page.keyboard.press("Tab")
    skip = page.locator(":focus")
    assert skip.inner_text() == "Go to what the page is about"
    page.keyboard.press("Enter")
    names = []
    for _ in range(25):
        page.keyboard.press("Tab")
        focused = page.locator(":focus")
        names.append(focused.inner_text() if focused.count() else "")
        if names[-1] == "Bring it in":
            break
    assert names[-1] == "Bring it in"
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineWidth")
    assert outline == "3px"
    # The head of the page was skipped.
    assert "Units, clock, light" not in names


def test_no_page_bars_anyone(window: Window, planned: Planned) -> None:
    page = window(viewport=DESK, color_scheme="light")
    for address in _every_page(page, planned):
        page.goto(address)
        _bars_nobody(page)


def test_what_pages_are_made_of_can_be_read_on_the_dark_ground(window: Window, planned: Planned) -> None:
    page = window(viewport=DESK, color_scheme="dark")
    operation, plan = planned
    # Between them these have every part that pages are made of; only colours differ from the day.
    for address in ("/", operation, plan, f"{plan}/loads/0", f"{plan}/change", f"{plan}/orchards/0"):
        page.goto(address)
        _bars_nobody(page, only="color-contrast")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(27, 23, 34)"


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "telephone"])
def test_no_page_is_wider_than_the_window(window: Window, planned: Planned, size: dict[str, int], tmp_path: Path) -> None:
    page = window(viewport=size)
    for address in _every_page(page, planned):
        page.goto(address)
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"], address
        assert len(page.screenshot(path=tmp_path / "page.png")) > 10_000
