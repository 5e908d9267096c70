"""Tips: thick enough to survive the shaping, the glassing and the beach."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import TIP, Places
from foamwright.board.numbers import TailKind
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH

NOSE_TIP = INCH / 2
"""Thinnest nose tip. Common practice, no source."""

TAIL_TIP = 5 * INCH / 8
"""Thinnest tail tip (3/4 in for small waves). Common practice, no source."""

LEAST_TIP = INCH / 8
"""A tip thinner than this cannot be shaped at all. Common practice, no source."""

LEAST_GLASSED = 3 * INCH / 8
"""Tips of a swallow, glassed on all sides, that are thinner than this cannot be glassed. Common practice, no
source."""

IN_FROM_TIP = INCH / 2
"""A beak is read so far in from its tip: it is rounded over at the tip itself. Common practice, no source."""

BEHIND_TIP = 5 * INCH / 8
"""Thinnest beak there. Common practice, no source."""

ROUNDING = 1e-6
"""Numbers given as the limit itself pass."""


HOPELESS = ("tip-thin.stop", "The {tip} is {thickness} thick; no foam can be shaped to that.")
UNGLASSED = ("tip-thin.swallow-stop", "{tip} is {thickness} thick; under {least} it cannot be glassed.")
THIN = ("tip-thin", "The {tip} is {thickness} thick; under {limit} it breaks easily.")
THIN_SWALLOW = ("tip-thin.swallow", "{tip} is {thickness} thick; under {limit} it breaks easily.")
THIN_BEAK = (
    "tip-thin.beak",
    "The beak is {thickness} thick {inside} back from its tip; under {limit} it breaks easily.",
)


def check_tips(board: Board, places: Places) -> list[Finding]:
    """Return what is wrong with the thickness of the tips."""
    nose = _beak(board, places) if board.numbers.beak else _end("nose", board, board.length, places)
    swallow = board.numbers.tail.kind is TailKind.SWALLOW
    tail = _swallow(board, places) if swallow else _end("tail", board, 0.0, places)
    return [finding for finding in (nose, tail) if finding is not None]


def _end(end: str, board: Board, x: float, places: Places) -> Finding | None:
    limit, thickness = {"nose": NOSE_TIP, "tail": TAIL_TIP}[end], float(board.thickness(x))
    if thickness >= limit - ROUNDING:
        return None
    stop = thickness < LEAST_TIP
    tip, thick, least = said(*TIP[end]), places.amount(thickness), places.amount(limit)
    sentence = said(*(HOPELESS if stop else THIN), tip=tip, thickness=thick, limit=least)
    return _thin(tip, (thickness, limit), sentence, _thicker(tip, least), stop=stop)


def _thicker(tip: str, least: str) -> str:
    return said("tip-thin.remedy", "Give the {tip} {limit} or more.", tip=tip, limit=least)


def _beak(board: Board, places: Places) -> Finding | None:
    thickness = float(board.thickness(board.length - IN_FROM_TIP))
    if thickness >= BEHIND_TIP - ROUNDING:
        return None
    tip = said(*TIP["nose"])
    thick, least = places.amount(thickness), places.amount(BEHIND_TIP)
    sentence = said(*THIN_BEAK, thickness=thick, limit=least, inside=places.amount(IN_FROM_TIP))
    remedy = said("tip-thin.beak.remedy", "Give its tip more, or make the beak blunter (n) or shorter.")
    return _thin(tip, (thickness, BEHIND_TIP), sentence, remedy, stop=False)


def _swallow(board: Board, places: Places) -> Finding | None:
    """Foam in the middle of a swallow's tips: half an inch in, or what the sheet asks."""
    asked = board.numbers.tail_tip
    thickness = tip_foam(board) if asked is None else min(asked, tip_foam(board))
    if thickness >= TAIL_TIP - ROUNDING:
        return None
    stop = thickness < LEAST_GLASSED
    tip = said("place.tail-tips", "Each tail tip")
    thick, least = places.amount(thickness), places.amount(TAIL_TIP)
    sentence = said(
        *(UNGLASSED if stop else THIN_SWALLOW),
        tip=tip,
        thickness=thick,
        limit=least,
        least=places.amount(LEAST_GLASSED),
    )
    remedy = said(
        "tip-thin.swallow.remedy",
        "Write tail_tip = {limit} or more under [thickness], or make the tips wider.",
        limit=least,
    )
    return _thin(tip, (thickness, TAIL_TIP), sentence, remedy, stop=stop)


def tip_foam(board: Board) -> float:
    """Return the foam in a notched tail's tip, metres: in its middle, half an inch in from its end."""
    x = np.array([board.outline.start + IN_FROM_TIP])
    outer, inner = board.half_width(x), board.inner(x)
    middle = ((outer + inner) / 2.0)[:, None]
    return float((board.deck(x, middle) - board.bottom(x, middle))[0, 0])


def _thin(tip: str, reading: tuple[float, float], sentence: str, remedy: str, *, stop: bool) -> Finding:
    severity = Severity.STOP if stop else Severity.WARNING
    return Finding("tip-thin", severity, tip, reading[0], reading[1], "m", sentence, remedy)
