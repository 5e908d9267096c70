"""A rack of blanks packed for the kernels, and the board and the bay's rates packed beside it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.lay.limits import allowed_of, stands_on
from foamwright.lay.profiles import GRID, BlankProfile, BoardProfile, Floats, held
from foamwright.lay.rates import RateKind, face_rates, kind_of, steady_minutes
from foamwright.shape.kernels.compiler import interpreted
from foamwright.shape.kernels.sliding_fit import Inner, Outers
from foamwright.shape.kernels.table_reading import Indices, cubic_weights


@dataclass(frozen=True, eq=False)
class Rack:
    """Blanks that stand ready to be compared; make it once, survey it for many boards."""

    blanks: tuple[BlankProfile, ...]

    @cached_property
    def table(self) -> Floats:
        """(R, 4) the blanks' tables, one after the other."""
        return held(np.concatenate([b.table for b in self.blanks]))

    @cached_property
    def rows(self) -> Indices:
        """(B,) rows of each blank's table."""
        return _indices([b.bottom.size for b in self.blanks])

    @cached_property
    def first(self) -> Indices:
        """(B,) first row of each blank's table."""
        return _indices(np.cumsum(self.rows) - self.rows)

    @cached_property
    def spacing(self) -> Floats:
        """(B,) grid spacing of each blank."""
        return held(np.array([b.spacing for b in self.blanks]))

    @cached_property
    def length(self) -> Floats:
        """(B,) length of each blank."""
        return held(np.array([b.length for b in self.blanks]))

    def outers(self, bay: Bay) -> tuple[Outers, tuple[RateKind, ...]]:
        """Return the packed blanks with a bay's skims, and the kinds of rates they fall into."""
        allowed = [allowed_of(b.numbers, bay) for b in self.blanks]
        kinds = [kind_of(b.numbers, bay) for b in self.blanks]
        unlike = tuple(dict.fromkeys(kinds))
        place = {kind: n for n, kind in enumerate(unlike)}
        skim = np.array([(a.skim_bottom, a.skim_deck) for a in allowed])
        most = np.array([(a.most_bottom, a.most_deck) for a in allowed])
        return Outers(
            table=self.table,
            first=self.first,
            rows=self.rows,
            spacing=self.spacing,
            skim=held(skim),
            most=held(most),
            kind=_indices([place[kind] for kind in kinds]),
        ), unlike


def inner_of(board: BoardProfile, kinds: Sequence[RateKind], bay: Bay) -> Inner:
    """Return the board packed for the kernels, with its rates in each kind of blank."""
    across = board.half_width[:, None] * board.share[None, :]
    both = [face_rates(board, kind, bay) for kind in kinds]
    rates = [board.weight * np.stack([r.bottom, r.deck]) for r in both]
    row = np.maximum(np.floor(board.x / GRID).astype(np.int64) - 1, -1)
    foam = bay.rates.foam * board.weight
    # What no lay changes is spread over the stations, so that their sum is the whole work.
    steady = steady_minutes(bay.rates) / board.length * board.weight
    return Inner(
        x=board.x,
        bottom=board.bottom,
        deck=board.deck,
        half_width=held(board.half_width + bay.allowances.saw),
        middle=stands_on(board),
        drop=board.drop,
        squared=held(across**2),
        mildest=_mildest_dome(board.drop, across**2),
        row=_indices(row),
        weight=held(np.array([interpreted(cubic_weights)(f) for f in board.x / GRID - row])),
        rates=held(np.array(rates)),
        crown=held(foam * board.crown + steady),
        arch=held(foam * 2.0 / 3.0 * board.half_width**3),
    )


def _mildest_dome(drop: Floats, squared: Floats) -> Floats:
    """Return (N,) the strongest dome that stays within the drop at every place across."""
    ratio = np.divide(drop, squared, out=np.full_like(drop, np.inf), where=squared > 0.0)
    return held(np.min(ratio, axis=1))


def _indices(values: Sequence[int] | Indices) -> Indices:
    out = np.array(values, dtype=np.int64)
    out.flags.writeable = False
    return out
