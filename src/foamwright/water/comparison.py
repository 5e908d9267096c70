"""Several boards for one rider, and one board for a class of riders, side by side."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from foamwright.water.afloat import Craft, sinks
from foamwright.water.body import Body
from foamwright.water.equilibrium import OnEndError
from foamwright.water.trim import NOSE_CLEAR, Lain, lie_for_nose


@dataclass(frozen=True, eq=False)
class Row:
    """One board under one rider.

    Attributes
    ----------
    board, rider
        Their names.
    litres_per_kg
        The board's volume over the rider's mass.
    lain
        The rider lying where the nose is clear; `None` where they sink, or stand on end in the water.
    """

    board: str
    rider: str
    litres_per_kg: float
    lain: Lain | None


@dataclass(frozen=True, eq=False)
class Named:
    """A rider's body with a name."""

    name: str
    body: Body


def compare(
    crafts: Iterable[Craft], riders: Iterable[Named], density: float, clear: float = NOSE_CLEAR
) -> tuple[Row, ...]:
    """Return every board under every rider, prone, in water of a density (kg/m3), boards first."""
    riders = tuple(riders)
    return tuple(_row(craft, rider, density, clear) for craft in crafts for rider in riders)


def _row(craft: Craft, rider: Named, density: float, clear: float) -> Row:
    litres = 1000.0 * craft.columns.volume / rider.body.mass
    return Row(craft.board.name, rider.name, litres, _lain(craft, rider.body, density, clear))


def _lain(craft: Craft, body: Body, density: float, clear: float) -> Lain | None:
    try:
        return None if sinks(craft, body, density) else lie_for_nose(craft, body, density, clear)
    except OnEndError:
        return None
