"""The chain of stages: how the removal is split, and that foam never grows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foamwright.errors import FaultError
from foamwright.stages.solids import Chain, StageName, chain_of, require_nested, split_even
from tests.plans import demo_plan


def test_an_even_removal_is_all_even() -> None:
    split = split_even(np.full(31, 0.004))
    assert split.rest.max() == 0.0
    assert split.even == pytest.approx(0.004)


def test_what_grows_towards_the_tips_is_left_to_the_run_offs() -> None:
    x = np.linspace(-1.0, 1.0, 101)
    split = split_even(0.003 + 0.02 * x**2)
    assert split.even == pytest.approx(0.003)
    assert split.rest == pytest.approx(0.02 * x**2)


def test_a_hump_in_the_middle_is_taken_with_the_even_part() -> None:
    x = np.linspace(-1.0, 1.0, 201)
    removal = 0.003 + 0.02 * x**2 + 0.005 * np.exp(-(((x - 0.5) / 0.1) ** 2))
    split = split_even(removal)
    assert split.even + split.rest == pytest.approx(removal)
    assert np.all(np.diff(split.rest[split.pivot :]) >= 0.0)
    assert np.all(np.diff(split.rest[: split.pivot + 1]) <= 0.0)
    assert split.even.max() > 0.004


def test_a_tail_that_needs_less_than_the_middle_gets_no_run_off() -> None:
    x = np.linspace(0.0, 1.0, 101)
    split = split_even(0.002 + 0.01 * x)
    assert split.rest[: split.pivot + 1].max() == 0.0
    assert split.even + split.rest == pytest.approx(0.002 + 0.01 * x)


def test_every_stage_of_the_demo_is_inside_the_one_before_and_holds_the_core() -> None:
    plan = demo_plan()
    finished = plan.chain.stage(StageName.FINISHED)
    for outer, inner in zip(plan.chain.stages[:-1], plan.chain.stages[1:], strict=True):
        assert np.all(inner.bottom >= outer.bottom - 1e-12), inner.name
        assert np.all(inner.deck <= outer.deck + 1e-12), inner.name
        assert np.all(finished.bottom_across >= outer.bottom_across - 1e-12), outer.name
        assert np.all(finished.deck_across <= outer.deck_across + 1e-12), outer.name


def test_the_finishing_allowance_is_left_until_the_end() -> None:
    plan = demo_plan()
    rails, finished = plan.chain.stage(StageName.RAILS), plan.chain.stage(StageName.FINISHED)
    allowance = plan.bay.allowances.finish
    assert finished.bottom - rails.bottom == pytest.approx(allowance)
    assert rails.deck - finished.deck == pytest.approx(allowance)


def test_a_stage_that_grows_is_a_fault_with_its_place_and_amount() -> None:
    plan = demo_plan()
    grown = list(plan.chain.stages)
    foil = grown[4]
    grown[4] = replace(foil, deck_across=foil.deck_across + 0.05)
    with pytest.raises(FaultError, match=r"stage foil is outside stage rocker at its deck: \d+\.\d+ mm"):
        require_nested(tuple(grown))


def test_a_lay_that_is_tight_between_its_stations_is_no_fault_and_one_that_is_not_is() -> None:
    """Half a micrometre of foam is missing nowhere; five are."""
    plan = demo_plan()
    spare = float(plan.chain.bottom.removal.min())

    def lower_by(metres: float) -> Chain:
        lay = replace(plan.lay, lift=plan.lay.lift - spare - metres)
        return chain_of(plan.board, plan.blank, lay, plan.chain.finish)

    assert lower_by(5e-7).bottom.removal.min() == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(FaultError, match="outside stage"):
        lower_by(5e-6)
