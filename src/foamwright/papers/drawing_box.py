"""Boxes, points and affine maps in the plane, millimetres."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Points = npt.NDArray[np.float64]


def points_of(rows: npt.ArrayLike) -> Points:
    """Return `rows` as a read-only array of shape (n, 2)."""
    points = np.array(rows, dtype=np.float64).reshape(-1, 2)
    points.flags.writeable = False
    return points


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle, millimetres."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Extent along x."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent along y."""
        return self.top - self.bottom

    @property
    def centre(self) -> tuple[float, float]:
        """The middle of the box."""
        return (self.left + self.right) / 2, (self.bottom + self.top) / 2

    @property
    def corners(self) -> Points:
        """The four corners, anticlockwise from the lower left."""
        left, bottom, right, top = self.left, self.bottom, self.right, self.top
        return points_of([(left, bottom), (right, bottom), (right, top), (left, top)])

    def grown(self, by: float) -> Box:
        """Return the box with every side moved outwards by `by` mm (inwards when negative)."""
        return Box(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def moved(self, dx: float, dy: float) -> Box:
        """Return the box moved by (`dx`, `dy`)."""
        return Box(self.left + dx, self.bottom + dy, self.right + dx, self.top + dy)

    def joined(self, other: Box) -> Box:
        """Return the least box around both."""
        return Box(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def meets(self, other: Box) -> bool:
        """Whether the two boxes share a point."""
        across = self.left <= other.right and other.left <= self.right
        return across and self.bottom <= other.top and other.bottom <= self.top

    def holds(self, other: Box, slack: float = 1e-9) -> bool:
        """Whether `other` lies inside, give or take `slack` mm."""
        across = self.left - slack <= other.left and other.right <= self.right + slack
        return across and self.bottom - slack <= other.bottom and other.top <= self.top + slack


def box_around(points: Points) -> Box:
    """Return the least box around `points` (at least one)."""
    (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
    return Box(float(left), float(bottom), float(right), float(top))


@dataclass(frozen=True, slots=True)
class Affine:
    """The map (x, y) to (a x + c y + e, b x + d y + f)."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def __call__(self, points: Points) -> Points:
        """Return the images of `points`."""
        x, y = points[:, 0], points[:, 1]
        return points_of(
            np.column_stack((self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f))
        )

    def at(self, point: tuple[float, float]) -> tuple[float, float]:
        """Return the image of one point."""
        x, y = point
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def turned(self, angle: float) -> float:
        """Return the direction, in radians, into which a line at `angle` is turned."""
        cosine, sine = math.cos(angle), math.sin(angle)
        return math.atan2(self.b * cosine + self.d * sine, self.a * cosine + self.c * sine)

    @property
    def mirrors(self) -> bool:
        """Whether the map turns left into right."""
        return self.a * self.d - self.b * self.c < 0.0

    @property
    def stretch(self) -> float | None:
        """The factor on every length when shapes stay alike, else None."""
        first, second = math.hypot(self.a, self.b), math.hypot(self.c, self.d)
        alike = math.isclose(first, second, rel_tol=1e-12)
        square = abs(self.a * self.c + self.b * self.d) <= 1e-12 * first * second
        return first if alike and square else None


def shift(dx: float, dy: float) -> Affine:
    """Return the map that moves by (`dx`, `dy`)."""
    return Affine(e=dx, f=dy)


def turn(angle: float) -> Affine:
    """Return the map that turns anticlockwise by `angle` radians about the origin."""
    cosine, sine = math.cos(angle), math.sin(angle)
    return Affine(cosine, sine, -sine, cosine)
