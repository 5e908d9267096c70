"""What lies under a plane, against closed forms, to rounding or to 1e-6 at least."""

import os
import subprocess
import sys

import numpy as np
import pytest
from scipy.integrate import quad

from foamwright.water.columns import columns_of
from foamwright.water.pool import Surface
from tests.closed_forms import Box, Cylinder, Ellipsoid, Wigley

TILTED = [
    (0.4, 0.0, 0.0),
    (0.2, 0.3, 0.0),
    (0.9, -0.4, 0.25),
    (1.5, 0.0, 1.1),
    (1.99, 0.01, -0.02),
    (0.003, 0.0, 0.0),
]


@pytest.mark.parametrize(("height", "along", "across"), TILTED)
def test_sphere_under_any_plane(height, along, across):
    sphere = columns_of(Ellipsoid(2.0, 2.0, 2.0))
    # The plane through the point `height` below or above the lowest point, whatever its tilt.
    size = np.sqrt(1.0 + along**2 + across**2)
    surface = Surface(1.0 - (1.0 - height) * size - along, along, across)
    pool = sphere.pool(surface)
    volume = np.pi * height**2 * (3.0 - height) / 3.0
    below = 0.75 * (2.0 - height) ** 2 / (3.0 - height)
    assert pool.volume == pytest.approx(volume, rel=1e-8)
    centre = np.array([1.0, 0.0, 1.0]) - below * surface.up
    assert pool.centre == pytest.approx(centre, abs=1e-8)
    # Where the surface grazes a section between two nodes, a sliver of the area is missed (docs/water.md).
    assert pool.area == pytest.approx(np.pi * height * (2.0 - height) * surface.up[2], rel=2e-5)


def test_whole_ellipsoid_and_a_dry_one():
    solid = columns_of(Ellipsoid(3.0, 2.0, 1.0))
    assert solid.volume == pytest.approx(np.pi, rel=1e-11)
    assert solid.pool(Surface(1.0)).volume == pytest.approx(np.pi, rel=1e-11)
    assert solid.pool(Surface(-0.01)).volume == 0.0


def segment_area(height, diameter=1.0):
    deep = min(max(height / diameter, 0.0), 1.0)
    angle = 2.0 * np.arccos(1.0 - 2.0 * deep)
    return diameter**2 / 8.0 * (angle - np.sin(angle))


@pytest.mark.parametrize("along", [0.0, 0.2, 0.6, -1.5])
def test_cylinder_dipped_by_one_end(along):
    cylinder = columns_of(Cylinder(2.0, 1.0, 1.0))
    kinks = [x for x in (-0.4 / along, 0.6 / along) if 0.0 < x < 2.0] if along else None
    expected = quad(lambda x: segment_area(0.4 + along * x), 0, 2, points=kinks, epsabs=1e-13, epsrel=1e-13)[
        0
    ]
    assert cylinder.pool(Surface(0.4, along)).volume == pytest.approx(expected, rel=1e-9)


def test_box_with_an_edge_out_of_the_water():
    """A wedge: two edges cut; volume and centre are those of a triangular prism."""
    pool = columns_of(Box(2.0, 1.0, 0.5)).pool(Surface(-0.1, 0.5))
    depth, reach = 0.5, 1.0
    # The surface meets the bottom at x = 0.2, and the deck at 1.2: a triangle, then a full end.
    triangle, block = 0.5 * reach * depth, 0.8 * depth
    assert pool.volume == pytest.approx(triangle + block, rel=1e-12)
    moment = triangle * (0.2 + 2.0 / 3.0 * reach) + block * 1.6
    assert pool.moment[0] == pytest.approx(moment, rel=1e-12)
    height = triangle * depth / 3.0 + block * depth / 2.0
    assert pool.moment[2] == pytest.approx(height, rel=1e-12)
    assert pool.area == pytest.approx(1.0, rel=1e-10)


def test_box_under_a_plane_across_a_corner():
    """A tetrahedron at one corner: a sixth of its legs' product, its centre a quarter along each."""
    pool = columns_of(Box(2.0, 1.0, 0.5)).pool(Surface(0.3 - 0.5 * 1.2, -0.6, 1.2))
    # Corner (0, +0.5): legs 0.5 along x, 0.25 along y, 0.3 up.
    assert pool.volume == pytest.approx(0.5 * 0.25 * 0.3 / 6.0, rel=1e-10)
    assert pool.centre == pytest.approx([0.125, 0.5 - 0.0625, 0.075], rel=1e-9)


def test_wigley_hull():
    hull = columns_of(Wigley(100.0, 10.0, 6.25, freeboard=3.0))
    pool = hull.pool(Surface(6.25))
    assert pool.volume == pytest.approx(100.0 * 10.0 * 6.25 * 4.0 / 9.0, rel=1e-9)
    assert pool.area == pytest.approx(100.0 * 10.0 * 2.0 / 3.0, rel=1e-7)
    assert pool.centre[2] == pytest.approx(6.25 * 5.0 / 8.0, rel=1e-9)
    assert pool.second[1, 1] / pool.volume == pytest.approx(3.0 / 35.0 * 100.0 / 6.25, rel=1e-6)


def test_a_hand_kernel_of_slices_agrees_under_a_rolled_and_pitched_plane():
    """Wigley under a plane that cuts keel, side and deck: dense slices in y by an independent rule."""
    hull, surface = Wigley(10.0, 2.0, 1.0), Surface(0.2, 0.07, 0.5)

    def slice_at(x, y):
        share = abs(y) / float(hull.half_width(np.array([x]))[0])
        bottom = 1.0 - np.sqrt(1.0 - share)
        return min(max(surface.height + surface.along * x + surface.across * y - bottom, 0.0), 1.0 - bottom)

    x, w = np.polynomial.legendre.leggauss(200)
    x, w = 5.0 + 5.0 * x, 5.0 * w
    total = 0.0
    for station, weight in zip(x, w, strict=True):
        half = float(hull.half_width(np.array([station]))[0])
        across = (np.arange(4000) + 0.5) / 4000 * 2.0 - 1.0
        total += weight * half * 2.0 / 4000 * sum(slice_at(station, half * a) for a in across)
    assert columns_of(hull).pool(surface).volume == pytest.approx(total, rel=3e-6)


def test_interpreted_kernel_gives_the_same():
    """The kernels as plain Python, in a process of their own."""
    program = (
        "from tests.closed_forms import Ellipsoid\n"
        "from foamwright.water.columns import columns_of\n"
        "from foamwright.water.pool import Surface\n"
        "pool = columns_of(Ellipsoid(3.0, 2.0, 1.0), 7, 7).pool(Surface(0.3, 0.1, 0.2))\n"
        "print(repr(pool.volume), repr(float(pool.moment[1])), repr(pool.area))\n"
    )
    texts = [
        subprocess.run(
            [sys.executable, "-W", "error", "-c", program],
            env={**os.environ, "FOAMWRIGHT_INTERPRETED": flag},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for flag in ("1", "")
    ]
    plain, compiled = ([float(v) for v in text.split()] for text in texts)
    assert plain == pytest.approx(compiled, rel=1e-12)
