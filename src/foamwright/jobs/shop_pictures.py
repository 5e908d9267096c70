"""Side views of blanks, for the rack drawn on the stock page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foamwright.blank.blank import blank_of
from foamwright.blank.sheet import stock_from_text
from foamwright.errors import InputError

POINTS = 49


@dataclass(frozen=True, slots=True)
class SideView:
    """A blank from the side, at the stringer.

    Attributes
    ----------
    length_mm, height_mm
        Of the whole view.
    outline_mm
        Points around it, x from the tail, y downwards from its highest point, tenths of a millimetre kept.
    """

    length_mm: float
    height_mm: float
    outline_mm: tuple[tuple[float, float], ...]


@lru_cache(maxsize=512)
def side_view(sheet: str) -> SideView | None:
    """Return the side view of the one blank in a stock sheet; ``None`` if no fair curve meets its numbers."""
    try:
        (numbers,) = stock_from_text(sheet, "stock.toml")
        blank = blank_of(numbers)
    except InputError:
        return None
    x = np.linspace(0.0, blank.length, POINTS)
    bottom, deck = blank.bottom(x), blank.deck(x)
    highest = float(deck.max())
    around_x = np.concatenate([x, x[::-1]])
    around_z = np.concatenate([deck, bottom[::-1]])
    points = np.round(np.stack([around_x, highest - around_z]) * 1000.0, 1).T.tolist()
    height = (highest - float(bottom.min())) * 1000.0
    return SideView(blank.length * 1000.0, height, tuple((px, py) for px, py in points))
