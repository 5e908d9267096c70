"""Passes to thickness: counted, never below, from mark to mark where the blank stands high."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from foamwright.bay.bay import Bay
from foamwright.cuts.counting import MARKS
from foamwright.cuts.passes import PassPlan, plan_passes
from foamwright.stages.solids import split_even
from foamwright.units import INCH, System

Array = NDArray[np.float64]
X = np.linspace(0.0, 74.0 * INCH, 305)
BOTTOM = -((X - 0.9) ** 2) / 12.0
DECK = (X - 0.9) ** 2 / 12.0
RUN = np.abs(X - 0.94) ** 2 * 0.02
HUMP = 0.3 * INCH * np.exp(-(((X - 1.3) / 0.2) ** 2))


def passed(face: Array, removal: Array) -> PassPlan:
    split = split_even(removal)
    return plan_passes((X, face, face - split.even), split, Bay().planes, MARKS[System.INCH])


def test_even_removal_is_whole_passes_of_one_chip() -> None:
    plan = passed(BOTTOM, 0.25 * INCH + RUN)
    (only,) = plan.passes
    assert (only.count, only.chip) == (8, INCH / 32)
    assert plan.whole == 8
    assert plan.as_json()["whole_length"] == 8


@pytest.mark.parametrize("face", [BOTTOM, DECK])
@pytest.mark.parametrize("removal", [0.2 * INCH + RUN, 0.1 * INCH + RUN + HUMP, HUMP, 0.0 * X])
def test_never_below_the_thickness_line(face: Array, removal: Array) -> None:
    plan = passed(face, removal)
    assert plan.left.min() >= -1e-12
    assert plan.left.max() <= 2.3 * INCH / 32


def test_a_hump_is_planed_first_and_between_marks() -> None:
    plan = passed(BOTTOM, 0.1 * INCH + RUN + HUMP)
    spans = [one.end - one.begin for one in plan.passes]
    assert spans == sorted(spans)
    assert plan.passes[0].begin > 0.0
    assert all(span >= 3 * INCH - 1e-9 for span in spans)
    for one in plan.passes:
        marks = np.array([one.begin, one.end]) / INCH * 8
        np.testing.assert_allclose(marks, np.rint(marks), atol=1e-6)
