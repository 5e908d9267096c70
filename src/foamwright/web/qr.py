"""QR codes as pictures that a page can hold."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QrPicture:
    """A QR code as one path of unit squares, `size` modules wide with its quiet zone."""

    size: int
    path: str


def qr_picture(text: str) -> QrPicture:
    """Return the QR code of a text, with a quiet zone of four modules as ISO/IEC 18004 asks."""
    import segno

    code = segno.make(text, error="m", micro=False)
    rows = list(code.matrix_iter(scale=1, border=4))
    squares = [f"M{x} {y}h1v1h-1z" for y, row in enumerate(rows) for x, dark in enumerate(row) if dark]
    return QrPicture(len(rows), "".join(squares))
