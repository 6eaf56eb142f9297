"""The load sheet of a load typed in by hand, as the bytes of a file."""

from typing import Literal

from api.files.html import load_sheets_html
from api.files.pdf import load_sheets_pdf
from routing.loads.document import LoadDocument
from routing.loads.typed import load_of, rig_of_document
from routing.sheets.load_report import load_report

Format = Literal["pdf", "html"]
MEDIA_TYPES = {"pdf": "application/pdf", "html": "text/html; charset=utf-8"}


def typed_load_sheet(document: LoadDocument, format: Format) -> bytes:
    """Return the load sheet of a checked document."""
    sheet = load_report(load_of(document), rig_of_document(document))
    return load_sheets_pdf([sheet]) if format == "pdf" else load_sheets_html([sheet])
