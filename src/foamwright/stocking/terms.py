"""What it costs to serve a board from a blank: the blank, the work on it, what becomes of the foam."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.lay.profiles import Floats, held
from foamwright.stocking.location import Location
from foamwright.stocking.running import Lays
from foamwright.stocking.study import Study


@dataclass(frozen=True, slots=True)
class Terms:
    """Prices beside those of the blanks and the bay's labour, in the bay's currency. Our own, no source.

    Attributes
    ----------
    waste_litre
        For each litre of foam that leaves the shop as waste.
    order_fee
        For a blank made to order for one board: the order, the set-up, the wait.
    order_litre
        For each litre of such a blank.
    holding
        For each kind of blank kept, over the expected boards: the room, the money in it.
    """

    waste_litre: float = 0.05
    order_fee: float = 140.0
    order_litre: float = 0.6
    holding: float = 0.0

    def said(self, labour_hour: float, currency: str) -> tuple[str, ...]:
        """Return the terms as sentences."""
        return (
            f"Work is priced at {labour_hour:g} {currency} an hour, waste at {self.waste_litre:g} {currency} "
            "a litre.",
            f"A board that a kept blank does not serve gets one made to order, for {self.order_fee:g} "
            f"{currency} and {self.order_litre:g} {currency} a litre, with its own work.",
            f"Keeping a kind costs {self.holding:g} {currency} over all expected boards.",
        )


@dataclass(frozen=True, eq=False)
class Costs:
    """Costs of serving, in the bay's currency; (boards, blanks), NaN where a board does not lie in a blank.

    Attributes
    ----------
    blank
        Of one board from each blank.
    order
        (boards,) from a blank made to order.
    weight
        (boards,) how often each board is expected.
    waste
        (boards, blanks) litres that leave as waste.
    """

    blank: Floats
    order: Floats
    weight: Floats
    waste: Floats


def costs_of(study: Study, lays: Lays, terms: Terms) -> Costs:
    """Return what each board costs from each blank, and from one made to order."""
    hour = study.bay.prices.labour_hour / 60.0
    waste = 1000.0 * (lays.blank_foam[None, :] - lays.board_foam[:, None])
    price = np.array([blank.price for blank in study.blanks])
    made = 1000.0 * lays.to_order[:, 1]
    order = terms.order_fee + terms.order_litre * made + hour * lays.to_order[:, 0]
    return Costs(
        blank=held(price + hour * lays.work + terms.waste_litre * waste),
        order=held(order + terms.waste_litre * (made - 1000.0 * lays.board_foam)),
        weight=held(np.array([one.weight for one in study.demand])),
        waste=held(waste),
    )


def location_of(costs: Costs, terms: Terms) -> Location:
    """Return the problem of which blanks to keep: a board costs no more than one made to order."""
    nearest = np.where(np.isnan(costs.blank), np.inf, costs.blank)
    cost = costs.weight[:, None] * np.minimum(nearest, costs.order[:, None])
    return Location(held(cost.T), held(np.full(cost.shape[1], terms.holding)))
