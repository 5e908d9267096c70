"""Size: widths and thicknesses that hardly any board has; a slip, or a brief that asks too much."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH

WIDTHS = (15 * INCH, 25 * INCH)
"""Between which a board is wide. Common practice, no source."""

THIN, THICK, THICK_LONG = 1.5 * INCH, 4 * INCH, 5 * INCH
"""Between which a board is thick; the last where it is long. Common practice, no source."""

LONG = 120 * INCH
"""From this length on a board is long, and may be thicker. Common practice, no source."""

WORDS = {
    "width-excess": ("width-excess", "The board is {size} wide; hardly any board is more than {limit}."),
    "width-low": ("width-low", "The board is {size} wide; hardly any board is less than {limit}."),
    "thickness-excess": (
        "thickness-excess",
        "The board is {size} thick; hardly any board of its length is more than {limit}.",
    ),
    "thickness-low": ("thickness-low", "The board is {size} thick; hardly any board is less than {limit}."),
}
REMEDIES = {
    "width-excess": (
        "width-excess.remedy",
        "Check the number; a longer board carries as much.",
    ),
    "width-low": ("width-low.remedy", "Check the number; a shorter or thinner board can be wider."),
    "thickness-excess": (
        "thickness-excess.remedy",
        "Check the number; a longer or wider board carries as much, and blanks are seldom so thick.",
    ),
    "thickness-low": (
        "thickness-low.remedy",
        "Check the number; a narrower board can be thicker.",
    ),
}


def check_width(board: Board, places: Places) -> Finding | None:
    """Return whether the board is far wider or narrower than usual."""
    return _outside("width", board.numbers.wide, WIDTHS, (board.outline.wide_at, places))


def check_thickness(board: Board, places: Places) -> Finding | None:
    """Return whether the board is far thicker or thinner than usual."""
    most = THICK_LONG if board.length >= LONG else THICK
    return _outside("thickness", board.numbers.thickest, (THIN, most), (board.thickest_at, places))


def _outside(
    name: str, size: float, usual: tuple[float, float], there: tuple[float, Places]
) -> Finding | None:
    if usual[0] - 1e-6 <= size <= usual[1] + 1e-6:
        return None
    much, (at, places) = size > usual[1], there
    code, limit = (f"{name}-excess", usual[1]) if much else (f"{name}-low", usual[0])
    return Finding(
        code,
        Severity.WARNING if much else Severity.NOTE,
        places.at(at),
        size,
        limit,
        "m",
        said(*WORDS[code], size=places.amount(size), limit=places.amount(limit)),
        said(*REMEDIES[code]),
    )
