"""A board as it stands on the workbench: perhaps not saved, perhaps not even possible."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from foamwright.board.board import Board
from foamwright.errors import InputError, Problem
from foamwright.jobs.check import Checked
from foamwright.jobs.live_planning import Wanted, checked_board, solid_board
from foamwright.sheets.declared import Key
from foamwright.sheets.unfair import Unfair
from foamwright.units import INCH, parse_length
from foamwright.web.planning.numerals import Bench
from foamwright.web.planning.places import with_unit
from foamwright.web.planning.rows import way_of
from foamwright.web.planning.sheet_text import changed_text
from foamwright.web.rendering import Reader

BEYOND = 0.05e-3
"""Metres by which a number goes past the fair one: the moves too small to be told are in the way else."""

MOST_TRIES = 8
"""Rounds in which the nearest fair board is sought: what is too small to be told may be left."""


@dataclass(frozen=True)
class Draft:
    """A board as it stands on the workbench.

    Attributes
    ----------
    stored
        The sheet that it began from.
    sheet
        The sheet as it stands.
    reader
        How the visitor reads.
    bay
        Text of the bay sheet that it is planned with; empty: the usual bay.
    """

    stored: str
    sheet: str
    reader: Reader
    bay: str = ""

    @property
    def wanted(self) -> Wanted:
        """The board, as the live functions are asked for it."""
        return Wanted(self.sheet, self.reader.lengths, self.bay)

    @property
    def is_changed(self) -> bool:
        """Whether it differs from what is stored."""
        return self.sheet != self.stored

    @cached_property
    def _solid(self) -> tuple[Board | None, Sequence[Problem]]:
        try:
            return solid_board(self.wanted), ()
        except InputError as wrong:
            return None, wrong.problems

    @property
    def board(self) -> Board | None:
        """The board; ``None`` while its numbers make none."""
        return self._solid[0]

    @cached_property
    def _checked(self) -> tuple[Checked | None, Sequence[Problem]]:
        if self.board is None:
            return None, self._solid[1]
        try:
            return checked_board(self.wanted), ()
        except InputError as wrong:
            return None, wrong.problems

    @property
    def checked(self) -> Checked | None:
        """The board in numbers; ``None`` while they cannot stand."""
        return self._checked[0]

    @property
    def problems(self) -> Sequence[Problem]:
        """Why they cannot."""
        return self._checked[1]

    @cached_property
    def nearest(self) -> Board | None:
        """The nearest fair board to numbers that no fair curve takes, to be drawn in their stead."""
        sheet, problems = self.sheet, self._solid[1]
        for tries in range(MOST_TRIES):
            moves = [one for one in problems if isinstance(one, Unfair)]
            if not moves or len(moves) < len(problems):
                return None
            sheet = changed_text(sheet, {(one.table, one.place): _exact(one, tries) for one in moves})
            try:
                return solid_board(Wanted(sheet, self.reader.lengths, self.bay))
            except InputError as wrong:
                problems = wrong.problems
        return None

    @cached_property
    def bench(self) -> Bench:
        """Its numbers as stops."""
        board = self.board or self.nearest
        return Bench(self.sheet, self.reader, self.board, board.length if board else _length(self))


def draft_of(stored: str, typed: Mapping[str, str], reader: Reader, bay: str, sheet: str = "") -> Draft:
    """Return the draft of a stored sheet, changed by what was typed.

    Parameters
    ----------
    stored
        The sheet as it is stored.
    typed
        Texts by the names of rows.
    reader
        How the visitor reads.
    bay
        Text of the bay sheet; empty: the usual bay.
    sheet
        The sheet as it stands on the workbench; empty: as it is stored.
    """
    draft = Draft(stored, sheet or stored, reader, bay)
    changes = _changes_of(draft.bench, typed) if typed and draft.bench.tree else {}
    return Draft(stored, changed_text(draft.sheet, changes), reader, bay) if changes else draft


def _exact(move: Unfair, tries: int) -> str:
    """What a number has to be: the fair one, and a little beyond it the more often it was not enough."""
    beyond = math.copysign(BEYOND * tries, move.amount_m)
    return f"{round((move.fair_m + beyond) * 1e3, 4)} mm"


def _length(draft: Draft) -> float:
    """The length that a sheet names, where it can be read; else that of no board in particular."""
    try:
        bench = Bench(draft.sheet, draft.reader, None, 72 * INCH)
        return parse_length(bench.tree["length"], bench.unit)
    except (InputError, KeyError, ValueError):
        return 72 * INCH


def _changes_of(bench: Bench, typed: Mapping[str, str]) -> dict[tuple[Key, ...], str]:
    """What was typed that differs from the sheet, by key; bare lengths in the visitor's unit."""
    changes: dict[tuple[Key, ...], str] = {}
    for name, text in typed.items():
        numeral = bench.numeral(name)
        same = numeral is None or text.strip() == numeral.text.strip()
        if same or numeral is None or (numeral.is_fair and not text.strip()):
            continue
        is_length = numeral.kind == "length"
        changes[way_of(name)] = with_unit(text, bench.reader, bench.unit) if is_length else text.strip()
    return changes
