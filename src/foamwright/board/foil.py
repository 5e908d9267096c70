"""The foil of a board: the fair thickness along the stringer, and a beak at its nose."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.board.numbers import Beak, BoardNumbers
from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.shape.curves import FairCurve
from foamwright.shape.rolled import RolledCurve
from foamwright.shape.trade_curves import Point, Searched, domed
from foamwright.units import Rounding, System, format_with_unit


def foil_of(numbers: BoardNumbers) -> Searched:
    """Return the thickness at the stringer, beak included, and where it is greatest.

    Raises
    ------
    UnfairError
        No fair foil passes through the thicknesses.
    """
    points = tuple(Point(m.x, m.value, m.place) for m in numbers.thickness)
    fair = domed(points, numbers.thickest, numbers.thickest_at)
    beak = numbers.beak
    if beak is None:
        return fair
    return Searched(RolledCurve(fair.curve.spline, beak.length, beak.tip, beak.power), fair.at)


def beak_problems(numbers: BoardNumbers, curve: FairCurve, system: System) -> list[Problem]:
    """Return what is wrong with a beak: the foil, run on to the nose, is thinner than the tip."""
    beak = numbers.beak
    if beak is None or not isinstance(curve, RolledCurve):
        return []
    run_on = float(curve.fair(numbers.length))
    if run_on >= beak.tip:
        return []
    return [_too_long(numbers, beak, _RunOn(curve.fair, run_on), system)]


@dataclass(frozen=True, slots=True)
class _RunOn:
    """The foil behind a beak and how thick it is, run on to the nose tip."""

    fair: FairCurve
    thickness: float


def _too_long(numbers: BoardNumbers, beak: Beak, run_on: _RunOn, system: System) -> Problem:
    def amount(metres: float, rounding: Rounding = Rounding.NEAREST) -> str:
        return format_with_unit(metres, system, 32, rounding)

    begins, slope = run_on.fair.stop, float(run_on.fair(run_on.fair.stop, 1))
    behind = float(run_on.fair(begins))
    fits = (behind - beak.tip) / max(-slope, 1e-9)
    return Problem(
        f"{numbers.name}, [thickness] nose_beak",
        said(
            "curve.beak-long",
            "is {length} long, longer than the foil allows: {thick} thick where it begins and thinning from "
            "there, the foil is {run_on} at the nose, {less} less than the tip of {tip}.",
            length=amount(beak.length),
            thick=amount(behind),
            run_on=amount(max(run_on.thickness, 0.0)),
            less=amount(beak.tip - run_on.thickness),
            tip=amount(beak.tip),
        ),
        said(
            "curve.beak-long.remedy",
            "Make it {fits} or shorter, thicker where it begins, or the thicknesses aft of it fall less.",
            fits=amount(max(fits, 0.0), Rounding.DOWN),
        ),
    )
