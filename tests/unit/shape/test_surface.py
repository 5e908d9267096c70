"""Surface area: ellipsoids, boxes, a block with a notch."""

from dataclasses import dataclass

import numpy as np
import pytest

from foamwright.shape.curves import Floats
from foamwright.shape.surface import surface_area
from tests.superellipsoid import Superellipsoid, ellipsoid_area, prolate_area


@dataclass(frozen=True)
class Block:
    """A box 2 x 1 x 0.1, with a V-notch of `depth` and full width in its tail."""

    depth: float = 0.0
    length: float = 2.0
    half: float = 0.5
    height: float = 0.1

    @property
    def panels(self) -> tuple[float, ...]:
        return (0.0, self.depth, self.length) if self.depth else (0.0, self.length)

    def half_width(self, x: Floats) -> Floats:
        return np.full(x.shape, self.half)

    def inner(self, x: Floats) -> Floats:
        return self.half * np.clip(1.0 - x / self.depth, 0.0, 1.0) if self.depth else np.zeros_like(x)

    def kinks(self, x: Floats) -> Floats:
        return np.tile([0.0, 0.4, 1.0], (x.size, 1))

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        return np.zeros(np.broadcast_shapes((x.size, 1), share.shape))

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        return np.full(np.broadcast_shapes((x.size, 1), share.shape), self.height)


@pytest.mark.parametrize("axes", [(3.0, 2.0, 1.0), (0.95, 0.26, 0.032), (1.0, 0.9, 0.2)])
def test_ellipsoids(axes: tuple[float, float, float]) -> None:
    assert surface_area(Superellipsoid(*axes)) == pytest.approx(ellipsoid_area(*axes), rel=3e-10)


def test_the_closed_form_itself() -> None:
    assert ellipsoid_area(2.0, 1.0 + 1e-9, 1.0) == pytest.approx(prolate_area(2.0, 1.0), rel=1e-8)


def test_ellipsoid_converges_faster_than_any_power() -> None:
    exact = ellipsoid_area(3.0, 2.0, 1.0)
    errors = [abs(surface_area(Superellipsoid(3.0, 2.0, 1.0), n, n) / exact - 1.0) for n in (4, 8, 16)]
    assert errors[1] / errors[2] > 100.0
    assert errors[2] < 1e-7


def test_box_with_walls_and_ends() -> None:
    assert surface_area(Block()) == pytest.approx(2 * (2.0 + 0.2 + 0.1), rel=1e-12)


def test_notch() -> None:
    faces = 2 * (2.0 - 0.5 * 0.3)
    walls = 2 * 2.0 * 0.1 + 2 * np.hypot(0.3, 0.5) * 0.1
    assert surface_area(Block(depth=0.3)) == pytest.approx(faces + walls + 1.0 * 0.1, rel=1e-12)
