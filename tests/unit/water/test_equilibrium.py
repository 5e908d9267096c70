"""Rest of floating bodies whose rest is known."""

import numpy as np
import pytest

from foamwright.errors import FaultError
from foamwright.water.columns import columns_of
from foamwright.water.equilibrium import Floating, Load, float_at_rest
from foamwright.water.pool import Surface
from tests.closed_forms import Box, Ellipsoid

SEA = 1025.0


def bar(ratio):
    """A square bar of relative density `ratio`."""
    return Floating(columns_of(Box(3.0, 1.0, 1.0)), Load(ratio * 3.0 * SEA, np.array([1.5, 0.0, 0.5])), SEA)


def test_square_bar_of_half_density_rests_on_its_edge():
    rest = float_at_rest(bar(0.5), Surface(0.0, 0.0, 0.05), free=(True, True))
    assert rest.surface.across == pytest.approx(1.0, abs=1e-9)
    assert rest.stable == (True, True)
    assert np.max(np.abs(rest.residual)) < 1e-10


def test_square_bar_floats_flat_only_when_light_or_heavy():
    """The limit 0.2113 by both signs of the stiffness, on either side of it."""
    assert float_at_rest(bar(0.21)).stable[1]
    assert not float_at_rest(bar(0.2127)).stable[1]
    assert not float_at_rest(bar(0.787)).stable[1]
    assert float_at_rest(bar(0.79)).stable[1]


def test_held_roll_stays_and_leaves_its_moment():
    rest = float_at_rest(bar(0.5), Surface(0.0, 0.0, 0.2))
    assert rest.surface.across == 0.2
    assert abs(rest.residual[0]) < 1e-10
    assert abs(rest.residual[2]) > 1e-3


def test_stiffness_is_the_metacentric_height_of_a_box():
    """At small angles the moment per radian is m*GM, with GM = KB + BM - KG."""
    box = columns_of(Box(1.8, 0.5, 0.5))
    mass, low = SEA * 1.8 * 0.5 * 0.06, 0.05
    rest = float_at_rest(Floating(box, Load(mass, np.array([0.9, 0.0, low])), SEA))
    across = 0.03 + 0.5**2 / 12.0 / 0.06 - low
    along = 0.03 + 1.8**2 / 12.0 / 0.06 - low
    assert np.diag(rest.stiffness) / mass == pytest.approx([along, across], rel=1e-8)


def test_ball_does_not_care_how_it_is_turned():
    ball = columns_of(Ellipsoid(2.0, 2.0, 2.0))
    rest = float_at_rest(Floating(ball, Load(0.25 * ball.volume * SEA, np.array([1.0, 0.0, 1.0])), SEA))
    # Every tilt is rest for a ball, so the draught is measured from its centre.
    share = (1.0 - rest.surface.above(np.array([1.0, 0.0, 1.0]))) / 2.0
    assert share**2 * (3.0 - 2.0 * share) == pytest.approx(0.25, rel=1e-10)
    assert np.abs(rest.stiffness).max() < 1e-5 * SEA


def test_what_sinks_is_told_before_it_is_asked_to_float():
    stone = bar(1.01)
    assert stone.sinks
    with pytest.raises(FaultError, match="sinks"):
        float_at_rest(stone)
