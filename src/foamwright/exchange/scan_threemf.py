"""Reader of 3MF: the one format here that says its unit.

Source: 3MF core specification 1.3 (units, meshes, components, build items and their transforms).
"""

from __future__ import annotations

import io
import zipfile
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from foamwright.exchange.scan_formats import FormatError
from foamwright.shape.curves import Floats

if TYPE_CHECKING:
    from collections.abc import Iterator

MODEL = "3D/3dmodel.model"
MOST_UNPACKED, MOST_PARTS = 2_000_000_000, 1000
"""Bytes and parts of an archive that would be unpacked at most."""

MOST_TRIANGLES, MOST_PLACED = 20_000_000, 10_000
"""Triangles and placed objects at most, once every component stands where the build wants it."""

DEEPEST = 8
"""Components in components."""

PIECE = 1 << 20
"""Bytes that are unpacked at a time."""

MILLIMETRES = {
    "micron": 1e-3,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}

Triangles = NDArray[np.int64]
Mesh = tuple[Floats, Triangles]


@dataclass(eq=False)
class _Thing:
    """An object of the file: corners and triangles, and what else it is put together from."""

    vertices: list[tuple[float, float, float]] = field(default_factory=list)
    faces: list[tuple[int, int, int]] = field(default_factory=list)
    parts: list[tuple[str, Floats]] = field(default_factory=list)

    @cached_property
    def mesh(self) -> Mesh:
        """Its own mesh, checked."""
        vertices, faces = np.array(self.vertices).reshape(-1, 3), np.array(self.faces, int).reshape(-1, 3)
        if faces.size and (faces.min() < 0 or faces.max() >= len(vertices)):
            raise FormatError("a triangle names a vertex that is not there")
        return vertices, faces


def read_3mf(data: bytes) -> Mesh:
    """Return vertices in millimetres and triangles of what a 3MF builds.

    Raises
    ------
    FormatError
        It is no 3MF, unpacks to more than 2 GB, or its model cannot be read.
    """
    things: dict[str, _Thing] = {}
    build: list[tuple[str, Floats]] = []
    unit = 1.0
    try:
        for element in _elements(_model(data)):
            name = element.tag.rpartition("}")[2]
            if name == "object":
                things[element.get("id", "")] = _thing(element)
                element.clear()
            elif name == "item":
                build.append((element.get("objectid", ""), _transform(element)))
            elif name == "model":
                unit = _unit(element)
    except (ElementTree.ParseError, ValueError, TypeError) as why:
        if isinstance(why, FormatError):
            raise
        raise FormatError("its model is no readable XML, or has words for numbers") from None
    vertices, faces = _joined(_placed(things, build))
    return vertices * unit, faces


def _model(data: bytes) -> bytes:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            if len(parts) > MOST_PARTS or sum(part.file_size for part in parts) > MOST_UNPACKED:
                raise FormatError("it would unpack to more than 2 GB")
            return _unpacked(archive, next((p for p in parts if p.filename.lstrip("/") == MODEL), None))
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError):
        raise FormatError("it is no whole archive") from None


def _unpacked(archive: zipfile.ZipFile, part: zipfile.ZipInfo | None) -> bytes:
    """Unpack a part piece by piece: what an archive says of its sizes need not be so."""
    if part is None:
        raise FormatError(f"it holds no {MODEL}")
    pieces, size = [], 0
    with archive.open(part) as stream:
        while piece := stream.read(PIECE):
            pieces.append(piece)
            size += len(piece)
            if size > part.file_size or size > MOST_UNPACKED:
                raise FormatError("it unpacks to more than it says")
    text = b"".join(pieces)
    # No model needs a document type, and entities can grow without end.
    if b"<!DOCTYPE" in text[:PIECE] or b"<!ENTITY" in text[:PIECE]:
        raise FormatError("its model declares a document type")
    return text


def _elements(text: bytes) -> Iterator[ElementTree.Element]:
    for _, element in ElementTree.iterparse(io.BytesIO(text)):
        yield element


def _unit(model: ElementTree.Element) -> float:
    word = model.get("unit", "millimeter")
    if word not in MILLIMETRES:
        raise FormatError(f"its unit {word[:20]!r} is none of {', '.join(MILLIMETRES)}")
    return MILLIMETRES[word]


def _thing(element: ElementTree.Element) -> _Thing:
    found = _Thing()
    for one in element.iter():
        name, get = one.tag.rpartition("}")[2], one.get
        if name == "vertex":
            found.vertices.append((float(get("x", "")), float(get("y", "")), float(get("z", ""))))
        elif name == "triangle":
            found.faces.append((int(get("v1", "")), int(get("v2", "")), int(get("v3", ""))))
        elif name == "component":
            found.parts.append((get("objectid", ""), _transform(one)))
    return found


def _transform(element: ElementTree.Element) -> Floats:
    """The 4 x 3 matrix by which rows (x, y, z, 1) are multiplied."""
    words = element.get("transform")
    if words is None:
        return np.vstack([np.eye(3), np.zeros(3)])
    return np.array([float(word) for word in words.split()]).reshape(4, 3)


def _placed(things: dict[str, _Thing], build: list[tuple[str, Floats]]) -> list[Mesh]:
    """Every mesh where the build wants it, components taken apart."""
    meshes: list[Mesh] = []
    wanted, placed = [(name, move, 0) for name, move in build], 0
    while wanted:
        name, move, deep = wanted.pop()
        if name not in things or deep > DEEPEST:
            raise FormatError("it builds an object that is not there, or one inside itself")
        vertices, faces = things[name].mesh
        meshes.append((vertices @ move[:3] + move[3], faces))
        placed += 1 + len(faces)
        if placed > MOST_TRIANGLES or len(meshes) > MOST_PLACED:
            raise FormatError("it builds far more than a scan")
        for part, own in things[name].parts:
            wanted.append((part, np.vstack([own[:3] @ move[:3], own[3] @ move[:3] + move[3]]), deep + 1))
    return meshes


def _joined(meshes: list[Mesh]) -> Mesh:
    if not meshes:
        raise FormatError("it builds nothing")
    firsts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes[:-1])])
    faces = [faces + first for (_, faces), first in zip(meshes, firsts, strict=True)]
    return np.concatenate([vertices for vertices, _ in meshes]), np.concatenate(faces)
