"""What a close-cut blank costs: its share of a block, the minutes at the wire and the glue, the stringer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.bay.machine import Block, WireMachine
from foamwright.making.closecut import CloseCut
from foamwright.making.closecut_numbers import Pricing
from foamwright.making.wire_cut import WireCut, needed_height

SAW = 0.003
"""Metres lost where a block is sliced in strips. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cost:
    """Parts of a price, in the machine's currency, and the minutes in it."""

    foam: float
    minutes: float
    labour: float
    stringer: float

    @property
    def total(self) -> float:
        """All of it."""
        return self.foam + self.labour + self.stringer

    def as_json(self) -> dict[str, object]:
        """Return the parts as plain values."""
        return {
            "foam": self.foam,
            "minutes": self.minutes,
            "labour": self.labour,
            "stringer": self.stringer,
            "total": self.total,
        }


def blanks_in(cut: CloseCut, machine: WireMachine, block: Block) -> int:
    """Return how many blanks of this kind alone a block gives: strips side by side, profiles stacked."""
    foam = cut.width - cut.stringer.width
    strips = int((block.width + SAW) / (foam + SAW))
    layer = float(np.max(cut.high - cut.low)) + machine.kerf.widths[0] + machine.margin
    layers = 1 + int(max(block.height - needed_height(cut, machine), 0.0) / layer)
    return max(strips * layers, 1)


def cost_of(cut: CloseCut, machine: WireMachine, cuts: tuple[WireCut, ...], labour_hour: float) -> Cost:
    """Return what a close-cut blank costs.

    Parameters
    ----------
    cut, machine
        The blank and who cuts it.
    cuts
        Its set-ups; the first names the block.
    labour_hour
        Price of an hour of labour.
    """
    block = next(one.block for one in cuts if one.block is not None)
    glue = machine.terms.glue_minutes if cut.stringer.width > 0.0 else 0.0
    at_wire = sum(one.path.minutes for one in cuts)
    minutes = machine.terms.setup_minutes * len(cuts) + at_wire + glue
    return Cost(
        foam=block.price / blanks_in(cut, machine, block),
        minutes=minutes,
        labour=minutes / 60.0 * labour_hour,
        stringer=machine.terms.stringer_price if cut.stringer.width > 0.0 else 0.0,
    )


def pricing_of(cost: Cost, machine: WireMachine) -> Pricing:
    """Return the price and lead time that the blank's numbers carry."""
    return Pricing(round(cost.total, 2), machine.currency, machine.terms.lead_time_days)
