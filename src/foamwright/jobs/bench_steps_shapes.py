"""What a step's picture is drawn from: the job's own curves at few points, as plain values."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.bands import PencilLine
from foamwright.cuts.run import End, Run
from foamwright.cuts.scoop import LEAST_DEPTH
from foamwright.cuts.stage_rails import StationBands
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName

POINTS = 61
"""Points along a curve: enough for a screen."""


def of_run(plan: Plan, run: Run) -> dict[str, Any]:
    """Return one end of the board with what the run takes off it; the face that is cut is up.

    Heights stand above the line that joins the ends of the target, `from_tip_m` counts from the tip.
    """
    places = np.linspace(0, run.x.size - 1, POINTS).round().astype(int)
    x = run.x[places]
    level = np.interp(x, [x[0], x[-1]], [run.target[0], run.target[-1]])
    other = _other_face(plan, run, x)
    heights = {"before": run.before[places], "target": run.target[places], "other": other}
    return {
        "view": "run",
        "from_tip_m": _plain(run.length - x),
        **{f"{name}_m": _plain(height - level) for name, height in heights.items()},
    }


def from_the_side(plan: Plan, stage: StageName, faces: Sequence[Face]) -> dict[str, Any]:
    """Return the whole board from the side before and after a stage, at the stringer."""
    names = list(StageName)
    before = plan.chain.stage(names[names.index(stage) - 1])
    after = plan.chain.stage(stage)
    x = np.linspace(0.0, plan.board.length, POINTS)

    def at(values: Floats) -> list[float]:
        return _plain(np.interp(x, plan.chain.x, values))

    bottom = before.bottom if Face.BOTTOM in faces else after.bottom
    deck = before.deck if Face.DECK in faces else after.deck
    return {
        "view": "side",
        "x_m": _plain(x),
        "before_bottom_m": at(bottom),
        "before_deck_m": at(deck),
        "after_bottom_m": at(after.bottom),
        "after_deck_m": at(after.deck),
        "stations_m": [station.x for station in plan.stations],
        "faces": [face.value for face in faces],
    }


def from_above(plan: Plan) -> dict[str, Any]:
    """Return the outline from above, the blank's and the board's."""
    outline = plan.chain.stage(StageName.OUTLINE)
    blank = plan.chain.stage(StageName.BLANK)
    share = (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))) / 2.0
    x = share * plan.board.length
    return {
        "view": "above",
        "x_m": _plain(x),
        "half_width_m": _plain(np.interp(x, plan.chain.x, outline.half_width)),
        "blank_half_width_m": _plain(np.interp(x, plan.chain.x, blank.half_width)),
        "stations_m": [station.x for station in plan.stations],
    }


def of_scoop(plan: Plan) -> dict[str, Any]:
    """Return the bottom with how far out from the stringer the scoop reaches."""
    scoop = plan.scoop
    deep = scoop.exact >= LEAST_DEPTH
    # One share further out than the last mark that is deep enough: there the scoop runs out.
    last = np.where(deep.any(axis=1), deep.shape[1] - 1 - np.argmax(deep[:, ::-1], axis=1) + 1, 0)
    reach = scoop.y[np.arange(scoop.x.size), np.minimum(last, deep.shape[1] - 1)]
    return {
        **from_above(plan),
        "view": "scoop",
        "scoop_x_m": _plain(scoop.x),
        "scoop_half_m": _plain(np.where(deep.any(axis=1), reach, 0.0)),
    }


def of_bands(plan: Plan, name: str) -> dict[str, Any]:
    """Return half the section at the widest station that has a band: the foam, its flats, and this one."""
    having = [s for s in plan.bands if any(band.name == name for band in s.bands.bands)]
    station = max(having, key=lambda one: float(one.section.stage[:, 0].max()))
    finished = station.section.finished
    places = np.linspace(0, finished.shape[0] - 1, 2 * POINTS).round().astype(int)
    flats = _flats(station)
    earlier = list(flats)[: list(flats).index(name)]
    return {
        "view": "section",
        "station": station.station.name,
        "x_m": station.station.x,
        "before_m": station.section.stage.tolist(),
        "finished_m": finished[places].tolist(),
        "flat_m": flats[name],
        "earlier_m": [flats[one] for one in earlier],
    }


Point = tuple[float, float]


def _flats(station: StationBands) -> dict[str, list[Point]]:
    """Return the two ends of every flat of a section, by the flat's name, in the order they are cut."""
    flats: dict[str, list[Point]] = {}
    for band in station.bands.bands:
        flats[band.name] = [_pencil(station, line, flats) for line in band.lines]
    return flats


def _pencil(station: StationBands, line: PencilLine, flats: Mapping[str, list[Point]]) -> Point:
    """Return where a pencil line stands on the section: on a face, on the side, or on an earlier flat."""
    stage = station.section.stage
    z = line.height + float(stage[:, 1].min())
    if line.on in flats:
        (y0, z0), (y1, z1) = flats[line.on]
        share = 0.5 if z1 == z0 else (z - z0) / (z1 - z0)
        return y0 + share * (y1 - y0), z
    if line.on == "side":
        return float(stage[:, 0].max()), z
    face = stage[1::-1] if line.on == "bottom" else stage[2:]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(face, axis=0).T))])
    return tuple(float(np.interp(line.from_edge, along, face[:, axis])) for axis in (0, 1))  # type: ignore[return-value]


def _other_face(plan: Plan, run: Run, x: Floats) -> Floats:
    """The face below on the rack: heights outwards from the foam of the face that is cut."""
    stage = plan.chain.stage(StageName(run.stage))
    length, end = plan.board.length, run.end
    along = length - run.length + x if end is End.NOSE else run.length - x
    thickness = np.interp(along, plan.chain.x, stage.thickness)
    return np.asarray(np.interp(x, run.x, run.target) - thickness)


def _plain(values: Floats) -> list[float]:
    """Tenths of a millimetre are finer than any screen."""
    return [round(float(value), 5) for value in values]
