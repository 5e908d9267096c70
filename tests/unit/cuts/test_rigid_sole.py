"""The kernels against a rigid sole solved as a linear program, and against closed forms (docs/planing.md)."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from foamwright.bay.bay import Bay
from foamwright.cuts.sole import Sole, contact_radius, sole_of, steady_cut
from foamwright.shape.kernels.planing import full_stroke, heel_stroke
from foamwright.units import INCH
from tests.planing_reference import rigid_sole_stroke

Array = NDArray[np.float64]
SOLE = (7, 3)


def a_face(seed: int) -> Array:
    dice = np.random.default_rng(seed)
    x = np.arange(26) - dice.uniform(5, 20)
    return dice.uniform(-0.02, 0.02) * x**2 + 0.05 * dice.normal(size=26) * (seed % 3 == 0)


@pytest.mark.parametrize("seed", range(12))
def test_pressed_at_the_iron_a_rigid_sole_cuts_what_the_kernel_says(seed: int) -> None:
    heights, chip = a_face(seed), 0.3
    worn = heights.copy()
    heel_stroke(worn, 4, worn.size, (float(SOLE[0]), float(SOLE[1])), chip)
    np.testing.assert_allclose(rigid_sole_stroke(heights, 4, SOLE, chip, 0.0), worn, atol=1e-8)


@pytest.mark.parametrize("load", [-7.0, -3.0, 0.0, 1.5, 3.0])
@pytest.mark.parametrize("seed", range(4))
def test_wherever_it_is_pressed_it_never_cuts_deeper_than_a_full_chip(seed: int, load: float) -> None:
    heights, chip = a_face(seed), 0.3
    deep = heights.copy()
    full_stroke(deep, 4, deep.size, chip)
    assert (rigid_sole_stroke(heights, 4, SOLE, chip, load) >= deep - 1e-9).all()


@pytest.mark.parametrize("share", [0.05, 0.5, 0.9, 1.2])
def test_in_a_long_hollow_each_stroke_settles_at_the_closed_form(share: float) -> None:
    chip = INCH / 32
    behind, ahead = 27, 8
    step = 0.0025
    sole = Sole(behind * step, ahead * step)
    radius = sole.behind * sole.ahead / (2.0 * share * chip)
    x = step * np.arange(600)
    heights = x**2 / (2.0 * radius)
    before = heights.copy()
    heel_stroke(heights, 0, 600, (float(behind), float(ahead)), chip)
    taken = (before - heights)[300:500]
    assert np.ptp(taken) < 1e-9
    assert taken[0] == pytest.approx(steady_cut(sole, chip, share * chip), abs=1e-9)


def test_the_trimming_plane_reaches_hollows_down_to_the_radius_that_the_docs_name() -> None:
    plane = Bay().planes[0]
    radius = contact_radius(sole_of(plane), plane.chips[0])
    assert radius == pytest.approx(plane.mouth * (plane.sole - plane.mouth) / (2 * plane.chips[0]), rel=1e-3)
    assert 0.85 < radius < 0.9
