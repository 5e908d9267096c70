"""What is asked of a board and a rider in the water, as people write it beside the sheets."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, Problem, attempt
from foamwright.jobs.options import Limits, length_option, mass_option, number_option
from foamwright.jobs.water import BOARD_MASS, FloatJob, FloatWish, float_of, place_of
from foamwright.sheets.rider import read_rider
from foamwright.units import System, Unit
from foamwright.water.body_tables import Build

STEEPEST = Limits(-90.0, 90.0)
"""Degrees of trim between level and on end."""


@dataclass(frozen=True, slots=True)
class FloatAsked:
    """Options as they are written; `None` where not given.

    Attributes
    ----------
    board_mass
        A mass with its unit.
    nose_clear, trim, lie_at
        Where to lie: for a height of the nose, for degrees nose up, or at a station; one of them.
    build
        Whose proportions the rider has.
    """

    board_mass: str | None = None
    nose_clear: str | None = None
    trim: str | float | None = None
    lie_at: str | None = None
    build: Build = Build.BETWEEN

    def wish(self, system: System, length: float = math.nan) -> FloatWish:
        """Return what is asked for; `length` of the board in metres, ``nan`` where it could not be read.

        Raises
        ------
        InputError
            With every problem of every option.
        """
        problems = list(self._problems_together())
        unit = Unit(system.value)
        wish = FloatWish(
            attempt(problems, self._mass),
            attempt(problems, lambda: self._nose(unit)),
            attempt(problems, self._pitch),
            self.lie_at,
            self.build,
        )
        attempt(problems, lambda: self._require_station(length, unit))
        if problems:
            raise InputError(problems)
        return wish

    def _mass(self) -> float | None:
        return None if self.board_mass is None else mass_option(self.board_mass, "--board-mass", BOARD_MASS)

    def _nose(self, unit: Unit) -> float | None:
        return (
            None if self.nose_clear is None else length_option(self.nose_clear, "--nose-clear", default=unit)
        )

    def _pitch(self) -> float | None:
        if self.trim is None:
            return None
        return math.radians(number_option(self.trim, "--trim", "trim in degrees", STEEPEST))

    def _require_station(self, length: float, unit: Unit) -> None:
        if self.lie_at is not None:
            place_of(self.lie_at, length, unit)

    def _problems_together(self) -> tuple[Problem, ...]:
        given = {"--nose-clear": self.nose_clear, "--trim": self.trim, "--lie-at": self.lie_at}
        named = [option for option, written in given.items() if written is not None]
        if len(named) < 2:
            return ()
        what = "each says where to lie, and they need not agree."
        return (Problem(" and ".join(named), what, "Give only one of them."),)


def asked_float_job(board: Path, rider: Path, asked: FloatAsked, system: System) -> FloatJob:
    """Return a board and a rider in the water as asked.

    Raises
    ------
    InputError
        With every problem of both sheets and of every option; or the water is no water.
    """
    problems: list[Problem] = []
    solid = attempt(problems, lambda: board_of(read_board(board)))
    person = attempt(problems, lambda: read_rider(rider))
    length = math.nan if solid is None else solid.length
    wish = attempt(problems, lambda: asked.wish(system, length))
    if solid is None or person is None or wish is None:
        raise InputError(problems)
    return float_of(solid, person, wish, system)
