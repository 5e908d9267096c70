"""What a rescue costs in the water: the board as meant and as rescued, under the same rider."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

from foamwright.bench.rescue import Rescue
from foamwright.jobs.water import FloatJob, FloatWish, float_of
from foamwright.sheets.rider import RiderNumbers
from foamwright.units import System


@dataclass(frozen=True, slots=True)
class Floats:
    """How a board floats under its rider, lying where the nose is clear as usual.

    Attributes
    ----------
    litres_per_kg
        The board's volume over the rider's mass.
    sinkage, lie_at
        How deep the middle of the level line is under water, and where the breastbone lies; metres.
        ``None``, like all below: they sink, or the board stands on end under them.
    pitch
        Nose up, radians.
    share_under
        Share of the board's volume under water.
    """

    litres_per_kg: float
    sinkage: float | None
    lie_at: float | None
    pitch: float | None
    share_under: float | None

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {
            "litres_per_kg": self.litres_per_kg,
            "sinkage_m": self.sinkage,
            "lie_at_m": self.lie_at,
            "pitch_rad": self.pitch,
            "share_under": self.share_under,
        }


@dataclass(frozen=True, slots=True)
class WaterCost:
    """How the board as meant floats, and how the rescued one does."""

    rider: str
    before: Floats
    after: Floats

    def as_json(self) -> dict[str, object]:
        """Return it as plain values."""
        return {"rider": self.rider, "before": self.before.as_json(), "after": self.after.as_json()}

    def rows(self) -> tuple[tuple[str, float | None, float | None, str], ...]:
        """Return what is told of both: name, two values, and ``"m"``, ``"deg"``, ``"%"`` or ``"l/kg"``."""
        one, other = self.before, self.after
        return (
            ("litres per kg of rider", one.litres_per_kg, other.litres_per_kg, "l/kg"),
            ("middle of the level line under water", one.sinkage, other.sinkage, "m"),
            ("breastbone from the tail", one.lie_at, other.lie_at, "m"),
            ("nose up", _degrees(one.pitch), _degrees(other.pitch), "deg"),
            ("share of the board under water", _percent(one.share_under), _percent(other.share_under), "%"),
        )


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else degrees(angle)


def _percent(share: float | None) -> float | None:
    return None if share is None else 100.0 * share


def water_cost(rescue: Rescue, rider: RiderNumbers, system: System) -> WaterCost:
    """Return how both boards of a rescue float under a rider.

    Raises
    ------
    InputError
        The rider's water is no water.
    """
    before = floats_of(float_of(rescue.before, rider, FloatWish(), system))
    after = floats_of(float_of(rescue.board, rider, FloatWish(), system)) if rescue.changes else before
    return WaterCost(rider.name, before, after)


def floats_of(job: FloatJob) -> Floats:
    """Return what is told of a board and its rider in the water."""
    if job.lain is None:
        return Floats(job.litres_per_kg, None, None, None, None)
    afloat = job.lain.afloat
    return Floats(job.litres_per_kg, afloat.sinkage, afloat.rider.place, afloat.pitch, afloat.share_under)
