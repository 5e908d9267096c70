"""Readers of mesh formats: bytes to vertices and triangles, or a plain reason why not."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.curves import Floats

Triangles = NDArray[np.int64]


class FormatError(ValueError):
    """What is wrong with a file, as the end of a sentence."""


def read_stl(data: bytes) -> tuple[Floats, Triangles]:
    """Return vertices (three for each triangle) and triangles of a binary or text STL.

    Raises
    ------
    FormatError
        It is neither.
    """
    if len(data) >= 84:
        count = int(np.frombuffer(data, "<u4", 1, 80)[0])
        if len(data) == 84 + 50 * count:
            facets = np.frombuffer(data[84:], np.dtype([("numbers", "<f4", (4, 3)), ("attribute", "<u2")]))
            return _loose(facets["numbers"][:, 1:].astype(float))
    if data.lstrip()[:5].lower() != b"solid":
        size = f"{len(data)} bytes"
        raise FormatError(
            f"its {size} are neither 84 and 50 for each triangle, nor a text that begins with solid"
        )
    numbers = re.findall(rb"vertex\s+(\S+)\s+(\S+)\s+(\S+)", data)
    if not numbers or len(numbers) % 3:
        raise FormatError("its text has no whole triangles")
    return _loose(_floats(numbers).reshape(-1, 3, 3))


def read_obj(data: bytes) -> tuple[Floats, Triangles]:
    """Return vertices and triangles of a Wavefront OBJ; faces of more corners are cut in fans.

    Raises
    ------
    FormatError
        It has no vertices or faces, or a face names a vertex that is not there.
    """
    vertices = _floats(re.findall(rb"^v\s+(\S+)\s+(\S+)\s+(\S+)", data, re.MULTILINE))
    rows = re.findall(rb"^f\s+([^\r\n#]+)", data, re.MULTILINE)
    if not len(vertices) or not rows:
        raise FormatError("it has no vertices or no faces")
    corners = [[_corner(word, len(vertices)) for word in row.split()] for row in rows]
    fans = [(c[0], c[i], c[i + 1]) for c in corners for i in range(1, len(c) - 1)]
    return vertices, _checked(np.array(fans, dtype=np.int64).reshape(-1, 3), len(vertices))


def _corner(word: bytes, count: int) -> int:
    try:
        number = int(word.split(b"/")[0])
    except ValueError:
        raise FormatError(f"a face names the vertex {word[:20]!r}") from None
    return number - 1 if number > 0 else count + number


@dataclass(frozen=True, slots=True)
class _Element:
    """An element of a PLY header: its name, how many there are, its properties as (type, name)."""

    name: str
    count: int
    properties: tuple[tuple[str, str], ...]


_PLY_TYPES = {
    **dict.fromkeys(("char", "int8"), "i1"),
    **dict.fromkeys(("uchar", "uint8"), "u1"),
    **dict.fromkeys(("short", "int16"), "i2"),
    **dict.fromkeys(("ushort", "uint16"), "u2"),
    **dict.fromkeys(("int", "int32"), "i4"),
    **dict.fromkeys(("uint", "uint32"), "u4"),
    **dict.fromkeys(("float", "float32"), "f4"),
    **dict.fromkeys(("double", "float64"), "f8"),
}


def read_ply(data: bytes) -> tuple[Floats, Triangles]:
    """Return vertices and triangles of a PLY, text or binary; the faces must be triangles.

    Raises
    ------
    FormatError
        It has no header, no vertices or faces, or ends too early.
    """
    head, end, body = data.partition(b"end_header")
    if not data.startswith(b"ply") or not end:
        raise FormatError("it does not begin with a PLY header")
    lines = head.decode("ascii", errors="replace").splitlines()
    order = next((line.split()[1] for line in lines if line.startswith("format ")), "")
    elements = _ply_elements(lines)
    if [e.name for e in elements[:2]] != ["vertex", "face"]:
        raise FormatError("it does not hold vertices and then faces")
    body = body[body.index(b"\n") + 1 :]
    if order == "ascii":
        return _ply_text(body, elements[0], elements[1])
    if order not in ("binary_little_endian", "binary_big_endian"):
        raise FormatError(f"its format “{order}” is unknown")
    return _ply_binary(body, (elements[0], elements[1]), "<" if "little" in order else ">")


def _ply_elements(lines: list[str]) -> list[_Element]:
    elements: list[_Element] = []
    for words in (line.split() for line in lines):
        if words[:1] == ["element"] and len(words) == 3 and words[2].isdigit():
            elements.append(_Element(words[1], int(words[2]), ()))
        elif words[:1] == ["property"] and elements and len(words) >= 3:
            last = elements[-1]
            kind = (" ".join(words[1:-1]), words[-1])
            elements[-1] = _Element(last.name, last.count, (*last.properties, kind))
    return elements


def _ply_text(body: bytes, vertex: _Element, face: _Element) -> tuple[Floats, Triangles]:
    rows = body.split(b"\n")
    if len(rows) < vertex.count + face.count:
        raise FormatError("it ends before its last face")
    place = _xyz(vertex)
    points = _floats([tuple(row.split()[i] for i in place) for row in rows[: vertex.count] if row.strip()])
    corners = [row.split() for row in rows[vertex.count : vertex.count + face.count]]
    if any(row[:1] != [b"3"] for row in corners):
        raise FormatError("it has faces that are no triangles")
    faces = np.array([row[1:4] for row in corners], dtype=np.int64)
    return points, _checked(faces, vertex.count)


def _ply_binary(body: bytes, elements: tuple[_Element, _Element], order: str) -> tuple[Floats, Triangles]:
    vertex, face = elements
    try:
        fields = [(name, order + _PLY_TYPES[kind]) for kind, name in vertex.properties]
        (first, *more) = face.properties
        _, count, index = first[0].split()
        parts = [("count", order + _PLY_TYPES[count]), ("corners", order + _PLY_TYPES[index], (3,))]
        parts += [(f"more{i}", order + _PLY_TYPES[kind]) for i, (kind, _) in enumerate(more)]
    except (KeyError, ValueError):
        raise FormatError("its properties are of an unknown kind") from None
    row, cell = np.dtype(fields), np.dtype(parts)
    if len(body) < vertex.count * row.itemsize + face.count * cell.itemsize:
        raise FormatError("it ends before its last face, or its faces are no triangles")
    points = np.frombuffer(body, row, vertex.count)
    faces = np.frombuffer(body, cell, face.count, vertex.count * row.itemsize)
    if np.any(faces["count"] != 3):
        raise FormatError("it has faces that are no triangles")
    names = [vertex.properties[i][1] for i in _xyz(vertex)]
    stacked = np.stack([points[name] for name in names], axis=1).astype(float)
    return stacked, _checked(faces["corners"].astype(np.int64), vertex.count)


def _xyz(vertex: _Element) -> list[int]:
    names = [name for _, name in vertex.properties]
    if not {"x", "y", "z"} <= set(names):
        raise FormatError("its vertices have no x, y and z")
    return [names.index(axis) for axis in "xyz"]


def _floats(rows: list[tuple[bytes, ...]]) -> Floats:
    try:
        return np.array(rows, dtype=np.bytes_).astype(np.float64).reshape(-1, 3)
    except ValueError:
        raise FormatError("a vertex is no three numbers") from None


def _loose(corners: Floats) -> tuple[Floats, Triangles]:
    count = corners.shape[0]
    return corners.reshape(-1, 3), np.arange(3 * count, dtype=np.int64).reshape(-1, 3)


def _checked(faces: Triangles, count: int) -> Triangles:
    if faces.size and not 0 <= int(faces.min()) <= int(faces.max()) < count:
        raise FormatError("a face names a vertex that is not there")
    return faces
