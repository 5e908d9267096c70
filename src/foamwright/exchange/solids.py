"""What can be exported, as solids with a name: the board, its foam alone, a blank, a stage of the work."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.errors import InputError, Problem
from foamwright.exchange.strips import RailedStrips, Strip, plain_strips
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import Cored, Solid
from foamwright.stages.solids import Placed, Stage, StageName

NO_WIDTH = 1e-9
"""Metres of half-width below which an end has none."""


@dataclass(frozen=True, eq=False)
class Body:
    """One solid in a file.

    Attributes
    ----------
    name
        What it is called there.
    solid
        Its height fields, metres.
    strips
        Patches of one half in which its surface is smooth.
    lay
        Where its frame lies in the file's; ``None``: it is the file's.
    """

    name: str
    solid: Solid
    strips: tuple[Strip, ...]
    lay: Placed | None = None

    def placed(self, points: Floats) -> Floats:
        """Return points (..., 3) of the body in the file's frame: turned about its tail tip, then moved."""
        if self.lay is None:
            return points
        turn = np.arctan(self.lay.tilt)
        x, z = points[..., 0], points[..., 2]
        along = self.lay.slide + x * np.cos(turn) - z * np.sin(turn)
        up = self.lay.lift + x * np.sin(turn) + z * np.cos(turn)
        return np.stack([along, points[..., 1], up], axis=-1)


@dataclass(frozen=True, eq=False)
class BoardSolid:
    """A board's core between two stations, without what lies within `slot` of the stringer's middle.

    At a tip of no width a contour folds the section back on itself; here it is straight, so that every edge
    of the surface has two sides there too. `grown` is the allowance left on every face, metres.
    """

    board: Board
    slot: float = 0.0
    grown: float = 0.0

    @cached_property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks, ends included."""
        return _apart({*self.board.panels, *self._notch_end()}, *self._ends())

    @property
    def extremes(self) -> tuple[float, ...]:
        """Stations of the greatest width, the lowest bottom and the greatest thickness."""
        return self.board.outline.wide_at, self.board.low_at, self.board.thickest_at

    def _ends(self) -> tuple[float, float]:
        """Stations where the board is as wide as the slot."""
        length = self.board.length
        start = self.board.outline.start
        if self.slot == 0.0:
            return start, length
        return self._crossing(start, length / 2.0), self._crossing(length, length / 2.0)

    def _crossing(self, tip: float, middle: float) -> float:
        outside, inside = tip, middle
        if self._room(tip) >= 0.0:
            return tip
        for _ in range(60):
            half = (outside + inside) / 2.0
            outside, inside = (outside, half) if self._room(half) >= 0.0 else (half, inside)
        return inside

    def _room(self, x: float) -> float:
        """Foam on each side of the slot at a station."""
        return float(self.board.half_width(np.array([x]))[0]) - self.slot

    def _notch_end(self) -> tuple[float, ...]:
        """Where a notch becomes narrower than the slot."""
        foot, start = self.board.outline.foot, self.board.outline.start
        if self.slot == 0.0 or foot == 0.0:
            return ()
        x = np.linspace(start, foot, 2001)
        wider = np.flatnonzero(self.board.inner(x) > self.slot)
        if wider.size == 0:
            return ()
        inside, outside = float(x[wider[-1]]), float(x[min(wider[-1] + 1, x.size - 1)])
        for _ in range(50):
            half = (inside + outside) / 2.0
            wide = float(self.board.inner(np.array([half]))[0]) > self.slot
            inside, outside = (half, outside) if wide else (inside, half)
        return (inside,)

    def half_width(self, x: Floats) -> Floats:
        """Return the outer half-width at `x`."""
        return np.maximum(self.board.half_width(x), self.slot) + self.grown

    def inner(self, x: Floats) -> Floats:
        """Return the half-width of slot or notch at `x`; where there is nothing outside it, the outer one."""
        inner, outer = np.maximum(self.board.inner(x), self.slot), self.half_width(x)
        return np.where(outer - inner < NO_WIDTH, outer, inner) if self.slot > 0.0 else inner

    def core(self, x: Floats) -> Floats:
        """Return the half-width of what stands between two notches at `x`; a slot leaves none."""
        return np.zeros_like(x) if self.slot > 0.0 else self.board.core(x)

    def kinks(self, x: Floats) -> Floats:
        """Return shares where the section has a kink."""
        return self.board.kinks(x)

    def bottom_kinks(self, x: Floats) -> Floats:
        """Return shares where the bottom has a kink."""
        return self.board.bottom_kinks(x)

    def deck_kinks(self, x: Floats) -> Floats:
        """Return shares where the deck has a kink."""
        return self.board.deck_kinks(x)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return bottom heights at shares of the half-width."""
        return self.straight(x, self.board.bottom_at(x, share)) - self.grown

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return deck heights at shares of the half-width."""
        return self.straight(x, self.board.deck_at(x, share)) + self.grown

    def straight(self, x: Floats, heights: Floats) -> Floats:
        """Return heights (N, K) that at an end of no width are nowhere below the bottom at the stringer."""
        pointed = self.board.half_width(x) < NO_WIDTH
        if self.slot > 0.0 or not np.any(pointed):
            return heights
        middle = self.board.bottom_at(x, np.zeros((x.size, 1)))
        return np.where(pointed[:, None], np.maximum(heights, middle), heights)


def _apart(marks: set[float], start: float, stop: float) -> tuple[float, ...]:
    """Return the marks between two ends, no two of them within a millimetre, and the ends."""
    kept = [start]
    for x in sorted(marks):
        if kept[-1] + 1e-3 < x < stop - 1e-3:
            kept.append(x)
    return (*kept, stop)


@dataclass(frozen=True, eq=False)
class Refined:
    """A solid with more panels, so that a mesh of it has rows at given stations."""

    solid: Solid
    stations: tuple[float, ...]

    @property
    def panels(self) -> tuple[float, ...]:
        """The solid's panels and the stations."""
        own = self.solid.panels
        return _apart({*own, *self.stations}, own[0], own[-1])

    def half_width(self, x: Floats) -> Floats:
        """Return the solid's outer half-width."""
        return self.solid.half_width(x)

    def inner(self, x: Floats) -> Floats:
        """Return the half-width of the solid's notch."""
        return self.solid.inner(x)

    def core(self, x: Floats) -> Floats:
        """Return the half-width of what stands between two notches."""
        return self.solid.core(x) if isinstance(self.solid, Cored) else np.zeros_like(x)

    def kinks(self, x: Floats) -> Floats:
        """Return the kinks of the solid's sections."""
        return self.solid.kinks(x)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return the solid's bottom."""
        return self.solid.bottom_at(x, share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return the solid's deck."""
        return self.solid.deck_at(x, share)


@dataclass(frozen=True, eq=False)
class BlankSolid:
    """A blank as a solid with an upright edge."""

    blank: Blank

    @property
    def panels(self) -> tuple[float, ...]:
        """Its ends, and the wide point where it has one."""
        wide = self.blank.numbers.wide_at
        return (0.0, *(() if wide is None else (wide,)), self.blank.length)

    def half_width(self, x: Floats) -> Floats:
        """Return the half-width at `x`."""
        return self.blank.half_width(np.clip(x, 0.0, self.blank.length))

    def inner(self, x: Floats) -> Floats:
        """Return 0: a blank has no notch."""
        return np.zeros_like(x)

    def kinks(self, x: Floats) -> Floats:
        """Return the shares 0 and 1."""
        return np.stack([np.zeros_like(x), np.ones_like(x)], axis=1)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return the bottom, level across."""
        return self.blank.bottom(x)[:, None] + np.zeros(np.broadcast_shapes((x.size, 1), np.shape(share)))

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return the deck, domed or level across."""
        drop = (self.blank.dome(x) * self.half_width(x) ** 2)[:, None] * np.asarray(share) ** 2
        return np.asarray(self.blank.deck(x)[:, None] - drop)


@dataclass(frozen=True, eq=False)
class StageSolid:
    """A stage of the work with upright edges, from its rows; heights by cubics between them."""

    board: Board
    stage: Stage
    left: float

    @property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks of the outline and of its widest place."""
        return tuple(sorted({*self.board.outline.panels, self.board.outline.wide_at}))

    def half_width(self, x: Floats) -> Floats:
        """Return the outline with its allowance."""
        return np.asarray(self.board.half_width(x) + self.left)

    def inner(self, x: Floats) -> Floats:
        """Return the half-width of the notch."""
        return self.board.inner(x)

    def core(self, x: Floats) -> Floats:
        """Return the half-width of what stands between two notches."""
        return self.board.core(x)

    def kinks(self, x: Floats) -> Floats:
        """Return the shares 0 and 1."""
        return np.stack([np.zeros_like(x), np.ones_like(x)], axis=1)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return bottom heights at shares of the half-width."""
        return self._read(self.stage.bottom_across, x, share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return deck heights at shares of the half-width."""
        return self._read(self.stage.deck_across, x, share)

    def _read(self, table: Floats, x: Floats, share: Floats) -> Floats:
        from scipy.interpolate import RectBivariateSpline

        across = np.linspace(0.0, 1.0, table.shape[1])
        spline = RectBivariateSpline(self.stage.x, across, table)
        shape = np.broadcast_shapes((x.size, 1), np.shape(share))
        return np.asarray(spline.ev(np.broadcast_to(x[:, None], shape), np.broadcast_to(share, shape)))


def board_body(board: Board) -> Body:
    """Return the finished core as one body."""
    return _railed(board.name, BoardSolid(board))


def foam_body(board: Board, stringer_width: float) -> Body:
    """Return the finished core without its stringer: two halves that do not touch.

    Raises
    ------
    InputError
        There is no stringer to leave out.
    """
    if not 0.0 < stringer_width < board.numbers.wide:
        raise InputError(
            Problem("stringer", "has no width that leaves foam.", "Give it, or export the whole board.")
        )
    if board.outline.end.core:
        raise InputError(
            Problem(
                "tail_form",
                "is bat: the foam beside the stringer in its middle point cannot be exported by itself yet.",
                "Export the whole board.",
            )
        )
    return _railed(f"{board.name} foam", BoardSolid(board, slot=stringer_width / 2.0))


def blank_body(blank: Blank) -> Body:
    """Return a blank in its own frame."""
    solid = BlankSolid(blank)
    return Body(f"blank {blank.id}", solid, plain_strips(solid))


def inside_body(board: Board, lay: Placed) -> Body:
    """Return the finished core where it lies in its blank, in the blank's frame."""
    body = board_body(board)
    return Body(body.name, body.solid, body.strips, lay)


def stage_body(board: Board, stage: Stage, finish: float) -> Body:
    """Return a stage of the work, in the board's frame; the blank itself comes from `blank_body`."""
    name = f"{board.name} {stage.name}"
    if stage.name is StageName.FINISHED:
        return board_body(board)
    if stage.name is StageName.RAILS:
        return _railed(name, BoardSolid(board, grown=finish))
    solid = StageSolid(board, stage, finish)
    return Body(name, solid, plain_strips(solid))


def _railed(name: str, solid: BoardSolid) -> Body:
    return Body(
        name, solid, RailedStrips(solid, solid.board.section_numbers, solid.straight, solid.grown).strips()
    )
