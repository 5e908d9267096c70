"""Ribs for a hand bow: two like boards pinned to the sides of a block, along which a hot wire is drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_text import TextStyle, paragraph
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.templates import Template
from foamwright.papers.templates_shapes import Wording
from foamwright.papers.tiling import Paper
from foamwright.papers.tiling_pages import FullSize
from foamwright.papers.titleblock import TitleBlock
from foamwright.shape.curves import Floats

LEAD = 0.03
"""Metres that a rib runs on past both ends of the foam, so that the wire is in air when it turns."""

APART = 0.1
"""Metres between numbers: a hand's width, called out as the wire passes them. Common practice, no source."""

ALONG = 1201
TICK, THIN = 6.0, 14.0

HANDS = "One person at each end; one calls the numbers; both are at the same number at the same time."
SHORT = "Polystyrene only, never polyurethane. Air moving out. Current off before a hand goes near the wire."


@dataclass(frozen=True, eq=False)
class RibShape:
    """What a rib is cut to: a foam profile by its length, bottom and deck (metres), and the wire's kerf."""

    name: str
    length: float
    bottom: Callable[[Floats], Floats]
    deck: Callable[[Floats], Floats]
    kerf: float


def rib_edge(shape_of: RibShape, deck: bool) -> Points:
    """Return one edge of the rib (N, 2), metres: the profile, half a kerf outside it, run on at the ends.

    The wire's middle runs on the rib and melts half its kerf to each side; so the foam that stays lies half
    a kerf inside the edge, measured square to it.
    """
    x = np.linspace(0.0, shape_of.length, ALONG)
    height = (shape_of.deck if deck else shape_of.bottom)(x)
    slope = np.gradient(height, x, edge_order=2)
    square = np.stack([-slope, np.ones_like(slope)], axis=1) / np.hypot(slope, 1.0)[:, None]
    side = 1.0 if deck else -1.0
    edge = np.stack([x, height], axis=1) + side * 0.5 * shape_of.kerf * square
    first, last = (edge[end] + np.array([way, way * slope[end]]) for end, way in ((0, -LEAD), (-1, LEAD)))
    return points_of(np.vstack([first, edge, last]))


def rib_drawing(rib: RibShape, wording: Wording) -> Drawing:
    """Return a rib at full size, millimetres: a closed part with numbers on both edges and what to mind."""
    low, high = (rib_edge(rib, deck) * 1000.0 for deck in (False, True))
    parts = [shape(np.vstack([low, high[::-1]]), Pen.OUTLINE)]
    stations = np.arange(0.0, rib.length + 1e-9, APART) * 1000.0
    spans = np.stack([np.interp(stations, edge[:, 0], edge[:, 1]) for edge in (low, high)], axis=1)
    for number, (x, span) in enumerate(zip(stations, spans, strict=True)):
        parts.append(_numbered(float(x), (float(span[0]), float(span[1])), f"{number}"))
    for x in (0.0, rib.length * 1000.0):
        foot, head = (float(np.interp(x, edge[:, 0], edge[:, 1])) for edge in (low, high))
        parts.append(line([(x, foot), (x, head)], Pen.LEVEL))
    middle = rib.length * 500.0
    y = float(np.mean([np.interp(middle, edge[:, 0], edge[:, 1]) for edge in (low, high)]))
    kerf = f"{rib.name}: rib for a hand bow, two alike; for a kerf of {rib.kerf * 1000.0:.1f} mm"
    lines = ((kerf, 4.5, Lettering.LABEL, Face.TITLE), (SHORT, -2.5, 2.8, Face.TEXT))
    words = [Text((middle, y + dy), said, size, face, Anchor.MIDDLE) for said, dy, size, face in lines]
    return drawing_of([*parts, Drawing(tuple(words))])


def _numbered(x: float, span: tuple[float, float], number: str) -> Drawing:
    """A tick on each edge with its number; one number between them where the rib is thin."""
    low, high = span
    ticks = [line([(x, low), (x, low + TICK)], Pen.STATION), line([(x, high), (x, high - TICK)], Pen.STATION)]
    if high - low < 2.0 * TICK + THIN:
        whole = line([(x, low), (x, high)], Pen.STATION)
        at = (x + 1.5, (low + high) / 2.0)
        return drawing_of([whole, Drawing((Text(at, number, 3.5, Face.FIGURES, Anchor.MIDDLE_LEFT),))])
    places = ((low + TICK + 1.5, Anchor.CENTRE), (high - TICK - 1.5, Anchor.TOP))
    words = [Text((x, y), number, 3.5, Face.FIGURES, anchor) for y, anchor in places]
    return drawing_of([*ticks, Drawing(tuple(words))])


def rib_template(rib: RibShape, cautions: Sequence[str], block: TitleBlock, wording: Wording) -> Template:
    """Return the rib as a template.

    Parameters
    ----------
    rib
        The profile.
    cautions
        Sentences of what can hurt at a hot wire; they stand on the cover and on a sheet of their own.
    block, wording
        As every template has them.
    """
    drawing = rib_drawing(rib, wording)
    notes = (
        "Glue on plywood 6 mm thick, cut two alike, sand the edges smooth: the wire shows every notch.",
        "Pin one to each side of the block, level with each other and square across.",
        HANDS,
        f"Made for a kerf of {rib.kerf * 1000.0:.1f} mm: cut a strip of the same foam with your bow first, "
        "measure the slot, and write it into the machine sheet if it is another.",
        *cautions,
    )
    named = replace(
        block,
        what="Ribs for a hand bow",
        board=rib.name,
        refers_to="The wire's middle; the foam lies half a kerf inside.",
        scale="1:1",
    )
    full = FullSize((drawing,), named, "nose this way", "deck side up", notes)
    told = paragraph(" ".join((HANDS, *cautions)), 420.0, TextStyle(4.0, Face.TEXT, 1.5))
    box = drawing.box()
    picture = drawing + told.at(box.left, box.bottom - 12.0)
    words = f"Side profile of the foam for {rib.name} at full size, as a rib that guides a hot wire by hand."
    return Template("ribs", dict.fromkeys(Paper, full), picture, drawing, words)
