"""Sheets as HTML: one file each that needs nothing else, on a telephone or on letter paper."""

from collections.abc import Sequence
from functools import cache
from importlib import resources

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from api.files.pdf import with_qr
from routing.sheets.load_report import LoadReport
from routing.sheets.sheet_record import DropSheet, YardSheet


def drop_sheet_html(sheet: DropSheet) -> bytes:
    """Return the drop sheet of one truck-night as one HTML file, UTF-8."""
    return _render("drop_sheet.html.j2", sheet=with_qr(sheet))


def yard_sheets_html(sheets: Sequence[YardSheet]) -> bytes:
    """Return the yard sheets of one night as one HTML file, UTF-8; ``ValueError`` when there is none."""
    if not sheets:
        raise ValueError("No yard gives or takes hives on that night, so there is no yard sheet.")
    return _render("yard_sheet.html.j2", sheets=[with_qr(sheet) for sheet in sheets])


def load_sheets_html(sheets: Sequence[LoadReport]) -> bytes:
    """Return load sheets as one HTML file, UTF-8; ``ValueError`` when there is none."""
    if not sheets:
        raise ValueError("Nothing rides, so there is no load sheet.")
    return _render("load_sheet.html.j2", sheets=[sheet.model_dump(mode="json") for sheet in sheets])


def drawing(svg: str) -> Markup:
    """Return one of our own figures for inline use: HTML needs no namespace address.

    The figures escape every name put into them, so that they may pass as they are.
    """
    return Markup(svg.replace(' xmlns="http://www.w3.org/2000/svg"', ""))


def _render(template: str, **values: object) -> bytes:
    css = Markup(resources.files("api.files").joinpath("sheet.css").read_text(encoding="utf-8"))
    return _pages().get_template(template).render(css=css, **values).encode("utf-8")


@cache
def _pages() -> Environment:
    pages = Environment(
        loader=PackageLoader("api", "files"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    pages.filters["drawing"] = drawing
    return pages
