"""Pockets of fin boxes in a solid of the CAD kernel: what a router takes, square to the fin's own lean."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from foamwright.errors import FaultError
from foamwright.finish.boxes import BoxFit
from foamwright.shape.curves import Floats

MM = 1000.0
RING = ("rear inner", "rear outer", "front outer", "front inner")


def pocketed(name: str, shape: Any, boxes: Sequence[BoxFit]) -> Any:
    """Return a solid without the pockets of its fin boxes.

    Raises
    ------
    FaultError
        The kernel could not cut one, or does not accept what is left.
    """
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.TopAbs import TopAbs_SOLID
    from OCP.TopExp import TopExp_Explorer

    for fit in boxes:
        cut = BRepAlgoAPI_Cut(shape, _prism(fit))
        found = TopExp_Explorer(cut.Shape(), TopAbs_SOLID)
        if not cut.IsDone() or not found.More():
            raise FaultError(f"{name}: the pocket of {fit.fin.name} could not be cut")
        shape = found.Current()
    if not BRepCheck_Analyzer(shape).IsValid():
        raise FaultError(f"{name}: the CAD kernel does not accept its surface with pockets")
    return shape


def _prism(fit: BoxFit) -> Any:
    """The box from half its depth outside the bottom to its floor, along the fin's lean."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism
    from OCP.gp import gp_Pnt, gp_Vec

    floor, way = floor_of(fit)
    outside = (floor - 1.5 * way) * MM
    polygon = BRepBuilderAPI_MakePolygon()
    for corner in outside:
        polygon.Add(gp_Pnt(*map(float, corner)))
    polygon.Close()
    face = BRepBuilderAPI_MakeFace(polygon.Wire(), True).Face()
    return BRepPrimAPI_MakePrism(face, gp_Vec(*map(float, 1.5 * way * MM))).Shape()


def floor_of(fit: BoxFit) -> tuple[Floats, Floats]:
    """Return the corners (4, 3) of a box's flat floor, and the way (3,) from its rim to it, metres.

    A router's floor is flat: the plane that fits the four deep corners best.
    """
    corners = {corner.name: corner for corner in fit.corners}
    deep = np.array([corners[name].floor for name in RING])
    rim = np.array([corners[name].rim for name in RING])
    aside = (deep[:, :2] - rim).mean(axis=0)
    high = np.sqrt(max(fit.fin.box_depth**2 - float(aside @ aside), 0.0))
    plane = np.column_stack([deep[:, :2], np.ones(4)])
    heights = plane @ np.linalg.lstsq(plane, deep[:, 2], rcond=None)[0]
    return np.column_stack([deep[:, :2], heights]), np.array([*aside, high])
