"""The choice of what to keep, against published location problems and their known optima (OR-Library)."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from foamwright.stocking.choosing import choose
from foamwright.stocking.location import Location

DATA = Path(__file__).parent / "data"
PUBLISHED = tomllib.loads((DATA / "location.toml").read_text())


def shortest_paths(length):
    """All shortest paths of a network (Floyd and Warshall)."""
    for middle in range(len(length)):
        length = np.minimum(length, length[:, middle, None] + length[None, middle])
    return length


def p_median(of_two=lambda first, later: later):
    """Return pmed1 with its number of medians; of an edge given twice the later line counts."""
    numbers = [int(word) for word in (DATA / "pmed1.txt").read_text().split()]
    vertices, edges, medians = numbers[:3]
    length = np.full((vertices, vertices), np.inf)
    np.fill_diagonal(length, 0.0)
    for n in range(edges):
        a, b, cost = numbers[3 + 3 * n : 6 + 3 * n]
        kept = length[a - 1, b - 1]
        length[a - 1, b - 1] = length[b - 1, a - 1] = cost if np.isinf(kept) else of_two(kept, cost)
    assert [vertices, edges, medians] == PUBLISHED["pmed1_size"]["value"]
    return Location(shortest_paths(length), np.zeros(vertices)), medians


def warehouses(fixed=None):
    """Return cap71, or with another fixed cost for each warehouse that has one."""
    words = (DATA / "cap71.txt").read_text().split()
    sites, clients = int(words[0]), int(words[1])
    holding = np.array([float(word) for word in words[3 : 3 + 2 * sites : 2]])
    table = [float(word) for word in words[2 + 2 * sites :]]
    cost = np.array(table).reshape(clients, sites + 1)[:, 1:].T
    return Location(cost, holding if fixed is None else np.where(holding > 0.0, fixed, 0.0))


def test_pmed1_comes_to_the_known_optimum():
    problem, medians = p_median()
    chosen = choose(problem, medians)
    assert chosen.cost == PUBLISHED["pmed1"]["value"]
    assert chosen.gap < 1e-6
    assert [site + 1 for site in chosen.kept] == [7, 13, 65, 91, 99]


def test_pmed1_read_by_the_wrong_rule_comes_to_the_other_value():
    problem, medians = p_median(min)
    assert choose(problem, medians).cost == PUBLISHED["pmed1_wrong_rule"]["value"]


def test_pmed1_from_the_exact_program_alone():
    from foamwright.stocking.bound import priced
    from foamwright.stocking.exact import settled_exactly

    problem, medians = p_median()
    weak = priced(problem, medians, np.zeros(problem.clients), 5900.0, enough=0.0, most=60)
    exact = settled_exactly(problem, medians, weak, 5900.0)
    assert exact is not None
    assert problem.total(exact.kept) == PUBLISHED["pmed1"]["value"]


# cap72 to cap74 are cap71 with other fixed costs (as remembered; the known optima confirm it).
@pytest.mark.parametrize(
    ("name", "fixed"), [("cap71", None), ("cap72", 12500.0), ("cap73", 17500.0), ("cap74", 25000.0)]
)
def test_warehouses_come_to_the_known_optimum(name, fixed):
    entry = PUBLISHED[name]
    chosen = choose(warehouses(fixed), None)
    assert chosen.cost == pytest.approx(entry["value"], abs=entry["tol"])
    assert chosen.gap < 1e-6
