"""STEP files: bodies as closed solids whose faces are smooth B-splines, rails rational quadratics across.

The CAD kernel (Open CASCADE, through the ``cadquery-ocp-novtk`` package) is an extra: it is large, and only
this needs it. It is imported inside functions.
"""

from __future__ import annotations

import datetime
import re
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from foamwright.errors import FaultError, InputError, Problem
from foamwright.exchange.grids import Curve, FlatEnd, Grid, grids_of
from foamwright.exchange.pockets import pocketed
from foamwright.exchange.solids import Body
from foamwright.finish.boxes import BoxFit
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import Cored

MM = 1000.0
SEW = 1e-3
"""Millimetres within which edges of neighbouring faces are one; they agree to rounding."""

POINT = 1e-4
"""Millimetres: an edge that is shorter is a point."""

CONIC_KNOTS = np.array([0.0, 0.0, 0.0, 1.0, 1.0, 1.0])
"""Of one rational quadratic."""

PRODUCT = "foamwright-body-"
"""Stands for a name until the kernel has written its file."""


@dataclass(frozen=True, slots=True)
class CadSolid:
    """A solid in the kernel's own form, with the volume it has there in m3."""

    name: str
    shape: Any
    volume: float


def step_bytes(
    bodies: Sequence[Body], date: datetime.date | None = None, boxes: Sequence[BoxFit] = ()
) -> bytes:
    """Return bodies as a STEP file (AP214, millimetres); its header has a day only where one is given.

    The pockets of `boxes` are cut out of each body.

    Raises
    ------
    InputError
        The CAD kernel is not installed; says what to install.
    FaultError
        A body did not become one valid closed solid.
    """
    require_kernel()
    solids = [solid for body in bodies for solid in solids_of(body)]
    if boxes:
        solids = [_with_pockets(solid, boxes) for solid in solids]
    return _written(solids, date)


def _with_pockets(solid: CadSolid, boxes: Sequence[BoxFit]) -> CadSolid:
    shape = pocketed(solid.name, solid.shape, boxes)
    return CadSolid(solid.name, shape, volume_of(shape))


def require_kernel() -> None:
    """Raise unless the CAD kernel can be imported.

    Raises
    ------
    InputError
        It is not installed.
    """
    try:
        import OCP.BRepBuilderAPI  # noqa: F401
    except ImportError:
        raise InputError(
            Problem(
                "export to STEP",
                "needs the CAD kernel, which is not installed.",
                "Install it with: pip install 'foamwright[cad]' (it is cadquery-ocp-novtk, some 400 MB); or "
                "export to .stl, .3mf or .obj instead.",
            )
        ) from None


def solids_of(body: Body) -> list[CadSolid]:
    """Return a body's closed solids (the foam beside a stringer is two).

    Raises
    ------
    FaultError
        A shell is not closed, or the kernel finds fault with a solid.
    """
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_Sewing

    _require_faces(body)
    grids, ends = grids_of(body)
    # The last but one: no cutting of edges, every edge of a face meets exactly one other.
    sewing = BRepBuilderAPI_Sewing(SEW, True, True, False, False)
    for grid in grids:
        sewing.Add(BRepBuilderAPI_MakeFace(_surface(grid), POINT).Face())
    for end in ends:
        sewing.Add(_flat_face(end))
    sewing.Perform()
    if sewing.NbFreeEdges():
        raise FaultError(f"{body.name}: {sewing.NbFreeEdges()} edges of its surface were left open")
    shells = _parts(sewing.SewedShape(), "SHELL")
    return [
        _solid(body.name if len(shells) == 1 else f"{body.name} {i + 1}", s) for i, s in enumerate(shells)
    ]


def _require_faces(body: Body) -> None:
    solid = body.solid
    inside = np.array(solid.panels[:-1]) + 1e-4
    if isinstance(solid, Cored) and np.any(solid.core(inside) > 0.0):
        raise InputError(
            Problem(
                f"export of {body.name} to STEP",
                "cannot be made: the middle point of a bat tail has no faces there yet.",
                "Export to .stl, .3mf or .obj, which have it.",
            )
        )


def _solid(name: str, shell: Any) -> CadSolid:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeSolid
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepLib import BRepLib
    from OCP.TopoDS import TopoDS

    solid = BRepBuilderAPI_MakeSolid(TopoDS.Shell(shell)).Solid()
    BRepLib.OrientClosedSolid_s(solid)
    if not BRepCheck_Analyzer(solid).IsValid():
        raise FaultError(f"{name}: the CAD kernel does not accept its surface as a closed solid")
    return CadSolid(name, solid, volume_of(solid))


def volume_of(shape: Any) -> float:
    """Return the volume of a shape in m3, integrated on its smooth faces."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, found)
    return float(found.Mass()) / MM**3


def _parts(shape: Any, kind: str) -> list[Any]:
    import OCP.TopAbs
    from OCP.TopExp import TopExp_Explorer

    explorer = TopExp_Explorer(shape, getattr(OCP.TopAbs, f"TopAbs_{kind}"))
    parts = []
    while explorer.More():
        parts.append(explorer.Current())
        explorer.Next()
    return parts


def _surface(grid: Grid) -> Any:
    """The B-spline surface of a grid, cubic along; across, a cubic through its points, or its conics.

    Its boundaries are the splines through the grid's edges: the ends of a conic weigh 1, so an edge that it
    shares with a strip without weights is the same curve in both.
    """
    from OCP.collections import Array2_double, Array2_gp_Pnt
    from OCP.Geom import Geom_BSplineSurface
    from OCP.gp import gp_Pnt

    heavy = _weighted(grid.points * MM, grid.weight)
    knots_u, along = _interpolated(heavy, np.linspace(0.0, 1.0, heavy.shape[0]))
    knots_v, across, degree = CONIC_KNOTS, np.swapaxes(along, 0, 1), 2
    if grid.weight is None:
        (knots_v, across), degree = _interpolated(across, grid.across), 3
    rows, columns = along.shape[0], across.shape[0]
    poles, weights = Array2_gp_Pnt(1, rows, 1, columns), Array2_double(1, rows, 1, columns)
    for i in range(rows):
        for j in range(columns):
            *place, weight = map(float, across[j, i])
            poles.SetValue(i + 1, j + 1, gp_Pnt(*(part / weight for part in place)))
            weights.SetValue(i + 1, j + 1, weight)
    (u, mu), (v, mv) = _kernel_knots(knots_u), _kernel_knots(knots_v)
    if grid.weight is None:
        return Geom_BSplineSurface(poles, u, v, mu, mv, 3, degree, False, False)
    return Geom_BSplineSurface(poles, weights, u, v, mu, mv, 3, degree, False, False)


def _weighted(points: Floats, weight: Floats | None) -> Floats:
    """Points (N, K, 4) with their weights last, each multiplied by its own."""
    weights = np.ones((*points.shape[:2], 1))
    if weight is not None:
        weights[:, 1, 0] = weight
    return np.concatenate([points * weights, weights], axis=2)


def _interpolated(points: Floats, places: Floats) -> tuple[Floats, Floats]:
    """Knots and coefficients of the cubic spline through points at places along the first axis."""
    from scipy.interpolate import make_interp_spline

    spline = make_interp_spline(places, points, k=3, axis=0)
    return np.asarray(spline.t), np.asarray(spline.c)


def _kernel_knots(knots: Floats) -> tuple[Any, Any]:
    from OCP.collections import Array1_double, Array1_int

    places, counts = np.unique(knots, return_counts=True)
    values, multiplicities = Array1_double(1, places.size), Array1_int(1, places.size)
    for i, (place, count) in enumerate(zip(places, counts, strict=True)):
        values.SetValue(i + 1, float(place))
        multiplicities.SetValue(i + 1, int(count))
    return values, multiplicities


def _flat_face(end: FlatEnd) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.collections import List_TopoDS_Shape
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt

    edges = List_TopoDS_Shape()
    for curve in end.ring:
        edges.Append(_edge(curve))
    wire = BRepBuilderAPI_MakeWire()
    wire.Add(edges)
    place, normal = (tuple(map(float, v)) for v in (end.ring[0].points[0] * MM, end.normal))
    return BRepBuilderAPI_MakeFace(gp_Pln(gp_Pnt(*place), gp_Dir(*normal)), wire.Wire()).Face()


def _edge(curve: Curve) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.collections import Array1_gp_Pnt
    from OCP.Geom import Geom_BSplineCurve
    from OCP.gp import gp_Pnt

    if curve.places.size == 2:
        return BRepBuilderAPI_MakeEdge(*(gp_Pnt(*map(float, point)) for point in curve.points * MM)).Edge()
    if curve.weight is not None:
        return _conic_edge(curve.points * MM, curve.weight)
    knots, coefficients = _interpolated(curve.points * MM, curve.places)
    poles = Array1_gp_Pnt(1, coefficients.shape[0])
    for i, point in enumerate(coefficients):
        poles.SetValue(i + 1, gp_Pnt(*map(float, point)))
    values, multiplicities = _kernel_knots(knots)
    return BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(poles, values, multiplicities, 3)).Edge()


def _conic_edge(points: Floats, weight: float) -> Any:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge
    from OCP.collections import Array1_double, Array1_gp_Pnt
    from OCP.Geom import Geom_BSplineCurve
    from OCP.gp import gp_Pnt

    poles, weights = Array1_gp_Pnt(1, 3), Array1_double(1, 3)
    for i, (point, heavy) in enumerate(zip(points, (1.0, weight, 1.0), strict=True)):
        poles.SetValue(i + 1, gp_Pnt(*map(float, point)))
        weights.SetValue(i + 1, heavy)
    values, multiplicities = _kernel_knots(CONIC_KNOTS)
    return BRepBuilderAPI_MakeEdge(Geom_BSplineCurve(poles, weights, values, multiplicities, 2)).Edge()


def _written(solids: list[CadSolid], date: datetime.date | None) -> bytes:
    from OCP.IFSelect import IFSelect_RetDone
    from OCP.Interface import Interface_Static
    from OCP.STEPControl import STEPControl_ManifoldSolidBrep, STEPControl_Writer

    _silence()
    writer = STEPControl_Writer()
    Interface_Static.SetCVal_s("write.step.unit", "MM")
    for number, solid in enumerate(solids, 1):
        Interface_Static.SetCVal_s("write.step.product.name", f"{PRODUCT}{number}")
        writer.Transfer(solid.shape, STEPControl_ManifoldSolidBrep)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "solids.step"
        if writer.Write(str(path)) != IFSelect_RetDone:
            raise FaultError("the CAD kernel could not write the STEP file")
        text = path.read_text("utf-8", errors="replace")
    day = "" if date is None else f"{date.isoformat()}T00:00:00"
    return _settled(text, [solid.name for solid in solids], day).encode("ascii")


def _settled(text: str, names: list[str], day: str) -> str:
    """The header names who wrote it, and the day that is given; the products get their names.

    A time of writing would change the bytes of the same board; `time_stamp` is a string that may be empty.

    The kernel counts all products it ever wrote in a process into their names.
    """
    title = _step_text(" with ".join(names))
    text = re.sub(
        r"(FILE_NAME\s*\(\s*)'[^']*'(\s*,\s*')[^']*('\s*,\s*\(\s*')[^']*('\s*\)\s*,\s*\(\s*')[^']*'",
        lambda found: f"{found[1]}'{title}'{found[2]}{day}{found[3]}foamwright{found[4]}'",
        text,
        count=1,
    )

    def name(match: re.Match[str]) -> str:
        return f"'{_step_text(names[int(match[1]) - 1])}'"

    return re.sub(rf"'{PRODUCT}(\d+)(?: \d+)?'", name, text)


def _step_text(words: str) -> str:
    """Words as a STEP text: letters beyond ASCII by their code, quotes doubled (ISO 10303-21, 6.4.3)."""
    letters = (
        letter if letter.isascii() and letter.isprintable() else f"\\X2\\{ord(letter):04X}\\X0\\"
        for letter in words
    )
    return "".join(letters).replace("'", "''")


def _silence() -> None:
    """Keep the kernel's chatter off standard output, which belongs to the result."""
    from OCP.Message import Message

    for printer in list(Message.DefaultMessenger_s().Printers()):
        Message.DefaultMessenger_s().RemovePrinter(printer)
