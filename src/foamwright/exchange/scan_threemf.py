"""Reader of 3MF: the one format here that says its unit.

Source: 3MF core specification 1.3 (units, meshes, components, build items and their transforms). The model is
read as it is unpacked, and of its elements only their numbers are kept.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from array import array
from dataclasses import dataclass, field
from functools import cached_property
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from foamwright.exchange.scan_budget import MOST_BYTES, MOST_CORNERS, MOST_TRIANGLES, FormatError, require_few
from foamwright.shape.curves import Floats

MODEL = "3D/3dmodel.model"
MOST_PARTS = 1000
"""Parts of an archive at most."""

MOST_PLACED = 10_000
"""Objects, components and placed objects at most, once every component stands where the build wants it."""

DEEPEST = 8
"""Components in components."""

PIECE = 1 << 18
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

    vertices: array[float] = field(default_factory=lambda: array("d"))
    faces: array[int] = field(default_factory=lambda: array("q"))
    parts: list[tuple[str, Floats]] = field(default_factory=list)

    @cached_property
    def mesh(self) -> Mesh:
        """Its own mesh, checked."""
        vertices = np.frombuffer(self.vertices).reshape(-1, 3)
        faces = np.frombuffer(self.faces, dtype=np.int64).reshape(-1, 3)
        if faces.size and (faces.min() < 0 or faces.max() >= len(vertices)):
            raise FormatError("a triangle names a vertex that is not there")
        return vertices, faces


class _Reading:
    """Takes the elements of a model as the parser comes to them."""

    def __init__(self) -> None:
        self.things: dict[str, _Thing] = {}
        self.build: list[tuple[str, Floats]] = []
        self.unit = 1.0
        self._thing = _Thing()
        self._corners = self._faces = self._parts = 0

    def start(self, tag: str, told: dict[str, str]) -> None:
        """Take one element."""
        name, get = tag.rpartition("}")[2], told.get
        if name == "vertex":
            self._corners += 1
            require_few(self._corners, "vertices", MOST_CORNERS)
            self._thing.vertices.extend((float(get("x", "")), float(get("y", "")), float(get("z", ""))))
        elif name == "triangle":
            self._faces += 1
            require_few(self._faces, "triangles", MOST_TRIANGLES)
            self._thing.faces.extend((int(get("v1", "")), int(get("v2", "")), int(get("v3", ""))))
        elif name in ("component", "item", "object"):
            self._parts += 1
            require_few(self._parts, "objects and components", MOST_PLACED)
            self._part(name, told)
        elif name == "model":
            self.unit = _unit(get("unit", "millimeter"))

    def _part(self, name: str, told: dict[str, str]) -> None:
        if name == "object":
            self._thing = self.things[told.get("id", "")] = _Thing()
            return
        place = (told.get("objectid", ""), _transform(told.get("transform")))
        (self.build if name == "item" else self._thing.parts).append(place)

    def doctype(self, *_: object) -> None:
        """Refuse a document type: no model needs one, and entities can grow without end."""
        raise FormatError("its model declares a document type")

    def close(self) -> None:
        """Nothing is left to do."""


def read_3mf(data: bytes) -> Mesh:
    """Return vertices in millimetres and triangles of what a 3MF builds.

    Raises
    ------
    FormatError
        It is no 3MF, holds more than is taken, or its model cannot be read.
    """
    reading = _Reading()
    parser = ElementTree.XMLParser(target=reading)
    try:
        _feed(data, parser)
        parser.close()
        vertices, faces = _joined(_placed(reading.things, reading.build))
    except FormatError:
        raise
    except (ElementTree.ParseError, ValueError, TypeError, OverflowError):
        raise FormatError("its model is no readable XML, or has words for numbers") from None
    return vertices * reading.unit, faces


def _feed(data: bytes, parser: ElementTree.XMLParser) -> None:
    """Unpack the model piece by piece into the parser: what an archive says of its sizes need not be so."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
            part = next((p for p in parts if p.filename.lstrip("/") == MODEL), None)
            if part is None or len(parts) > MOST_PARTS:
                raise FormatError(f"it holds no {MODEL}, or far too many parts")
            left = MOST_BYTES
            with archive.open(part) as stream:
                while piece := stream.read(PIECE):
                    left -= len(piece)
                    if left < 0:
                        raise FormatError(f"it would unpack to more than {MOST_BYTES // 1_000_000} MB")
                    parser.feed(piece)
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError, OSError, zlib.error):
        raise FormatError("it is no whole archive") from None


def _unit(word: str) -> float:
    if word not in MILLIMETRES:
        raise FormatError(f"its unit {word[:20]!r} is none of {', '.join(MILLIMETRES)}")
    return MILLIMETRES[word]


def _transform(words: str | None) -> Floats:
    """The 4 x 3 matrix by which rows (x, y, z, 1) are multiplied."""
    if words is None:
        return np.vstack([np.eye(3), np.zeros(3)])
    return np.array([float(word) for word in words[:1000].split()]).reshape(4, 3)


def _placed(things: dict[str, _Thing], build: list[tuple[str, Floats]]) -> list[Mesh]:
    """Every mesh where the build wants it, components taken apart."""
    meshes: list[Mesh] = []
    wanted, triangles, corners = [(name, move, 0) for name, move in build], 0, 0
    while wanted:
        name, move, deep = wanted.pop()
        if name not in things or deep > DEEPEST:
            raise FormatError("it builds an object that is not there, or one inside itself")
        thing = things[name]
        vertices, faces = thing.mesh
        triangles, corners = triangles + len(faces), corners + len(vertices)
        # Counted before any of it is made.
        require_few(len(meshes) + len(wanted) + len(thing.parts) + 1, "placed objects", MOST_PLACED)
        require_few(triangles, "placed triangles", MOST_TRIANGLES)
        require_few(corners, "placed vertices", MOST_CORNERS)
        meshes.append((vertices @ move[:3] + move[3], faces))
        for part, own in thing.parts:
            wanted.append((part, np.vstack([own[:3] @ move[:3], own[3] @ move[:3] + move[3]]), deep + 1))
    return meshes


def _joined(meshes: list[Mesh]) -> Mesh:
    if not meshes:
        raise FormatError("it builds nothing")
    firsts = np.cumsum([0, *(len(vertices) for vertices, _ in meshes[:-1])])
    faces = [faces + first for (_, faces), first in zip(meshes, firsts, strict=True)]
    return np.concatenate([vertices for vertices, _ in meshes]), np.concatenate(faces)
