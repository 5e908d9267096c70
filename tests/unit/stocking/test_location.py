from itertools import combinations

import numpy as np
import pytest

from foamwright.stocking.bound import bound_at, earnings, priced, settled
from foamwright.stocking.choosing import choose, cost_curve
from foamwright.stocking.exact import settled_exactly
from foamwright.stocking.location import Location, added, exchanged, improved_freely, losses, served
from tests.stocking_cases import cheapest, random_problem

SEEDS = range(12)


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("keep", [1, 2, 4, 9])
def test_the_choice_is_the_best_of_all(seed, keep):
    problem = random_problem(seed)
    chosen = choose(problem, keep)
    assert len(chosen.kept) == keep
    assert chosen.cost == pytest.approx(cheapest(problem, keep), rel=1e-9)
    assert chosen.gap <= 2e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_as_many_are_kept_as_pay(seed):
    problem = random_problem(seed, holding=60.0)
    chosen = choose(problem, None)
    assert chosen.cost == pytest.approx(cheapest(problem, None), rel=1e-9)
    assert chosen.gap <= 2e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_any_prices_prove_a_bound(seed):
    problem = random_problem(seed, holding=20.0)
    prices = np.random.default_rng(seed).uniform(0, 80, problem.clients)
    earns = earnings(problem, prices, np.empty_like(problem.cost))
    for keep in (1, 3, None):
        assert bound_at(prices, earns, keep) <= cheapest(problem, keep) + 1e-9


@pytest.mark.parametrize("seed", SEEDS)
def test_steps_better_the_bound(seed):
    problem = random_problem(seed)
    best = cheapest(problem, 3)
    first = priced(problem, 3, np.zeros(problem.clients), best, enough=1e-6, most=1).value
    last = priced(problem, 3, np.zeros(problem.clients), best, enough=1e-6, most=400).value
    assert first < last <= best + 1e-9
    assert last >= 0.9 * best


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_settled_is_so_in_every_best_choice(seed):
    problem = random_problem(seed)
    best = cheapest(problem, 3)
    bound = priced(problem, 3, np.zeros(problem.clients), best, enough=1e-6, most=200)
    surely, never = settled(bound, 3, best)
    for kept in combinations(range(problem.sites), 3):
        if problem.total(kept) <= best * (1 + 1e-12):
            assert set(surely) <= set(kept)
            assert not set(never) & set(kept)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_exact_program_finds_the_best_from_a_weak_bound(seed):
    problem = random_problem(seed, holding=30.0)
    for keep in (3, None):
        weak = priced(problem, keep, np.zeros(problem.clients), 1e6, enough=1e-6, most=1)
        exact = settled_exactly(problem, keep, weak, 1e6)
        assert exact is not None
        assert problem.total(exact.kept) == pytest.approx(cheapest(problem, keep), rel=1e-9)
        assert exact.bound == pytest.approx(cheapest(problem, keep), rel=1e-6)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_exchange_betters_what_exchanges_found(seed):
    problem = random_problem(seed, sites=12)
    kept = exchanged(problem, (0, 1, 2, 3))
    cost = problem.total(kept)
    for leaves in kept:
        for comes in set(range(12)) - set(kept):
            assert problem.total([comes, *(s for s in kept if s != leaves)]) >= cost * (1 - 2e-9)


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_betters_a_free_choice_by_one_step(seed):
    problem = random_problem(seed, sites=12, holding=40.0)
    kept = improved_freely(problem, (0,))
    cost = problem.total(kept)
    steps = [set(kept) ^ {site} for site in range(12)]
    assert all(problem.total(sorted(step)) >= cost * (1 - 2e-9) for step in steps if step)


def test_losses_are_what_dropping_costs():
    problem = random_problem(3, holding=10.0)
    kept = (1, 4, 6)
    for place, site in enumerate(kept):
        without = [s for s in kept if s != site]
        assert losses(problem, kept)[place] == pytest.approx(problem.total(without) - problem.total(kept))


def test_added_is_what_adding_saves():
    problem = random_problem(4, holding=10.0)
    site, saved = added(problem, (2, 5))
    assert saved == pytest.approx(problem.total((2, 5)) - problem.total((2, 5, site)))
    others = [problem.total((2, 5, s)) for s in range(9) if s not in (2, 5)]
    assert problem.total((2, 5, site)) == pytest.approx(min(others))


def test_ties_go_to_the_lower_number():
    problem = Location(np.ones((4, 3)), np.zeros(4))
    assert choose(problem, 2).kept == (0, 1)
    assert served(problem, (1, 3)).nearest.tolist() == [0, 0, 0]


def test_the_curve_falls_and_each_point_is_proved():
    problem = random_problem(6)
    curve = cost_curve(problem, 9)
    costs = [one.cost for one in curve]
    assert costs == sorted(costs, reverse=True)
    for keep, one in enumerate(curve, start=1):
        best = cheapest(problem, keep)
        assert len(one.kept) == keep
        assert one.bound <= best + 1e-9
        assert one.cost >= best - 1e-9


def test_the_same_choice_every_time():
    problem = random_problem(8, sites=40, clients=200)
    assert choose(problem, 6) == choose(problem, 6)
