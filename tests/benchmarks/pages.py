"""Pages of the demo's plan: time to answer, what a first load weighs, and 50 telephones that post at once."""

import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx

from tests.benchmarks._phones import all_at_once
from tests.benchmarks._record import Record

ROOT = Path(__file__).parents[2]
PLAN_SECONDS = 40.0
ASKED_TIMES = 15
ORCHARD = ("/orchards/0", "/orchards/0/bees")
PAGES = ("", "/season", "/nights", "/loads/0", "/orchards", *ORCHARD, "/checks", "/odds", "/change", "/sheets")
FROM_THE_STYLE = ("/look/letters-regular.ttf", "/look/letters-bold.ttf", "/look/mark.svg")
OPERATION_PAGES = ("", "/land", "/quote")
PHONES = 50


def rows() -> list[Record]:
    """Return a row for each page, then one for all of them together."""
    with tempfile.TemporaryDirectory() as folder, _serving(Path(folder, "plans.sqlite")) as address:
        headers = {"accept": "text/html", "origin": address}
        with httpx.Client(base_url=address, headers=headers, timeout=60.0) as caller:
            operation = caller.post("/bring-in-demo").headers["location"]
            plan = caller.post(f"{operation}/plan", data={"minutes": str(PLAN_SECONDS / 60)}).headers["location"]
            while "data-ended" not in caller.get(f"{plan}/now").text:
                time.sleep(0.5)
            night = re.search(rf"{plan}(/nights/[\d-]+)", caller.get(f"{plan}/nights").text)
            assert night, "the plan has no night out"
            found = [_row(caller, "operation", operation + one) for one in OPERATION_PAGES]
            found += [_row(caller, "plan", plan + one) for one in (*PAGES, night[1])]
            together = _all(found)
            sheet = re.search(r"/drive/\w+/[\w-]+", caller.get(plan + night[1]).text)
            assert sheet, "the night has no driver's page"
            found += [_row(caller, "driver", one) for one in ("/drive", sheet[0].rpartition("/")[0], sheet[0])]
            return [*found, together, _phones(address, sheet[0])]


def _phones(address: str, sheet: str) -> Record:
    sent = all_at_once(address, sheet, phones=PHONES)
    return {
        "benchmark": "pages",
        "page": f"{PHONES} telephones at once",
        "of": "driver",
        "median_ms": sent.median_ms,
        "slowest_ms": sent.slowest_ms,
        "sent": sent.sent,
        "lost": sent.lost,
        "doubled": sent.doubled,
        "out_of_order": sent.out_of_order,
        "answered_otherwise": sent.answered_otherwise,
        "posts": sent.requests,
        "seconds": sent.seconds,
    }


def _row(caller: httpx.Client, kind: str, address: str) -> Record:
    times = []
    for _ in range(ASKED_TIMES):
        begun = time.perf_counter()
        answer = caller.get(address)
        times.append((time.perf_counter() - begun) * 1000)
        answer.raise_for_status()
    shown = re.sub(r"/[0-9a-f]{16,32}", "/...", address)
    return {
        "benchmark": "pages",
        "page": shown,
        "of": kind,
        "median_ms": statistics.median(times),
        "slowest_ms": max(times),
        "page_kb": len(answer.content) / 1000,
        "first_load_kb": _first_load_bytes(caller, address, answer.text) / 1000,
    }


def _first_load_bytes(caller: httpx.Client, address: str, text: str) -> int:
    """Return what comes over the line for a page and all that dresses it, the map left out. [bytes]"""
    dressed = {*re.findall(r'(?:src|href)="(/look/[^"]+)"', text), *FROM_THE_STYLE}
    without_map = [one for one in dressed if "leaflet" not in one and "map.js" not in one]
    return sum(_sent_bytes(caller, one) for one in (address, *without_map))


def _sent_bytes(caller: httpx.Client, address: str) -> int:
    with caller.stream("GET", address, headers={"accept-encoding": "gzip"}) as answer:
        return sum(len(part) for part in answer.iter_raw())


def _all(found: list[Record]) -> Record:
    def figures(name: str) -> list[float]:
        return [float(one[name] or 0.0) for one in found]

    return {
        "benchmark": "pages",
        "page": "all",
        "of": "",
        "median_ms": statistics.median(figures("median_ms")),
        "slowest_ms": max(figures("slowest_ms")),
        "page_kb": max(figures("page_kb")),
        "first_load_kb": max(figures("first_load_kb")),
    }


@contextmanager
def _serving(store: Path) -> Iterator[str]:
    command = [sys.executable, "-m", "api.cli", "serve", "--port", "0", "--no-browser", "--store", str(store)]
    server = subprocess.Popen(command, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    assert server.stderr is not None
    try:
        found = re.search(r"http://127\.0\.0\.1:\d+", server.stderr.readline())
        assert found, "the server did not start"
        yield found[0]
    finally:
        server.terminate()
        server.wait(60)
        server.stderr.close()
