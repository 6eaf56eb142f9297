"""A driver in the dark: the sheet opens without signal, and what is tapped arrives once and in order, whatever breaks."""

import re
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from api.store.jobs import JobStore
from api.store.operations import OperationStore
from api.store.schema import connect
from fixtures.tiny import tiny_plan
from tests.api.pages.conftest import CHROMIUM, Server, Watch, keep_plan
from tests.benchmarks._phones import all_at_once

PHONE = {"width": 390, "height": 844}
FORM = {"accept": "text/html"}
YARD = "yard.local"


class Yard:
    """A server that may die and come back at the same address, its store with a plan in it."""

    def __init__(self, store: Path) -> None:
        self.store = store
        self.job = keep_plan(store, tiny_plan())
        self.server = Server(store, options=("--answer-to", YARD))
        self.address = self.server.address

    @property
    def sheet(self) -> str:
        """Path of the first truck-night's page."""
        return f"/drive/{self.job}/2027-04-24-old-blue"

    def die(self) -> None:
        """A power cut."""
        self.server.die()

    def come_back(self) -> None:
        """The server again, at the same address."""
        self.server = Server(self.store, port=int(self.address.rpartition(":")[2]), options=("--answer-to", YARD))

    def records(self, job: str = "") -> list[dict[str, Any]]:
        """What reached the server, as told by its API."""
        found = httpx.get(f"{self.address}/plans/{job or self.job}/records").raise_for_status().json()["records"]
        return [one["event"] for one in found]

    def post(self, path: str) -> int:
        """Send an empty form as one of our pages does and return the status."""
        return httpx.post(self.address + path, headers=FORM | {"origin": self.address}).status_code


@pytest.fixture(scope="module")
def running(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Yard]:
    """One server for all tests here; each has a plan of its own."""
    yard = Yard(tmp_path_factory.mktemp("yard") / "plans.sqlite")
    yield yard
    yard.server.end()


@pytest.fixture
def yard(running: Yard) -> Yard:
    """The server with a fresh plan."""
    running.job = keep_plan(running.store, tiny_plan())
    return running


@pytest.fixture
def phone(yard: Yard, browser: Browser) -> Iterator[Callable[..., Page]]:
    """A function that opens a telephone at the sheet, kept on it; at the end none has asked elsewhere or met an error."""
    opened: list[tuple[BrowserContext, Watch]] = []

    def open_phone(**how: Any) -> Page:
        context = browser.new_context(base_url=yard.address, viewport=PHONE, color_scheme="dark", **how)  # type: ignore[arg-type]
        context.set_default_timeout(15_000)
        opened.append((context, Watch(context)))
        page = context.new_page()
        page.goto(yard.sheet)
        if how.get("java_script_enabled", True):
            page.locator("#kept-line[data-kept=yes]").wait_for(state="attached")
        return page

    yield open_phone
    for context, _ in opened:
        context.close()
    assert [watch.elsewhere for _, watch in opened if watch.elsewhere] == []
    assert [watch.complaints for _, watch in opened if watch.complaints] == []


def _stop(page: Page, number: int) -> None:
    page.get_by_role("link", name="Stops", exact=True).click()
    page.locator(f"#stops a[href='#stop-{number}']").click()


def _tap(page: Page, name: str) -> None:
    page.locator("section:target").get_by_role("button", name=name, exact=True).click()


def _all_sent(page: Page) -> None:
    expect(page.locator("#line")).to_have_text("All that you recorded has reached the server.", timeout=20_000)


def _kept_says(page: Page, words: str) -> None:
    """Wait until the sheet kept on the telephone says ``words``."""
    end_by = time.monotonic() + 15.0
    while words not in page.evaluate("caches.match(location.pathname, { ignoreVary: true }).then((one) => one.text())"):
        assert time.monotonic() < end_by
        page.wait_for_timeout(50)


def test_a_sheet_opened_once_opens_with_the_server_dead_and_what_is_tapped_arrives_once_and_in_order(
    yard: Yard, phone: Callable[..., Page]
) -> None:
    page = phone()
    _stop(page, 1)
    _tap(page, "Arrived")
    _all_sent(page)
    yard.die()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Old blue")
    expect(page.locator("#stop-1 ol")).to_contain_text("Arrived")
    _tap(page, "Picked up")
    _tap(page, "Left")
    # Who has left a stop is shown the next one.
    page.locator("#stop-2:target").wait_for()
    _tap(page, "Arrived")
    page.get_by_label("Hives of lot A (H1)").locator("visible=true").fill("15")
    page.get_by_role("button", name="one fewer of lot A").locator("visible=true").click()
    _tap(page, "Set down")
    page.get_by_label("Note").locator("visible=true").fill("two lids <b>cracked</b>")
    _tap(page, "Keep the note")
    expect(page.locator("#line")).to_have_text("5 records wait on this telephone for signal.")
    page.reload()
    expect(page.locator("#line")).to_have_text("5 records wait on this telephone for signal.")
    expect(page.locator("#stop-2 ol")).to_contain_text("waits for signal")
    yard.come_back()
    _all_sent(page)
    found = yard.records()
    told = [(one["stop"], one["kind"], one["counts"], one["note"]) for one in found]
    assert told == [
        (1, "arrived", {}, ""), (1, "picked up", {"A": 16}, ""), (1, "left", {}, ""), (2, "arrived", {}, ""),
        (2, "set down", {"A": 14}, ""), (2, "note", {}, "two lids <b>cracked</b>"),
    ]  # fmt: skip
    assert len({one["id"] for one in found}) == len(found)
    turns = [one["turn"] for one in found]
    assert turns == sorted(turns)


def test_without_signal_the_telephone_keeps_and_with_it_sends_by_itself(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.set_offline(True)
    page.reload()
    _stop(page, 2)
    _tap(page, "Arrived")
    expect(page.locator("#line")).to_have_text("1 record waits on this telephone for signal.")
    assert yard.records() == []
    page.context.set_offline(False)
    _all_sent(page)
    assert [one["kind"] for one in yard.records()] == ["arrived"]


def test_an_answer_that_is_lost_on_the_way_doubles_nothing(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    taken: list[int] = []

    def lose_the_answer(route: Route) -> None:
        if len(taken) < 2:
            taken.append(route.fetch().status)
            route.abort()
        else:
            route.continue_()

    page.context.route("**/events", lose_the_answer)
    _stop(page, 1)
    _tap(page, "Arrived")
    _tap(page, "Left")
    _all_sent(page)
    assert taken == [200, 200]
    assert [one["kind"] for one in yard.records()] == ["arrived", "left"]


def test_without_https_it_says_that_the_sheet_is_not_kept_and_still_loses_no_record(yard: Yard, browser: Browser) -> None:
    chromium = browser.browser_type.launch(
        executable_path=CHROMIUM, args=["--no-sandbox", f"--host-resolver-rules=MAP {YARD} 127.0.0.1"]
    )
    page = chromium.new_page(base_url=yard.address.replace("127.0.0.1", YARD), viewport=PHONE)
    page.goto(yard.sheet)
    assert page.evaluate("isSecureContext") is False
    expect(page.locator("#kept-line")).to_contain_text("This sheet is NOT kept: the telephone came here without https")
    page.context.set_offline(True)
    _stop(page, 1)
    _tap(page, "Arrived")
    expect(page.locator("#line")).to_have_text("1 record waits on this telephone for signal.")
    page.context.set_offline(False)
    _all_sent(page)
    assert [one["kind"] for one in yard.records()] == ["arrived"]
    chromium.close()


def test_a_record_that_the_server_does_not_take_stays_and_says_so(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.route("**/events", lambda route: route.fulfill(status=413))
    _stop(page, 1)
    _tap(page, "Arrived")
    expect(page.locator("#stop-1 ol")).to_contain_text("the server does not take it now. Tell the dispatcher. Answer: 413")
    page.context.unroute("**/events")
    # Rather than wait for the next try of its own.
    page.evaluate("dispatchEvent(new Event('online'))")
    _all_sent(page)
    assert len(yard.records()) == 1


def test_a_sheet_that_was_never_opened_here_is_not_answered_with_another(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.set_offline(True)
    page.goto(f"/drive/{yard.job}/2027-05-12-old-blue")
    expect(page.get_by_role("heading", level=1)).to_have_text("No signal, and this sheet was never opened on this telephone.")
    page.goto(yard.sheet)
    expect(page.get_by_role("heading", level=1)).to_have_text("Old blue")


def test_what_was_recorded_on_a_sheet_removed_meanwhile_is_kept_and_both_are_told(
    yard: Yard, phone: Callable[..., Page]
) -> None:
    page = phone()
    page.context.set_offline(True)
    _stop(page, 2)
    _tap(page, "Set down")
    assert yard.post(f"/p/{yard.job}/remove") == 303
    page.context.set_offline(False)
    _all_sent(page)
    expect(page.get_by_role("alert").locator("visible=true")).to_contain_text("This sheet was withdrawn")
    assert [one["counts"] for one in yard.records()] == [{"A": 16}]
    # What the telephone shows from now on, with signal or without, is that it was withdrawn.
    _kept_says(page, "This sheet was withdrawn")
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("This sheet was withdrawn")
    desk = page.context.browser.new_page(base_url=yard.address)  # type: ignore[union-attr]
    desk.goto("/drive")
    gone = desk.get_by_role("group", name="Recorded on the way: Old blue, Sat Apr 24").first
    expect(gone).to_contain_text("A 16")
    desk.close()


def test_a_sheet_replaced_by_another_plan_says_so_and_leads_there(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    _stop(page, 2)
    first = yard.job
    second = keep_plan(yard.store, tiny_plan())
    _of_one_operation(yard.store, first, second)
    assert yard.post(f"/drive/{second}/in-force") == 303
    _tap(page, "Arrived")
    alert = page.get_by_role("alert").locator("visible=true")
    expect(alert).to_contain_text("This sheet was replaced")
    link = alert.get_by_role("link", name="Open what stands in its place")
    assert link.get_attribute("href") == f"/drive/{second}/2027-04-24-old-blue"
    _all_sent(page)
    shown = httpx.get(f"{yard.address}/p/{first}/nights/2027-04-24").text
    assert "1 of the records were made on, or reached, a sheet that had been changed, replaced or removed." in shown
    _kept_says(page, "This sheet was replaced: another plan is in force. Ask before you load or set down.</p>")
    page.context.set_offline(True)
    page.reload()
    expect(page.get_by_role("alert").locator("visible=true")).to_contain_text("This sheet was replaced")


def _of_one_operation(store: Path, first: str, second: str) -> None:
    operations = OperationStore(store)
    one, other = operations.origin(first), operations.origin(second)
    assert one is not None
    assert other is not None
    connection = connect(store)
    connection.execute("UPDATE origin SET operation = ? WHERE job = ?", (one.operation, second))
    connection.close()
    operations.remove(other.operation)


def test_a_sheet_that_says_something_else_by_now_is_to_be_looked_through_again(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    plan = tiny_plan()
    night = plan.truck_nights[0].model_copy(update={"driver": "R. Else"})
    changed = plan.model_copy(update={"truck_nights": (night, *plan.truck_nights[1:])})
    JobStore(yard.store).keep_plan(yard.job, changed.model_dump_json())
    _stop(page, 1)
    _tap(page, "Arrived")
    alert = page.get_by_role("alert").locator("visible=true")
    expect(alert).to_contain_text("This sheet was changed. Open it again")
    page.reload()
    expect(page.get_by_text("This sheet was changed since you first looked at it")).to_be_visible()
    page.get_by_role("button", name="I have looked through it").click()
    page.reload()
    expect(page.get_by_text("This sheet was changed since you first looked at it")).to_be_hidden()


def test_two_telephones_on_one_truck_are_both_kept_and_the_desk_sees_where_they_differ(
    yard: Yard, phone: Callable[..., Page]
) -> None:
    for hives in ("16", "12"):
        page = phone()
        _stop(page, 2)
        page.get_by_label("Hives of lot A (H1)").locator("visible=true").fill(hives)
        _tap(page, "Set down")
        _all_sent(page)
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
    _stop(page, 1)
    _tap(page, "Arrived")
    page.get_by_role("button", name="Take back: ").click()
    expect(page.locator("#stop-1 ol li")).to_have_class("back")
    _all_sent(page)
    arrived, back = yard.records()
    assert (back["kind"], back["about"]) == ("taken back", arrived["id"])
    page.goto(f"/p/{yard.job}/nights/2027-04-24")
    expect(page.get_by_role("group", name="Recorded on the way")).to_have_count(1)
    expect(page.get_by_role("group", name="Recorded on the way").get_by_role("rowheader")).to_have_count(0)


def test_the_closed_page_sends_when_signal_is_back(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.set_offline(True)
    _stop(page, 1)
    _tap(page, "Arrived")
    expect(page.locator("#line")).to_have_text("1 record waits on this telephone for signal.")
    worker = page.context.service_workers[0]
    page.goto("about:blank")
    page.context.set_offline(False)
    # The browser wakes the worker with this event once there is signal; how soon is its own affair, so it is sent here.
    worker.evaluate(
        "() => new Promise((done) => { const event = new SyncEvent('sync', { tag: 'records' });"
        " new BroadcastChannel('bloomhaul-drive').onmessage = done; self.dispatchEvent(event); })"
    )
    assert [one["kind"] for one in yard.records()] == ["arrived"]


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
    _tap(page, "Set down")
    expect(page.locator("#stop-2 ol")).to_contain_text("Set down: lot A 13")
    assert page.url.endswith("#stop-2")
    headers = FORM | {"origin": yard.address}
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
    _stop(page, 2)
    _tap(page, "Arrived")
    for part in ("before", "stop-0", "stop-1", "stop-2", "stop-3", "stops", "call", "cautions"):
        page.goto(f"{yard.sheet}#{part}")
        page.locator(f"#{part}").wait_for()
        assert page.locator("section:visible").count() == 1, part
        assert _faults(page) == [], part
        assert page.evaluate(small) == [], part
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], part
        assert len(page.screenshot(path=tmp_path / f"{part}.png")) > 10_000
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(18, 15, 24)"


def test_the_pages_that_hand_sheets_out_bar_nobody(yard: Yard, browser: Browser) -> None:
    context = browser.new_context(base_url=yard.address, viewport=PHONE)
    page = context.new_page()
    for address in ("/drive", f"/drive/{yard.job}"):
        page.goto(address)
        assert _faults(page) == [], address
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"], address
    context.close()


def test_times_are_on_the_drivers_own_clock_in_the_planners_sentences_too(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.add_cookies([{"name": "bloomhaul-reader", "value": "us.24.dusk", "url": yard.address}])
    page.reload()
    _stop(page, 2)
    part = page.locator("#stop-2")
    expect(part).to_contain_text("22:28")
    expect(part).to_contain_text("Every hive on the ground by 06:14 EDT")
    _tap(page, "Arrived")
    expect(part.locator("ol")).to_contain_text(re.compile(r"\b[012]\d:\d\d Arrived"))
    assert re.findall(r"\d [ap]m\b", part.inner_text()) == []


def test_fifty_telephones_that_post_at_once_lose_nothing_and_double_nothing(yard: Yard) -> None:
    httpx.get(yard.address + yard.sheet).raise_for_status()
    sent = all_at_once(yard.address, yard.sheet, phones=50, events=8)
    # 50 telephones with 8 records each, every one of them posted twice or more.
    assert (sent.sent, sent.lost, sent.doubled, sent.out_of_order, sent.answered_otherwise) == (50 * 8, 0, 0, 0, 0)
    assert len(yard.records()) == 50 * 8
