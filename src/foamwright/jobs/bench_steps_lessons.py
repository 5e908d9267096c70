"""The lesson's own drawing: how the plane stands at the first mark, or the straight edge over the scoop."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import cos, radians, sin
from typing import Any

import numpy as np

from foamwright.jobs.bench_steps_drawing import (
    WIDTH,
    Label,
    Picture,
    Stroke,
    closed,
    opened,
    rule_under,
    tape_of,
)
from foamwright.units import INCH, System

_MARGIN = 46.0
_FOAM = 0.075
"""Metres of foam drawn beside the stringer, at least."""

Point = tuple[float, float]


def lesson_picture(kind: str, detail: Mapping[str, Any], system: System) -> Picture | None:
    """Return the drawing of a step's lesson, from this job's numbers; ``None`` where words do."""
    if kind == "run":
        return _plane(detail, system)
    return _straight_edge(detail) if kind == "scoop" else None


def _plane(detail: Mapping[str, Any], system: System) -> Picture:
    """The stringer from above: the plane at its first mark, turned as the list says, and where it goes."""
    more, group = detail["more"], detail["groups"][0]
    start, sole = group["start_m"], more["sole_m"]
    reach = max(start + sole, 2.0 * sole)
    scale = (WIDTH - 2 * _MARGIN) / reach
    corners = _turned(start, more, group["skew_deg"])
    foam = max(_FOAM, 0.008 + max(abs(across) for _, across in corners))
    middle = 24.0 + foam * scale
    to_right = detail["end"] == "nose"

    def at(x: float, y: float = 0.0) -> Point:
        return (WIDTH - _MARGIN - x * scale if to_right else _MARGIN + x * scale), middle - y * scale

    half = 0.5 * INCH / 4
    sheet = [at(reach, foam), at(0.0, foam), at(0.0, -foam), at(reach, -foam)]
    wood = [at(reach, half), at(0.0, half), at(0.0, -half), at(reach, -half)]
    body = [at(*corner) for corner in corners]
    iron = [at(*corner) for corner in _iron(start, more, group["skew_deg"])]
    way = [at(max(start - more["mouth_m"], 0.0) * 0.9), at(0.0)]
    strokes = [
        Stroke("foam", closed(sheet)),
        Stroke("woodfill", closed(wood)),
        Stroke("line", opened([at(0.0, foam), at(0.0, -foam)])),
        Stroke("body", closed(body)),
        Stroke("iron", opened(iron)),
        Stroke("way", opened(way) + _head(way[1], 1.0 if to_right else -1.0)),
    ]
    rule, figures = rule_under(tape_of(system, reach), reach, lambda x: at(x)[0], middle + foam * scale + 18)
    return Picture(middle + foam * scale + 58, (*strokes, *rule), tuple(figures))


def _turned(start: float, more: Mapping[str, Any], skew_deg: float) -> list[Point]:
    """The corners of the sole, (from the tip, across) in metres: the iron stands on the mark."""
    toe, heel, half = -more["mouth_m"], more["sole_m"] - more["mouth_m"], more["width_m"] / 2
    return [
        _rotate(start, corner, skew_deg)
        for corner in ((toe, half), (toe, -half), (heel, -half), (heel, half))
    ]


def _iron(start: float, more: Mapping[str, Any], skew_deg: float) -> list[Point]:
    half = more["width_m"] / 2
    return [_rotate(start, corner, skew_deg) for corner in ((0.0, half), (0.0, -half))]


def _rotate(start: float, corner: Point, skew_deg: float) -> Point:
    turn, (along, across) = radians(skew_deg), corner
    return start + along * cos(turn) - across * sin(turn), along * sin(turn) + across * cos(turn)


def _head(tip: Point, side: float) -> str:
    x, y = tip
    return f"M{x - side * 20:.1f} {y - 11:.1f}L{x:.1f} {y:.1f}L{x - side * 20:.1f} {y + 11:.1f}"


def _straight_edge(detail: Mapping[str, Any]) -> Picture | None:
    """The bottom across at the deepest station, bottom up, a straight edge on it; depths eight times."""
    rows = detail["more"].get("rows", [])
    if not rows:
        return None
    row = max(rows, key=lambda one: max(one["mark_m"]))
    y, depth = np.array(row["y_m"]), np.array(row["mark_m"])
    scale = (WIDTH / 2 - _MARGIN) / float(y.max())
    top, times = 62.0, 8

    def half(side: float) -> list[Point]:
        pairs = zip(y, depth, strict=True)
        return [(WIDTH / 2 + side * a * scale, top + d * scale * times) for a, d in pairs]

    curve: Sequence[Point] = half(-1.0)[::-1] + half(1.0)[1:]
    floor = top + float(depth.max()) * scale * times + 70.0
    edge = [(_MARGIN, top - 34), (WIDTH - _MARGIN, top - 34), (WIDTH - _MARGIN, top), (_MARGIN, top)]
    strokes = [
        Stroke("foam", closed([*curve, (WIDTH - _MARGIN, floor), (_MARGIN, floor)])),
        Stroke("off", closed([*curve, (WIDTH - _MARGIN, top), (_MARGIN, top)])),
        Stroke("line", opened(curve)),
        Stroke("body", closed(edge)),
        Stroke("wood", opened([(WIDTH / 2, top + float(depth[0]) * scale * times), (WIDTH / 2, floor)])),
    ]
    labels = [Label("depth", x, floor - 14, f"{n}") for n, (x, _) in enumerate(half(1.0), start=1)]
    return Picture(floor + 10, tuple(strokes), tuple(labels), times)
