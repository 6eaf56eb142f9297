"""The driver's rows and the server's answers, without a browser."""

import datetime as dt
import io
import re
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from fastapi.testclient import TestClient
from PIL import Image
from playwright.sync_api import Browser

from api.app import create_app
from api.pages.drive import on_clock, sheet_links, tel, this_night
from api.pages.reading import Reader
from api.settings import Settings
from api.store.jobs import JobStore
from api.store.operations import OperationStore
from api.store.schema import connect
from fixtures.tiny import tiny_plan
from tests.api.pages.conftest import keep_plan

HERE = "http://127.0.0.1"
READ = {"accept": "text/html"}
OWN = {"origin": HERE}


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store's file."""
    return tmp_path / "plans.sqlite"


@pytest.fixture
def job(store: Path) -> str:
    """The tiny plan's job."""
    return keep_plan(store, tiny_plan())


@pytest.fixture
def client(store: Path, job: str) -> Iterator[TestClient]:
    """A running application that answers to a name of the yard's Wi-Fi too."""
    settings = Settings(store=store, hosts=("127.0.0.1", "yard.local"))
    with TestClient(create_app(settings), base_url=HERE, follow_redirects=False) as running:
        yield running


def _sheet(job: str) -> str:
    return f"/drive/{job}/2027-04-24-old-blue"


def _event(**other: Any) -> dict[str, Any]:
    return {"id": str(uuid.uuid4()), "kind": "arrived", "stop": 2} | other


@pytest.mark.parametrize(
    ("text", "href"),
    [
        ("911", "tel:911"), ("Q. Makebelieve, 555-0110", "tel:5550110"), ("+1 (231) 555-0110, evenings", "tel:+12315550110"),
        ("own land", ""), ("", ""), ("NOT GIVEN", ""), ("block 7, row 12", ""),
    ],
)  # fmt: skip
def test_a_number_in_words_can_be_dialled(text: str, href: str) -> None:
    assert tel(text) == href


def test_the_planners_words_are_put_on_a_clock_of_24_hours() -> None:
    words = "Lift no hive before 9:11 pm EDT, or 12:00 midnight; 12:05 am and 12:00 noon; Sat Apr 24."
    assert on_clock(Reader(clock="12"), words) == words
    assert on_clock(Reader(clock="24"), words) == "Lift no hive before 21:11 EDT, or 00:00; 00:05 and 12:00; Sat Apr 24."


def test_until_noon_it_is_still_last_night() -> None:
    assert this_night(dt.datetime(2027, 4, 25, 2, 0)) == dt.date(2027, 4, 24)
    assert this_night(dt.datetime(2027, 4, 25, 11, 59)) == dt.date(2027, 4, 24)
    assert this_night(dt.datetime(2027, 4, 25, 12, 0)) == dt.date(2027, 4, 25)


def test_the_sheet_has_all_that_the_printed_one_has_in_its_order(client: TestClient, job: str) -> None:
    text = client.get(_sheet(job), headers=READ).text
    part = text[text.index('id="stop-2"') : text.index('id="stop-3"')]
    order = (
        "Early cherries", "SET DOWN 16", "10:28 pm", "power line over the north gate", "Every hive on the ground by 6:14 am EDT",
        'href="geo:43.978500,-86.289000"', ">Arrived<", "North gate", "chain, no lock", 'href="tel:5550111"',
        'href="tel:5550110"', "16 hives on 4 pallets", "set down 8", 'href="geo:43.977600,-86.288800"', ">Set down<",
        "Spray contact called", ">Left<", "Stop 3, Home yard, 11:30 pm",
    )  # fmt: skip
    at = 0
    for words in order:
        assert words in part[at:], words
        at = part.index(words, at)
    for danger in ("Night driving", "Lifting", "Stings", "Sprays", "Accident or spilled hives"):
        assert f"<strong>{danger}:</strong>" in text
    assert "legal" not in text.lower()


def test_one_bad_record_never_holds_up_the_others(client: TestClient, job: str) -> None:
    good = _event()
    bad = [
        _event(kind="eaten"), _event(stop=-1), _event(stop=True), _event(id="not-an-id"), {}, "text", None,
        _event(counts={"A": -1}), _event(done_at="2027-04-25T02:00:00"), _event(done_at="0001-01-01T00:00:00+00:00"),
        _event(note="x" * 2001), _event(more=1),
    ]  # fmt: skip
    answer = client.post(f"{_sheet(job)}/events", json={"events": [*bad, good]}, headers=OWN).json()["answers"]
    assert [one["state"] for one in answer] == ["refused"] * len(bad) + ["kept"]
    assert all(one["why"] for one in answer[:-1])
    kept = client.get(f"/plans/{job}/records").json()["records"]
    assert [one["event"]["id"] for one in kept] == [good["id"]]


@pytest.mark.parametrize("body", ["{}", "[]", '{"events": 3}', '{"events": [], "more": 1}'])
def test_what_is_no_list_of_records_is_refused_whole(client: TestClient, job: str, body: str) -> None:
    answer = client.post(f"{_sheet(job)}/events", content=body, headers=OWN | {"content-type": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["type"] == "/problems/bad-record"


def test_more_records_at_once_than_a_telephone_sends_are_refused(client: TestClient, job: str) -> None:
    answer = client.post(f"{_sheet(job)}/events", json={"events": [_event() for _ in range(201)]}, headers=OWN)
    assert answer.status_code == 413
    assert client.get(f"/plans/{job}/records").json()["records"] == []


def test_no_record_is_taken_for_a_sheet_that_never_was(client: TestClient, job: str) -> None:
    for sheet in (f"/drive/{job}/2027-04-25-old-blue", "/drive/none/2027-04-24-old-blue"):
        assert client.post(f"{sheet}/events", json={"events": [_event()]}, headers=OWN).status_code == 404
    assert client.get("/plans/none/records").status_code == 404


def test_a_form_that_cannot_be_read_says_why_and_keeps_nothing(client: TestClient, job: str) -> None:
    fields = _event(kind="set down") | {"stop": "2", "count.A": "many"}
    answer = client.post(f"{_sheet(job)}/record", data=fields, headers=OWN | READ)
    assert answer.status_code == 422
    assert "nothing was kept" in answer.text
    assert "counts.A" in answer.text
    assert client.get(f"/plans/{job}/records").json()["records"] == []


def test_the_records_of_a_removed_plan_are_still_told(client: TestClient, job: str) -> None:
    client.get(_sheet(job), headers=READ)
    event = _event()
    client.delete(f"/plans/{job}")
    answer = client.post(f"{_sheet(job)}/events", json={"events": [event]}, headers=OWN).json()
    assert (answer["answers"][0]["standing"], answer["sheet"]["standing"]) == ("gone", "gone")
    told = client.get(f"/plans/{job}/records").json()
    assert (told["plan"], told["records"][0]["event"]["id"]) == (False, event["id"])
    assert client.get(_sheet(job), headers=READ).status_code == 410


def test_what_was_recorded_on_a_night_that_its_plan_has_dropped_is_shown_beside_the_removed_ones(
    client: TestClient, job: str, store: Path
) -> None:
    client.post(f"{_sheet(job)}/events", json={"events": [_event(note="ditch under water")]}, headers=OWN)
    assert "ditch under water" not in client.get("/drive", headers=READ).text
    plan = tiny_plan()
    JobStore(store).keep_plan(job, plan.model_copy(update={"truck_nights": plan.truck_nights[1:]}).model_dump_json())
    assert "ditch under water" in client.get("/drive", headers=READ).text
    assert "ditch under water" in client.get(_sheet(job), headers=READ).text


def test_a_change_that_is_taken_on_takes_the_place_of_the_plan_in_force(client: TestClient, job: str, store: Path) -> None:
    operations, changed = OperationStore(store), keep_plan(store, tiny_plan())
    first, other = operations.origin(job), operations.origin(changed)
    assert first is not None
    assert other is not None
    with connect(store) as connection:
        connection.execute("UPDATE origin SET operation = ?, earlier = ? WHERE job = ?", (first.operation, job, changed))
    form = OWN | READ
    assert client.post(f"/drive/{job}/in-force", headers=form).status_code == 303
    assert client.get(f"{_sheet(job)}/state").json()["standing"] == "stands"
    assert client.get(f"{_sheet(changed)}/state").json()["standing"] == "replaced"
    assert client.post(f"/p/{changed}/take-on", headers=form, data={"version": "1"}).status_code == 303
    now = client.get(f"{_sheet(job)}/state").json()
    assert (now["standing"], now["newer"]) == ("replaced", _sheet(changed))
    assert client.get(f"{_sheet(changed)}/state").json()["standing"] == "stands"


def test_a_sheet_of_an_operation_that_was_changed_since_is_replaced_though_nobody_said_so(
    client: TestClient, job: str, store: Path
) -> None:
    operations = OperationStore(store)
    origin = operations.origin(job)
    assert origin is not None
    kept = operations.get(origin.operation)
    assert kept is not None
    # The very same document: nothing that the sheet rests on has changed.
    operations.replace(kept, name=kept.name, document=str(operations.document(kept.id)), source="again.json")
    assert client.get(f"{_sheet(job)}/state").json()["standing"] == "stands"
    again = operations.get(kept.id)
    assert again is not None
    operations.replace(again, name=kept.name, document="{}", source="other.json")
    assert client.get(f"{_sheet(job)}/state").json()["standing"] == "replaced"
    assert "This sheet was replaced" in client.get(_sheet(job), headers=READ).text


def test_a_telephone_whose_clock_is_wrong_is_told_of(client: TestClient, job: str) -> None:
    ahead = (dt.datetime.now(dt.UTC) + dt.timedelta(minutes=7)).isoformat()
    client.post(f"{_sheet(job)}/events", json={"sent_at": ahead, "events": [_event()]}, headers=OWN)
    shown = client.get(f"/p/{job}/nights/2027-04-24", headers=READ).text
    assert re.search(r"clock is [67] minutes ahead of the server", shown)


def test_the_code_of_a_sheet_leads_to_it_by_the_name_that_was_asked_for(client: TestClient, job: str, browser: Browser) -> None:
    address = f"http://yard.local:8765/drive/{job}"
    text = client.get(f"/drive/{job}", headers=READ | {"host": "yard.local:8765"}).text
    codes = re.findall(r'<div class="figure"[^>]*>(<svg.*?</svg>)', text, re.DOTALL)
    assert len(codes) == len(tiny_plan().truck_nights)
    read, screen = set(), browser.new_page()
    for code in codes:
        screen.set_content(code)
        picture = Image.open(io.BytesIO(screen.screenshot())).convert("L")
        read |= {one.text for one in zxingcpp.read_barcodes(picture)}
    screen.close()
    assert read == {f"{address}/{one.name}" for one in sheet_links(tiny_plan())}
    assert "This address is without https" in text


def test_from_the_servers_own_machine_the_way_for_a_telephone_is_told_in_place_of_codes(client: TestClient, job: str) -> None:
    text = client.get(f"/drive/{job}", headers=READ).text
    assert "--host 0.0.0.0 --answer-to NAME" in text
    assert "Code that opens" not in text


def test_the_worker_governs_sheets_only_and_changes_with_the_queue_it_shares(client: TestClient) -> None:
    answer = client.get("/drive/worker.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"
    assert "service-worker-allowed" not in answer.headers
    assert re.search(r'importScripts\("/look/drive_queue\.js\?v=[0-9a-f]{10}"\)', answer.text)
    assert "connect-src 'self'" in answer.headers["content-security-policy"]
