"""Scans as files: STL, OBJ, PLY and 3MF become triangles in metres; what is not what it claims is told so."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from foamwright.errors import InputError, Problem
from foamwright.exchange.scan_budget import (
    FARTHEST,
    MOST_BYTES,
    MOST_PIECES,
    MOST_TRIANGLES,
    FormatError,
    require_few,
)
from foamwright.exchange.scan_formats import read_obj, read_ply, read_stl
from foamwright.exchange.scan_threemf import read_3mf
from foamwright.shape.curves import Floats
from foamwright.units import Unit

SHORTEST, LONGEST = 1.0, 5.0
"""Metres: boards and blanks are longer than the first and shorter than the second."""

FEWEST = 200
"""Triangles; fewer say too little."""

FINE, HALVINGS = 0.012, 12
"""Metres: longer triangles are halved, so that every part of the surface is seen; and how often at most."""

Readers = Callable[[bytes], tuple[Floats, NDArray[np.int64]]]
READERS: dict[str, Readers] = {".stl": read_stl, ".obj": read_obj, ".ply": read_ply, ".3mf": read_3mf}
UNIT_INSIDE = {".3mf": Unit.MM}
"""Formats that say their unit, and the one that their numbers are brought to."""


@dataclass(frozen=True, eq=False)
class Scan:
    """A scanned surface as triangles.

    Attributes
    ----------
    centres
        (M, 3) middles of the triangles, metres, in the file's own frame; long triangles are split first.
    normals
        (M, 3) unit normals, as the triangles are wound.
    areas
        (M,) m2.
    shares
        (M,) of the file's own triangle that a piece is: noise is that of a triangle, however often it was
        split.
    triangles
        How many there are in the file.
    open_share
        Edges that belong to one triangle only, as a share of all (0: closed; ``nan``: not counted).
    """

    centres: Floats
    normals: Floats
    areas: Floats
    shares: Floats
    triangles: int
    open_share: float


def read_scan(path: str | os.PathLike[str], unit: Unit | None) -> Scan:
    """Return the scan in a file.

    Parameters
    ----------
    path
        An STL, OBJ, PLY or 3MF file.
    unit
        Unit of its numbers. Only a 3MF says it; elsewhere it is asked for, never guessed.

    Raises
    ------
    InputError
        The file cannot be read, is not what its ending claims, is empty or flat, or is no board in that
        unit; a unit was given for a file that says its own.
    """
    file = Path(path)
    ending = file.suffix.lower()
    reader = READERS.get(ending)
    if reader is None:
        raise _problem(file, f"has the ending “{file.suffix}”.", f"A scan is one of {', '.join(READERS)}.")
    if unit is not None and ending in UNIT_INSIDE:
        raise _problem(file, "says its own unit.", "Leave --unit away.")
    try:
        vertices, faces = reader(_bytes(file))
        require_few(faces.shape[0], "triangles", MOST_TRIANGLES)
    except FormatError as why:
        remedy = (
            "Export the scan again, with fewer triangles."
            if "at most" in str(why)
            else "Export the scan again."
        )
        raise _problem(file, f"is no {file.suffix[1:].upper()} file we can read: {why}.", remedy) from None
    return scan_of(vertices, faces, UNIT_INSIDE.get(ending, unit), file.name)


def scan_of(vertices: Floats, faces: NDArray[np.int64], unit: Unit | None, name: str) -> Scan:
    """Return triangles in a unit as a scan; `name` stands for the file in messages.

    Raises
    ------
    InputError
        There are too few triangles, numbers that are not finite, or a size that no board has in that unit.
    """
    if faces.shape[0] < FEWEST:
        raise InputError(
            Problem(name, f"holds {faces.shape[0]} triangles.", "That is no scan of a board; check the file.")
        )
    if not np.all(np.abs(vertices) < FARTHEST):
        what = f"holds numbers that are not finite, or beyond {FARTHEST:.0e}."
        raise InputError(Problem(name, what, "Export the scan again."))
    _check_size(vertices, unit, name)
    assert unit is not None
    try:
        corners, shares = _split((vertices * float(unit.exact))[faces])
    except FormatError as why:
        remedy = "Mesh it anew with triangles that are about as wide as they are long."
        raise InputError(
            Problem(name, f"has triangles too long and narrow to be seen whole: {why}.", remedy)
        ) from None
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    across = np.cross(b - a, c - a)
    double = np.linalg.norm(across, axis=1)
    solid = double > 0.0
    return Scan(
        centres=((a + b + c) / 3.0)[solid],
        normals=across[solid] / double[solid, None],
        areas=double[solid] / 2.0,
        shares=shares[solid],
        triangles=faces.shape[0],
        open_share=_open_share(faces),
    )


def _split(corners: Floats) -> tuple[Floats, Floats]:
    """Halve triangles (N, 3, 3) across their longest side until none is longer than `FINE`.

    Returns the pieces, and which share of its triangle each is; before there are too many it raises.
    """
    done, coarse, finished = [], corners, 0
    for _ in range(HALVINGS):
        sides = np.linalg.norm(np.roll(coarse, -1, axis=1) - coarse, axis=2)
        long = np.max(sides, axis=1) > FINE
        done.append(coarse[~long])
        finished += len(done[-1])
        require_few(finished + 2 * int(np.count_nonzero(long)), "pieces once cut", MOST_PIECES)
        if not np.any(long):
            break
        first = np.argmax(sides[long], axis=1)[:, None, None]
        # The longest side runs from the first corner to the second.
        a, b, c = (np.take_along_axis(coarse[long], (first + i) % 3, axis=1)[:, 0] for i in range(3))
        middle = (a + b) / 2.0
        coarse = np.concatenate([np.stack([a, middle, c], axis=1), np.stack([middle, b, c], axis=1)])
    else:
        done.append(coarse)
    shares = [np.full(pieces.shape[0], 0.5**times) for times, pieces in enumerate(done)]
    return np.concatenate(done), np.concatenate(shares)


def _check_size(vertices: Floats, unit: Unit | None, name: str) -> None:
    centred = vertices - np.mean(vertices, axis=0)
    _, axes = np.linalg.eigh(
        centred[:: max(1, len(centred) // 20_000)].T @ centred[:: max(1, len(centred) // 20_000)]
    )
    sizes = np.ptp(centred @ axes[:, ::-1], axis=0)
    longest = float(sizes[0])
    likely = [
        u
        for u in (Unit.MM, Unit.CM, Unit.METRE, Unit.INCH)
        if SHORTEST <= longest * float(u.exact) <= LONGEST
    ]
    told = ", ".join(f"{longest * float(u.exact):.3f} m if they are {u}" for u in likely)
    hint = f"Its longest side is {longest:.6g} numbers: {told or 'no unit makes a board of that'}."
    if unit is None:
        raise InputError(Problem(name, "does not say its unit; no such file does.", f"{hint} Say --unit."))
    metres = longest * float(unit.exact)
    if not SHORTEST <= metres <= LONGEST:
        raise InputError(
            Problem(name, f"is {metres:.4g} m long if its numbers are {unit}; no board is.", hint)
        )
    if sizes[2] < 0.004 * sizes[0]:
        raise InputError(
            Problem(name, "is flat: it has no second face.", "Scan bottom and deck into one mesh.")
        )


def _open_share(faces: NDArray[np.int64]) -> float:
    """Share of edges with one triangle; meshes whose triangles share no vertices are not counted."""
    if faces.max() + 1 >= 3 * faces.shape[0]:
        return float("nan")
    ends = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    _, times = np.unique(ends[:, 0] * (faces.max() + 1) + ends[:, 1], return_counts=True)
    return float(np.mean(times == 1))


def _bytes(file: Path) -> bytes:
    try:
        if file.stat().st_size > MOST_BYTES:
            raise _problem(file, "is larger than 120 MB.", "Thin the scan; a million triangles are plenty.")
        return file.read_bytes()
    except FileNotFoundError:
        raise _problem(file, "does not exist.", "Check the name.") from None
    except IsADirectoryError:
        raise _problem(file, "is a folder.", "Name the scan inside it.") from None
    except OSError as why:
        raise _problem(file, f"cannot be read ({why.strerror}).", "Check the name and the disk.") from None


def _problem(file: Path, what: str, remedy: str) -> InputError:
    return InputError(Problem(file.name, what, remedy))
