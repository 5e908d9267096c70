"""Curves, sections and solids against values from outside; numbers and sources stand in data/curves.toml."""

import tomllib
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import trimesh

from foamwright.shape.curves import FairCurve, gauss_on
from foamwright.shape.fair import Batten, Condition, FairProblem
from foamwright.shape.mesh import mesh_of
from foamwright.shape.outlines import outline
from foamwright.shape.solid import volume
from foamwright.shape.touching import Point
from tests.superellipsoid import Superellipsoid

VALUES = tomllib.loads((Path(__file__).parent / "data" / "curves.toml").read_text("utf-8"))
EXPONENTS = {"n1": 1.0, "n2": 2.0, "n2_5": 2.5, "n3": 3.0, "n4": 4.0}


def value(name: str) -> float:
    return float(VALUES[name]["value"])


def thin_batten(x: list[float], y: list[float]) -> FairCurve:
    problem = FairProblem(np.array(x), batten=Batten.BENDING)
    return problem.solve(tuple(Condition(a, b) for a, b in zip(x, y, strict=True)))[0]


def integral(curve: FairCurve) -> float:
    nodes, weights = gauss_on(curve.knots, 4)
    return float(weights @ curve(nodes))


@pytest.mark.parametrize("name", ["n2", "n2_5", "n4"])
def test_superellipsoid_volume(name: str) -> None:
    solid = Superellipsoid(1.0, 1.0, 1.0, EXPONENTS[name])
    wanted = value(f"superellipsoid_volume_{name}")
    assert solid.volume == pytest.approx(wanted, abs=1e-8)
    assert volume(solid, 48, 48) == pytest.approx(wanted, abs=1e-8)


def test_ellipsoid_volume_and_what_triangles_make_of_it() -> None:
    solid = Superellipsoid(3.0, 2.0, 1.0)
    wanted = value("ellipsoid_3_2_1_volume")
    assert volume(solid) == pytest.approx(wanted, abs=1e-8)
    sphere = trimesh.creation.icosphere(5)
    sphere.vertices *= [3.0, 2.0, 1.0]
    assert sphere.volume / wanted - 1.0 == pytest.approx(value("ellipsoid_icosphere5_error"), abs=1e-7)
    assert len(sphere.faces) == 20480
    # Ours is of the same kind: inside, by parts in a thousand, falling by the square.
    errors = [mesh_of(solid, n, n).volume / wanted - 1.0 for n in (12, 24, 48)]
    assert all(coarse < fine < 0.0 for coarse, fine in pairwise(errors))
    assert errors[0] / errors[1] == pytest.approx(4.0, rel=0.05)


def test_natural_spline_table() -> None:
    # The table does not print its points ("same"). Of all whole numbers from -12 to 12 only two sets
    # at 0, 1, 2, 3 have its values (found by trying them all with scipy's spline): these, and 8, -2, 3, 3.
    curve = thin_batten([0.0, 1.0, 2.0, 3.0], [1.0, 1.0, 0.0, 10.0])
    np.testing.assert_allclose(
        curve([0.5, 1.5, 2.5]), VALUES["natural_spline_mid"]["value"], rtol=0, atol=1e-12
    )
    assert integral(curve) == pytest.approx(value("natural_spline_integral"), abs=1e-12)


def test_natural_spline_of_exp() -> None:
    x = [0.0, 1.0, 2.0, 3.0]
    curve = thin_batten(x, [float(np.exp(a)) for a in x])
    np.testing.assert_allclose(
        curve([1.0, 2.0], 2) / 2.0, VALUES["natural_spline_exp_c"]["value"], rtol=0, atol=1e-8
    )
    assert integral(curve) == pytest.approx(value("natural_spline_exp_integral"), abs=1e-8)


def half_ellipse(length: float, half_width: float) -> FairCurve:
    """The outline through five points of an ellipse, as its curve over the stretched variable."""
    spots = (0.0, 0.11, 0.4, 0.85, 1.0)
    points = tuple(
        Point(s * length, half_width * float(np.sqrt(1.0 - (2.0 * s - 1.0) ** 2)), f"{s}") for s in spots
    )
    return outline(points, half_width, length / 2.0, (None, None))[0].curve


def curvature_and_speed(curve: FairCurve, length: float, u: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    across, along = (curve(u, 1), curve(u, 2)), (length / 2.0 * np.sin(u), length / 2.0 * np.cos(u))
    speed = np.hypot(along[0], across[0])
    return np.abs(along[0] * across[1] - across[0] * along[1]) / speed**3, speed


@pytest.mark.parametrize(
    ("name", "half_length", "half_width"),
    [("bend_energy_circle", 1.0, 1.0), ("bend_energy_ellipse_2_1", 2.0, 1.0)],
)
def test_bending_energy_of_a_round_outline(name: str, half_length: float, half_width: float) -> None:
    curve = half_ellipse(2.0 * half_length, half_width)
    nodes, weights = gauss_on(curve.knots, 6)
    curvature, speed = curvature_and_speed(curve, 2.0 * half_length, nodes)
    assert 2.0 * float(weights @ (curvature**2 * speed)) == pytest.approx(value(name), rel=2e-5)


def test_curvature_of_an_ellipse_at_its_ends_and_sides() -> None:
    curve = half_ellipse(4.0, 1.0)
    curvature, _ = curvature_and_speed(curve, 4.0, np.array([1e-9, np.pi / 2.0]))
    np.testing.assert_allclose(curvature, VALUES["ellipse_2_1_curvature"]["value"], rtol=2e-4)


def test_a_bent_strip_leaves_the_circle_and_our_outline_does_not() -> None:
    assert VALUES["mec_roundness_failure"]["value"] is True
    spots = np.cos(np.linspace(np.pi, 0.0, 5)) * 0.9
    strip = thin_batten(list(spots), list(np.sqrt(1.0 - spots**2)))
    x = np.linspace(-0.9, 0.9, 181)
    assert np.max(np.abs(np.hypot(x, strip(x)) - 1.0)) > 5e-3
    u = np.linspace(0.0, np.pi, 181)
    assert np.max(np.abs(np.hypot(np.cos(u), half_ellipse(2.0, 1.0)(u)) - 1.0)) < 2e-7
