"""A rider's body laid on a board: prone, sitting or kneeling, as ellipsoids with masses.

Crude on purpose, and said so wherever it is shown: every segment is an ellipsoid of its own mass and
volume, centred at its centre of mass; the trunk is three of them with published breadths and depths, the
air of the lungs in the uppermost. How the limbs are held is common practice, no source. The body is rigid,
touches the board without denting it, and wears no suit.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from math import cos, pi, sin, sqrt

import numpy as np

from foamwright.board.board import Board
from foamwright.shape.curves import Floats
from foamwright.water.body import Body, Segment
from foamwright.water.body_tables import SITTING_HEIGHT, Part
from foamwright.water.ellipsoid import Ellipsoid, Ellipsoids
from foamwright.water.equilibrium import Load


class Posture(StrEnum):
    """How the rider is on the board."""

    PRONE = "prone"
    SITTING = "sitting"
    KNEELING = "kneeling"


@dataclass(frozen=True, eq=False)
class Placed:
    """A segment in its place: its name, the room it takes, its mass in kg (at the ellipsoid's centre)."""

    name: str
    shape: Ellipsoid
    mass: float


@dataclass(frozen=True, eq=False)
class PlacedBody:
    """A body on a board.

    Attributes
    ----------
    posture, place
        How, and where: station of the top of the breastbone (prone), of the seat, or of the knees.
    segments
        All segments.
    breastbone
        (3,) the top of the breastbone, in the board's frame.
    """

    posture: Posture
    place: float
    segments: tuple[Placed, ...]
    breastbone: Floats

    @property
    def load(self) -> Load:
        """Mass and centre of mass."""
        mass = sum(s.mass for s in self.segments)
        moment = np.sum([s.mass * s.shape.centre for s in self.segments], axis=0)
        return Load(mass, moment / mass)

    @cached_property
    def displacer(self) -> Ellipsoids:
        """All segments as one body in the water."""
        return Ellipsoids([s.shape for s in self.segments])


HEAD_UP = 35.0
"""Degrees that the head is raised when prone."""

ARM_DOWN = (0.35, 0.25, -0.9)
FOREARM_DOWN = (0.6, 0.0, -0.8)
"""Prone: arms over the rails into the water."""

THIGH_ASTRIDE = (0.72, 0.42, -0.55)
SHANK_HANGING = (0.0, 0.0, -1.0)
FOOT_HANGING = (0.8, 0.0, -0.6)
ARM_RESTING = (0.25, 0.1, -1.0)
FOREARM_RESTING = (0.95, -0.1, -0.3)
"""Sitting and kneeling: astride, hands on the thighs."""


def placed(board: Board, body: Body, posture: Posture, place: float, nose_up: float = 0.0) -> PlacedBody:
    """Return a body on a board.

    Parameters
    ----------
    board
        The board; the body rests on its deck at the stringer.
    body
        The rider.
    posture
        How the rider is on the board.
    place
        Station of the top of the breastbone (prone), of the seat (sitting) or of the knees (kneeling).
    nose_up
        Pitch of the board, radians: who sits or kneels stays upright in the world.
    """
    make = {Posture.PRONE: _prone, Posture.SITTING: _sitting, Posture.KNEELING: _kneeling}[posture]
    return make(_Frame(board, body, nose_up), place)


@dataclass(frozen=True, eq=False)
class _Frame:
    """The board below, the body, and the turn that keeps it upright."""

    board: Board
    body: Body
    nose_up: float

    def deck(self, x: float) -> float:
        """The deck at the stringer; beyond a tip it goes on level."""
        return float(self.board.deck_line(min(max(x, 0.0), self.board.length)))

    def segment(self, part: Part) -> Segment:
        return self.body.segments[part]

    def thickness(self, part: Part) -> float:
        """Half the thickness of a limb of round section."""
        return _half_width(self.segment(part), self.body.density)

    def upright(self, direction: tuple[float, float, float]) -> Floats:
        """A direction in the world (x forward, z up), in the board's frame, of length 1."""
        x, y, z = direction
        size = sqrt(x * x + y * y + z * z)
        turn, lift = cos(self.nose_up), sin(self.nose_up)
        return np.array([x * turn + z * lift, y, z * turn - x * lift]) / size

    def limb(self, part: Part, side: int, top: Floats, along: Floats) -> Placed:
        """A limb from its upper end along a direction."""
        segment = self.segment(part)
        half = 0.5 * segment.length
        shape = _spheroid(top + segment.centre * along, along, (half, self.thickness(part)))
        name = part if side == 0 else f"{'left' if side > 0 else 'right'} {part}"
        return Placed(name, shape, segment.mass)

    def chain(
        self, parts: tuple[Part, ...], side: int, top: Floats, ways: tuple[Floats, ...]
    ) -> list[Placed]:
        """Limbs one after another, each along its own way."""
        placed = []
        for part, way in zip(parts, ways, strict=True):
            placed.append(self.limb(part, side, top, way))
            top = top + self.segment(part).length * way
        return placed


ARM = (Part.UPPER_ARM, Part.FOREARM, Part.HAND)
LEG = (Part.THIGH, Part.SHANK, Part.FOOT)


def _half_width(segment: Segment, density: float) -> float:
    volume = segment.mass / density
    return sqrt(3.0 * volume / (4.0 * pi * 0.5 * segment.length))


def _spheroid(centre: Floats, along: Floats, half: tuple[float, float]) -> Ellipsoid:
    return _ellipsoid(centre, along, (half[0], half[1], half[1]))


def _ellipsoid(centre: Floats, along: Floats, half: tuple[float, float, float]) -> Ellipsoid:
    """An ellipsoid with half-axes along a direction, sideways and square to both."""
    side = np.array([0.0, 1.0, 0.0]) if abs(along[1]) < 0.9 else np.array([1.0, 0.0, 0.0])
    across = side - (side @ along) * along
    across /= np.linalg.norm(across)
    third = np.cross(along, across)
    return Ellipsoid(centre, np.column_stack([half[0] * along, half[1] * across, half[2] * third]))


def _trunk(frame: _Frame, neck: Floats, down: Floats) -> list[Placed]:
    """Three ellipsoids of equal tissue round the trunk's centre of mass, from neck to hips."""
    segment, body = frame.segment(Part.TRUNK), frame.body
    tissue = segment.mass / body.density / 3.0
    middle = neck + segment.centre * down
    pieces = []
    for place, name in ((-1, "chest"), (0, "waist"), (1, "hip")):
        breadth, depth = getattr(body.trunk, name)
        volume = tissue + (body.air if name == "chest" else 0.0)
        half = 3.0 * volume / (4.0 * pi * breadth * depth)
        centre = middle + place * segment.length / 3.0 * down
        pieces.append(Placed(name, _ellipsoid(centre, down, (half, breadth, depth)), segment.mass / 3.0))
    return pieces


def _both(side_of: float, at: Floats) -> tuple[tuple[int, Floats], tuple[int, Floats]]:
    step = np.array([0.0, side_of, 0.0])
    return (1, at + step), (-1, at - step)


def _mirrored(direction: tuple[float, float, float], side: int) -> tuple[float, float, float]:
    return direction[0], side * direction[1], direction[2]


def _prone(frame: _Frame, place: float) -> PlacedBody:
    body, trunk = frame.body, frame.segment(Part.TRUNK)
    neck = np.array([place, 0.0, frame.deck(place) + body.trunk.chest[1]])
    back = place - trunk.length
    hips = np.array([back, 0.0, frame.deck(back) + body.trunk.hip[1]])
    down = (hips - neck) / np.linalg.norm(hips - neck)
    hips = neck + trunk.length * down
    pieces = _trunk(frame, neck, down)
    head = np.array([cos(np.radians(HEAD_UP)), 0.0, sin(np.radians(HEAD_UP))])
    pieces.append(_head(frame, neck, head))
    for side, hip in _both(0.5 * body.trunk.hip[0], hips):
        pieces += _lying_leg(frame, side, hip)
    for side, shoulder in _both(body.trunk.shoulder, neck):
        ways = [np.array(_mirrored(d, side)) for d in (ARM_DOWN, FOREARM_DOWN, FOREARM_DOWN)]
        pieces += frame.chain(ARM, side, shoulder, tuple(w / np.linalg.norm(w) for w in ways))
    return PlacedBody(Posture.PRONE, place, tuple(pieces), neck)


def _head(frame: _Frame, neck: Floats, up: Floats) -> Placed:
    """The head: its centre is counted from its top."""
    segment = frame.segment(Part.HEAD)
    centre = neck + (segment.length - segment.centre) * up
    return Placed(
        Part.HEAD, _spheroid(centre, up, (0.5 * segment.length, frame.thickness(Part.HEAD))), segment.mass
    )


def _lying_leg(frame: _Frame, side: int, hip: Floats) -> list[Placed]:
    """A leg straight back, resting on the deck while there is one."""
    ways, top = [], hip
    for part in LEG:
        length = frame.segment(part).length
        end = np.array([top[0] - length, top[1], frame.deck(top[0] - length) + frame.thickness(part)])
        way = (end - top) / np.linalg.norm(end - top)
        ways.append(way)
        top = top + length * way
    return frame.chain(LEG, side, hip, tuple(ways))


def _upper_body(frame: _Frame, hips: Floats) -> tuple[list[Placed], Floats]:
    """Trunk, head and arms of someone upright, from the hips; and the neck."""
    up = frame.upright((0.0, 0.0, 1.0))
    neck = hips + frame.segment(Part.TRUNK).length * up
    pieces = [*_trunk(frame, neck, -up), _head(frame, neck, up)]
    for side, shoulder in _both(frame.body.trunk.shoulder, neck):
        ways = (ARM_RESTING, FOREARM_RESTING, FOREARM_RESTING)
        pieces += frame.chain(ARM, side, shoulder, tuple(frame.upright(_mirrored(w, side)) for w in ways))
    return pieces, neck


def _sitting(frame: _Frame, place: float) -> PlacedBody:
    trunk, head = frame.segment(Part.TRUNK), frame.segment(Part.HEAD)
    seat = SITTING_HEIGHT * frame.body.stature - trunk.length - head.length
    hips = np.array([place, 0.0, frame.deck(place)]) + max(seat, 0.0) * frame.upright((0.0, 0.0, 1.0))
    pieces, neck = _upper_body(frame, hips)
    for side, hip in _both(0.5 * frame.body.trunk.hip[0], hips):
        ways = (THIGH_ASTRIDE, SHANK_HANGING, FOOT_HANGING)
        pieces += frame.chain(LEG, side, hip, tuple(frame.upright(_mirrored(w, side)) for w in ways))
    return PlacedBody(Posture.SITTING, place, tuple(pieces), neck)


def _kneeling(frame: _Frame, place: float) -> PlacedBody:
    """On the knees, seated on the heels."""
    shank, thigh = frame.segment(Part.SHANK), frame.segment(Part.THIGH)
    low = frame.thickness(Part.SHANK)
    heel = place - shank.length
    knee = np.array([place, 0.0, frame.deck(place) + low])
    ankle = np.array([heel, 0.0, frame.deck(heel) + low])
    rise = 2.0 * low + frame.thickness(Part.THIGH)
    reach = sqrt(max(thigh.length**2 - rise**2, 0.0))
    hips = knee + np.array([-reach, 0.0, rise])
    pieces, neck = _upper_body(frame, hips)
    folded = (_way(hips, knee), _way(knee, ankle), np.array([-1.0, 0.0, 0.0]))
    for side, hip in _both(0.5 * frame.body.trunk.hip[0], hips):
        pieces += frame.chain(LEG, side, hip, folded)
    return PlacedBody(Posture.KNEELING, place, tuple(pieces), neck)


def _way(start: Floats, end: Floats) -> Floats:
    return np.asarray((end - start) / np.linalg.norm(end - start))
