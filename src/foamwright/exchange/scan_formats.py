"""Readers of mesh formats: bytes to vertices and triangles, or a plain reason why not."""

from __future__ import annotations

import re
from array import array
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from foamwright.exchange.scan_budget import MOST_CORNERS, MOST_TRIANGLES, FormatError, require_few
from foamwright.shape.curves import Floats

Triangles = NDArray[np.int64]


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
            require_few(count, "triangles", MOST_TRIANGLES)
            facets = np.frombuffer(data[84:], np.dtype([("numbers", "<f4", (4, 3)), ("attribute", "<u2")]))
            return _loose(facets["numbers"][:, 1:].astype(float))
    if data.lstrip()[:5].lower() != b"solid":
        size = f"{len(data)} bytes"
        raise FormatError(
            f"its {size} are neither 84 and 50 for each triangle, nor a text that begins with solid"
        )
    # A text's corners take three times the memory of numbers while they are read.
    require_few(data.count(b"vertex"), "corners as a text", MOST_TRIANGLES)
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
    require_few(data.count(b"v "), "vertices", MOST_TRIANGLES)
    require_few(data.count(b"f "), "faces", MOST_TRIANGLES)
    vertices = _floats(re.findall(rb"^v\s+(\S+)\s+(\S+)\s+(\S+)", data, re.MULTILINE))
    rows = re.findall(rb"^f\s+([^\r\n#]+)", data, re.MULTILINE)
    if not len(vertices) or not rows:
        raise FormatError("it has no vertices or no faces")
    # Each blank of a row is before one more corner at most.
    require_few(sum(row.count(b" ") + row.count(b"\t") + 1 for row in rows), "corners of faces", MOST_CORNERS)
    # Numbers in an array take a tenth of what they take as tuples.
    fans = array("q")
    for row in rows:
        corners = [_corner(word, len(vertices)) for word in row.split()]
        for second, third in pairwise(corners[1:]):
            fans.extend((corners[0], second, third))
    return vertices, _checked(np.frombuffer(fans, dtype=np.int64).reshape(-1, 3), len(vertices))


def _corner(word: bytes, count: int) -> int:
    name = word.split(b"/")[0]
    try:
        # More digits than any vertex has would not fit into an array.
        number = int(name[:12])
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


_LONGEST_HEAD, _MOST_DIGITS = 100_000, 12
"""Bytes of a PLY header, and digits of a count in it."""


def read_ply(data: bytes) -> tuple[Floats, Triangles]:
    """Return vertices and triangles of a PLY, text or binary; the faces must be triangles.

    Raises
    ------
    FormatError
        It has no header, no vertices or faces, or ends too early.
    """
    head, end, body = data.partition(b"end_header")
    if not data.startswith(b"ply") or not end or len(head) > _LONGEST_HEAD:
        raise FormatError("it does not begin with a PLY header")
    lines = head.decode("ascii", errors="replace").splitlines()
    order = next(
        (line.split()[1] for line in lines if len(line.split()) > 1 and line.startswith("format ")), ""
    )
    elements = _ply_elements(lines)
    if [e.name for e in elements[:2]] != ["vertex", "face"]:
        raise FormatError("it does not hold vertices and then faces")
    require_few(elements[0].count, "vertices", MOST_CORNERS)
    require_few(elements[1].count, "triangles", MOST_TRIANGLES)
    body = body.partition(b"\n")[2]
    if order == "ascii":
        return _ply_text(body, elements[0], elements[1])
    if order not in ("binary_little_endian", "binary_big_endian"):
        raise FormatError(f"its format “{order}” is unknown")
    return _ply_binary(body, (elements[0], elements[1]), "<" if "little" in order else ">")


def _ply_elements(lines: list[str]) -> list[_Element]:
    elements: list[_Element] = []
    for words in (line.split() for line in lines):
        if words[:1] == ["element"] and len(words) == 3 and re.fullmatch(r"[0-9]+", words[2]):
            if len(words[2]) > _MOST_DIGITS:
                raise FormatError(f"its header counts {words[2][:20]}… of {words[1][:20]}")
            elements.append(_Element(words[1], int(words[2]), ()))
        elif words[:1] == ["property"] and elements and len(words) >= 3:
            last = elements[-1]
            kind = (" ".join(words[1:-1]), words[-1])
            elements[-1] = _Element(last.name, last.count, (*last.properties, kind))
    return elements


def _ply_text(body: bytes, vertex: _Element, face: _Element) -> tuple[Floats, Triangles]:
    require_few(vertex.count, "vertices as a text", MOST_TRIANGLES)
    rows = body.split(b"\n", vertex.count + face.count)
    if len(rows) < vertex.count + face.count:
        raise FormatError("it ends before its last face")
    place = _xyz(vertex)
    try:
        points = _floats([tuple(row.split()[i] for i in place) for row in rows[: vertex.count]])
        corners = [row.split()[:5] for row in rows[vertex.count : vertex.count + face.count]]
        if any(row[:1] != [b"3"] or len(row) < 4 for row in corners):
            raise FormatError("it has faces that are no triangles")
        faces = np.array([[int(number) for number in row[1:4]] for row in corners], dtype=np.int64)
    except (IndexError, OverflowError):
        raise FormatError("a row has fewer numbers than its header says, or larger ones") from None
    except ValueError as why:
        raise why if isinstance(why, FormatError) else FormatError("a face is no three numbers") from None
    return points, _checked(faces.reshape(-1, 3), vertex.count)


def _ply_binary(body: bytes, elements: tuple[_Element, _Element], order: str) -> tuple[Floats, Triangles]:
    vertex, face = elements
    try:
        fields = [(name, order + _PLY_TYPES[kind]) for kind, name in vertex.properties]
        (first, *more) = face.properties
        _, count, index = first[0].split()
        if _PLY_TYPES[count][0] == "f" or _PLY_TYPES[index][0] == "f":
            raise ValueError("vertices are counted in whole numbers")
        parts = [("count", order + _PLY_TYPES[count]), ("corners", order + _PLY_TYPES[index], (3,))]
        parts += [(f"more{i}", order + _PLY_TYPES[kind]) for i, (kind, _) in enumerate(more)]
        row, cell = np.dtype(fields), np.dtype(parts)
    except (KeyError, ValueError):
        raise FormatError("its properties are of an unknown kind") from None
    names = [vertex.properties[i][1] for i in _xyz(vertex)]
    if len(body) < vertex.count * row.itemsize + face.count * cell.itemsize:
        raise FormatError("it ends before its last face, or its faces are no triangles")
    points = np.frombuffer(body, row, vertex.count)
    faces = np.frombuffer(body, cell, face.count, vertex.count * row.itemsize)
    if np.any(faces["count"] != 3):
        raise FormatError("it has faces that are no triangles")
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
