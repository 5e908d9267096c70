"""Listing every column that a cheaper plan could hold, by what the proved prices leave to spare."""

from __future__ import annotations

import numpy as np

from foamwright.making.nest.master import Limits, Prices
from foamwright.making.nest.program import Filling, Levels, Program, Side, Strip
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.best_pile import best_above

MOST = 8_000
"""Columns beyond which the list is given up."""

Content = tuple[int, ...]


def listed_strips(program: Program, prices: Prices, spare: float) -> list[Strip] | None:
    """Return every strip within `spare` of its price, none with more of a piece than is wanted.

    ``None``: there are too many.
    """
    found: list[Strip] = []
    for s, side in enumerate(program.sides):
        for width in range(program.widths):
            least = prices.strips[s, width] - spare
            piles = _piles(program, side, (prices.pieces, width), least)
            if piles is None or len(found) + len(piles) > MOST:
                return None
            found += [Strip(s, pile) for pile in piles]
    return found


def _piles(
    program: Program, side: Side, priced: tuple[Floats, int], least: float
) -> list[tuple[int, ...]] | None:
    """Every content of a strip whose widest piece is of the class, and whose pieces are worth `least`.

    Contents grow by one piece at a time; of each is kept how low every piece can lie on top of it.
    """
    pieces, width = priced
    allowed = np.flatnonzero((program.classes <= width) & (side.upward.last >= side.upward.first))
    search = _Search(program, side.upward, pieces, allowed, least - 1e-6)
    layer = search.bottoms()
    found: dict[Content, tuple[int, ...]] = {}
    while layer:
        for content, tops in layer.items():
            if search.worth(content) >= search.least and program.class_of(content) == width:
                found[content] = min(tops.items(), key=lambda top: (top[1][0], top[0]))[1][1]
        if len(found) > MOST or len(layer) > MOST:
            return None
        layer = search.grown(layer)
    return [pile for content, pile in found.items() if not _could_hold_more(content, found, search)]


def _could_hold_more(content: Content, found: dict[Content, tuple[int, ...]], search: _Search) -> bool:
    """Whether the same with one piece more is a strip too: then that one does all that this one does."""
    return any(tuple(sorted((*content, n))) in found for n in search.allowed)


Tops = dict[int, tuple[int, tuple[int, ...]]]
"""For each piece that can lie on top: its lowest level, and the pile in that order."""


class _Search:
    """Growing contents, pruned by the most that can still be put on them."""

    def __init__(
        self, program: Program, levels: Levels, value: Floats, allowed: np.ndarray, least: float
    ) -> None:
        self.program, self.levels, self.value, self.least = program, levels, value, least
        self.allowed = [int(n) for n in allowed]
        usable = np.isin(np.arange(value.size), allowed)
        self._more = best_above(levels.first, levels.rise, levels.last, np.where(usable, value, 0.0))

    def worth(self, content: Content) -> float:
        return float(sum(self.value[n] for n in content))

    def bottoms(self) -> dict[Content, Tops]:
        made: dict[Content, Tops] = {(n,): {n: (int(self.levels.first[n]), (n,))} for n in self.allowed}
        return {content: tops for content, tops in made.items() if self._may(content, tops)}

    def _may(self, content: Content, tops: Tops) -> bool:
        """Whether something worth enough can still come of it."""
        worth = self.worth(content)
        return any(worth + self._more[level, top] >= self.least for top, (level, _) in tops.items())

    def grown(self, layer: dict[Content, Tops]) -> dict[Content, Tops]:
        new: dict[Content, Tops] = {}
        for content, tops in layer.items():
            for n in self.allowed:
                if content.count(n) < self.program.wanted[n]:
                    self._put(new, content, tops, n)
        return {content: tops for content, tops in new.items() if self._may(content, tops)}

    def _put(self, new: dict[Content, Tops], content: Content, tops: Tops, n: int) -> None:
        level, pile = min((lv + int(self.levels.rise[top, n]), pile) for top, (lv, pile) in tops.items())
        level = max(level, int(self.levels.first[n]))
        if level > self.levels.last[n]:
            return
        key = tuple(sorted((*content, n)))
        known = new.setdefault(key, {})
        if n not in known or level < known[n][0]:
            known[n] = (level, (*pile, n))


def listed_fillings(program: Program, prices: Prices, spare: float, limits: Limits) -> list[Filling] | None:
    """Return every row of strips that is worth its block but for `spare`; ``None``: there are too many."""
    found: list[Filling] = []
    for k in range(len(program.kinds)):
        rows = _rows(program, k)
        if len(found) + len(rows) > MOST:
            return None
        least = program.kinds[k].cost - spare - 1e-6
        found += [row for row in rows if _filling_worth(program, prices, limits, row) >= least]
    return found


def _filling_worth(program: Program, prices: Prices, limits: Limits, filling: Filling) -> float:
    worth = float(sum(prices.strips[program.kinds[filling.kind].side, width] for width in filling.classes))
    return worth + float(
        sum(price * limit.of(filling) for price, limit in zip(prices.limits, limits, strict=True))
    )


def _rows(program: Program, k: int) -> list[Filling]:
    """Every row of strips that lies in a kind of block, or as many as show that there are too many."""
    across = program.kinds[k].across
    found: list[Filling] = []
    stack: list[tuple[Content, int]] = [((), 0)]
    while stack and len(found) <= MOST:
        row, taken = stack.pop()
        if row:
            found.append(Filling(k, row))
        stack += [
            ((*row, width), taken + int(across.rise[width, width]))
            for width in range(row[-1] if row else 0, program.widths)
            if taken <= int(across.last[width])
        ]
    return found
