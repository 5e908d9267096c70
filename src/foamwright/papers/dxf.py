"""DXF writer (millimetres): layers by meaning with their line weights, the same bytes on every run."""

from __future__ import annotations

import logging
import math
from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum
from io import StringIO
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np

from foamwright.papers.drawing import Arc, Clip, Drawing, Hatch, Item, Polygon, Polyline, Text
from foamwright.papers.drawing_box import Box, Points
from foamwright.papers.drawing_clip import cut_to
from foamwright.papers.drawing_hatch import hatch_lines
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.style import Anchor, Face, Pen, Tone

if TYPE_CHECKING:
    from ezdxf.document import Drawing as DxfDocument

LETTERING_LAYER = "lettering"

_WEIGHTS = (0, 5, 9, 13, 15, 18, 20, 25, 30, 35, 40, 50, 53, 60, 70, 80, 90, 100)
_DASHES_RUN_ON = 128

_SAME = 1e-6
"""Millimetres within which two points are one."""

_STRAIGHT = 1e-5
"""Millimetres that a point may lie beside the line through its neighbours to be left out."""

_ALIGNMENTS = {
    Anchor.LEFT: "LEFT",
    Anchor.CENTRE: "CENTER",
    Anchor.RIGHT: "RIGHT",
    Anchor.MIDDLE_LEFT: "MIDDLE_LEFT",
    Anchor.MIDDLE: "MIDDLE_CENTER",
    Anchor.MIDDLE_RIGHT: "MIDDLE_RIGHT",
    Anchor.TOP_LEFT: "TOP_LEFT",
    Anchor.TOP: "TOP_CENTER",
    Anchor.TOP_RIGHT: "TOP_RIGHT",
}


class Layers(Enum):
    """How lines are sorted: by their pen, or by what a machine does with them."""

    PENS = "pens"
    WORK = "work"
    CUT_ONLY = "cut only"


CUT, ENGRAVE, NOTE = "CUT", "ENGRAVE", "NOTE"
_WORK_COLOURS = {CUT: 1, ENGRAVE: 5, NOTE: 3}
"""Red, blue and green of the format's own colour index: what cutters' software tells apart."""


def dxf_bytes(
    drawing: Drawing,
    title: str,
    extents_of: tuple[Pen, ...] = (Pen.OUTLINE,),
    layers: Layers = Layers.PENS,
    *,
    r12: bool = False,
) -> bytes:
    """Return `drawing` as a DXF file in millimetres.

    Parameters
    ----------
    drawing
        What to write; fractions become plain text, filled shapes solid ones.
    title
        Name of the drawing, kept in the file's properties.
    extents_of
        Pens of the geometry whose box is written as the drawing's extents (all lines if none is used).
    layers
        One layer for each pen; or ``CUT`` (what is drawn with ``Pen.OUTLINE``), ``ENGRAVE`` (every other
        line) and ``NOTE`` (lettering and arrow heads); or only what is cut.
    r12
        Write release 12, which the oldest machines read: no line weights, polylines and solids of its time.

    Returns
    -------
    bytes
        The file.
    """
    with _fixed_metadata():
        document = _new_document(title, layers, "R12" if r12 else "R2010")
        _Writer(document, layers).draw(drawing)
        _set_extents(document, _extents(drawing, extents_of))
        _fix_class_order(document)
        stream = StringIO(newline="\n")
        document.write(stream)
    return stream.getvalue().encode("utf-8")


@contextmanager
def _fixed_metadata() -> Iterator[None]:
    """Keep dates, random identifiers and the library's version note out of the file.

    The library's log is still meanwhile: it warns of every release 12 that this has no key for units.
    """
    from ezdxf import options  # type: ignore[attr-defined]

    log = logging.getLogger("ezdxf")
    before, level = options.write_fixed_meta_data_for_testing, log.level
    options.write_fixed_meta_data_for_testing = True
    log.setLevel(logging.ERROR)
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before
        log.setLevel(level)


def _fix_class_order(document: DxfDocument) -> None:
    """Name the classes in use in order: left alone, the library adds them from a set as it writes."""
    for name in sorted(document.entitydb.dxf_types_in_use()):
        document.classes.add_class(name)


def _new_document(title: str, layers: Layers, release: str) -> DxfDocument:
    from ezdxf import units
    from ezdxf.filemanagement import new

    document = new(release) if release == "R12" else new(release, units=units.MM)
    document.header["$LTSCALE"] = 1.0
    if release != "R12":
        document.header["$LWDISPLAY"] = 1
        document.header.custom_vars.append("Title", title)
    for face in Face:
        document.styles.add(_style_name(face), font=f"{face.value.file}.ttf")
    if layers is Layers.PENS:
        for pen in Pen:
            document.layers.add(pen.layer, lineweight=_weight(pen), linetype=_linetype(document, pen))
        document.layers.add(LETTERING_LAYER, lineweight=_weight(Pen.THIN))
        return document
    for name, colour in _WORK_COLOURS.items():
        if layers is Layers.WORK or name == CUT:
            document.layers.add(name, color=colour)
    return document


def _lean(points: Points, *, closed: bool = False) -> Points:
    """The points without doubles, and without those on the straight line between their neighbours.

    A closed line does not come back to its first point, which a cutter would take for one more move.
    """
    steps = np.hypot(*np.diff(points, axis=0).T)
    kept = points[np.concatenate(([True], steps > _SAME))]
    if closed and len(kept) > 1 and np.hypot(*(kept[-1] - kept[0])) <= _SAME:
        kept = kept[:-1]
    if len(kept) < 3:
        return kept
    return thinned_points(kept, _STRAIGHT)


def _linetype(document: DxfDocument, pen: Pen) -> str:
    """Name of the line type with the pen's dashes, added if it is not there."""
    if not pen.dash:
        return "CONTINUOUS"
    name = f"{pen.layer.upper()}_DASHES"
    signed = [length if index % 2 == 0 else -length for index, length in enumerate(pen.dash)]
    document.linetypes.add(name, [sum(pen.dash), *signed], description=f"{pen.layer} line")
    return name


def _weight(pen: Pen) -> int:
    """The nearest line weight the format knows, hundredths of a millimetre."""
    return min(_WEIGHTS, key=lambda weight: abs(weight - 100.0 * pen.width))


def _style_name(face: Face) -> str:
    return face.name.lower()


def _extents(drawing: Drawing, pens: tuple[Pen, ...]) -> Box:
    wanted = any(getattr(item, "pen", None) in pens for item in drawing.items)
    return drawing.box_of(*(pens if wanted else tuple(Pen)))


def _set_extents(document: DxfDocument, box: Box) -> None:
    corners = ((box.left, box.bottom, 0.0), (box.right, box.top, 0.0))
    document.header["$EXTMIN"], document.header["$EXTMAX"] = corners
    document.header["$LIMMIN"], document.header["$LIMMAX"] = corners[0][:2], corners[1][:2]
    document.modelspace().reset_extents(*corners)
    document.modelspace().reset_limits(corners[0][:2], corners[1][:2])
    document.set_modelspace_vport(height=1.1 * max(box.height, box.width / 2.0), center=box.centre)


class _Writer:
    """Adds items to the model space."""

    def __init__(self, document: DxfDocument, layers: Layers) -> None:
        self.space: Any = document.modelspace()
        self.old = document.dxfversion == "AC1009"
        self.layers = layers

    def layer(self, pen: Pen) -> str:
        """Name of the layer of a pen's lines; empty where they are left out."""
        if self.layers is Layers.PENS:
            return pen.layer
        if pen is Pen.OUTLINE:
            return CUT
        return ENGRAVE if self.layers is Layers.WORK else ""

    def draw(self, drawing: Drawing) -> None:
        for item in drawing.items:
            self.item(item)

    def item(self, item: Item) -> None:
        match item:
            case Polyline():
                self.line(item.points, item.pen)
            case Polygon():
                self.polygon(item)
            case Arc():
                self.arc(item)
            case Text():
                self.text(item)
            case Hatch():
                for line in hatch_lines(item):
                    self.line(line.points, line.pen)
            case Clip():
                self.draw(cut_to(Drawing(item.items), item.window))

    def line(self, points: Points, pen: Pen, *, close: bool = False) -> None:
        lean, name = _lean(points, closed=close), self.layer(pen)
        if not name or len(lean) < 2:
            return
        flags = _DASHES_RUN_ON if pen.dash and self.layers is Layers.PENS else 0
        attributes = {"layer": name, "flags": flags}
        if self.old:
            self.space.add_polyline2d(lean.tolist(), close=close, dxfattribs=attributes)
        else:
            self.space.add_lwpolyline(lean.tolist(), close=close, dxfattribs=attributes)

    def polygon(self, item: Polygon) -> None:
        if item.tone is Tone.INK:
            self.solid(item)
        elif item.pen:
            self.line(item.points, item.pen, close=True)

    def solid(self, item: Polygon) -> None:
        if self.layers is Layers.CUT_ONLY:
            return
        layer = (item.pen or Pen.DIMENSION).layer if self.layers is Layers.PENS else NOTE
        if self.old:
            # Release 12 fills corners by threes and fours: a fan holds every shape without a dent.
            for second, third in pairwise(item.points[1:].tolist()):
                self.space.add_solid([item.points[0].tolist(), second, third], dxfattribs={"layer": layer})
            return
        fill = self.space.add_hatch(dxfattribs={"layer": layer})
        fill.paths.add_polyline_path(item.points.tolist(), is_closed=True)

    def arc(self, item: Arc) -> None:
        attributes = {"layer": self.layer(item.pen)}
        if not attributes["layer"]:
            return
        if item.closed:
            self.space.add_circle(item.centre, item.radius, dxfattribs=attributes)
            return
        start, end = math.degrees(item.start), math.degrees(item.start + item.sweep)
        self.space.add_arc(item.centre, item.radius, start, end, dxfattribs=attributes)

    def text(self, item: Text) -> None:
        if self.layers is Layers.CUT_ONLY:
            return
        from ezdxf.enums import TextEntityAlignment

        entity = self.space.add_text(
            item.words,
            height=item.height,
            rotation=math.degrees(item.angle),
            dxfattribs={
                "layer": LETTERING_LAYER if self.layers is Layers.PENS else NOTE,
                "style": _style_name(item.face),
            },
        )
        entity.set_placement(item.at, align=TextEntityAlignment[_ALIGNMENTS[item.anchor]])
