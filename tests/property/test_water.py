"""Laws of floating that hold for every board, rider and surface."""

from dataclasses import dataclass

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.water.columns import columns_of
from foamwright.water.ellipsoid import Ellipsoid, Ellipsoids
from foamwright.water.equilibrium import Floating, Load, float_at_rest
from foamwright.water.pool import Surface, Together
from tests.closed_forms import Ellipsoid as SolidEllipsoid
from tests.closed_forms import Wigley

QUICK = settings(max_examples=25, deadline=None, derandomize=True)
heights = st.floats(-0.2, 1.2)
slopes = st.floats(-0.4, 0.4)
HULL = columns_of(Wigley(4.0, 1.0, 0.6, freeboard=0.4))


@QUICK
@given(heights, slopes, slopes)
def test_more_water_is_never_less_volume(height, along, across):
    low, high = (HULL.pool(Surface(h, along, across)) for h in (height, height + 0.05))
    assert 0.0 <= low.volume <= high.volume + 1e-9 <= HULL.volume + 2e-9


@QUICK
@given(st.floats(0.1, 0.9), slopes, slopes)
def test_sums_are_each_others_derivatives(height, along, across):
    """The volume grows with the surface by its area, and with its slopes by the area's first moments."""
    step = 1e-5
    pool = HULL.pool(Surface(height, along, across))
    grown = (
        [HULL.pool(Surface(height + s * step, along, across)).volume for s in (1, -1)],
        [HULL.pool(Surface(height, along + s * step, across)).volume for s in (1, -1)],
        [HULL.pool(Surface(height, along, across + s * step)).volume for s in (1, -1)],
    )
    rates = [(one - other) / (2 * step) for one, other in grown]
    assert rates == pytest.approx([pool.area, *pool.first], abs=2e-5)


@QUICK
@given(heights, slopes, slopes)
def test_sides_mirror(height, along, across):
    one, other = HULL.pool(Surface(height, along, across)), HULL.pool(Surface(height, along, -across))
    assert one.volume == pytest.approx(other.volume, abs=1e-12)
    assert one.moment == pytest.approx(other.moment * [1, -1, 1], abs=1e-12)
    assert one.second == pytest.approx(other.second * [[1, -1], [-1, 1]], abs=1e-12)


@QUICK
@given(st.floats(0.3, 3.0), st.floats(0.1, 0.9), slopes, slopes)
def test_scaled_by_k_is_k_cubed(k, height, along, across):
    one = HULL.pool(Surface(height, along, across))
    big = columns_of(Wigley(4.0 * k, 1.0 * k, 0.6 * k, freeboard=0.4 * k))
    other = big.pool(Surface(height * k, along, across))
    assert other.volume == pytest.approx(k**3 * one.volume, rel=1e-9, abs=1e-12)
    assert other.area == pytest.approx(k**2 * one.area, rel=1e-7, abs=1e-12)


@dataclass(frozen=True)
class Turned:
    """An ellipsoid of the body model against the same ellipsoid as a solid."""

    length: float
    beam: float
    depth: float

    @property
    def caps(self):
        half = np.array([self.length, self.beam, self.depth]) / 2.0
        return Ellipsoids([Ellipsoid(half * [1, 0, 1], np.diag(half))])


@QUICK
@given(st.floats(0.5, 3), st.floats(0.3, 2), st.floats(0.2, 1.5), heights, slopes, slopes)
def test_caps_and_columns_agree(length, beam, depth, height, along, across):
    surface = Surface(height * depth, along, across)
    caps = Turned(length, beam, depth).caps.pool(surface)
    columns = columns_of(SolidEllipsoid(length, beam, depth)).pool(surface)
    assert columns.volume == pytest.approx(caps.volume, rel=1e-7, abs=1e-7)
    assert columns.moment == pytest.approx(caps.moment, rel=1e-6, abs=1e-7)


@QUICK
@given(st.floats(0.2, 0.8), st.floats(-0.3, 0.3), st.floats(-0.02, 0.02))
def test_rest_carries_the_weight_over_the_centre(share, forward, aside):
    body = Together((HULL, Ellipsoids([Ellipsoid(np.array([2.0, 0.0, 1.1]), np.diag([0.5, 0.3, 0.2]))])))
    load = Load(share * 1000.0 * body.volume, np.array([2.0 + forward, aside, 0.25]))
    floating = Floating(body, load, 1000.0)
    rest = float_at_rest(floating, free=(True, True))
    assert 1000.0 * rest.pool.volume == pytest.approx(load.mass, rel=1e-9)
    apart = rest.pool.centre - load.centre
    level = apart - (apart @ rest.surface.up) * rest.surface.up
    assert np.linalg.norm(level) < 1e-8
    assert rest.stable == (True, True)
