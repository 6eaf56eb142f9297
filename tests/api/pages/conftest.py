"""A real server and a real browser, one of each for all tests of the pages."""

import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx
import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, expect, sync_playwright

from api.files.workbook import operation_workbook
from api.store.job import JobAsked
from api.store.jobs import JobStore
from api.store.operation import Origin
from api.store.operations import OperationStore
from api.store.schema import prepare
from fixtures.tiny import tiny_operation, tiny_plan
from routing.plan_record import Plan

ROOT = Path(__file__).parents[3]
CHROMIUM = "/usr/bin/chromium"
HERE = "127.0.0.1"
YARD = "yard.local"
PHONE_SIZE = {"width": 390, "height": 844}
PHONE_FORM = {"accept": "text/html"}


class Server:
    """One `bloomhaul serve` in a process of its own."""

    def __init__(self, store: Path, *, port: int = 0, options: tuple[str, ...] = ()) -> None:
        command = [sys.executable, "-m", "api.cli", "serve", "--port", str(port), "--no-browser", "--store", str(store), *options]
        self.process = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
        assert self.process.stderr is not None
        greeting = self.process.stderr.readline()
        found = re.search(r"http://127\.0\.0\.1:\d+", greeting)
        assert found, greeting
        self.address = found[0]

    def die(self) -> None:
        """End the server as a power cut does."""
        self.process.kill()
        self.process.wait(60)
        assert self.process.stderr is not None
        self.process.stderr.close()

    def end(self) -> None:
        """End the server as Ctrl-C does."""
        self.process.terminate()
        self.process.wait(60)
        assert self.process.stderr is not None
        self.process.stderr.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The server, its store empty at first."""
    running = Server(tmp_path_factory.mktemp("store") / "plans.sqlite")
    try:
        yield running
    finally:
        running.end()


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


class Watch:
    """What a browser window asked for and complained of."""

    def __init__(self, context: BrowserContext) -> None:
        self.elsewhere: list[str] = []
        self.complaints: list[str] = []
        context.on("request", lambda request: self._asked(request.url))
        context.on("console", self._said)
        context.on("weberror", lambda error: self.complaints.append(str(error.error)))

    def _asked(self, address: str) -> None:
        parts = urlsplit(address)
        if parts.scheme in ("http", "https", "ws", "wss") and parts.hostname != HERE:
            self.elsewhere.append(address)

    def _said(self, message: ConsoleMessage) -> None:
        # An answer of 4xx that a test asks for is told on the console as well; it is no fault of the page.
        if message.type == "error" and "Failed to load resource" not in message.text:
            self.complaints.append(message.text)


@pytest.fixture
def window(server: Server, browser: Browser) -> Iterator[Callable[..., Page]]:
    """A function that opens a window at the server; at the end no window has asked elsewhere or met an error."""
    opened: list[tuple[BrowserContext, Watch]] = []

    def open_window(**how: object) -> Page:
        context = browser.new_context(base_url=server.address, **how)  # type: ignore[arg-type]
        context.set_default_timeout(15_000)
        opened.append((context, Watch(context)))
        return context.new_page()

    yield open_window
    for context, _ in opened:
        context.close()
    assert [watch.elsewhere for _, watch in opened if watch.elsewhere] == []
    assert [watch.complaints for _, watch in opened if watch.complaints] == []


@pytest.fixture(scope="session")
def tiny_workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tiny operation as a workbook file."""
    path = tmp_path_factory.mktemp("files") / "tiny.xlsx"
    path.write_bytes(operation_workbook(tiny_operation()))
    return path


def keep_plan(store: Path, plan: Plan) -> str:
    """Put a finished plan with its operation into a store, as planning would, and return the plan's job."""
    prepare(store)
    jobs, document = JobStore(store), plan.operation.model_dump_json()
    kept = OperationStore(store).keep(plan.operation.name, document, source="mine.json")
    job = jobs.add(JobAsked(operation_name=plan.operation.name, operation=document, seconds=1.0, seed=0, steps=None))
    # Stopped before any server sees it, so that none plans it.
    jobs.ask_to_stop(job.id, "cancel")
    jobs.keep_plan(job.id, plan.model_dump_json())
    OperationStore(store).link(Origin(job=job.id, operation=kept.id, operation_version=1))
    return job.id


def bring_in(page: Page, path: Path) -> str:
    """Bring a file in by the form of the first page and return the path of the operation's page."""
    page.goto("/")
    page.get_by_label("Workbook or JSON file").set_input_files(path)
    page.get_by_role("button", name="Bring it in").click()
    page.get_by_role("heading", level=1).wait_for()
    return urlsplit(page.url).path


def plan(page: Page, *, minutes: str) -> str:
    """Ask for a plan on an operation's page, wait for its end, and return the path of the plan's page."""
    page.get_by_label("Minutes to think").fill(minutes)
    page.get_by_role("button", name="Plan the season").click()
    page.get_by_role("link", name="Look at the plan").click(timeout=30_000)
    page.get_by_role("heading", level=1, name="Plan of").wait_for()
    return urlsplit(page.url).path


@pytest.fixture(scope="session")
def planned(server: Server, browser: Browser, tiny_workbook: Path) -> tuple[str, str]:
    """The tiny operation, brought in and planned in the browser: paths of the operation and of its plan."""
    context = browser.new_context(base_url=server.address)
    page = context.new_page()
    operation = bring_in(page, tiny_workbook)
    made = plan(page, minutes="0.05")
    context.close()
    return operation, made


@pytest.fixture(scope="session")
def broken_workbook(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tiny operation with a group in a yard that is not there, and a truck that carries 12 lb."""
    tiny = tiny_operation()
    lost = tiny.hive_groups[0].model_copy(update={"yard": "Nowhere yard"})
    weak = tiny.trucks[0].model_copy(update={"payload_lb": 12.0})
    broken = tiny.model_copy(update={"hive_groups": (lost, *tiny.hive_groups[1:]), "trucks": (weak,)})
    path = tmp_path_factory.mktemp("files") / "broken.xlsx"
    path.write_bytes(operation_workbook(broken))
    return path


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
        return httpx.post(self.address + path, headers=PHONE_FORM | {"origin": self.address}).status_code


@pytest.fixture(scope="session")
def yard_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Yard]:
    """One server for all tests of the driver's page; each has a plan of its own."""
    yard = Yard(tmp_path_factory.mktemp("yard") / "plans.sqlite")
    yield yard
    yard.server.end()


@pytest.fixture
def yard(yard_server: Yard) -> Yard:
    """The server with a fresh plan."""
    yard_server.job = keep_plan(yard_server.store, tiny_plan())
    return yard_server


@pytest.fixture
def phone(yard: Yard, browser: Browser) -> Iterator[Callable[..., Page]]:
    """A function that opens a telephone at the sheet, kept on it; at the end none has asked elsewhere or met an error."""
    opened: list[tuple[BrowserContext, Watch]] = []

    def open_phone(**how: Any) -> Page:
        context = browser.new_context(base_url=yard.address, viewport=PHONE_SIZE, color_scheme="dark", **how)  # type: ignore[arg-type]
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


def stop_at(page: Page, number: int) -> None:
    """Look at one stop, by the list of stops."""
    page.get_by_role("link", name="Stops", exact=True).click()
    page.locator(f"#stops a[href='#stop-{number}']").click()


def tap(page: Page, name: str) -> None:
    """Tap a button of the stop that is looked at."""
    page.locator("section:target").get_by_role("button", name=name, exact=True).click()


def all_sent(page: Page) -> None:
    """Wait until the telephone says that nothing waits on it."""
    expect(page.locator("#line")).to_have_text("All that you recorded has reached the server.", timeout=20_000)
