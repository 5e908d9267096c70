"""What else a job needs besides run-offs and bands: scoops, planing directions, foam beside the stringer."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.blank import Blank
from foamwright.blank.numbers import Face
from foamwright.board.board import Board
from foamwright.cuts.foam import FoamWork, plan_foam
from foamwright.cuts.grain import PlaningDirections, find_against_grain, plan_directions
from foamwright.cuts.run import End, Run
from foamwright.cuts.scoop import BottomGrid, Scoop, plan_scoop
from foamwright.findings import Finding
from foamwright.stages.marks import RackStation
from foamwright.stages.solids import Chain, StageName
from foamwright.units import System

SHARES = np.array([0.0, 0.25, 0.5, 0.75, 1.0])
"""Where across a scoop is marked: stringer, quarters, edge."""


def plan_job_scoop(board: Board, chain: Chain, stations: tuple[RackStation, ...]) -> Scoop:
    """Return the depth marks of the contours at the stations, from the flat that the rocker left."""
    x = np.array([s.x for s in stations])
    flat = board.pre_contour(x)
    shaped = np.maximum(board.contour_at(x, SHARES), flat[:, None])
    return plan_scoop(BottomGrid(x, SHARES, board.half_width(x), flat - chain.finish, shaped - chain.finish))


def plan_job_grain(chain: Chain, blank: Blank) -> Mapping[Face, PlaningDirections]:
    """Return which way to plane each face once it is down: fibres parallel to the board's level line.

    Foam has no fibres: a blank without a stringer has no directions.
    """
    if blank.numbers.stringer.width <= 0.0:
        return {}
    rocker, foil = chain.stage(StageName.ROCKER), chain.stage(StageName.FOIL)
    return {
        Face.BOTTOM: plan_directions(Face.BOTTOM, chain.x, rocker.bottom),
        Face.DECK: plan_directions(Face.DECK, chain.x, foil.deck),
    }


def plan_job_foam(chain: Chain, bay: Bay) -> Mapping[Face, FoamWork]:
    """Return the scrubbing of the foam beside the stringer for each face, thickness and run-offs together."""
    plane, half = max(bay.planes, key=lambda one: one.iron), chain.stage(StageName.OUTLINE).half_width
    return {
        face: plan_foam(chain.x, half, split.removal, plane, plane.iron)
        for face, split in ((Face.BOTTOM, chain.bottom), (Face.DECK, chain.deck))
    }


def against_the_grain(
    runs: tuple[Run, ...], grain: Mapping[Face, PlaningDirections], length: float, system: System
) -> tuple[Finding, ...]:
    """Return where run-offs go against the fibres: a finding for each run it concerns."""
    found: list[Finding] = []
    for run in runs:
        if run.strokes and run.face in grain:
            reach = run.strokes[-1].start_from_tip
            begin = length - reach if run.end is End.NOSE else reach
            found.extend(find_against_grain(grain[run.face], run.end, begin, system))
    return tuple(found)
