"""Where a wanted blank's profile comes from: its own numbers, a stock sheet, or a board it is cut for."""

from __future__ import annotations

import math
from pathlib import Path as FilePath
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.numbers import BlankNumbers, Foam, Section, Stringer
from foamwright.blank.sheet import read_stock
from foamwright.blank.written import StringerTable
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.making.closecut import CutAllowances, close_cut
from foamwright.making.nest.order import Piece
from foamwright.making.nest.profiles import Profile
from foamwright.making.nest.written import OrderSheet, WantedTable
from foamwright.shape.curves import Floats
from foamwright.sheets.fields import did_you_mean
from foamwright.sheets.locate import Path
from foamwright.sheets.opening import OpenSheet
from foamwright.stations import Mark
from foamwright.units import quoted

Opened = OpenSheet[OrderSheet]

ROWS = 0.002
"""Metres between the stations of a piece's profile; fair curves bend less than 1e-6 m between them."""

EXAMPLES = {
    "length": 'length = "6\'8\\""',
    "width": "width = 22",
    "rocker": "[blank.rocker]",
    "thickness": 'thickness = "2 3/4"',
    "foam": 'foam = "eps 20 kg/m3"',
    "stringer": 'stringer = "none"',
}


class Sided(Protocol):
    """What has a side view."""

    @property
    def length(self) -> float: ...  # noqa: D102
    def bottom(self, x: ArrayLike) -> Floats: ...  # noqa: D102
    def deck(self, x: ArrayLike) -> Floats: ...  # noqa: D102


def profile_of(side: Sided) -> Profile:
    """Return a blank's profile."""
    x = np.linspace(0.0, side.length, max(3, math.ceil(side.length / ROWS) + 1))
    low, high = side.bottom(x), side.deck(x)
    floor = float(np.min(low))
    return Profile(x, low - floor, high - floor)


def pieces_of(side: Sided, numbers: BlankNumbers, count: int) -> tuple[Piece, ...]:
    """Return the pieces of a square blank: itself, or halves if it has a stringer."""
    width = max([mark.value for mark in numbers.outline] + [numbers.wide or 0.0])
    made_of = (numbers.foam, numbers.stringer)
    return _pieces(numbers.id, profile_of(side), width, made_of, count)


def _pieces(
    name: str, profile: Profile, width: float, made_of: tuple[Foam, Stringer], count: int
) -> tuple[Piece, ...]:
    foam, stringer = made_of
    if stringer.width > 0.0:
        half = (width - stringer.width) / 2.0
        return (Piece(name, profile, half, foam, 2 * count, True),)
    return (Piece(name, profile, width, foam, count),)


def from_stock(sheet: Opened, path: Path, file: FilePath) -> BlankNumbers | None:
    """Return the numbers of a blank in a stock sheet.

    Raises
    ------
    InputError
        The stock sheet cannot stand.
    """
    written = _entry(sheet, path)
    _refuse(sheet, path, ("board", "length", "width", "rocker", "thickness", "stringer", "foam"), "stock")
    found = {blank.id: blank for blank in read_stock(file)}
    if written.id not in found:
        what = f"{file.name} has no blank {quoted(written.id)}."
        sheet.problems.note((*path, "id"), what, did_you_mean(written.id, list(found)))
        return None
    if found[written.id].section is Section.DOMED:
        what = f"{quoted(written.id)} is domed: it is moulded, not cut from a block."
        sheet.problems.note((*path, "id"), what, "Order a square blank.")
        return None
    return found[written.id]


def cut_for_board(sheet: Opened, path: Path, file: FilePath) -> tuple[Piece, ...]:
    """Return the pieces of a close-cut blank for a board.

    Raises
    ------
    InputError
        The board sheet or the allowances cannot stand.
    """
    written = _entry(sheet, path)
    _refuse(sheet, path, ("length", "width", "rocker", "thickness"), "board")
    _need(sheet, path, ("foam", "stringer"))
    board = board_of(read_board(file))
    if written.foam is None or written.stringer is None:
        return ()
    stringer = _stringer(sheet, path, written.stringer)
    cut = close_cut(board, written.foam, stringer, _allowances(written))
    return _pieces(written.id, profile_of(cut), cut.width, (written.foam, stringer), written.count)


def _allowances(written: WantedTable) -> CutAllowances:
    usual = CutAllowances()
    given = {name: getattr(written.allowances, name) for name in CutAllowances.__slots__}
    return CutAllowances(**{k: getattr(usual, k) if v is None else v for k, v in given.items()})


def own_numbers(sheet: Opened, path: Path) -> BlankNumbers | None:
    """Return the numbers that an entry gives itself; ``None`` where some are missing or cannot be read."""
    written = _entry(sheet, path)
    _need(sheet, path, ("length", "width", "rocker", "thickness", "foam", "stringer"))
    if (
        written.length is None
        or written.width is None
        or written.rocker is None
        or written.thickness is None
        or written.foam is None
        or written.stringer is None
    ):
        return None
    numbers = _numbers(sheet, path, written)
    return numbers if numbers is not None and _sound(numbers) else None


def _numbers(sheet: Opened, path: Path, written: WantedTable) -> BlankNumbers | None:
    assert written.rocker is not None
    assert written.thickness is not None
    assert written.foam is not None
    assert written.length is not None
    assert written.width is not None
    assert written.stringer is not None
    length, table = written.length, written.thickness
    keys = type(written.rocker).model_fields, type(table).model_fields
    rocker = sheet.marks((*path, "rocker"), written.rocker.stations, length, keys[0])
    thickness = (
        _same(table.everywhere, length)
        if table.everywhere is not None
        else sheet.marks((*path, "thickness"), table.stations, length, keys[1])
    )
    if not {0.0, length} <= {mark.x for mark in thickness}:
        if not sheet.problems.noted((*path, "thickness")) and not math.isnan(length):
            what = "The thickness does not say nose and tail."
            sheet.problems.note((*path, "thickness"), what, "Give one thickness, or nose and tail too.")
        return None
    return BlankNumbers(
        id=written.id,
        foam=written.foam,
        section=Section.SQUARE,
        length=length,
        outline=_same(written.width, length),
        wide=None,
        wide_at=None,
        rocker=rocker,
        thickness=thickness,
        dome=(),
        stringer=_stringer(sheet, path, written.stringer),
        price=0.0,
        currency="EUR",
        on_hand=0,
        lead_time_days=0.0,
        hard_face=None,
        hard_most=0.0,
        skim_bottom=0.0,
        skim_deck=0.0,
    )


def _same(value: float, length: float) -> tuple[Mark, ...]:
    return (Mark(0.0, value, "tail"), Mark(length, value, "nose"))


def _sound(numbers: BlankNumbers) -> bool:
    """Whether every number could be read: a hole is nan."""
    values = [m.x + m.value for m in (*numbers.rocker, *numbers.thickness, *numbers.outline)]
    return all(math.isfinite(v) for v in (*values, numbers.length, numbers.foam.density))


def _stringer(sheet: Opened, path: Path, table: StringerTable) -> Stringer:
    none = table.wood.strip().casefold() == "none"
    if not none and table.width is None and not sheet.problems.noted((*path, "stringer")):
        what = "The stringer's width is missing."
        sheet.problems.note((*path, "stringer"), what, 'Add width = "1/8", or say stringer = "none".')
    return Stringer("none" if none else table.wood, 0.0 if none else table.width or 0.0)


def _need(sheet: Opened, path: Path, keys: tuple[str, ...]) -> None:
    for key in keys:
        if getattr(_entry(sheet, path), key) is None and not sheet.problems.noted((*path, key)):
            sheet.problems.note(path, f"“{key}” is missing.", f"Add {EXAMPLES[key]}.")


def _refuse(sheet: Opened, path: Path, keys: tuple[str, ...], by: str) -> None:
    for key in keys:
        if getattr(_entry(sheet, path), key) is not None:
            what = f"“{key}” stands beside “{by}”, which says it already."
            sheet.problems.note((*path, key), what, "Keep one of them.")


def _entry(sheet: Opened, path: Path) -> WantedTable:
    return sheet.written.blank[int(path[1])]
