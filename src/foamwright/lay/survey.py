"""The survey: every blank of a rack tried at every slide, best first."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay, most_slide
from foamwright.lay.profiles import BoardProfile, Floats, held
from foamwright.lay.rack import Rack, inner_of
from foamwright.shape.kernels import sliding_fit as kernel
from foamwright.shape.kernels.line_between import FITS, NONE_FITS
from foamwright.units import INCH


class Order(StrEnum):
    """What makes a blank the best of those that fit and are on hand.

    COST
        Its price and the work on it at the bay's price of labour. So a blank three feet too long, which may
        happen to curve well, does not beat the one that was made for the job.
    MINUTES
        The work alone.
    FOAM
        What is planed off, litres.
    """

    COST = "cost"
    MINUTES = "minutes"
    FOAM = "foam"


STEP = INCH / 8
"""Grid of slides that are tried."""

WORKERS = 2
"""Threads of a survey; each blank is worked by one, so their number changes nothing in the result."""


@dataclass(frozen=True, eq=False)
class Survey:
    """All blanks for one board, best first.

    Blanks that fit and are on hand come first, by `order`; then those that fit and are not on hand; then
    those that fail, the nearest miss first. Equals go by price, then by name.
    """

    choices: tuple[Choice, ...]
    order: Order = Order.COST

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        best = f"best {self.best.id!r}" if self.best else "none fits"
        return f"<Survey of {len(self.choices)} blanks, {best}>"

    @property
    def best(self) -> Choice | None:
        """The first choice, if it fits."""
        return self.choices[0] if self.choices and self.choices[0].fits else None

    def of(self, blank_id: str) -> Choice:
        """Return the choice of the blank with this name.

        Raises
        ------
        KeyError
            No blank has the name.
        """
        for choice in self.choices:
            if choice.id == blank_id:
                return choice
        raise KeyError(blank_id)


def order_by(choices: Iterable[Choice], wanted: Order | None = None) -> Order:
    """Return the order wanted; where none is, cost if every blank that fits has a price, else minutes.

    A price of 0 in a stock sheet is a price that is not known: among dear and free blanks the free one would
    win every board.
    """
    if wanted is not None:
        return wanted
    return Order.COST if all(c.numbers.price > 0.0 for c in choices if c.fits) else Order.MINUTES


def measure_of(choice: Choice, order: Order) -> float:
    """Return what a blank that fits is ranked by: money, minutes or litres."""
    if order is Order.FOAM:
        return choice.foam_off.planed
    return choice.work_min if order is Order.MINUTES else choice.cost


def survey(
    board: BoardProfile,
    rack: Rack,
    bay: Bay,
    *,
    order: Order | None = None,
    step: float = STEP,
    workers: int = WORKERS,
) -> Survey:
    """Return every blank of the rack with its best lay, ranked.

    At each slide of a grid over the whole feasible range the best lay is exact; the best slide is then
    bettered to the marks of the bay's tape. Where the grid finds nothing but comes near, the space between
    its slides is searched as well.

    Parameters
    ----------
    board
        The board, before its contours.
    rack
        The blanks.
    bay
        Rates, allowances, tape.
    order
        What the best is; ``None``: `order_by`.
    step
        Grid of slides, metres.
    workers
        Threads.

    Returns
    -------
    Survey
        Deterministic, whatever `workers` is.
    """
    if not rack.blanks:
        return Survey(())
    outers, kinds = rack.outers(bay)
    inner = inner_of(board, kinds, bay)
    starts, slides = _slides(board, rack, bay, step)
    grid = np.full((slides.size, 7), np.nan)
    grid[:, kernel.SLIDE] = slides
    bests = np.full((len(rack.blanks), 7), np.nan)
    tape = INCH / bay.tape.fraction

    def work(begin: int, end: int) -> None:
        some = outers._replace(
            **{n: getattr(outers, n)[begin:end] for n in ("first", "rows", "spacing", "skim", "most", "kind")}
        )
        kernel.survey_slides(inner, some, starts[begin : end + 1], grid, bests[begin:end], tape)

    _shared_out(work, starts, workers)
    free = held(np.full(board.x.size, -np.inf)), held(np.full(board.x.size, np.inf))
    lays = [_lay(best) for best in bests.tolist()]
    choices = [
        Choice(board, blank, bay, best[1], best[0], grid[a:b], *free)
        for blank, best, a, b in zip(
            rack.blanks, lays, starts[:-1].tolist(), starts[1:].tolist(), strict=True
        )
    ]
    by = order_by(choices, order)
    ranked = sorted(range(len(choices)), key=lambda n: _rank(choices[n], bests[n], by))
    return Survey(tuple(choices[n] for n in ranked), by)


def _lay(best: list[float]) -> tuple[Lay | None, bool]:
    """Return the lay of a kernel's result, if a line was looked for, and whether it fits."""
    status = best[kernel.STATUS]
    if status not in (FITS, NONE_FITS):
        return None, False
    return Lay(best[kernel.SLIDE], best[kernel.LIFT], best[kernel.TILT]), status == FITS


def _slides(board: BoardProfile, rack: Rack, bay: Bay, step: float) -> tuple[kernel.Indices, Floats]:
    """Return where each blank's slides begin, and all slides: multiples of `step`, and both ends."""
    least = bay.allowances.saw
    most = np.array([most_slide(length, board.length, least) for length in rack.length.tolist()])
    first = np.floor(least / step + 1e-6) + 1.0
    inside = np.maximum(np.ceil(most / step - 1e-6) - first, 0.0).astype(np.int64)
    counts = inside + (most >= least) + (most > least)
    starts = np.zeros(most.size + 1, dtype=np.int64)
    np.cumsum(counts, out=starts[1:])
    within = np.arange(starts[-1]) - np.repeat(starts[:-1], counts)
    slides = np.where(within == 0, least, step * (first + within - 1))
    ends = starts[1:][most > least] - 1
    slides[ends] = most[most > least]
    return starts, slides


def _shared_out(work: Callable[[int, int], None], starts: kernel.Indices, workers: int) -> None:
    """Split the blanks into runs of about as many slides each, one for each thread."""
    blanks = starts.size - 1
    cuts = np.searchsorted(starts, np.linspace(0, starts[-1], workers + 1)[1:-1])
    ends = [0, *np.clip(cuts, 0, blanks).tolist(), blanks]
    if workers == 1 or blanks < 2 * workers:
        return work(0, blanks)
    with ThreadPoolExecutor(workers) as pool:
        list(pool.map(work, ends[:-1], ends[1:]))
    return None


def _measure(choice: Choice, work: float, order: Order) -> float:
    """Return `measure_of` with the kernel's minutes, which saves integrating them for every blank."""
    if order is Order.FOAM:
        return choice.foam_off.planed
    if order is Order.MINUTES:
        return work
    return work / 60.0 * choice.bay.prices.labour_hour + choice.numbers.price


def _rank(choice: Choice, best: Floats, order: Order) -> tuple[float, float, float, float, str]:
    """Return what the choices are sorted by.

    Rounded to a millionth of money or minutes and a tenth of a micrometre: blanks of one family miss by the
    same, and the last bits, which other versions of Python sum differently, must not order them.
    """
    numbers = choice.numbers
    if choice.fits:
        missing = 0.0 if numbers.on_hand > 0 else 1.0
        first = _measure(choice, float(best[kernel.COST]), order)
        return missing, round(first, 6), numbers.price, 0.0, numbers.id
    if choice.lay is not None:
        return 2.0, -round(float(best[kernel.GAP]), 7), numbers.price, 0.0, numbers.id
    if choice.grid.size:
        return 3.0, -round(float(best[kernel.MARGIN]), 7), numbers.price, 0.0, numbers.id
    return 4.0, round(choice.board.length - choice.blank.length, 7), numbers.price, 0.0, numbers.id
