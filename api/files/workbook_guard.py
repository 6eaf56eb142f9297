"""What a file must be before it is read as a workbook: an .xlsx, without macros, of a sane size."""

import io
import zipfile
import zlib

from routing.errors import OperationError
from routing.inputs.faults import Fault

MOST_PACKED_BYTES = 50_000_000
MOST_UNPACKED_BYTES = 200_000_000
MOST_PARTS = 2_000
MOST_RATIO = 100
"""Unpacked to packed, of parts over a megabyte; real sheets stay under 40."""
LARGE_PART_BYTES = 1_000_000
PROLOGUE_BYTES = 65_536

A_WORKBOOK = "a workbook saved as .xlsx"
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"


def guard(content: bytes, file_name: str) -> None:
    """Refuse what is no workbook, or one that could do harm.

    Raises
    ------
    OperationError
        With the one reason that came first; nothing of the file has been read then.
    """
    found, allowed = _trouble(content)
    if found:
        raise OperationError((Fault(file=file_name, found=found, allowed=allowed),))


def _trouble(content: bytes) -> tuple[str, str]:
    if not content:
        return "an empty file", A_WORKBOOK
    if content.startswith(_OLD_WORKBOOK):
        return "an old or password-protected workbook", f"{A_WORKBOOK}, without a password"
    if len(content) > MOST_PACKED_BYTES:
        return f"{len(content):,} bytes", f"at most {MOST_PACKED_BYTES:,}"
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return _archive_trouble(archive)
    except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, NotImplementedError):
        cut = content.startswith(b"PK")
        return "a workbook that is cut short or damaged" if cut else "a file of another kind", A_WORKBOOK


def _archive_trouble(archive: zipfile.ZipFile) -> tuple[str, str]:
    parts = archive.infolist()
    names = {part.filename.lower() for part in parts}
    unpacked = sum(part.file_size for part in parts)
    if len(parts) > MOST_PARTS:
        return f"{len(parts):,} parts inside the file", f"at most {MOST_PARTS:,}"
    if unpacked > MOST_UNPACKED_BYTES:
        return f"{unpacked:,} bytes when unpacked", f"at most {MOST_UNPACKED_BYTES:,}"
    if any(part.file_size > max(LARGE_PART_BYTES, MOST_RATIO * part.compress_size) for part in parts):
        return "a part that unpacks to more than a hundred times its size", A_WORKBOOK
    if any(part.flag_bits & 1 for part in parts):
        return "a workbook with a password", f"{A_WORKBOOK}, without a password"
    if any("vbaproject" in name or "macrosheets/" in name for name in names):
        return "a workbook with macros", f"{A_WORKBOOK}, without macros"
    if "[content_types].xml" not in names or "xl/workbook.xml" not in names:
        return "an archive that is no workbook", A_WORKBOOK
    if any(
        _has_doctype(archive, part) for part in parts if part.filename.lower().endswith((".xml", ".rels"))
    ):
        return "a workbook with a document type of its own", A_WORKBOOK
    return "", ""


def _has_doctype(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    # A document type can only stand ahead of the first element; it is how XML bombs are built.
    with archive.open(part) as stream:
        return b"<!DOCTYPE" in stream.read(PROLOGUE_BYTES).replace(b"\x00", b"")
