"""Pictures of what comes off: a small PNG over the plan view, its colours, and a plain view in the round."""

from __future__ import annotations

import base64
import struct
import zlib
from functools import cache

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.curves import Floats

CIVIDIS = (
    "00224e 002e6a 1a386f 32436d 434e6c 535a6d 61656f 6f7073 7d7c78 8c8878 9b9476 aba072 bcae6c cdbb63 "
    "dec958 f0d846 fee838"
)
"""17 even steps of cividis. Source: Nunez, Anderton, Renslow, Optimizing colormaps with consideration for
color vision deficiency, PLoS ONE 13(7), 2018, as matplotlib 3.9 has it."""

COLOURS = 255
"""Steps of the palette; 0 is nothing."""


@cache
def palette() -> NDArray[np.uint8]:
    """Return (256, 3) colours: 0 unused, then cividis reversed, from pale (leave) to dark (take off)."""
    steps = np.array([[int(c[i : i + 2], 16) for i in (0, 2, 4)] for c in CIVIDIS.split()], dtype=float)[::-1]
    at = np.linspace(0.0, len(steps) - 1.0, COLOURS)
    rows = np.stack([np.interp(at, np.arange(len(steps)), steps[:, n]) for n in range(3)], axis=1)
    return np.concatenate([np.zeros((1, 3), np.uint8), np.rint(rows).astype(np.uint8)])


def colour(share: float) -> str:
    """Return the colour of a share of the greatest depth, 0 to 1."""
    red, green, blue = palette()[1 + round(np.clip(share, 0.0, 1.0) * (COLOURS - 1))]
    return f"#{red:02x}{green:02x}{blue:02x}"


def png_address(index: NDArray[np.uint8]) -> str:
    """Return a picture of palette numbers (H, W), 0 see-through, as the address of an image in the page."""
    height, width = index.shape
    rows = np.concatenate([np.zeros((height, 1), np.uint8), index], axis=1).tobytes()
    parts = (
        (b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 3, 0, 0, 0)),
        (b"PLTE", palette().tobytes()),
        (b"tRNS", b"\x00"),
        (b"IDAT", zlib.compress(rows, 6)),
        (b"IEND", b""),
    )
    data = b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, body) for kind, body in parts)
    return "data:image/png;base64," + base64.b64encode(data).decode()


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


def indices(depth: Floats, most: float) -> NDArray[np.uint8]:
    """Return palette numbers of depths, the deepest ones alike from `most` on."""
    return (1 + np.rint(np.clip(depth / most, 0.0, 1.0) * (COLOURS - 1))).astype(np.uint8)
