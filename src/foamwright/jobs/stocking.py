"""Which blanks to keep: expected boards, candidates, all lays, the proved choice, and what it means."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import read_bay
from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import read_stock
from foamwright.errors import InputError, NoAnswerError, Problem, attempt
from foamwright.jobs.stocking_demand import Sources, demand_of
from foamwright.stocking.candidates import Make, generated
from foamwright.stocking.choosing import Chosen, choose, cost_curve
from foamwright.stocking.chunks import Store
from foamwright.stocking.crew import Crew
from foamwright.stocking.hands import Alone, Hands
from foamwright.stocking.location import Location
from foamwright.stocking.population import Population
from foamwright.stocking.progress import to_standard_error
from foamwright.stocking.roles import Role, Service, roles_of, service_of
from foamwright.stocking.running import Lays, run_study
from foamwright.stocking.study import Study
from foamwright.stocking.terms import Costs, Terms, costs_of, location_of

MOST_BOARDS, MOST_CANDIDATES = 1_000_000, 20_000
"""Beyond these a study is a slip of the keyboard."""

CURVE = 30
"""The cost is shown against keeping 1 to so many blanks, or some more than are kept."""


@dataclass(frozen=True)
class StockingOrder:
    """What is asked for.

    Attributes
    ----------
    boards, seed
        How many boards are sampled, and the seed of the draws.
    sources
        Where boards come from instead.
    candidates, make
        How many candidate blanks are generated, and how they are made.
    stock, bay
        Sheets of the present stock, whose blanks are candidates too, and of the bay.
    keep
        How many to keep; ``None``: as many as pay their holding.
    terms
        Prices.
    """

    boards: int
    candidates: int
    keep: int | None
    seed: int = 0
    sources: Sources = field(default_factory=Sources)
    make: Make = Make.BLOCK
    stock: Path | None = None
    bay: Path | None = None
    terms: Terms = field(default_factory=Terms)


@dataclass(frozen=True, eq=False)
class StockingJob:
    """A finished study.

    Attributes
    ----------
    order, study, lays, costs, problem
        What was asked, and everything the choice rests on.
    chosen
        The kept blanks with the proof.
    curve
        The best choices of 1, 2, … blanks, with their bounds.
    roles, service
        What each is for, most used first; who is served.
    """

    order: StockingOrder
    study: Study
    lays: Lays
    costs: Costs
    problem: Location
    chosen: Chosen
    curve: tuple[Chosen, ...]
    roles: tuple[Role, ...]
    service: Service

    def blank(self, place: int) -> BlankNumbers:
        """Return a candidate."""
        return self.study.blanks[place]

    @property
    def currency(self) -> str:
        """Of every cost."""
        return self.study.bay.prices.currency

    @property
    def to_order(self) -> float:
        """Cost if nothing is kept and every blank is made to order."""
        return float(self.costs.weight @ self.costs.order)

    def said(self) -> tuple[str, ...]:
        """Return the assumptions as sentences."""
        sources = self.order.sources
        boards = sources.said() if sources.given else Population().said()
        return (*boards, *self.order.terms.said(self.study.bay.prices.labour_hour, self.currency))


def stocking_job(
    order: StockingOrder, folder: Path, hands: Hands, say: Callable[[str], None] = to_standard_error
) -> StockingJob:
    """Return which blanks to keep; lays that are done are kept in the folder and not done again.

    Parameters
    ----------
    order
        What is asked for.
    folder
        Where chunks are kept.
    hands
        Who does the lays (see `hands_for`).
    say
        Takes lines on how far it is.

    Raises
    ------
    InputError
        The order or a sheet cannot stand; the folder cannot be written to.
    NoAnswerError
        No expected board lies in any candidate.
    """
    study = study_of(order)
    lays = run_study(study, Store.within(folder, study.key), hands, say)
    return chosen_job(order, study, lays, say)


def chosen_job(
    order: StockingOrder, study: Study, lays: Lays, say: Callable[[str], None] = to_standard_error
) -> StockingJob:
    """Return the choice on lays that are done.

    Raises
    ------
    NoAnswerError
        No expected board lies in any candidate.
    """
    require_any_fit(lays)
    costs = costs_of(study, lays, order.terms)
    problem = location_of(costs, order.terms)
    most = max(CURVE, 0 if order.keep is None else order.keep + 5)
    say(f"Choosing among {problem.sites} blanks ...")
    curve = cost_curve(problem, min(most, problem.sites))
    starts = [one.kept for one in curve if order.keep in (None, len(one.kept))]
    chosen = choose(problem, order.keep, starts)
    roles = roles_of(study, lays, costs, problem, chosen.kept)
    return StockingJob(
        order,
        study,
        lays,
        costs,
        problem,
        chosen,
        _with(curve, chosen),
        tuple(roles),
        service_of(costs, chosen.kept),
    )


def _with(curve: tuple[Chosen, ...], chosen: Chosen) -> tuple[Chosen, ...]:
    return tuple(chosen if len(one.kept) == len(chosen.kept) else one for one in curve)


def require_any_fit(lays: Lays) -> None:
    """Refuse a study in which nothing fits.

    Raises
    ------
    NoAnswerError
        No board lies in any candidate.
    """
    if not np.isfinite(lays.work).any():
        raise NoAnswerError(
            "None of the expected boards lies in any of the candidates, so there is nothing to choose: ask "
            "for more candidates, or thicker, wider and longer ones (--stock)."
        )


def hands_for(scheduler: str | None, workers: int) -> Hands:
    """Return who does the lays: a cluster, a crew of processes here, or this process alone."""
    if scheduler is not None:
        from foamwright.stocking.cluster import Cluster

        return Cluster(scheduler)
    return Alone() if workers == 1 else Crew(workers)


def study_of(order: StockingOrder) -> Study:
    """Return the study of an order.

    Raises
    ------
    InputError
        A number or a sheet cannot stand, every problem at once.
    """
    problems: list[Problem] = []
    attempt(problems, lambda: require_sound(order))
    bay = Bay() if order.bay is None else attempt(problems, partial(read_bay, order.bay))
    own = () if order.stock is None else attempt(problems, partial(read_stock, order.stock))
    if bay is not None and own:
        attempt(problems, lambda: _require_currency(tuple(own), bay))
    # Sheets are read whatever else is wrong; a sample is drawn only for an order that stands.
    boards, seed = (1, 0) if problems else (order.boards, order.seed)
    demand = attempt(problems, lambda: demand_of(order.sources, boards, seed))
    if problems or bay is None or own is None or demand is None:
        raise InputError(problems)
    return Study(demand, (*own, *generated(order.candidates, order.make)), bay)


def require_sound(order: StockingOrder) -> None:
    """Refuse numbers that no study can have.

    Raises
    ------
    InputError
        Every problem at once.
    """
    problems = []
    if not order.sources.given and not 1 <= order.boards <= MOST_BOARDS:
        problems.append(_out_of_range("--boards", order.boards, MOST_BOARDS))
    least = 0 if order.stock is not None else 1
    if not least <= order.candidates <= MOST_CANDIDATES:
        problems.append(_out_of_range("--candidates", order.candidates, MOST_CANDIDATES))
    if order.seed < 0:
        problems.append(Problem("--seed", f"{order.seed} is negative.", "Give 0 or more."))
    if order.keep is not None and order.keep < 1:
        problems.append(Problem("--keep", f"{order.keep} is too few.", "Keep at least 1."))
    if order.keep is not None and order.stock is None and order.keep > order.candidates >= 1:
        problems.append(
            Problem(
                "--keep",
                f"{order.keep} cannot be kept of {order.candidates} candidates.",
                "Ask for more candidates, or keep fewer.",
            )
        )
    if problems:
        raise InputError(problems)


def _out_of_range(option: str, value: int, most: int) -> Problem:
    return Problem(option, f"{value} is out of range.", f"Give 1 to {most}.")


def _require_currency(own: tuple[BlankNumbers, ...], bay: Bay) -> None:
    wrong = sorted({blank.currency for blank in own} - {bay.prices.currency})
    if wrong:
        raise InputError(
            Problem(
                "--stock",
                f"it is priced in {', '.join(wrong)}, the bay in {bay.prices.currency}.",
                "Give both in one currency.",
            )
        )
