"""Remake the pictures and the printed words of the README: ``python -m tests.pictures [PLAN]``.

PLAN is the ``plan.json`` of a planning run; left out, the demo is planned for a minute. All that the README shows
comes from that one plan. The telephone's page needs Debian's chromium on the machine.
"""

import argparse
import io
import shutil
import subprocess
import tempfile
import textwrap
from collections.abc import Callable, Sequence
from pathlib import Path

import pypdf
from PIL import Image

from api.files.html import drop_sheet_html
from api.files.message import messages
from api.files.pdf import drop_sheet_pages, drop_sheet_pdf, figure_png, yard_sheets_pages
from fixtures.demo import demo_operation
from routing.nights.tour import TruckNight
from routing.plan import make_plan
from routing.plan_record import Plan
from routing.sheets.drop_sheet import drop_sheet
from routing.sheets.sheet_record import DropSheet
from routing.sheets.summary import summary_lines
from routing.sheets.yard_sheet import yard_nights, yard_sheets

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "fixtures" / "pictures"
README = ROOT / "README.md"
MOST_BYTES, MOST_BYTES_TOGETHER = 120_000, 700_000
GREYS = 8
TELEPHONE = "telephone.png"
PAGE_DPI, FIGURE_DPI, OVER = 84, 100, 3
"""Pages are drawn ``OVER`` times as fine and made smaller: letters come out whole."""
LINE = 116


def main(arguments: Sequence[str] | None = None) -> int:
    """Write the pictures and the README's blocks; return 0 when all of them are written."""
    parser = argparse.ArgumentParser(prog="python -m tests.pictures", description=__doc__)
    parser.add_argument("plan", nargs="?", type=Path, help="plan.json of a planning run; left out, plans the demo")
    asked = parser.parse_args(arguments)
    plan = _plan(asked.plan)
    sheet = drop_sheet(plan, showing(plan).id)
    FOLDER.mkdir(exist_ok=True)
    for name, make in pictures(plan, sheet).items():
        (FOLDER / name).write_bytes(small(make(), over=1 if name == TELEPHONE else OVER))
        print(f"{name}: {(FOLDER / name).stat().st_size:,} bytes")
    text = README.read_text(encoding="utf-8")
    text = with_block(text, "summary", summary(plan))
    README.write_text(with_block(text, "message", list(messages(sheet))[:1]), encoding="utf-8")
    print(f"Shown: {sheet.id}. README's blocks are written.")
    return 0


def _plan(file: Path | None) -> Plan:
    if file is not None:
        return Plan.model_validate_json(file.read_text(encoding="utf-8"))
    return make_plan(demo_operation(), seed=0, seconds=60.0)


def showing(plan: Plan) -> TruckNight:
    """Return the truck-night that shows most: both kinds of work at orchards, then most stops and hives."""
    return max(plan.truck_nights, key=_shows)


def _shows(night: TruckNight) -> tuple[bool, int, int]:
    working = [stop for stop in night.stops if stop.picked_up or stop.set_down]
    hives = sum(lot.hives for stop in working for lot in stop.picked_up)
    return any(stop.kind == "orchard" and stop.set_down for stop in working), len(working), hives


def pictures(plan: Plan, sheet: DropSheet) -> dict[str, Callable[[], bytes]]:
    """Return how each picture is made, by its file name."""
    pages = drop_sheet_pages(sheet, dots_per_inch=OVER * PAGE_DPI)
    texts = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(drop_sheet_pdf(sheet))).pages]
    stop = next(stop for stop in sheet.stops if stop.kind == "orchard" and stop.set_down)
    begins = next(at for at, text in enumerate(texts) if all(part in text for part in ("ARRIVE", stop.place, stop.doing_words)))
    load = max(sheet.loads, key=lambda one: one.hives)
    night = max(yard_nights(plan), key=lambda one: len(yard_sheets(plan, one)[0].tasks))
    return {
        "drop-sheet.png": lambda: pages[0],
        "stop.png": lambda: pages[begins],
        "deck-plan.png": lambda: figure_png(load.figure_svg, dots_per_inch=OVER * FIGURE_DPI),
        "moves.png": lambda: figure_png(sheet.map_svg, dots_per_inch=OVER * FIGURE_DPI),
        "yard-sheet.png": lambda: yard_sheets_pages(yard_sheets(plan, night)[:1], dots_per_inch=OVER * PAGE_DPI)[0],
        TELEPHONE: lambda: on_telephone(sheet),
    }


def on_telephone(sheet: DropSheet) -> bytes:
    """Return the top of the HTML sheet as a narrow screen shows it.

    Raises
    ------
    FileNotFoundError
        If chromium is not on the machine.
    """
    browser = shutil.which("chromium")
    if browser is None:
        raise FileNotFoundError("chromium is not on this machine; on Debian: apt-get install chromium")
    with tempfile.TemporaryDirectory() as folder:
        page, picture = Path(folder, "sheet.html"), Path(folder, "sheet.png")
        page.write_bytes(drop_sheet_html(sheet))
        look = ["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=500,900"]
        subprocess.run(
            [browser, *look, f"--screenshot={picture}", page.as_uri()], check=True, capture_output=True, timeout=120
        )
        return picture.read_bytes()


def small(picture: bytes, *, over: int = 1) -> bytes:
    """Return a PNG ``over`` times smaller each way, in a few greys; ``ValueError`` when it is still too large."""
    grey = Image.open(io.BytesIO(picture)).convert("L").reduce(over)
    step = 255 / (GREYS - 1)
    few = grey.point([round(round(value / step) * step) for value in range(256)])
    out = io.BytesIO()
    few.quantize(GREYS).save(out, "PNG", optimize=True)
    if len(out.getvalue()) > MOST_BYTES:
        raise ValueError(f"A picture has {len(out.getvalue()):,} bytes, over {MOST_BYTES:,}: make it smaller.")
    return out.getvalue()


def summary(plan: Plan) -> list[str]:
    """Return the summary as the screen shows it, up to the nights, long lines wrapped."""
    lines = summary_lines(plan)
    told = lines[: lines.index("Nights:")]
    wrapped: list[str] = []
    for line in told:
        inner = line[: len(line) - len(line.lstrip())]
        wrapped += textwrap.wrap(line, LINE, subsequent_indent=inner + "    ") or [""]
    return wrapped


def with_block(text: str, name: str, lines: Sequence[str]) -> str:
    """Return ``text`` with the lines between the marks of block ``name``, as they were printed.

    Raises
    ------
    ValueError
        If the text has not both marks once.
    """
    begin, end = f"<!-- {name} -->\n", f"<!-- end of {name} -->"
    if text.count(begin) != 1 or text.count(end) != 1:
        raise ValueError(f"The README has not one block called {name}.")
    before, rest = text.split(begin)
    body = "\n".join(lines).rstrip()
    return f"{before}{begin}```text\n{body}\n```\n{end}{rest.split(end)[1]}"


if __name__ == "__main__":
    raise SystemExit(main())
