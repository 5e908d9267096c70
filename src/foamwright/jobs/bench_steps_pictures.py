"""The picture of where a step's work is, as neutral shapes in one view box; words stay with the page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import floor
from typing import Any

import numpy as np

from foamwright.jobs.bench_steps_drawing import (
    WIDTH,
    Label,
    Picture,
    Stroke,
    closed,
    disc,
    opened,
    rule_under,
    tape_of,
)
from foamwright.units import System

_MARGIN = 46.0
_TALL = 210.0
_TAPE = 58.0
_FLAG = 40.0


def picture_of(detail: Mapping[str, Any], system: System) -> Picture | None:
    """Return the picture of a step, from what is kept of it."""
    shape = detail["shape"]
    return None if shape is None else _VIEWS[shape["view"]](detail, shape, system)


def _run(detail: Mapping[str, Any], shape: Mapping[str, Any], system: System) -> Picture:
    """One end of the board, the face that is cut up, a flag at every start, the tape below."""
    groups = detail["groups"]
    reach = 1.12 * max(0.25, *(max(g["start_m"], g["end_m"] or 0.0) for g in groups))
    from_tip, (before, target, other) = _within(reach, shape, ("before_m", "target_m", "other_m"))
    reach = float(from_tip.max())
    to_right = detail["end"] == "nose"
    scale = (WIDTH - 2 * _MARGIN) / reach
    low, high = float(other.min()), float(before.max())
    times = _times(high - low, scale)
    top = _FLAG + _LANE * (1 + max(_lanes(groups, scale)))
    floor_y = top + (high - low) * scale * times

    def at(x: float) -> float:
        return WIDTH - _MARGIN - x * scale if to_right else _MARGIN + x * scale

    def up(z: float) -> float:
        return floor_y - (z - low) * scale * times

    def curve(heights: Iterable[float]) -> list[tuple[float, float]]:
        return [(at(x), up(z)) for x, z in zip(from_tip, heights, strict=True)]

    strokes = [
        Stroke("foam", closed(curve(target) + curve(other)[::-1])),
        Stroke("off", closed(curve(before) + curve(target)[::-1])),
        Stroke("was", opened(curve(before))),
        Stroke("line", opened(curve(target))),
        Stroke("line", opened(curve(other))),
        Stroke("line", opened([curve(before)[-1], curve(other)[-1]])),
    ]
    labels: list[Label] = []
    surface = _surface(from_tip, before, up)
    for number, (group, lane) in enumerate(zip(groups, _lanes(groups, scale), strict=True), start=1):
        x, y = at(group["start_m"]), _FLAG / 2 + lane * _LANE
        strokes.append(Stroke("flag", opened([(x, surface(group["start_m"])), (x, y)])))
        strokes.append(Stroke("disc", disc(x, y)))
        labels.append(Label("count", x, y, str(number)))
    tip = (at(0.0), (up(float(before[-1])) + up(float(other[-1]))) / 2)
    strokes.append(Stroke("jaws", _jaws(tip, abs(up(float(other[-1])) - up(float(before[-1]))), to_right)))
    rule, figures = rule_under(tape_of(system, reach), reach, at, floor_y + 18)
    return Picture(floor_y + _TAPE, (*strokes, *rule), (*labels, *figures), times)


_LANE = 36.0


def _lanes(groups: Sequence[Mapping[str, Any]], scale: float) -> list[int]:
    """In which lane each flag stands, so that no two discs touch."""
    taken: list[list[float]] = []
    lanes = []
    for group in groups:
        x = group["start_m"] * scale
        lane = next((n for n, row in enumerate(taken) if all(abs(x - o) > 38.0 for o in row)), len(taken))
        if lane == len(taken):
            taken.append([])
        taken[lane].append(x)
        lanes.append(lane)
    return lanes or [0]


def _side(detail: Mapping[str, Any], shape: Mapping[str, Any], system: System) -> Picture:
    """The whole board from the side, bottom up where only the bottom is cut."""
    x = np.array(shape["x_m"])
    flipped = -1.0 if shape["faces"] == ["bottom"] else 1.0
    curves = {
        name: flipped * np.array(shape[f"{name}_m"])
        for name in ("before_bottom", "before_deck", "after_bottom", "after_deck")
    }
    low, high = min(c.min() for c in curves.values()), max(c.max() for c in curves.values())
    scale = (WIDTH - 2 * _MARGIN) / float(x[-1])
    times = _times(float(high - low), scale)
    top = 14.0
    floor_y = top + float(high - low) * scale * times

    def at(place: float) -> float:
        return _MARGIN + place * scale

    def up(z: float) -> float:
        return floor_y - (z - float(low)) * scale * times

    points = {name: [(at(a), up(z)) for a, z in zip(x, curve, strict=True)] for name, curve in curves.items()}
    strokes = [
        Stroke("off", closed(points["before_bottom"] + points["before_deck"][::-1])),
        Stroke("foam", closed(points["after_bottom"] + points["after_deck"][::-1])),
        Stroke("was", closed(points["before_bottom"] + points["before_deck"][::-1])),
        Stroke("line", closed(points["after_bottom"] + points["after_deck"][::-1])),
    ]
    for ask in _places(detail):
        here = [
            up(float(np.interp(ask["station_m"], x, curves[n]))) for n in ("before_bottom", "before_deck")
        ]
        strokes.append(
            Stroke(
                "place",
                opened([(at(ask["station_m"]), y) for y in (min(here) - 8, max(here) + 8)]),
                ask["station"],
            )
        )
    rule, figures = rule_under(tape_of(system, float(x[-1])), float(x[-1]), at, floor_y + 22)
    return Picture(floor_y + _TAPE + 6, (*strokes, *rule), tuple(figures), times)


def _above(detail: Mapping[str, Any], shape: Mapping[str, Any], system: System) -> Picture:
    """The outline from above, the blank's dashed."""
    x = np.array(shape["x_m"])
    half, blank = np.array(shape["half_width_m"]), np.array(shape["blank_half_width_m"])
    scale = (WIDTH - 2 * _MARGIN) / float(x[-1])
    middle = 12.0 + float(blank.max()) * scale

    def at(place: float) -> float:
        return _MARGIN + place * scale

    def around(widths: np.ndarray[Any, np.dtype[np.float64]]) -> list[tuple[float, float]]:
        upper = [(at(a), middle - w * scale) for a, w in zip(x, widths, strict=True)]
        lower = [(at(a), middle + w * scale) for a, w in zip(x, widths, strict=True)]
        return upper + lower[::-1]

    if shape["view"] == "scoop":
        inside = np.interp(x, shape["scoop_x_m"], shape["scoop_half_m"])
        within = np.minimum(inside, half)
        cut = [Stroke("foam", closed(around(half))), Stroke("off", closed(around(within)))]
        edge = Stroke("scooped", closed(around(within)))
    else:
        cut = [Stroke("off", closed(around(blank))), Stroke("foam", closed(around(half)))]
        edge = Stroke("was", closed(around(blank)))
    strokes = [
        *cut,
        edge,
        Stroke("line", closed(around(half))),
        Stroke("wood", opened([(at(0.0), middle), (at(float(x[-1])), middle)])),
    ]
    for ask in _places(detail):
        reach = float(np.interp(ask["station_m"], x, half)) * scale
        line = [(at(ask["station_m"]), middle - reach), (at(ask["station_m"]), middle + reach)]
        strokes.append(Stroke("place", opened(line), ask["station"]))
    bottom = middle + float(blank.max()) * scale
    rule, figures = rule_under(tape_of(system, float(x[-1])), float(x[-1]), at, bottom + 18)
    return Picture(bottom + _TAPE, (*strokes, *rule), tuple(figures))


def _section(_detail: Mapping[str, Any], shape: Mapping[str, Any], _system: System) -> Picture:
    """Half the section with this step's flat."""
    before, finished = (np.array(shape[name]) for name in ("before_m", "finished_m"))
    left, right = max(0.0, float(before[:, 0].max()) - 0.16), float(before[:, 0].max())
    low, high = float(before[:, 1].min()), float(before[:, 1].max())
    scale = min((WIDTH - 2 * _MARGIN) / (right - left), 1.6 * _TALL / (high - low))
    shift = (WIDTH - (right - left) * scale) / 2

    def to(points: Iterable[Sequence[float]]) -> list[tuple[float, float]]:
        return [(shift + (max(y, left) - left) * scale, 30 + (high - z) * scale) for y, z in points]

    strokes = [
        Stroke("off", closed(to(before))),
        Stroke("foam", closed(to(finished))),
        Stroke("was", closed(to(before))),
        Stroke("line", opened(to(finished))),
        *(Stroke("earlier", opened(to(flat))) for flat in shape["earlier_m"]),
        Stroke("flat", opened(to(shape["flat_m"]))),
        *(Stroke("disc", disc(*point, 13.0)) for point in to(shape["flat_m"])),
    ]
    labels = [Label("count", *point, str(n)) for n, point in enumerate(to(shape["flat_m"]), start=1)]
    return Picture(60 + (high - low) * scale, tuple(strokes), tuple(labels))


_VIEWS: dict[str, Callable[[Mapping[str, Any], Mapping[str, Any], System], Picture]] = {
    "run": _run,
    "side": _side,
    "above": _above,
    "scoop": _above,
    "section": _section,
}


def _within(
    reach: float, shape: Mapping[str, Any], names: Sequence[str]
) -> tuple[np.ndarray[Any, np.dtype[np.float64]], list[np.ndarray[Any, np.dtype[np.float64]]]]:
    """The end of the board as far in as the strokes reach, from the inboard end to the tip."""
    from_tip = np.array(shape["from_tip_m"])
    reach = min(reach, float(from_tip.max()))
    x = np.linspace(reach, 0.0, 60)
    order = np.argsort(from_tip)
    heights = [np.interp(x, from_tip[order], np.array(shape[name])[order]) for name in names]
    tilt = np.interp(x, [0.0, reach], [heights[1][-1], heights[1][0]])
    return x, [one - tilt for one in heights]


def _surface(
    from_tip: np.ndarray[Any, np.dtype[np.float64]],
    heights: np.ndarray[Any, np.dtype[np.float64]],
    up: Callable[[float], float],
) -> Callable[[float], float]:
    return lambda x: up(float(np.interp(x, from_tip[::-1], heights[::-1])))


def _times(height: float, scale: float) -> int:
    """How often heights may be exaggerated so that the picture is not too tall."""
    return int(min(8, max(1, floor(_TALL / max(height * scale, 1e-9)))))


def _places(detail: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    return list({ask["station"]: ask for ask in detail["asks"]}.values())


def _jaws(tip: tuple[float, float], gap: float, to_right: bool) -> str:
    """Calipers around the tip."""
    side = 1.0 if to_right else -1.0
    x, y = tip
    half = gap / 2 + 3
    return f"M{x - side * 12:.1f} {y - half:.1f}h{side * 34:.1f}v{2 * half:.1f}h{-side * 34:.1f}"
