"""STL, OBJ and 3MF: closed triangle meshes in millimetres, the same bytes on every run."""

from __future__ import annotations

import datetime
import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from foamwright.errors import FaultError, InputError, Problem
from foamwright.exchange.solids import BoardSolid, Body, Refined
from foamwright.shape.chords import grid_within
from foamwright.shape.curves import Floats
from foamwright.shape.mesh import mesh_of
from foamwright.shape.quadrature import Solid

ALONG, ACROSS = 40, 30
"""Steps along each panel and across each part of a half section: a board's volume to 0.1 %."""

FINEST = 5
"""Decimals of a millimetre in written texts."""

DECIMALS = (FINEST, 4, 3)
"""Decimals to which places are rounded: at a pointed tip the finest may leave slivers that share an edge."""

MOST = 2_000_000
"""Triangles of a body at most: 100 MB of STL, and what printers' programs still turn with ease."""

ROUNDING = 2e-6
"""Metres that a place moves at most in a file: thousandths of a millimetre, and single precision."""

TRIES = 4
"""Grids that are tried, each a step finer: whether slivers fall together depends on where the rows stand."""

PLACE = f"%.{FINEST}f"

ZIP_TIME = (1980, 1, 1, 0, 0, 0)
"""The earliest time a zip file can say; the same input gives the same bytes."""

Triangles = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Surface:
    """A closed mesh as it is written: (V, 3) millimetres, (F, 3) indices, normals outwards.

    `chord` says how far the body is from it at most, millimetres, where that was asked for.
    """

    name: str
    vertices: Floats
    faces: Triangles
    chord: float | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """What a file says of itself: its title, and the day that it is of, where one is given."""

    title: str = ""
    date: datetime.date | None = None


def surface_within(body: Body, tolerance: float) -> Surface:
    """Return a body's closed mesh that is nowhere farther than `tolerance` (metres) from the body.

    Raises
    ------
    InputError
        It would take more triangles than programs open.
    """
    found = grid_within(_refined(body), tolerance - ROUNDING, MOST)
    if found is None:
        least = f"within {1000.0 * tolerance:g} mm {body.name} would take more than {MOST:,} triangles."
        raise InputError(Problem("--tolerance", least, "Ask for a coarser one, or export a STEP file."))
    along, across, chord = found
    return replace(surface_of(body, along, across), chord=1000.0 * (chord + ROUNDING))


def _refined(body: Body) -> Solid:
    solid = body.solid
    return Refined(solid, solid.extremes) if isinstance(solid, BoardSolid) else solid


def surface_of(body: Body, along: int = ALONG, across: int = ACROSS) -> Surface:
    """Return a body's closed mesh in the file's frame, in millimetres rounded to single precision.

    Places that fall together in a file are one vertex here, and triangles that vanish are left out, so the
    mesh is as closed in the file as in memory.

    Raises
    ------
    FaultError
        An edge does not belong to exactly two triangles.
    """
    refined = _refined(body)
    for more in range(TRIES):
        mesh = mesh_of(refined, along + more, across)
        placed = body.placed(mesh.vertices) * 1000.0
        for decimals in DECIMALS:
            surface = _welded(body.name, np.round(placed, decimals), mesh.faces)
            if _closed(surface):
                return surface
    raise FaultError(f"the mesh of {body.name} is not closed; nothing was written")


def welded_surface(name: str, points: Floats, faces: Triangles, chord: float | None = None) -> Surface:
    """Return millimetres and triangles as a file tells them.

    Raises
    ------
    FaultError
        They are not closed there.
    """
    for decimals in DECIMALS:
        surface = _welded(name, np.round(points, decimals), faces)
        if _closed(surface):
            return replace(surface, chord=chord)
    raise FaultError(f"the mesh of {name} is not closed; nothing was written")


def _welded(name: str, points: Floats, faces: Triangles) -> Surface:
    """The triangles over places as a file tells them, without those that vanish there."""
    single = points.astype(np.float32).astype(np.float64)
    vertices, index = np.unique(single + 0.0, axis=0, return_inverse=True)
    faces = index.reshape(-1)[faces]
    a, b, c = faces.T
    return Surface(name, vertices, _unfolded(faces[(a != b) & (b != c) & (c != a)]))


def _unfolded(faces: Triangles) -> Triangles:
    """Leave out triangles that lie back to back: slivers at a pointed tip whose two sides fall together."""
    a, b, c = faces.T
    _, which = np.unique(np.sort(faces, axis=1), axis=0, return_inverse=True)
    turn = np.sign(b - a) * np.sign(c - b) * np.sign(c - a)
    kept: NDArray[np.bool_] = np.bincount(which.reshape(-1), turn)[which.reshape(-1)] != 0
    return faces[kept]


def _closed(surface: Surface) -> bool:
    """Whether every edge belongs to exactly two triangles, once in each direction."""
    a, b, c = surface.faces.T
    count = surface.vertices.shape[0]
    ways = np.concatenate([a * count + b, b * count + c, c * count + a])
    backs = np.concatenate([b * count + a, c * count + b, a * count + c])
    there, times = np.unique(ways, return_counts=True)
    return bool(np.all(times == 1)) and np.array_equal(there, np.unique(backs))


def _chord_words(surfaces: Sequence[Surface]) -> str:
    """The worst chord of the bodies in words; empty where it was not asked for."""
    known = [surface.chord for surface in surfaces if surface.chord is not None]
    return f", chord within {max(known):.4f} mm" if known else ""


def stl_bytes(surfaces: Sequence[Surface]) -> bytes:
    """Return binary STL in millimetres (the format itself carries no unit; the header says it).

    Source: 3D Systems, StereoLithography Interface Specification, 1989: 80 bytes of header, a count, 50
    bytes for each facet.
    """
    corners = np.concatenate([s.vertices[s.faces] for s in surfaces]).astype("<f4")
    sides = corners[:, 1:].astype(float) - corners[:, :1].astype(float)
    normals = np.cross(sides[:, 0], sides[:, 1])
    lengths = np.linalg.norm(normals, axis=1)
    normals /= np.where(lengths > 0.0, lengths, 1.0)[:, None]
    facets = np.zeros(corners.shape[0], dtype=[("numbers", "<f4", (4, 3)), ("attribute", "<u2")])
    facets["numbers"][:, 0], facets["numbers"][:, 1:] = normals, corners
    header = f"foamwright, binary STL, millimetres{_chord_words(surfaces)}".encode("ascii").ljust(80, b" ")
    return header + np.uint32(corners.shape[0]).tobytes() + facets.tobytes()


def obj_bytes(surfaces: Sequence[Surface]) -> bytes:
    """Return Wavefront OBJ in millimetres, one group for each body."""
    lines = [f"# foamwright, millimetres{_chord_words(surfaces)}"]
    first = 1
    for surface in surfaces:
        lines.append(f"o {_word(surface.name)}")
        lines += _rows(f"v {PLACE} {PLACE} {PLACE}", surface.vertices)
        lines += _rows("f %d %d %d", surface.faces + first)
        first += surface.vertices.shape[0]
    return ("\n".join(lines) + "\n").encode("ascii")


def threemf_bytes(surfaces: Sequence[Surface], made: Made | None = None) -> bytes:
    """Return 3MF (core specification 1.3), unit millimetre, one object for each body, and its day."""
    made = made or Made(", ".join(surface.name for surface in surfaces))
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (
            ("[Content_Types].xml", _CONTENT_TYPES),
            ("_rels/.rels", _RELATIONS),
            ("3D/3dmodel.model", _model(surfaces, made)),
        ):
            archive.writestr(zipfile.ZipInfo(name, ZIP_TIME), text, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


_CONTENT_TYPES = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Target="/3D/3dmodel.model" Id="model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>\n'
)


def _metadata(surfaces: Sequence[Surface], made: Made) -> str:
    """The names that the core specification knows (3.4.1)."""
    words = {"Title": made.title, "Designer": "foamwright", "Application": "foamwright"}
    if chord := _chord_words(surfaces):
        words["Description"] = f"Triangles{chord.removeprefix(',')}"
    if made.date is not None:
        words |= {"CreationDate": made.date.isoformat(), "ModificationDate": made.date.isoformat()}
    return "".join(f'<metadata name="{name}">{escape(said)}</metadata>' for name, said in words.items())


def _model(surfaces: Sequence[Surface], made: Made) -> str:
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en" '
        'xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">\n'
        + _metadata(surfaces, made)
        + "\n<resources>"
    ]
    for number, surface in enumerate(surfaces, 1):
        parts.append(f'<object id="{number}" type="model" name={quoteattr(surface.name)}><mesh><vertices>')
        parts += _rows(f'<vertex x="{PLACE}" y="{PLACE}" z="{PLACE}"/>', surface.vertices)
        parts.append("</vertices><triangles>")
        parts += _rows('<triangle v1="%d" v2="%d" v3="%d"/>', surface.faces)
        parts.append("</triangles></mesh></object>")
    items = "".join(f'<item objectid="{number}"/>' for number in range(1, len(surfaces) + 1))
    parts.append(f"</resources>\n<build>{items}</build>\n</model>\n")
    return "\n".join(parts)


def _rows(form: str, rows: Floats | Triangles) -> list[str]:
    return [form % tuple(row) for row in rows.tolist()]


def _word(name: str) -> str:
    return "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in name)
