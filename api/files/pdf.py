"""Sheets as PDF: letter paper, by typst, the same bytes on any machine.

Data goes in as JSON and only as text, so that no name can break the page. Fonts are the package's own carrier
and typst's embedded ones; those of the machine are ignored.
"""

import json
import re
import unicodedata
from collections.abc import Iterator, Sequence
from functools import cache
from importlib import resources
from typing import Any

import typst

from api.files.qr import qr_svg
from routing.sheets.load_report import LoadReport
from routing.sheets.sheet_record import DropSheet, YardSheet

FONT_PACKAGE = "fontpkg_atkinson_hyperlegible"
# Scripts that the fonts draw; a name in any other prints as empty boxes, and the sheet says so.
_SCRIPTS = ("LATIN", "GREEK", "CYRILLIC", "DIGIT")
_LONG_WORD = re.compile(r"\S{19,}")
_BREAK = "\u200b"
_UNDRAWN = "Some names here are in letters that this print cannot show: read them in the HTML page."


def drop_sheet_pdf(sheet: DropSheet) -> bytes:
    """Return the drop sheet of one truck-night as PDF."""
    return _pdf("drop_sheet.typ", _drop_sheet_data(sheet))


def drop_sheet_pages(sheet: DropSheet, *, dots_per_inch: float) -> tuple[bytes, ...]:
    """Return the pages of the drop sheet as PNG pictures. [1/in]"""
    return _pages("drop_sheet.typ", _drop_sheet_data(sheet), dots_per_inch)


def yard_sheets_pdf(sheets: Sequence[YardSheet]) -> bytes:
    """Return the yard sheets of one night as one PDF, each yard on a page of its own.

    Raises
    ------
    ValueError
        If there is no sheet.
    """
    return _pdf("yard_sheet.typ", _yard_sheets_data(sheets))


def yard_sheets_pages(sheets: Sequence[YardSheet], *, dots_per_inch: float) -> tuple[bytes, ...]:
    """Return the pages of the yard sheets of one night as PNG pictures; ``ValueError`` without a sheet. [1/in]"""
    return _pages("yard_sheet.typ", _yard_sheets_data(sheets), dots_per_inch)


def load_sheets_pdf(sheets: Sequence[LoadReport]) -> bytes:
    """Return load sheets as one PDF, each load on one sheet of paper, front and back; ``ValueError`` when there is none."""
    return _pdf("load_sheet.typ", _load_sheets_data(sheets))


def load_sheets_pages(sheets: Sequence[LoadReport], *, dots_per_inch: float) -> tuple[bytes, ...]:
    """Return load sheets as PNG pictures, two pages a load; ``ValueError`` when there is none. [1/in]"""
    return _pages("load_sheet.typ", _load_sheets_data(sheets), dots_per_inch)


def figure_png(svg: str, *, dots_per_inch: float) -> bytes:
    """Return one of our own figures as a PNG picture, a drawing unit to a point. [1/in]"""
    source = '#set page(width: auto, height: auto, margin: 0pt)\n#image(bytes(sys.inputs.svg), format: "svg")'
    made = _compiler().compile(
        input=source.encode("utf-8"), format="png", ppi=dots_per_inch, sys_inputs={"svg": svg}
    )
    return _pictures(made)[0]


def _drop_sheet_data(sheet: DropSheet) -> dict[str, Any]:
    data = with_qr(sheet)
    data["problems"] += _undrawn(data)
    return {"sheet": data}


def _load_sheets_data(sheets: Sequence[LoadReport]) -> dict[str, Any]:
    if not sheets:
        raise ValueError("Nothing rides, so there is no load sheet.")
    pages = [sheet.model_dump(mode="json") for sheet in sheets]
    for page in pages:
        page["cautions"] += _undrawn(page)
    return {"sheets": pages}


def _yard_sheets_data(sheets: Sequence[YardSheet]) -> dict[str, Any]:
    if not sheets:
        raise ValueError("No yard gives or takes hives on that night, so there is no yard sheet.")
    pages = [with_qr(sheet) for sheet in sheets]
    for page in pages:
        page["cautions"] += _undrawn(page)
    return {"sheets": pages}


def with_qr(sheet: DropSheet | YardSheet) -> dict[str, Any]:
    """Return the sheet's rows as plain values, each place with the QR code of its geo URI in ``qr_svg``."""
    data = sheet.model_dump(mode="json")
    for place in data.get("stops", [data]):
        place["qr_svg"] = qr_svg(place["geo_uri"])
    return data


def _pdf(template: str, data: dict[str, Any]) -> bytes:
    page = _compiler().compile(format="pdf", timestamp=0, **_job(template, data))
    if not isinstance(page, bytes):
        raise TypeError("The typesetter gave no PDF.")
    return page


def _pages(template: str, data: dict[str, Any], dots_per_inch: float) -> tuple[bytes, ...]:
    return _pictures(_compiler().compile(format="png", ppi=dots_per_inch, **_job(template, data)))


def _pictures(made: object) -> tuple[bytes, ...]:
    # One page alone comes without its list.
    pages = made if isinstance(made, list) else [made]
    pictures = tuple(page for page in pages if isinstance(page, bytes))
    if not pictures or len(pictures) < len(pages):
        raise TypeError("The typesetter gave no pictures.")
    return pictures


def _job(template: str, data: dict[str, Any]) -> dict[str, Any]:
    source = _source("common.typ") + "\n" + _source(template)
    return {"input": source.encode("utf-8"), "sys_inputs": {"data": json.dumps(_breakable(data))}}


@cache
def _source(name: str) -> str:
    return resources.files("api.files").joinpath(name).read_text(encoding="utf-8")


@cache
def _compiler() -> typst.Compiler:
    folder = resources.files(FONT_PACKAGE).joinpath("files")
    fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=True, font_paths=[str(folder)])
    return typst.Compiler(font_paths=fonts, ignore_system_fonts=True)


def _breakable(value: Any) -> Any:
    # The typesetter breaks lines between words only, so a word longer than a column gets places to break.
    if isinstance(value, dict):
        return {
            name: part if name.endswith(("_svg", "_uri")) else _breakable(part)
            for name, part in value.items()
        }
    if isinstance(value, list):
        return [_breakable(part) for part in value]
    return _LONG_WORD.sub(lambda found: _BREAK.join(found[0]), value) if isinstance(value, str) else value


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for name, part in value.items():
            if not name.endswith("_svg"):
                yield from _texts(part)
    elif isinstance(value, list):
        for part in value:
            yield from _texts(part)


def _undrawn(data: dict[str, Any]) -> list[str]:
    return [] if all(_drawn(text) for text in _texts(data)) else [_UNDRAWN]


def _drawn(text: str) -> bool:
    letters = (letter for letter in text if letter.isalpha())
    return all(unicodedata.name(letter, "").startswith(_SCRIPTS) for letter in letters)
