"""The choice: first-fit decreasing, plans block by block, the best of known columns, the proof by cases."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.making.nest.branching import Case, Proof, proof_by_cases
from foamwright.making.nest.filled import Plan, first_fit
from foamwright.making.nest.greedy import COARSE, attempts, on_hand
from foamwright.making.nest.integers import in_whole_numbers, plan_of
from foamwright.making.nest.listing import listed_fillings, listed_strips
from foamwright.making.nest.master import Columns, Prices, relaxed
from foamwright.making.nest.program import Program
from foamwright.making.nest.settling import Settled

GREEDY = 80
"""Plans that are made block by block."""

CLOSING = ((COARSE, 300), (1, 60))
"""Units in a level, and plans that are made in them, from the very blocks of a case that stays open."""


@dataclass(frozen=True, eq=False)
class Chosen:
    """A plan, and what is proved of it.

    Attributes
    ----------
    plan
        The best plan found.
    cost, bound
        What its blocks cost; no plan costs less than `bound`.
    first_fit
        Cost of first-fit decreasing, ``None`` where it found no plan.
    prices
        Prices of the pieces that prove `relaxed_bound`, which anyone can check without a solver.
    cases
        Cases that the proof looked at; 0: the prices alone prove the bound.
    """

    plan: Plan
    cost: int
    bound: int
    first_fit: int | None
    prices: Prices
    cases: int

    @property
    def gap(self) -> float:
        """How much of the cost is not proved to be needed."""
        return (self.cost - self.bound) / self.cost if self.cost else 0.0


@dataclass(frozen=True, eq=False)
class Lacking:
    """No plan: pieces that cannot be cut; `proved` tells whether that is certain."""

    unmet: float
    proved: bool


def choose(program: Program) -> Chosen | Lacking:
    """Return the best plan for an order with its proof, or that the blocks do not suffice."""
    settled, columns = Settled(program), Columns()
    fitted = first_fit(program)
    if fitted is not None:
        settled.learn(fitted.blocks, columns)
    found = relaxed(program, columns)
    if found.unmet > 1e-6:
        return Lacking(found.unmet, True)
    bound = program.rounded_up(found.prices.bound)
    best = _greedy(program, columns, settled, fitted, (found.prices, bound))
    best = _better(program, best, _cuttable(program, columns, settled, bound, _cost(program, best)))
    if best is None:
        return Lacking(0.0, False)
    proof = Proof(best, bound, 0)
    if best.cost(program) > bound:
        closing = _Closing(program, settled, columns)
        proof = proof_by_cases(program, columns, found, best, closing)
    ffd = None if fitted is None else fitted.cost(program)
    return Chosen(proof.plan, proof.plan.cost(program), proof.bound, ffd, found.prices, proof.cases)


def _greedy(
    program: Program, columns: Columns, settled: Settled, best: Plan | None, proof: tuple[Prices, int]
) -> Plan | None:
    """Make plans until one costs no more than the bound; what they hold is added to the columns."""
    prices, bound = proof
    if _cost(program, best) <= bound:
        return best
    for attempt in attempts(program, settled, prices.pieces, GREEDY, on_hand(program)):
        settled.learn(attempt.blocks, columns)
        best = _better(program, best, attempt.plan)
        if _cost(program, best) <= bound:
            break
    return best


def _cost(program: Program, plan: Plan | None) -> float:
    return np.inf if plan is None else plan.cost(program)


def _better(program: Program, first: Plan | None, second: Plan | None) -> Plan | None:
    return second if _cost(program, second) < _cost(program, first) else first


def _cuttable(program: Program, columns: Columns, settled: Settled, bound: int, known: float) -> Plan | None:
    """Return the best plan of those columns that can be cut, if it costs less than what is known."""
    if known <= bound:
        return None
    if not columns.fillings:
        return None
    strips = settled.all_cuttable(columns.strips.values())
    answer = in_whole_numbers(
        program,
        list(columns.fillings),
        strips,
        (bound, program.below(int(known)) if np.isfinite(known) else np.inf),
    )
    return None if answer.chosen is None else plan_of(program, answer.chosen, settled)


@dataclass(frozen=True, eq=False)
class _Closing:
    """Closes a case: lists every column that a cheaper plan could hold, and settles it with those.

    A column whose price is so low that any plan with it costs no less than the best one known is in no
    cheaper plan; if few enough are left, the program over them decides.
    """

    program: Program
    settled: Settled
    columns: Columns

    def __call__(self, case: Case, best: Plan) -> tuple[int, Plan]:
        """Look for a plan that costs no more than the case's bound.

        Return the bound that the case proves (more than it had, if there is no such plan; as it was, if that
        stays open) and the best plan known afterwards.
        """
        program = self.program
        found = self._with_these_blocks(case, best)
        if found.cost(program) <= case.bound:
            return case.bound, found
        spare = case.bound - case.relaxed.prices.bound
        strips = listed_strips(program, case.relaxed.prices, spare)
        fillings = listed_fillings(program, case.relaxed.prices, spare, case.limits)
        if strips is None or fillings is None:
            return case.bound, best
        window = (case.bound, case.bound)
        answer = in_whole_numbers(program, fillings, strips, window, case.limits)
        if answer.chosen is None:
            return program.rounded_up(case.bound + 1) if answer.none else case.bound, best
        if not all(self.settled.known(strip) for strip in answer.chosen[1]):
            cut = self.settled.all_cuttable(strips)
            answer = in_whole_numbers(program, fillings, cut, window, case.limits)
        plan = None if answer.chosen is None else plan_of(program, answer.chosen, self.settled)
        return case.bound, _better(program, best, plan) or best

    def _with_these_blocks(self, case: Case, best: Plan) -> Plan:
        """Try to serve the order from the very blocks that the case has."""
        program, stock = self.program, np.round(case.relaxed.blocks)
        volumes = np.array([piece.volume for piece in program.order.pieces])
        if float(stock @ [kind.cost for kind in program.kinds]) > case.bound + 1e-6:
            return best
        for coarse, rounds in CLOSING:
            for attempt in attempts(program, self.settled, volumes, rounds, stock, coarse):
                self.settled.learn(attempt.blocks, self.columns)
                if attempt.plan is not None:
                    return _better(program, best, attempt.plan) or best
            found = _cuttable(program, self.columns, self.settled, case.bound, case.bound + program.grain)
            if found is not None:
                return _better(program, best, found) or best
        return best
