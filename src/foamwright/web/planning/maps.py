"""What comes off, as a map over the plan view and as numbers for the view in the round.

The deck lies above the stringer and the bottom below it: a board has two like halves, so one picture holds
both faces.
"""

from __future__ import annotations

import base64
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.jobs.live_removal import Removal, level_lines
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System, format_length, format_with_unit
from foamwright.web.planning.figures import MM, plain_path
from foamwright.web.planning.pictures import colour, indices, png_address

PIXELS_ALONG, PIXELS_ACROSS = 384, 52
"""Of the map's picture; the page draws it smooth."""

SHOWN = 0.93
"""The share of the board's area that the colours tell apart; deeper, towards the rails, all is alike."""

STEPS = {
    System.INCH: (INCH / 8, INCH / 4, INCH / 2, INCH),
    System.MM: (0.002, 0.005, 0.01, 0.02),
}
"""Distances between contours that a person counts in."""

MOST_LEVELS = 8

SHORT = 24
"""Points of a contour; a shorter one has no label."""

QUANTUM = 0.02e-3
"""Metres in a unit of the numbers sent to the page."""


@dataclass(frozen=True, slots=True)
class Level:
    """A contour: its depth in words, as a share of the greatest shown in percent, its path, its labels.

    `labels` are places across and down the map, percent.
    """

    words: str
    percent: float
    path: str
    labels: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Swatch:
    """A piece of the legend: where it begins and how wide it is, percent, and its colour."""

    percent: float
    width: float
    colour: str


@dataclass(frozen=True, slots=True)
class MapView:
    """The map. Lengths in millimetres, y downwards, the deck's half above.

    Attributes
    ----------
    length, half
        Of the board.
    outline
        Closed path.
    picture
        Address of the coloured picture that fills ``0 0 length 2*half``.
    levels
        Contours, shallow first.
    legend
        Colours from nothing to `most`.
    most
        The depth from which all is alike, in words.
    most_m, step_m
        That depth, and the distance between contours.
    """

    length: float
    half: float
    outline: str
    picture: str
    levels: tuple[Level, ...]
    legend: tuple[Swatch, ...]
    most: str
    most_m: float
    step_m: float


def map_view(removal: Removal, system: System) -> MapView:
    """Return the map of what comes off, depths in the units asked for."""
    step, most = _scale(removal, system)
    half = float(removal.half_width.max())
    x, edge = removal.x, removal.half_width
    outline = np.concatenate([np.stack([x, half - edge], 1), np.stack([x, half + edge], 1)[::-1]])
    return MapView(
        length=float(x[-1]) * MM,
        half=half * MM,
        outline=plain_path(outline * MM) + "Z",
        picture=png_address(_picture(removal, most, half)),
        levels=tuple(
            _level(removal, n * step, most, (half, system)) for n in range(1, round(most / step) + 1)
        ),
        legend=tuple(Swatch(n / 0.48, 1 / 0.47, colour((n + 0.5) / 48.0)) for n in range(48)),
        most=format_with_unit(most, system, 32),
        most_m=most,
        step_m=step,
    )


def _scale(removal: Removal, system: System) -> tuple[float, float]:
    """Distance between contours, and the depth from which all is alike."""
    cell = (removal.half_width * np.gradient(removal.x))[:, None] * np.gradient(removal.share)
    area = np.repeat(cell[None], 2, axis=0).ravel()
    depth = np.stack([removal.deck_off, removal.bottom_off]).ravel()
    order = np.argsort(depth)
    reached = np.cumsum(area[order])
    deep = float(depth[order][np.searchsorted(reached, SHOWN * reached[-1])])
    steps = STEPS[system]
    step = next((one for one in steps if deep <= one * MOST_LEVELS), steps[-1])
    return step, step * max(2, int(np.ceil(deep / step - 0.2)))


def _picture(removal: Removal, most: float, half: float) -> NDArray[np.uint8]:
    x = np.linspace(0.0, removal.x[-1], PIXELS_ALONG)
    y = half * (np.arange(PIXELS_ACROSS) + 0.5) / PIXELS_ACROSS
    edge = np.interp(x, removal.x, removal.half_width)
    share = np.clip(y[:, None] / np.maximum(edge, 1e-6), 0.0, 1.0)
    deck, bottom = (_read(removal, face, x, share) for face in (removal.deck_off, removal.bottom_off))
    return indices(np.concatenate([deck[::-1], bottom]), most)


def _read(removal: Removal, face: Floats, x: Floats, share: Floats) -> Floats:
    """Return (H, W) depths at stations (W,) and shares (H, W), linear between the grid's."""
    along = np.clip(np.searchsorted(removal.x, x) - 1, 0, removal.x.size - 2)
    part = (x - removal.x[along]) / (removal.x[along + 1] - removal.x[along])
    column = face[along] + part[:, None] * (face[along + 1] - face[along])
    across = np.clip(np.searchsorted(removal.share, share) - 1, 0, removal.share.size - 2)
    low, high = removal.share[across], removal.share[across + 1]
    rows = np.arange(x.size)[None, :]
    near, far = column[rows, across], column[rows, across + 1]
    return np.asarray(near + (share - low) / (high - low) * (far - near))


def _level(removal: Removal, depth: float, most: float, place: tuple[float, System]) -> Level:
    half, system = place
    x = np.broadcast_to(removal.x[:, None], removal.y.shape)
    lines = [
        np.stack([line[:, 0], half + side * line[:, 1]], axis=1) * MM
        for face, side in ((removal.deck_off, -1.0), (removal.bottom_off, 1.0))
        for line in level_lines(x, removal.y, face, depth)
    ]
    words = format_length(depth, system, 32).removesuffix(".0")
    labels = tuple(
        _label(line, (float(removal.x[-1]) * MM, 2.0 * half * MM)) for line in _longest(lines, half)
    )
    return Level(words, 100.0 * depth / most, "".join(plain_path(line) for line in lines), labels)


def _longest(lines: list[Floats], half: float) -> list[Floats]:
    """The longest line on each face, if it is long enough to be read by."""
    faces = [[line for line in lines if (line[:, 1].mean() < half * MM) == deck] for deck in (True, False)]
    longest = [max(face, key=len) for face in faces if face]
    return [line for line in longest if len(line) > SHORT]


def _label(line: Floats, size: tuple[float, float]) -> tuple[float, float]:
    """A place on a line, near its tail end and off the stringer, as percent of the map's size."""
    ordered = line if line[0, 0] < line[-1, 0] else line[::-1]
    x, y = ordered[max(3, len(line) // 9)]
    return 100.0 * float(x) / size[0], 100.0 * float(y) / size[1]


def surface_numbers(removal: Removal) -> str:
    """Return the surface for the view in the round: base64 of 16-bit numbers, `QUANTUM` metres each.

    First how many stations and places across, then the stations' half-widths, then (N, K) each: bottom,
    deck, what comes off the bottom, what comes off the deck; shares and stations follow from the counts.
    """
    fields = (removal.half_width, removal.bottom, removal.deck, removal.bottom_off, removal.deck_off)
    numbers = np.concatenate([np.rint(f.ravel() / QUANTUM) for f in fields])
    count = np.array(removal.bottom.shape, dtype=np.int64)
    data = np.concatenate([count, np.clip(numbers, -32768, 32767).astype(np.int64)]).astype("<i2")
    return base64.b64encode(data.tobytes()).decode()


@dataclass(frozen=True, slots=True)
class Plate:
    """A piece of the plain picture: its corners and its colour."""

    points: str
    colour: str


@dataclass(frozen=True, slots=True)
class PlainPicture:
    """The board in the round, drawn once from one side, for a browser that cannot turn it."""

    width: float
    height: float
    plates: tuple[Plate, ...]


PITCH, YAW = np.radians(32.0), np.radians(-24.0)
ALONG_STEP, ACROSS_STEP = 4, 4


def plain_picture(removal: Removal, most: float) -> PlainPicture:
    """Return the deck as it looks from above and aside, each piece in the colour of what comes off there."""
    rows = slice(None, None, ALONG_STEP)
    columns = slice(None, None, ACROSS_STEP)
    y = removal.y[rows, columns]
    x = np.broadcast_to(removal.x[rows, None], y.shape)
    deck, off = removal.deck[rows, columns], removal.deck_off[rows, columns]
    both = [
        np.concatenate([a[:, ::-1], b[:, 1:]], axis=1) for a, b in ((x, x), (-y, y), (deck, deck), (off, off))
    ]
    across = both[0] * np.cos(YAW) - both[1] * np.sin(YAW)
    away = both[0] * np.sin(YAW) + both[1] * np.cos(YAW)
    down = -(both[2] * np.cos(PITCH) + away * np.sin(PITCH))
    left, top = across.min(), down.min()
    points = np.stack([across - left, down - top], axis=2) * MM
    size = points.reshape(-1, 2).max(axis=0)
    order = sorted(np.ndindex(y.shape[0] - 1, both[0].shape[1] - 1), key=lambda ij: -float(away[ij]))
    return PlainPicture(
        float(size[0]), float(size[1]), tuple(_plate(points, both[3], ij, most) for ij in order)
    )


def _plate(points: Floats, off: Floats, at: tuple[int, int], most: float) -> Plate:
    i, j = at
    corners = [points[i, j], points[i + 1, j], points[i + 1, j + 1], points[i, j + 1]]
    depth = float(off[i : i + 2, j : j + 2].mean())
    return Plate(" ".join(f"{a:.0f},{b:.0f}" for a, b in corners), colour(depth / most))
