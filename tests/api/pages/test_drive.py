"""A driver in the dark: the sheet opens without signal, and what is tapped arrives once and in order, whatever breaks."""

import time
from collections.abc import Callable
from pathlib import Path

import httpx
from playwright.sync_api import Page, Route, expect

from api.store.jobs import JobStore
from api.store.operations import OperationStore
from api.store.schema import connect
from fixtures.tiny import tiny_plan
from tests.api.pages.conftest import Yard, all_sent, keep_plan, stop_at, tap
from tests.benchmarks._phones import all_at_once


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
    stop_at(page, 1)
    tap(page, "Arrived")
    all_sent(page)
    yard.die()
    page.reload()
    expect(page.get_by_role("heading", level=1)).to_have_text("Old blue")
    expect(page.locator("#stop-1 ol")).to_contain_text("Arrived")
    tap(page, "Picked up")
    tap(page, "Left")
    # Who has left a stop is shown the next one.
    page.locator("#stop-2:target").wait_for()
    tap(page, "Arrived")
    page.get_by_label("Hives of lot A (H1)").locator("visible=true").fill("15")
    page.get_by_role("button", name="one fewer of lot A").locator("visible=true").click()
    tap(page, "Set down")
    page.get_by_label("Note").locator("visible=true").fill("two lids <b>cracked</b>")
    tap(page, "Keep the note")
    expect(page.locator("#line")).to_have_text("5 records wait on this telephone for signal.")
    page.reload()
    expect(page.locator("#line")).to_have_text("5 records wait on this telephone for signal.")
    expect(page.locator("#stop-2 ol")).to_contain_text("waits for signal")
    yard.come_back()
    all_sent(page)
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
    stop_at(page, 2)
    tap(page, "Arrived")
    expect(page.locator("#line")).to_have_text("1 record waits on this telephone for signal.")
    assert yard.records() == []
    page.context.set_offline(False)
    all_sent(page)
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
    stop_at(page, 1)
    tap(page, "Arrived")
    tap(page, "Left")
    all_sent(page)
    assert taken == [200, 200]
    assert [one["kind"] for one in yard.records()] == ["arrived", "left"]


def test_a_record_that_the_server_does_not_take_stays_and_says_so(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.route("**/events", lambda route: route.fulfill(status=413))
    stop_at(page, 1)
    tap(page, "Arrived")
    expect(page.locator("#stop-1 ol")).to_contain_text("the server does not take it now. Tell the dispatcher. Answer: 413")
    page.context.unroute("**/events")
    # Rather than wait for the next try of its own.
    page.evaluate("dispatchEvent(new Event('online'))")
    all_sent(page)
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
    stop_at(page, 2)
    tap(page, "Set down")
    assert yard.post(f"/p/{yard.job}/remove") == 303
    page.context.set_offline(False)
    all_sent(page)
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
    stop_at(page, 2)
    first = yard.job
    second = keep_plan(yard.store, tiny_plan())
    _of_one_operation(yard.store, first, second)
    assert yard.post(f"/drive/{second}/in-force") == 303
    tap(page, "Arrived")
    alert = page.get_by_role("alert").locator("visible=true")
    expect(alert).to_contain_text("This sheet was replaced")
    link = alert.get_by_role("link", name="Open what stands in its place")
    assert link.get_attribute("href") == f"/drive/{second}/2027-04-24-old-blue"
    all_sent(page)
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
    stop_at(page, 1)
    tap(page, "Arrived")
    alert = page.get_by_role("alert").locator("visible=true")
    expect(alert).to_contain_text("This sheet was changed. Open it again")
    page.reload()
    expect(page.get_by_text("This sheet was changed since you first looked at it")).to_be_visible()
    page.get_by_role("button", name="I have looked through it").click()
    page.reload()
    expect(page.get_by_text("This sheet was changed since you first looked at it")).to_be_hidden()


def test_the_closed_page_sends_when_signal_is_back(yard: Yard, phone: Callable[..., Page]) -> None:
    page = phone()
    page.context.set_offline(True)
    stop_at(page, 1)
    tap(page, "Arrived")
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


def test_fifty_telephones_that_post_at_once_lose_nothing_and_double_nothing(yard: Yard) -> None:
    httpx.get(yard.address + yard.sheet).raise_for_status()
    sent = all_at_once(yard.address, yard.sheet, phones=50, events=8)
    # 50 telephones with 8 records each, every one of them posted twice or more.
    assert (sent.sent, sent.lost, sent.doubled, sent.out_of_order, sent.answered_otherwise) == (50 * 8, 0, 0, 0, 0)
    assert len(yard.records()) == 50 * 8
