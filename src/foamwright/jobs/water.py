"""A board sheet and a rider sheet in the water: where to lie, how deep, what trim, how it rights."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from math import isfinite

import numpy as np

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.board import Board
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.finish.finished import Shop, finish_board
from foamwright.jobs.options import Limits
from foamwright.shape.curves import Floats
from foamwright.sheets.rider import Lungs, RiderNumbers
from foamwright.sheets.stations import parse_station
from foamwright.units import System, Unit
from foamwright.water.afloat import Afloat, Craft, at_rest, craft_of, floating, sinks
from foamwright.water.body import Body, body_of
from foamwright.water.body_tables import Build
from foamwright.water.checks import (
    STATICS,
    WISH_MISSED,
    Wished,
    check_buoyancy,
    check_roll,
    check_trim,
    check_wish,
    on_end,
)
from foamwright.water.comparison import Named, Row, compare
from foamwright.water.density import water_density
from foamwright.water.equilibrium import OnEndError
from foamwright.water.picture import WaterPicture, picture_of
from foamwright.water.postures import Posture
from foamwright.water.righting import Righting, righting
from foamwright.water.trim import NOSE_CLEAR, Lain, Reach, lie_for_nose, lie_for_pitch, seat_for_pitch

BOARD_MASS = Limits(0.2, 100.0)
"""Kilograms of a finished board, from a child's to a lifeguards'; common practice, no source."""

ROLLS = np.radians([2.0, 5.0, 10.0, 15.0, 20.0, 30.0])


@dataclass(frozen=True, slots=True)
class FloatWish:
    """What is asked for besides the sheets.

    Attributes
    ----------
    board_mass
        kg of the finished board; `None`: as ``finish`` reckons it with usual materials.
    nose_clear, pitch
        Trim to lie for: metres of the nose above water, or, where given, radians nose up; with neither the
        nose rides as high as usual.
    lie_at
        Station of the breastbone as a person names it, where it is not sought.
    build
        Whose proportions the rider has.
    """

    board_mass: float | None = None
    nose_clear: float | None = None
    pitch: float | None = None
    lie_at: str | None = None
    build: Build = Build.BETWEEN


@dataclass(frozen=True, eq=False)
class FloatJob:
    """A board and its rider in the water.

    Attributes
    ----------
    craft, rider, body
        Board and rider.
    density
        kg/m3 of the water.
    lain
        The rider lying; `None` where they sink, or where the board stands on end under them.
    upright
        The rider sitting and kneeling, where they can.
    findings
        What there is to say.
    """

    craft: Craft
    rider: RiderNumbers
    body: Body
    density: float
    lain: Lain | None
    upright: tuple[Afloat, ...]
    findings: tuple[Finding, ...]

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return (
            f"<FloatJob {self.craft.board.name!r} under {self.rider.name!r}, {len(self.findings)} findings>"
        )

    @property
    def answer_is_no(self) -> bool:
        """Whether they sink, the board stands on end under the rider, or the trim asked for is missed."""
        return any(
            finding.severity is Severity.STOP or finding.code == WISH_MISSED for finding in self.findings
        )

    @property
    def litres_per_kg(self) -> float:
        """The board's volume over the rider's mass."""
        return 1000.0 * self.craft.columns.volume / self.rider.mass

    @cached_property
    def rights(self) -> Righting | None:
        """The righting arms of the rider lying; `None` too where the board, rolled so far, stands on end."""
        if self.lain is None:
            return None
        try:
            return righting(floating(self.craft, self.lain.afloat.rider, self.density), ROLLS)
        except OnEndError:
            return None

    @property
    def picture(self) -> WaterPicture | None:
        """What to draw of the rider lying."""
        return None if self.lain is None else picture_of(self.lain.afloat)

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        afloat = None if self.lain is None else self.lain.afloat
        document: dict[str, object] = {
            "board": self.craft.board.name,
            "rider": self.rider.name,
            "board_l": 1000.0 * self.craft.columns.volume,
            "board_kg": self.craft.mass,
            "rider_kg": self.rider.mass,
            "rider_l": 1000.0 * self.body.volume,
            "lung_air_l": 1000.0 * self.body.air,
            "water_kg_m3": self.density,
            "litres_per_kg": self.litres_per_kg,
            "floats": not sinks(self.craft, self.body, self.density),
        }
        document |= _rest_json(afloat) if afloat else dict.fromkeys(REST_KEYS)
        document["lie_at_m"] = None if afloat is None else afloat.rider.place
        document["trim"] = None if self.lain is None else self.lain.reach.value
        document["righting"] = _righting_json(self.rights)
        document["upright"] = [
            {"posture": a.rider.posture.value, "at_m": a.rider.place, **_upright_json(a)}
            for a in self.upright
        ]
        document["warnings"] = [finding.as_json() for finding in self.findings]
        return document


REST_KEYS = (
    "sinkage_m", "pitch_rad", "surface", "submerged_l", "rider_under_l", "share_under", "nose_above_m",
    "tail_above_m", "breastbone_above_m", "residual", "rights_itself", "centre_of_buoyancy_m",
    "centre_of_mass_m",
)  # fmt: skip


def _rest_json(afloat: Afloat) -> dict[str, object]:
    """Return a rest; the surface is ``z = height + along * x`` in the board's frame, x from the tail tip."""
    rest = afloat.rest
    values = (
        afloat.sinkage,
        afloat.pitch,
        {"height_m": rest.surface.height, "along": rest.surface.along},
        1000.0 * afloat.wet_board.volume,
        1000.0 * afloat.wet_rider.volume,
        afloat.share_under,
        afloat.nose_above,
        afloat.tail_above,
        afloat.breastbone_above,
        float(np.max(np.abs(rest.residual[:2]))),
        {"pitch": rest.stable[0], "roll": rest.stable[1]},
        _place_json((afloat.wet_board + afloat.wet_rider).centre),
        _place_json((afloat.craft.load + afloat.rider.load).centre),
    )
    return dict(zip(REST_KEYS, values, strict=True))


def _place_json(place: Floats) -> dict[str, float]:
    """Return a place in the board's frame: x from the tail tip, y to the left, z up from the level line."""
    return dict(zip("xyz", place.tolist(), strict=True))


def _upright_json(afloat: Afloat) -> dict[str, object]:
    """Return the rest of someone upright, who balances: whether it rights itself is not asked."""
    return {key: value for key, value in _rest_json(afloat).items() if key != "rights_itself"}


def _righting_json(rights: Righting | None) -> dict[str, object] | None:
    return None if rights is None else {"roll_rad": rights.angles, "arm_m": rights.arms}


def float_of(board: Board, rider: RiderNumbers, wish: FloatWish, system: System) -> FloatJob:
    """Return a board under a rider in the rider's water.

    Raises
    ------
    InputError
        The board's mass or its trim is impossible, or the station to lie at lies beyond the board.
    """
    _require_possible(wish)
    density = water_density(rider.water.temperature_c, rider.water.salinity)
    craft, body = craft_for(board, wish.board_mass), body_of(rider, wish.build)
    found = [*check_buoyancy(craft, body, density)]
    if sinks(craft, body, density):
        return FloatJob(craft, rider, body, density, None, (), (*found, STATICS))
    try:
        lain = _lain(craft, body, density, wish, system)
    except OnEndError as why:
        found.append(on_end(why.pitch, _lie_at(wish, board.length, system), system))
        return FloatJob(craft, rider, body, density, None, (), (*found, STATICS))
    upright = _upright(craft, body, density)
    found += [*_check_lie(lain, wish, system), *check_roll(lain.afloat), *_no_seat(upright), STATICS]
    return FloatJob(craft, rider, body, density, lain, upright, tuple(found))


def _require_possible(wish: FloatWish) -> None:
    problems = []
    if wish.board_mass is not None and not BOARD_MASS.hold(wish.board_mass):
        limits = f"A board weighs from {BOARD_MASS.least:g} to {BOARD_MASS.most:g} kg."
        problems.append(Problem("mass of the board", f"{wish.board_mass:g} kg is not possible.", limits))
    if not all(isfinite(value) for value in (wish.nose_clear, wish.pitch) if value is not None):
        problems.append(Problem("trim", "It is no number.", "Give one."))
    if problems:
        raise InputError(problems)


def _check_lie(lain: Lain, wish: FloatWish, system: System) -> tuple[Finding, ...]:
    """Return whether what was asked for, or what is usual, is reached by lying there."""
    if wish.lie_at is None and wish.pitch is not None:
        return check_wish(lain, Wished.PITCH, wish.pitch, system)
    if wish.lie_at is None and wish.nose_clear is not None:
        return check_wish(lain, Wished.NOSE, wish.nose_clear, system)
    return check_trim(lain, system)


def craft_for(board: Board, mass: float | None = None) -> Craft:
    """Return a board ready for the water, of a mass in kg, or of what it weighs finished as usual."""
    if mass is None:
        mass = finish_board(board, Shop(Materials(), Prices())).mass.total
    return craft_of(board, mass)


def _lain(craft: Craft, body: Body, density: float, wish: FloatWish, system: System) -> Lain:
    if (place := _lie_at(wish, craft.board.length, system)) is not None:
        return Lain(at_rest(craft, body, density, Posture.PRONE, place), Reach.MET)
    if wish.pitch is not None:
        return lie_for_pitch(craft, body, density, wish.pitch)
    return lie_for_nose(craft, body, density, NOSE_CLEAR if wish.nose_clear is None else wish.nose_clear)


def _lie_at(wish: FloatWish, length: float, system: System) -> float | None:
    return None if wish.lie_at is None else place_of(wish.lie_at, length, Unit(system.value))


def place_of(lie_at: str, length: float, unit: Unit) -> float:
    """Return the station that someone is to lie at, metres from the tail.

    Raises
    ------
    InputError
        It is no station, or lies beyond the board.
    """
    try:
        return parse_station(lie_at, length, unit)
    except InputError as why:
        raise InputError([replace(problem, where="--lie-at") for problem in why.problems]) from None


def _upright(craft: Craft, body: Body, density: float) -> tuple[Afloat, ...]:
    seats = (seat_for_pitch(craft, body, density, p) for p in (Posture.SITTING, Posture.KNEELING))
    return tuple(seat for seat in seats if seat is not None)


def _no_seat(upright: tuple[Afloat, ...]) -> tuple[Finding, ...]:
    missing = {Posture.SITTING, Posture.KNEELING} - {a.rider.posture for a in upright}
    return tuple(
        Finding(
            "float-no-seat",
            Severity.NOTE,
            str(posture),
            None,
            None,
            "1",
            f"At rest nobody balances {posture} anywhere on it with the nose up as usual.",
            "It takes a bigger board, or hands and legs at work.",
        )
        for posture in sorted(missing)
    )


def compare_boards(boards: tuple[Board, ...], rider: RiderNumbers) -> tuple[Row, ...]:
    """Return several boards under one rider, prone where the nose is clear."""
    density = water_density(rider.water.temperature_c, rider.water.salinity)
    crafts = [craft_for(board) for board in boards]
    return compare(crafts, [Named(rider.name, body_of(rider))], density)


def compare_riders(board: Board, riders: tuple[RiderNumbers, ...]) -> tuple[Row, ...]:
    """Return one board under a class of riders, in the first one's water."""
    first = riders[0].water
    density = water_density(first.temperature_c, first.salinity)
    named = [Named(rider.name, body_of(rider)) for rider in riders]
    return compare([craft_for(board)], named, density)


def breathing(rider: RiderNumbers) -> tuple[RiderNumbers, ...]:
    """Return the rider with full, resting and empty lungs, named so."""
    return tuple(replace(rider, name=f"{rider.name}, {state} lungs", lungs=state) for state in Lungs)
