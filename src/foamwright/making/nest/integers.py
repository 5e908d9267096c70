"""The program in whole numbers over some columns (HiGHS), and its answer as blocks that can be cut."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from foamwright.making.nest.filled import Filled, Plan, Slice, holds, trimmed
from foamwright.making.nest.master import Limits, rules
from foamwright.making.nest.program import Filling, Program, Strip
from foamwright.making.nest.settling import Settled

NODES = 1_500
"""Branches after which an integer program stops: a count, not a time, so that every run stops at the same
place."""

SECONDS = 120.0
"""Seconds after which it stops all the same, far beyond what those branches take."""


@dataclass(frozen=True, eq=False)
class Answer:
    """Columns with how often each, or ``None``; `none`: it is certain that there is no answer."""

    chosen: tuple[Counter[Filling], Counter[Strip]] | None
    none: bool = False


def in_whole_numbers(
    program: Program,
    fillings: list[Filling],
    strips: list[Strip],
    window: tuple[float, float],
    limits: Limits = (),
) -> Answer:
    """Solve the program over some columns in whole numbers, at a cost within the window.

    That no plan costs less than the window is known; told so, the solver stops when it is there.
    """
    if not fillings or not strips:
        return Answer(None, True)
    made = rules(program, fillings, strips, limits)
    finite = np.isfinite(made.right)
    answer = milp(
        made.cost,
        constraints=[
            LinearConstraint(made.matrix.tocsr()[finite], made.right[finite], np.inf),
            LinearConstraint(made.cost[None, :], window[0] - 1e-6, window[1] + 1e-6),
        ],
        integrality=np.ones(made.cost.size),
        bounds=Bounds(0.0, float(np.sum(program.wanted))),
        options={"mip_rel_gap": 0.0, "node_limit": NODES, "time_limit": SECONDS},
    )
    if answer.x is None:
        return Answer(None, answer.status == 2)
    times = np.round(answer.x).astype(int)
    return Answer(
        (
            Counter({f: int(n) for f, n in zip(fillings, times, strict=False) if n}),
            Counter({s: int(n) for s, n in zip(strips, times[len(fillings) :], strict=True) if n}),
        )
    )


def plan_of(
    program: Program, chosen: tuple[Counter[Filling], Counter[Strip]], settled: Settled
) -> Plan | None:
    """Put strips into the slots of the fillings; the widest into the first slots that take them."""
    fillings, strips = chosen
    waiting: dict[tuple[int, int], list[Strip]] = {}
    for strip, times in strips.items():
        waiting.setdefault((strip.side, program.class_of(strip.pile)), []).extend([strip] * times)
    blocks = []
    for filling, times in fillings.items():
        side = program.kinds[filling.kind].side
        for _ in range(times):
            taken = [
                (width, waiting[side, width].pop())
                for width in reversed(filling.classes)
                if waiting.get((side, width))
            ]
            slices = tuple(Slice(width, settled.stack(strip)) for width, strip in taken)
            blocks.append(Filled(filling.kind, slices))
    plan = trimmed(program, blocks)
    return plan if holds(program, plan) else None
