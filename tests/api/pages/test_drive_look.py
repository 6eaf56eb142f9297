"""The driver's page on its telephone, and the desk that reads what came: to hit, to read, without scripts, on plain Wi-Fi."""

import re
from collections.abc import Callable
from pathlib import Path

import httpx
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.api.pages.conftest import CHROMIUM, PHONE_FORM, PHONE_SIZE, YARD, Yard, all_sent, stop_at, tap


def test_without_scripts_every_record_is_a_form_and_sending_it_twice_records_it_once(
    yard: Yard, phone: Callable[..., Page]
) -> None:
    page = phone(java_script_enabled=False)
    expect(page.get_by_text("Scripts are off")).to_be_visible()
    page.get_by_role("link", name="Stops", exact=True).click()
    expect(page.locator("#before")).to_be_hidden()
    page.locator("#stops a[href='#stop-2']").click()
    page.get_by_label("Hives of lot A (H1)").locator("visible=true").fill("13")
    fields = page.locator("#stop-2 form", has=page.get_by_role("button", name="Set down", exact=True)).locator("input")
    again = {str(one.get_attribute("name")): one.input_value() for one in fields.all()}
    tap(page, "Set down")
    expect(page.locator("#stop-2 ol")).to_contain_text("Set down: lot A 13")
    assert page.url.endswith("#stop-2")
    headers = PHONE_FORM | {"origin": yard.address}
    assert httpx.post(f"{yard.address}{yard.sheet}/record", data=again, headers=headers).status_code == 303
    differing = httpx.post(f"{yard.address}{yard.sheet}/record", data=again | {"count.A": "9"}, headers=headers)
    assert differing.status_code == 409
    assert "Another record was kept from this very form" in differing.text
    assert [one["counts"] for one in yard.records()] == [{"A": 13}]
    page.get_by_role("button", name="Take back: Set down").click()
    expect(page.locator("#stop-2 ol li.back")).to_have_count(1)


def _faults(page: Page) -> list[tuple[str, str]]:
    found = Axe().run(page).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:160]) for one in found]


def test_no_part_of_the_sheet_bars_anyone_is_too_small_to_hit_or_wider_than_the_telephone(
    yard: Yard, phone: Callable[..., Page], tmp_path: Path
) -> None:
    page = phone()
    small = """() => [...document.querySelectorAll('a, button, summary, input:not([type=hidden]), textarea')]
        .filter((one) => one.checkVisibility() && !one.matches('.skip'))
        .filter((one) => one.getBoundingClientRect().height < 48).map((one) => one.outerHTML.slice(0, 120))"""
    stop_at(page, 2)
    tap(page, "Arrived")
    for part in ("before", "stop-0", "stop-1", "stop-2", "stop-3", "stops", "call", "cautions"):
        page.goto(f"{yard.sheet}#{part}")
        page.locator(f"#{part}").wait_for()
        assert page.locator("section:visible").count() == 1, part
        assert _faults(page) == [], part
        assert page.evaluate(small) == [], part
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE_SIZE["width"], part
        assert len(page.screenshot(path=tmp_path / f"{part}.png")) > 10_000
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(18, 15, 24)"


def test_the_pages_that_hand_sheets_out_bar_nobody(yard: Yard, browser: Browser) -> None:
    context = browser.new_context(base_url=yard.address, viewport=PHONE_SIZE)
    page = context.new_page()
    for address in ("/drive", f"/drive/{yard.job}"):
        page.goto(address)
        assert _faults(page) == [], address
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE_SIZE["width"], address
    context.close()


def test_times_are_on_the_drivers_own_clock_in_the_planners_sentences_too(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.add_cookies([{"name": "bloomhaul-reader", "value": "us.24.dusk", "url": yard.address}])
    page.reload()
    stop_at(page, 2)
    part = page.locator("#stop-2")
    expect(part).to_contain_text("22:28")
    expect(part).to_contain_text("Every hive on the ground by 06:14 EDT")
    tap(page, "Arrived")
    expect(part.locator("ol")).to_contain_text(re.compile(r"\b[012]\d:\d\d Arrived"))
    assert re.findall(r"\d [ap]m\b", part.inner_text()) == []


def test_two_telephones_on_one_truck_are_both_kept_and_the_desk_sees_where_they_differ(
    yard: Yard, phone: Callable[..., Page]
) -> None:
    for hives in ("16", "12"):
        page = phone()
        stop_at(page, 2)
        page.get_by_label("Hives of lot A (H1)").locator("visible=true").fill(hives)
        tap(page, "Set down")
        all_sent(page)
    assert [one["counts"]["A"] for one in yard.records()] == [16, 12]
    page.goto(f"/p/{yard.job}/nights/2027-04-24")
    told = page.get_by_role("group", name="Recorded on the way: Old blue, Sat Apr 24")
    expect(told).to_contain_text(re.compile(r"A 16\s+A 12\s+DIFFERS\s+planned A 16"), use_inner_text=True)
    expect(page.get_by_text("2 telephones sent records of this truck-night.")).to_be_visible()
    assert _faults(page) == []
    page.goto(f"/p/{yard.job}/change")
    expect(page.get_by_text("Early cherries: recorded set down 12, planned 16")).to_be_visible()


def test_a_mistaken_tap_is_taken_back_and_both_stay_on_record(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    stop_at(page, 1)
    tap(page, "Arrived")
    page.get_by_role("button", name="Take back: ").click()
    expect(page.locator("#stop-1 ol li")).to_have_class("back")
    all_sent(page)
    arrived, back = yard.records()
    assert (back["kind"], back["about"]) == ("taken back", arrived["id"])
    page.goto(f"/p/{yard.job}/nights/2027-04-24")
    expect(page.get_by_role("group", name="Recorded on the way")).to_have_count(1)
    expect(page.get_by_role("group", name="Recorded on the way").get_by_role("rowheader")).to_have_count(0)


def test_without_https_it_says_that_the_sheet_is_not_kept_and_still_loses_no_record(yard: Yard, browser: Browser) -> None:
    chromium = browser.browser_type.launch(
        executable_path=CHROMIUM, args=["--no-sandbox", f"--host-resolver-rules=MAP {YARD} 127.0.0.1"]
    )
    page = chromium.new_page(base_url=yard.address.replace("127.0.0.1", YARD), viewport=PHONE_SIZE)
    page.goto(yard.sheet)
    assert page.evaluate("isSecureContext") is False
    expect(page.locator("#kept-line")).to_contain_text("This sheet is NOT kept: the telephone came here without https")
    page.context.set_offline(True)
    stop_at(page, 1)
    tap(page, "Arrived")
    expect(page.locator("#line")).to_have_text("1 record waits on this telephone for signal.")
    page.context.set_offline(False)
    all_sent(page)
    assert [one["kind"] for one in yard.records()] == ["arrived"]
    chromium.close()
