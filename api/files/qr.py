"""QR code of a geo URI, as SVG. ISO/IEC 18004 (from memory), by segno."""

import io

import segno


def qr_svg(content: str) -> str:
    """Return the QR code of ``content`` and its quiet zone; error correction M at least: paper gets dirty."""
    out = io.BytesIO()
    code = segno.make(content, error="m", micro=False)
    code.save(out, kind="svg", border=4, scale=4, xmldecl=False, light="white", dark="black", nl=False)
    return out.getvalue().decode("utf-8")
