"""What is asked of a study, as people write it beside the sheets."""

from __future__ import annotations

from dataclasses import dataclass, replace

from foamwright.errors import InputError, Problem, attempt
from foamwright.jobs.options import Limits, number_option
from foamwright.jobs.stocking import MOST_BOARDS, StockingOrder, study_of
from foamwright.stocking.terms import Terms
from foamwright.units import quoted

BEST = "best"
"""Keep as many as pay their holding."""

HOLDING_FOR_BEST = 100.0
"""What keeping one kind costs where only that decides how many; one blank's price or so, no source."""

HOLDINGS = Limits(0.0, 1e9)


@dataclass(frozen=True, slots=True)
class StockingAsked:
    """Options as they are written; `None` where not given.

    Attributes
    ----------
    keep
        A whole number, or `BEST`.
    holding
        Cost of keeping one kind.
    workers
        Processes on this machine.
    boards
        How many boards are to be sampled, where that was said.
    """

    keep: str
    holding: str | None = None
    workers: int = 1
    boards: int | None = None


def asked_order(asked: StockingAsked, order: StockingOrder) -> StockingOrder:
    """Return an order with what is asked for filled in.

    Raises
    ------
    InputError
        With every problem of the options, and then of the order and of all its sheets too.
    """
    problems: list[Problem] = []
    if asked.workers < 1:
        problems.append(Problem("--workers", f"{asked.workers} is too few.", "Give 1 or more."))
    if asked.boards is not None and order.sources.given:
        what = "nothing is sampled where boards are named (--from-sheets, --from-riders, --from-shop)."
        problems.append(Problem("--boards", what, "Leave it away, or leave those away."))
    keep = attempt(problems, lambda: _keep(asked.keep))
    holding = attempt(problems, lambda: _holding(asked.holding, keep))
    if problems or holding is None:
        # The order's own problems are wanted here, not its sample: of a sound number one board is drawn.
        few = replace(order, boards=1) if 1 <= order.boards <= MOST_BOARDS else order
        attempt(problems, lambda: study_of(few))
        raise InputError(problems)
    return replace(order, keep=keep, terms=Terms(holding=holding))


def _keep(text: str) -> int | None:
    if text.strip().casefold() == BEST:
        return None
    try:
        return int(text)
    except ValueError:
        what = f"{quoted(text)} is no number."
        raise InputError(Problem("--keep", what, "Give a whole number, or best.")) from None


def _holding(written: str | None, keep: int | None) -> float:
    if written is None:
        return HOLDING_FOR_BEST if keep is None else 0.0
    return number_option(written, "--holding", "cost", HOLDINGS)
