"""A run: one face brought down towards one tip, from its first mark to the last foam-down, as planned.

Lengths are metres; heights count outwards from the foam, so that a bottom's are upside down; `x` counts from
the inboard end of the run (0) towards the tip. A distance `from_tip` counts the other way.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.blank.numbers import Face
from foamwright.errors import FaultError

Array = NDArray[np.float64]


class End(StrEnum):
    """An end of the board."""

    NOSE = "nose"
    TAIL = "tail"


def frozen(values: object) -> Array:
    """Return a read-only copy of `values` as an array of floats."""
    array = np.array(values, dtype=np.float64)
    array.setflags(write=False)
    return array


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke off the tip: where its iron starts, its chip, and how many tracks lie side by side."""

    start_from_tip: float
    chip: float
    tracks: int = 1

    def as_json(self) -> dict[str, Any]:
        """Return the stroke as plain values; `tracks` only where there are several."""
        plain = {"start_from_tip_m": self.start_from_tip, "chip_m": self.chip}
        return plain if self.tracks == 1 else {**plain, "tracks": self.tracks}


@dataclass(frozen=True, slots=True)
class Lifted:
    """One stroke from mark to mark, both distances from the tip: the plane is lifted at `end` (< `begin`)."""

    begin: float
    end: float
    chip: float

    def as_json(self) -> dict[str, Any]:
        """Return the stroke as plain values."""
        return {"from_m": self.begin, "to_m": self.end, "chip_m": self.chip}


@dataclass(frozen=True, slots=True)
class Place:
    """A place to measure: how far from the tip, the height to expect there, and what it must not be under."""

    from_tip: float
    expect: float
    not_under: float

    def as_json(self) -> dict[str, Any]:
        """Return the place as plain values."""
        return {"from_tip_m": self.from_tip, "expect_m": self.expect, "not_under_m": self.not_under}


@dataclass(frozen=True, slots=True)
class Stop:
    """A stop to measure, once `after_strokes` strokes are made."""

    after_strokes: int
    places: tuple[Place, ...]

    def as_json(self) -> dict[str, Any]:
        """Return the stop as plain values."""
        return {"after_strokes": self.after_strokes, "places": [one.as_json() for one in self.places]}


@dataclass(frozen=True, slots=True)
class FoamDown:
    """The foam comes down, once `after_strokes` strokes are made, from the tip to `reach` metres inboard.

    `whole`: the full width, at the end of the run; otherwise only a strip beside the stringer.
    """

    after_strokes: int
    reach: float
    whole: bool

    def as_json(self) -> dict[str, Any]:
        """Return the step as plain values."""
        return {"after_strokes": self.after_strokes, "reach_m": self.reach, "whole_width": self.whole}


@dataclass(frozen=True, slots=True, eq=False)
class Run:
    """One face towards one end.

    Attributes
    ----------
    stage, face, end
        Name of the stage (``"rocker"``), face that is cut, end that the strokes run off.
    x
        (n,) uniform grid from 0 to the tip.
    before, target, predicted, finished
        (n,) heights: predicted after the step before, the stage's line with its allowance, predicted after
        the strokes (heel on the fresh cut), and the finished core.
    plane
        The plane that makes the strokes.
    strokes
        In the order they are made; starts never come nearer to the tip.
    stops, foam_down
        When to measure, and when the foam comes down.
    lifted
        Strokes from mark to mark after readings; none in a new plan.
    tolerance
        How far above the target the run may end.
    """

    stage: str
    face: Face
    end: End
    x: Array
    before: Array
    target: Array
    predicted: Array
    finished: Array
    plane: Plane
    strokes: tuple[Stroke, ...]
    stops: tuple[Stop, ...]
    foam_down: tuple[FoamDown, ...]
    tolerance: float
    lifted: tuple[Lifted, ...] = ()

    def __post_init__(self) -> None:
        for name in ("x", "before", "target", "predicted", "finished"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        require_grid(self.x, self.before, self.target, self.predicted, self.finished)

    @property
    def length(self) -> float:
        """Length of the run, metres."""
        return float(self.x[-1])

    @property
    def step(self) -> float:
        """Spacing of the grid, metres."""
        return self.length / (self.x.size - 1)

    @property
    def left(self) -> Array:
        """What the strokes leave above the target, metres."""
        return self.predicted - self.target

    def at(self, heights: Array, from_tip: float) -> float:
        """Return heights given on `x` at a distance from the tip."""
        return float(np.interp(self.length - from_tip, self.x, heights))

    def as_json(self) -> dict[str, Any]:
        """Return the run as plain values, one entry of ``runs[]`` of a plan."""
        return {
            "stage": self.stage,
            "face": self.face.value,
            "end": self.end.value,
            "x_m": self.x.tolist(),
            "before_m": self.before.tolist(),
            "target_m": self.target.tolist(),
            "predicted_m": self.predicted.tolist(),
            "finished_m": self.finished.tolist(),
            "tool": tool_json(self.plane),
            "strokes": [one.as_json() for one in self.strokes],
            "stops": [one.as_json() for one in self.stops],
            "foam_down": [one.as_json() for one in self.foam_down],
            "lifted": [one.as_json() for one in self.lifted],
            "tolerance_m": self.tolerance,
        }


def require_grid(x: Array, *heights: Array) -> None:
    """Raise unless `x` rises from 0 in equal steps and all heights are finite and as many.

    Raises
    ------
    FaultError
        Says what is wrong.
    """
    if x.ndim != 1 or x.size < 3 or any(one.shape != x.shape for one in heights):
        raise FaultError("A run needs arrays of one length, at least 3 points.")
    steps = np.diff(x)
    if abs(x[0]) > 1e-12 or steps.min() <= 0.0 or np.ptp(steps) > 1e-6 * steps[0]:
        raise FaultError("A run's x must start at 0 and rise in equal steps towards the tip.")
    if not all(np.isfinite(one).all() for one in heights):
        raise FaultError("A run's heights must be finite.")


def tool_json(plane: Plane) -> dict[str, Any]:
    """Return a plane as plain values."""
    return {
        "name": plane.name,
        "sole_m": plane.sole,
        "mouth_m": plane.mouth,
        "width_m": plane.width,
        "iron_m": plane.iron,
        "chips_m": list(plane.chips),
    }


FARTHEST = 100.0
"""Metres: nothing on a job is as long; larger numbers in a plan are no lengths, and would overflow."""


def metres(plain: Any) -> float:
    """Return a length of a document in metres.

    Raises
    ------
    TypeError, ValueError, OverflowError
        It is no number, not finite, or longer than anything on a job.
    """
    value = float(plain)
    if not math.isfinite(value) or abs(value) > FARTHEST:
        raise ValueError(f"{value:g} m is no length of a job")
    return value


def _size(plain: Any) -> float:
    """Return the size of a tool, which is more than nothing."""
    size = metres(plain)
    if size <= 0.0:
        raise ValueError(f"{size:g} m is no size of a tool")
    return size


def _heights(plain: Any) -> Array:
    heights = frozen(plain)
    if not (np.abs(heights) <= FARTHEST).all():
        raise ValueError("a height of a run is not finite, or no length of a job")
    return heights


def run_from_json(plain: Mapping[str, Any]) -> Run:
    """Return the run that `Run.as_json` wrote.

    Raises
    ------
    KeyError, TypeError, ValueError, FaultError
        Something is missing from it or cannot stand: it was cut short or edited by hand.
    """
    tool = plain["tool"]
    sizes = {key: _size(tool[f"{key}_m"]) for key in ("sole", "mouth", "width", "iron")}
    plane = Plane(name=str(tool["name"]), **sizes, chips=tuple(map(_size, tool["chips_m"])))
    if not plane.chips:
        raise ValueError("its plane has no chip")
    arrays = {
        name: _heights(plain[f"{name}_m"]) for name in ("x", "before", "target", "predicted", "finished")
    }
    return Run(
        stage=str(plain["stage"]),
        face=Face(plain["face"]),
        end=End(plain["end"]),
        **arrays,
        plane=plane,
        strokes=tuple(
            Stroke(metres(s["start_from_tip_m"]), metres(s["chip_m"]), int(s.get("tracks", 1)))
            for s in plain["strokes"]
        ),
        stops=tuple(Stop(int(s["after_strokes"]), _places(s["places"])) for s in plain["stops"]),
        foam_down=tuple(
            FoamDown(int(f["after_strokes"]), metres(f["reach_m"]), bool(f["whole_width"]))
            for f in plain["foam_down"]
        ),
        lifted=tuple(
            Lifted(metres(p["from_m"]), metres(p["to_m"]), metres(p["chip_m"])) for p in plain["lifted"]
        ),
        tolerance=metres(plain["tolerance_m"]),
    )


def _places(plain: Sequence[Mapping[str, Any]]) -> tuple[Place, ...]:
    return tuple(
        Place(*(metres(p[f"{key}_m"]) for key in ("from_tip", "expect", "not_under"))) for p in plain
    )
