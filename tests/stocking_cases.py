"""Small studies and problems, and tasks that other processes can import by name."""

from __future__ import annotations

import os
import signal
from itertools import combinations

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.errors import InputError, Problem
from foamwright.stocking.candidates import generated
from foamwright.stocking.demand import expected_boards
from foamwright.stocking.location import Location
from foamwright.stocking.study import Study

SEED = 5


def small_study(boards: int = 36, candidates: int = 12) -> Study:
    """A study of a few seconds."""
    return Study(expected_boards(boards, SEED), generated(candidates), Bay())


def random_problem(seed: int, sites: int = 9, clients: int = 14, holding: float = 0.0) -> Location:
    """A problem of places in the plane, small enough to try every choice."""
    dice = np.random.default_rng(seed)
    here, there = dice.random((sites, 2)), dice.random((clients, 2))
    cost = 100.0 * np.hypot(*(here[:, None] - there[None]).transpose(2, 0, 1))
    return Location(np.minimum(cost, 70.0), holding * dice.random(sites))


def cheapest(problem: Location, keep: int | None) -> float:
    """Cost of the best choice, by trying all."""
    sizes = range(1, problem.sites + 1) if keep is None else (keep,)
    return min(problem.total(kept) for size in sizes for kept in combinations(range(problem.sites), size))


def squared(shared: int, job: int) -> int:
    """What all share and the job's square."""
    return shared + job * job


def refusing(shared: None, job: int) -> int:
    """Refuse the third job as wrong input."""
    if job == 2:
        raise InputError(Problem("job 2", "it is wrong.", "Give another."))
    return job


def deadly(shared: None, job: int) -> int:
    """Die of the second job, whoever does it."""
    if job == 1:
        os.kill(os.getpid(), signal.SIGKILL)
    return job
