"""Volume, centroid and moments of one solid: by quadrature, by a mesh (trimesh), by the CAD kernel (OCP).

The solid is an ellipsoid of a board's size, whose values are known exactly. The mesh is refined until it is
as near as asked; building it counts, as a user would have to build it.
"""

from __future__ import annotations

import sys
import time
from math import pi
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.shape.mesh import mesh_of
from foamwright.shape.solid import mass_properties, volume
from tests.superellipsoid import Superellipsoid

A, B, C = 0.95, 0.26, 0.032
SOLID = Superellipsoid(A, B, C, lift=0.05)
EXACT = 4.0 / 3.0 * pi * A * B * C
NEAR = 1e-3
"""Relative error asked of the mesh. Ours and the CAD kernel's are far below it."""


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def quickest(function, repeats: int = 5) -> float:
    """Least time of some runs, seconds."""
    spent = []
    for _ in range(repeats):
        began = time.perf_counter()
        function()
        spent.append(time.perf_counter() - began)
    return min(spent)


def ours() -> float:
    """Volume by quadrature."""
    return mass_properties(SOLID).volume


def ours_as_near() -> float:
    """Volume by quadrature with as few points as are as near as the CAD kernel."""
    return volume(SOLID, 8, 8)


def by_mesh(steps: int) -> float:
    """Volume of a mesh, with the same properties as `ours` computed by trimesh."""
    import trimesh

    made = mesh_of(SOLID, steps, steps)
    found = trimesh.Trimesh(made.vertices, made.faces, process=False)
    assert found.mass_properties is not None
    return float(found.volume)


def by_cad() -> float:
    """Volume of the exact boundary representation, by the CAD kernel to its own tolerance."""
    from OCP.BRepBuilderAPI import BRepBuilderAPI_GTransform
    from OCP.BRepGProp import BRepGProp
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere
    from OCP.gp import gp_GTrsf, gp_Mat
    from OCP.GProp import GProp_GProps

    stretch = gp_GTrsf()
    stretch.SetVectorialPart(gp_Mat(A, 0, 0, 0, B, 0, 0, 0, C))
    solid = BRepBuilderAPI_GTransform(BRepPrimAPI_MakeSphere(1.0).Shape(), stretch, True).Shape()
    found = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, found, 1e-6)
    return float(found.Mass())


def error(volume: float) -> float:
    """Relative error of a volume."""
    return abs(volume / EXACT - 1.0)


def near_enough() -> int:
    """Steps of the coarsest mesh that is near enough."""
    for steps in (8, 12, 16, 24, 32, 48, 64, 96, 128):
        if error(by_mesh(steps)) <= NEAR:
            return steps
    raise AssertionError("no mesh is near enough")


def rows() -> list[dict]:
    """Everything."""
    assert error(ours()) < 1e-9
    mine = quickest(ours, 15)
    lines = [
        row("quadrature: volume, centroid, moments, area", 1e3 * mine, "ms"),
        row("quadrature: relative error of the volume", error(ours()), "1", "under 1e-9"),
    ]
    try:
        steps = near_enough()
    except ImportError:
        lines.append(row("trimesh is not installed: left out", np.nan, ""))
    else:
        theirs = quickest(lambda: by_mesh(steps))
        lines += [
            row(f"mesh of {steps} steps and trimesh: the same", 1e3 * theirs, "ms"),
            row("mesh: relative error of the volume", error(by_mesh(steps)), "1", f"under {NEAR:g}"),
            row("quadrature, times faster than the mesh", theirs / mine, "x"),
        ]
    try:
        assert error(by_cad()) < 1e-4
    except ImportError:
        return [*lines, row("the CAD kernel (OCP) is not installed: left out", np.nan, "")]
    theirs, few = quickest(by_cad), quickest(ours_as_near, 15)
    assert error(ours_as_near()) <= error(by_cad())
    return [
        *lines,
        row("CAD kernel: volume, centroid, moments of the exact ellipsoid", 1e3 * theirs, "ms"),
        row("CAD kernel: relative error of the volume", error(by_cad()), "1"),
        row("quadrature of few points: volume", 1e3 * few, "ms"),
        row("quadrature of few points: relative error of the volume", error(ours_as_near()), "1"),
        row("quadrature of few points, times faster than the CAD kernel", theirs / few, "x"),
    ]


if __name__ == "__main__":
    for line in rows():
        print(f"{line['name']:<66} {line['value']:>12.4g} {line['unit']:<9} {line['asked']}")
