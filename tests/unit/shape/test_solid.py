"""Volume, centroid and moments against closed forms, with the order of convergence shown."""

from itertools import pairwise
from math import gamma

import numpy as np
import pytest

from foamwright.shape.quadrature import nodes_of, stretched
from foamwright.shape.solid import mass_properties, section_areas, volume
from tests.superellipsoid import Superellipsoid, ellipsoid_area

BOARDLIKE = Superellipsoid(0.95, 0.26, 0.032, lift=0.05)


def test_ellipsoid_to_rounding() -> None:
    mass = mass_properties(BOARDLIKE)
    a, b, c = BOARDLIKE.a, BOARDLIKE.b, BOARDLIKE.c
    assert mass.volume == pytest.approx(BOARDLIKE.volume, rel=1e-13)
    assert mass.area == pytest.approx(ellipsoid_area(a, b, c), rel=3e-10)
    assert (mass.centroid_x, mass.centroid_z) == pytest.approx((a, BOARDLIKE.lift), rel=1e-13)
    moments = [(b * b + c * c), (a * a + c * c), (a * a + b * b)]
    wanted = [BOARDLIKE.volume / 5.0 * m for m in moments]
    np.testing.assert_allclose(mass.inertia, wanted, rtol=1e-12)


def test_ellipsoid_converges_faster_than_any_power() -> None:
    errors = [abs(volume(BOARDLIKE, n, n) / BOARDLIKE.volume - 1.0) for n in range(2, 14, 2)]
    # Two more nodes buy a factor of 10 or more.
    assert all(later < earlier / 10.0 for earlier, later in pairwise(errors))
    assert abs(volume(BOARDLIKE, 20, 20) / BOARDLIKE.volume - 1.0) < 1e-13


@pytest.mark.parametrize("exponent", [2.0, 2.5, 3.0, 4.0])
def test_superellipsoids(exponent: float) -> None:
    solid = Superellipsoid(0.95, 0.26, 0.032, exponent)
    assert volume(solid, 40, 40) == pytest.approx(solid.volume, rel=1e-9)


@pytest.mark.parametrize("exponent", [1.7, 2.3])
def test_superellipsoid_order(exponent: float) -> None:
    # The roundest place is not the rail (the grading takes care of it) but the stringer, where the section
    # goes as |y|^n: Gauss sees that with order 2 (n + 1).
    solid = Superellipsoid(1.0, 1.0, 1.0, exponent)
    errors = [abs(volume(solid, n, n) / solid.volume - 1.0) for n in (16, 32, 64)]
    orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))
    np.testing.assert_allclose(orders, 2.0 * (exponent + 1.0), atol=0.2)


@pytest.mark.parametrize(("exponent", "error"), [(1.5, 5e-7), (2.0, 1e-14), (2.5, 2e-9), (4.0, 1e-14)])
def test_section_areas_are_lame(exponent: float, error: float) -> None:
    solid = Superellipsoid(1.0, 0.3, 0.04, exponent)
    x = nodes_of(solid, 8, 24).x
    # Source: the superellipse area formula, Gamma(1+1/n)^2 / Gamma(1+2/n) of a unit quarter.
    quarter = gamma(1.0 + 1.0 / exponent) ** 2 / gamma(1.0 + 2.0 / exponent)
    round_ = solid.half_width(x) / 0.3
    np.testing.assert_allclose(section_areas(solid, x), 4 * 0.3 * 0.04 * quarter * round_**2, rtol=error)


@pytest.mark.parametrize("scale", [0.3, 7.0])
def test_scaling(scale: float) -> None:
    small = mass_properties(BOARDLIKE)
    big = mass_properties(Superellipsoid(0.95 * scale, 0.26 * scale, 0.032 * scale, lift=0.05 * scale))
    assert big.volume == pytest.approx(scale**3 * small.volume, rel=1e-13)
    assert big.area == pytest.approx(scale**2 * small.area, rel=1e-12)
    np.testing.assert_allclose(big.inertia, np.array(small.inertia) * scale**5, rtol=1e-12)


def test_stretched_weights_cover_the_panels() -> None:
    x, weights = stretched((0.0, 1.0, 3.0), 12)
    assert weights.sum() == pytest.approx(3.0, rel=1e-14)
    assert weights @ x**2 == pytest.approx(9.0, rel=1e-14)
