"""The neutral drawing: what a paper shows, in millimetres, y up, before any file format.

A drawing is a tuple of items in painting order. Items are values; moving or scaling returns new ones.
Pens, lettering and hatching keep their size on the paper when a drawing is scaled: only places move.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache, reduce
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from foamwright.papers.drawing_box import Affine, Box, Points, box_around, points_of, shift, turn
from foamwright.papers.fonts_setting import FRACTION_BOTTOM, FRACTION_TOP, SetLine, set_line
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen, Tone

_ARC_CHORD_ERROR = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class Polyline:
    """An open line through `points`, shape (n, 2)."""

    points: Points
    pen: Pen

    def box(self) -> Box:
        """Return the least box around the points."""
        return box_around(self.points)

    def mapped(self, by: Affine) -> Polyline:
        """Return the image under `by`."""
        return replace(self, points=by(self.points))


@dataclass(frozen=True, slots=True, eq=False)
class Polygon:
    """A closed line through `points`, shape (n, 2); `pen` None draws no edge."""

    points: Points
    pen: Pen | None = Pen.OUTLINE
    tone: Tone = Tone.NONE

    def box(self) -> Box:
        """Return the least box around the points."""
        return box_around(self.points)

    def mapped(self, by: Affine) -> Polygon:
        """Return the image under `by`."""
        return replace(self, points=by(self.points))


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle from angle `start`, anticlockwise over `sweep` radians (2 pi: the whole circle)."""

    centre: tuple[float, float]
    radius: float
    pen: Pen
    start: float = 0.0
    sweep: float = 2.0 * math.pi

    @property
    def closed(self) -> bool:
        """Whether it is the whole circle."""
        return self.sweep >= 2.0 * math.pi

    @property
    def points(self) -> Points:
        """Points along the arc, within 0.005 mm of it."""
        step = 2.0 * math.acos(1.0 - min(_ARC_CHORD_ERROR / self.radius, 0.5))
        angles = self.start + np.linspace(0.0, self.sweep, max(9, math.ceil(self.sweep / step) + 1))
        return points_of(np.asarray(self.centre) + self.radius * np.array([np.cos(angles), np.sin(angles)]).T)

    def box(self) -> Box:
        """Return the least box around the arc's points."""
        return box_around(self.points)

    def mapped(self, by: Affine) -> Arc | Polyline:
        """Return the image under `by`: an arc when shapes stay alike, else the line through its points."""
        if by.stretch is None:
            return Polyline(by(self.points), self.pen)
        first = self.start + self.sweep if by.mirrors else self.start
        radius = self.radius * by.stretch
        return replace(self, centre=by.at(self.centre), radius=radius, start=by.turned(first))


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text.

    Attributes
    ----------
    at
        Where `anchor` stands, millimetres.
    words
        The text; fractions such as ``2 3/4`` are set as real ones.
    height
        Capital height, millimetres.
    angle
        Reading direction, radians anticlockwise from x.
    patch
        Margin in mm of a patch of bare paper behind the letters, so that no line runs through them;
        None for no patch.
    """

    at: tuple[float, float]
    words: str
    height: float = Lettering.LABEL
    face: Face = Face.LABEL
    anchor: Anchor = Anchor.LEFT
    angle: float = 0.0
    patch: float | None = None

    def setting(self) -> SetLine:
        """Return the glyphs as set."""
        return set_line(self.words, self.face, self.height)

    def start(self) -> Affine:
        """Return the map from the set line's own frame (baseline start at the origin) to the drawing."""
        across, up = self.anchor.value
        turned = turn(self.angle)
        dx, dy = turned.at((-across * self.setting().width, -up * self.height))
        return replace(turned, e=self.at[0] + dx, f=self.at[1] + dy)

    def frame(self) -> Points:
        """Return the four corners around the letters and their patch."""
        return _text_frame(self)

    def _corners(self) -> Points:
        setting = self.setting()
        low, high = (FRACTION_BOTTOM, FRACTION_TOP) if setting.has_fraction else (-0.3, 1.1)
        frame = Box(0.0, low * self.height, setting.width, high * self.height)
        return self.start()(frame.grown(self.patch or 0.0).corners)

    def box(self) -> Box:
        """Return the least upright box around the letters."""
        return box_around(self.frame())

    def mapped(self, by: Affine) -> Text:
        """Return the text moved with its place; its height stays, and it is never mirror writing."""
        angle, anchor = by.turned(self.angle), self.anchor
        if by.mirrors and math.cos(angle) < -1e-9:
            angle, anchor = angle + math.pi, anchor.swapped
        return replace(self, at=by.at(self.at), angle=angle, anchor=anchor)


@lru_cache(maxsize=4096)
def _text_frame(text: Text) -> Points:
    """Kept, because cutting pages asks for it again and again."""
    return text._corners()


@dataclass(frozen=True, slots=True, eq=False)
class Hatch:
    """Hatching inside closed `rings` (even-odd: a ring inside another is a hole).

    The lines pass through `origin`, so that neighbouring areas and pages run on from each other.
    """

    rings: tuple[Points, ...]
    hatching: Hatching
    origin: tuple[float, float] = (0.0, 0.0)

    def box(self) -> Box:
        """Return the least box around the rings."""
        return reduce(Box.joined, (box_around(ring) for ring in self.rings))

    def mapped(self, by: Affine) -> Hatch:
        """Return the hatching of the image; directions and spacing stay as they are on paper."""
        return replace(self, rings=tuple(by(ring) for ring in self.rings), origin=by.at(self.origin))


@dataclass(frozen=True, slots=True)
class Clip:
    """`items`, of which only what lies inside `window` shows."""

    window: Box
    items: tuple[Item, ...]

    def box(self) -> Box:
        """Return the window."""
        return self.window

    def mapped(self, by: Affine) -> Clip:
        """Return the image; the window stays upright, so `by` may not turn it askew."""
        window = box_around(by(self.window.corners))
        return Clip(window, tuple(item.mapped(by) for item in self.items))


Item: TypeAlias = Polyline | Polygon | Arc | Text | Hatch | Clip


@dataclass(frozen=True, slots=True)
class Drawing:
    """Items in painting order; `a + b` paints `b` over `a`."""

    items: tuple[Item, ...] = ()

    def __add__(self, other: Drawing) -> Drawing:
        """Return both, the right one on top."""
        return Drawing(self.items + other.items)

    def mapped(self, by: Affine) -> Drawing:
        """Return the image of every item under `by`."""
        return Drawing(tuple(item.mapped(by) for item in self.items))

    def moved(self, dx: float, dy: float) -> Drawing:
        """Return the drawing moved by (`dx`, `dy`) mm."""
        return self.mapped(shift(dx, dy))

    def scaled(self, across: float, up: float | None = None) -> Drawing:
        """Return the drawing scaled about the origin; `up` other than `across` exaggerates heights."""
        return self.mapped(Affine(a=across, d=across if up is None else up))

    def turned(self, angle: float) -> Drawing:
        """Return the drawing turned anticlockwise by `angle` radians about the origin."""
        return self.mapped(turn(angle))

    def mirrored(self) -> Drawing:
        """Return the drawing with left and right exchanged about x = 0."""
        return self.mapped(Affine(a=-1.0))

    def flipped(self) -> Drawing:
        """Return the drawing with up and down exchanged about y = 0."""
        return self.mapped(Affine(d=-1.0))

    def clipped_to(self, window: Box) -> Drawing:
        """Return the drawing seen through `window`."""
        return Drawing((Clip(window, self.items),))

    def box(self) -> Box:
        """Return the least box around everything, lettering included."""
        return reduce(Box.joined, (item.box() for item in self.items))

    def box_of(self, *pens: Pen) -> Box:
        """Return the least box around the lines drawn with one of `pens`."""
        return Drawing(tuple(item for item in self.items if getattr(item, "pen", None) in pens)).box()


def drawing_of(parts: Iterable[Drawing]) -> Drawing:
    """Return all `parts` as one drawing, later ones on top."""
    return Drawing(tuple(item for part in parts for item in part.items))


def line(points: npt.ArrayLike, pen: Pen) -> Drawing:
    """Return an open line through `points`, shape (n, 2)."""
    return Drawing((Polyline(points_of(points), pen),))


def shape(points: npt.ArrayLike, pen: Pen | None = Pen.OUTLINE, tone: Tone = Tone.NONE) -> Drawing:
    """Return a closed shape through `points`, shape (n, 2)."""
    return Drawing((Polygon(points_of(points), pen, tone),))


def hatch(hatching: Hatching, *rings: npt.ArrayLike) -> Drawing:
    """Return hatching inside closed `rings`, each of shape (n, 2)."""
    return Drawing((Hatch(tuple(points_of(ring) for ring in rings), hatching),))


def frame(box: Box, pen: Pen | None = Pen.FRAME, tone: Tone = Tone.NONE) -> Drawing:
    """Return the edge of `box`."""
    return shape(box.corners, pen, tone)


def on_paper(text: Text, margin: float = 0.6) -> Drawing:
    """Return `text` on a patch of bare paper, so that lines below do not run through its letters."""
    return Drawing((replace(text, patch=margin),))


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page: its size in millimetres, its drawing (origin at the lower left) and its name."""

    width: float
    height: float
    drawing: Drawing
    title: str = ""


@dataclass(frozen=True, slots=True)
class Signature:
    """Who made a document, and the day that it is of; `None`: it has none, and the clock is never asked."""

    author: str = "foamwright"
    date: datetime.date | None = None


@dataclass(frozen=True, slots=True)
class Document:
    """Sheets in order with a title, a subject line, the language they are written in, and a signature."""

    title: str
    sheets: tuple[Sheet, ...]
    subject: str = ""
    language: str = "en"
    signature: Signature = Signature()
