"""What goes wrong at the door and behind it: too large, harmful, sent by a stranger, cut off. Nothing is lost."""

import io
import signal
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import httpx
import openpyxl
import pytest
from playwright.sync_api import Page, expect

from api.files.workbook import operation_workbook
from fixtures.demo import demo_beginning
from fixtures.tiny import tiny_operation
from tests.api.pages.conftest import Server, bring_in

Window = Callable[..., Page]
LARGE_BYTES = 200_000_000
# A server that held the upload would grow by 195,000 kB at the least.
MOST_GROWTH_KB = 60_000


@pytest.fixture
def caller(server: Server) -> Iterator[httpx.Client]:
    """A caller that sends what a browser sends with a form of this server."""
    headers = {"accept": "text/html", "origin": server.address}
    with httpx.Client(base_url=server.address, headers=headers, timeout=60.0) as made:
        yield made


def _resident_kb(process: int) -> int:
    lines = Path(f"/proc/{process}/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) for line in lines if line.startswith("VmHWM"))


def test_200_mb_are_refused_in_words_and_never_held(window: Window, server: Server, tmp_path: Path) -> None:
    large = tmp_path / "large.xlsx"
    with large.open("wb") as file:
        file.truncate(LARGE_BYTES)
    before_kb = _resident_kb(server.process.pid)
    page = window(java_script_enabled=False)
    bring_in(page, large)
    expect(page.get_by_text("The file is too large: at most 16 million bytes are taken. Nothing was kept.")).to_be_visible()
    assert _resident_kb(server.process.pid) - before_kb < MOST_GROWTH_KB


def test_a_browser_with_scripts_tells_of_200_mb_before_it_sends_them(window: Window, tmp_path: Path) -> None:
    large = tmp_path / "large.xlsx"
    with large.open("wb") as file:
        file.truncate(LARGE_BYTES)
    page = window()
    page.goto("/")
    page.get_by_label("Workbook or JSON file").set_input_files(large)
    sent: list[str] = []
    page.on("request", lambda request: sent.append(request.method))
    page.get_by_role("button", name="Bring it in").click()
    expect(page.get_by_role("alert")).to_contain_text("Nothing was sent")
    assert "POST" not in sent


def _with_macros() -> bytes:
    made = io.BytesIO(operation_workbook(tiny_operation()))
    with zipfile.ZipFile(made, "a") as archive:
        archive.writestr("xl/vbaProject.bin", b"macro")
    return made.getvalue()


def _bomb() -> bytes:
    made = io.BytesIO(operation_workbook(tiny_operation()))
    with zipfile.ZipFile(made, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet99.xml", b"0" * 150_000_000)
    return made.getvalue()


@pytest.mark.parametrize(
    ("make", "told"),
    [
        (_with_macros, "a workbook with macros"),
        (_bomb, "a part that unpacks to more than a hundred times its size"),
        (lambda: b"PK cut short", "a workbook that is cut short or damaged"),
        (lambda: b"", "an empty file"),
    ],
)
def test_a_harmful_or_broken_workbook_is_one_mistake(caller: httpx.Client, make: Callable[[], bytes], told: str) -> None:
    answer = caller.post("/bring-in", files={"operation": ("mine.xlsx", make())})
    assert answer.status_code == 422
    assert told in answer.text
    assert "1 mistake" in answer.text


def test_a_name_that_begins_like_a_formula_stays_a_name(caller: httpx.Client, planned: tuple[str, str]) -> None:
    formula = "=HYPERLINK(1)"
    tiny = tiny_operation().model_copy(update={"note": formula})
    answer = caller.post("/bring-in", files={"operation": ("mine.json", tiny.model_dump_json())}, follow_redirects=True)
    assert formula in answer.text
    book = openpyxl.load_workbook(io.BytesIO(caller.get(f"{answer.url.path}/operation.xlsx").content))
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value == formula]
    assert [cell.data_type for cell in cells] == ["s"]


def test_a_form_of_another_page_changes_nothing(caller: httpx.Client, server: Server) -> None:
    for headers in ({"origin": "http://orchard.example"}, {"origin": "null"}, {"sec-fetch-site": "cross-site"}):
        answer = caller.post("/bring-in-demo", headers=headers)
        assert answer.status_code == 403
        assert "did not come from a page of this server" in answer.text
    # Neither does a caller that says nothing of where it stands.
    assert httpx.post(f"{server.address}/bring-in-demo").status_code == 403


def test_a_stale_page_cannot_put_a_file_in_the_place_of_a_newer_one(caller: httpx.Client) -> None:
    kept = caller.post("/bring-in", files={"operation": ("mine.json", tiny_operation().model_dump_json())})
    operation = kept.headers["location"]
    later = tiny_operation().model_copy(update={"note": "the second"})
    files = {"operation": ("later.json", later.model_dump_json())}
    assert caller.post(f"{operation}/replace", files=files, data={"version": "1"}).status_code == 303
    stale = {"operation": ("stale.json", tiny_operation().model_copy(update={"note": "the stale one"}).model_dump_json())}
    answer = caller.post(f"{operation}/replace", files=stale, data={"version": "1"})
    assert answer.status_code == 409
    assert "Somebody was here before you" in answer.text
    assert "the second" in caller.get(operation).text


@pytest.mark.parametrize("version", ["", "no", "1" * 40, "-1"])
def test_a_version_that_is_none_is_refused(caller: httpx.Client, planned: tuple[str, str], version: str) -> None:
    files = {"operation": ("mine.json", tiny_operation().model_dump_json())}
    assert caller.post(f"{planned[0]}/replace", files=files, data={"version": version}).status_code == 400


def test_a_plan_whose_server_was_killed_is_said_to_be_broken_off_and_planned_again(tmp_path: Path) -> None:
    server = Server(tmp_path / "plans.sqlite")
    headers = {"accept": "text/html", "origin": server.address}
    with httpx.Client(base_url=server.address, headers=headers, timeout=30.0) as caller:
        busy = demo_beginning(contracts=2).model_dump_json()
        operation = caller.post("/bring-in", files={"operation": ("busy.json", busy)}).headers["location"]
        plan = caller.post(f"{operation}/plan", data={"minutes": "1"}).headers["location"]
        while "being planned" not in caller.get(f"{plan}/now").text:
            assert server.process.poll() is None
    server.process.send_signal(signal.SIGKILL)
    server.process.wait(30)
    assert server.process.stderr is not None
    server.process.stderr.close()
    again = Server(tmp_path / "plans.sqlite")
    try:
        headers = {"accept": "text/html", "origin": again.address}
        with httpx.Client(base_url=again.address, headers=headers, timeout=30.0) as caller:
            shown = caller.get(plan).text
            assert "BROKEN OFF" in shown
            assert "The server stopped while this was being planned" in shown
            asked = caller.post(f"{plan}/again", data={"minutes": "0.02"})
            assert asked.status_code == 303
            assert asked.headers["location"] != plan
            assert "Brindle Creek Bees" in caller.get(operation).text
    finally:
        again.end()
