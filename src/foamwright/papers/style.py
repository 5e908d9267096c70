"""Pens, faces, hatchings and lettering sizes by meaning: what every paper of foamwright is drawn with.

Everything is black on white; meaning is carried by weight, dash, angle and spacing. Weights step by about
the square root of two, and lettering is given by its capital height, both as technical drawings do.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum, StrEnum


@dataclass(frozen=True, slots=True)
class Stroke:
    """Layer name, width and dash pattern (drawn, left out, and so on; empty: solid), millimetres."""

    layer: str
    width: float
    dash: tuple[float, ...] = ()


class Pen(Enum):
    """A pen by what its line means."""

    HEAVY = Stroke("heavy", 0.70)
    OUTLINE = Stroke("outline", 0.50)
    CUT = Stroke("cut", 0.35)
    FRAME = Stroke("frame", 0.35)
    HIDDEN = Stroke("hidden", 0.25, (3.0, 1.0))
    LEVEL = Stroke("level", 0.25, (7.0, 1.0, 0.5, 1.0))
    STATION = Stroke("station", 0.18)
    DIMENSION = Stroke("dimension", 0.18)
    THIN = Stroke("thin", 0.18)
    TRIM = Stroke("trim", 0.18, (4.0, 2.0))
    HATCH = Stroke("hatch", 0.13)
    GRID = Stroke("grid", 0.10)

    @property
    def layer(self) -> str:
        """Name of the layer the line stands on."""
        return self.value.layer

    @property
    def width(self) -> float:
        """Width in millimetres."""
        return self.value.width

    @property
    def dash(self) -> tuple[float, ...]:
        """Lengths drawn and left out in turn, millimetres; empty for a solid line."""
        return self.value.dash


@dataclass(frozen=True, slots=True)
class Typeface:
    """Font file (without ending), family and weight as style sheets name them."""

    file: str
    family: str
    weight: int


class Face(Enum):
    """A face by what it is read for; TITLE and LABEL are narrow, FIGURES is made for reading numbers."""

    TITLE = Typeface("ArchivoNarrow-SemiBold", "Archivo Narrow", 600)
    LABEL = Typeface("ArchivoNarrow-Medium", "Archivo Narrow", 500)
    TEXT = Typeface("Archivo-Regular", "Archivo", 400)
    STRONG = Typeface("Archivo-SemiBold", "Archivo", 600)
    FIGURES = Typeface("B612-Regular", "B612", 400)
    FIGURES_STRONG = Typeface("B612-Bold", "B612", 700)


class Lettering:
    """Capital heights in millimetres, each about the square root of two above the last."""

    NOTE = 1.8
    LABEL = 2.5
    FIGURE = 3.5
    HEADING = 5.0
    TITLE = 7.0
    BENCH = 10.0


class Tone(StrEnum):
    """How the inside of a shape is filled: not at all, with paper (hides what lies below), with ink."""

    NONE = "none"
    PAPER = "paper"
    INK = "ink"


@dataclass(frozen=True, slots=True)
class Ruling:
    """Directions in degrees from the x axis and the distance between lines in millimetres on the paper."""

    angles: tuple[float, ...]
    spacing: float


class Hatching(Enum):
    """Hatchings by meaning, told apart by direction and spacing."""

    BOTTOM = Ruling((45.0,), 2.2)
    DECK = Ruling((-45.0,), 1.3)
    SIDE = Ruling((0.0,), 1.7)
    RAIL = Ruling((30.0, -30.0), 2.4)
    STRINGER = Ruling((90.0,), 0.8)
    CORE = Ruling((20.0,), 4.0)


class Anchor(Enum):
    """The point of a line of text that is placed: share of its width, share of its capital height."""

    LEFT = (0.0, 0.0)
    CENTRE = (0.5, 0.0)
    RIGHT = (1.0, 0.0)
    MIDDLE_LEFT = (0.0, 0.5)
    MIDDLE = (0.5, 0.5)
    MIDDLE_RIGHT = (1.0, 0.5)
    TOP_LEFT = (0.0, 1.0)
    TOP = (0.5, 1.0)
    TOP_RIGHT = (1.0, 1.0)

    @property
    def swapped(self) -> Anchor:
        """The anchor with left and right exchanged."""
        return Anchor((1.0 - self.value[0], self.value[1]))
