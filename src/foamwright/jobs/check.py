"""Checking a board: the finished board's numbers, how fair its curves are, and what to look at again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from foamwright.board.board import Board, board_of
from foamwright.board.checks import check_board
from foamwright.board.checks_curves import LongCurve, long_curves
from foamwright.board.checks_usual import USUAL
from foamwright.board.numbers import BoardNumbers
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, Problem
from foamwright.files import write_atomically
from foamwright.findings import Finding, Severity
from foamwright.finish.boxes import box_fits
from foamwright.finish.finished import check_boxes
from foamwright.jobs.job_sheets import refuse_other_file, refuse_own_sheets
from foamwright.shape.curves import FairCurve, Floats
from foamwright.units import INCH, System

STATIONS = 77
"""Stations of the profile, tips included."""

FAIRNESS_NORM = "span^5 * integral(f'''^2) / greatest |f|^2, over the curve's own variable; no unit, no scale"


@dataclass(frozen=True, slots=True)
class Fairness:
    """How fair a long curve is.

    Attributes
    ----------
    figure
        Bending variation in the norm of `FAIRNESS_NORM`; the outline's is over its stretched variable.
    extrema_m, inflections_m
        Stations where the curvature has a local extremum, and where it changes sign.
    """

    figure: float
    extrema_m: tuple[float, ...]
    inflections_m: tuple[float, ...]

    def as_json(self) -> dict[str, object]:
        """Return plain values."""
        return {
            "figure": self.figure,
            "norm": FAIRNESS_NORM,
            "curvature_extrema_m": list(self.extrema_m),
            "inflections_m": list(self.inflections_m),
        }


@dataclass(frozen=True, eq=False)
class Checked:
    """A finished board in numbers, with what there is to say about it. SI.

    Attributes
    ----------
    board
        The board.
    warnings
        Findings, gravest first.
    notes
        What the sheet did not say, and what was taken for it.
    fairness
        Of `rocker`, `foil` and `outline`.
    """

    board: Board
    warnings: tuple[Finding, ...]
    notes: tuple[Finding, ...]
    fairness: dict[str, Fairness]

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<Checked {self.name!r} {1000.0 * self.volume:.1f} l, {len(self.warnings)} warnings>"

    def _repr_svg_(self) -> str:
        """Return the board drawn, for a notebook."""
        return self.board._repr_svg_()

    @property
    def answer_is_no(self) -> bool:
        """Whether the board cannot be built as it stands."""
        return any(finding.severity is Severity.STOP for finding in self.warnings)

    @property
    def name(self) -> str:
        """The board's name."""
        return self.board.name

    @property
    def length(self) -> float:
        """Tail tip to nose tip, m."""
        return self.board.length

    @property
    def width(self) -> float:
        """Greatest full width, m."""
        return self.board.numbers.wide

    @property
    def thickness(self) -> float:
        """Greatest thickness, m."""
        return self.board.numbers.thickest

    @property
    def volume(self) -> float:
        """Volume, m3."""
        return self.board.mass.volume

    @property
    def area(self) -> float:
        """Whole surface, m2."""
        return self.board.mass.area

    def as_json(self) -> dict[str, object]:
        """Return plain values with their units in their names."""
        mass = self.board.mass
        return {
            "name": self.name,
            "length_m": self.length,
            "volume_l": self.volume * 1000.0,
            "area_m2": self.area,
            "width_m": self.width,
            "thickness_m": self.thickness,
            "wide_at_m": self.board.outline.wide_at,
            "thickest_at_m": self.board.thickest_at,
            "low_at_m": self.board.low_at,
            "centroid_m": {"x": mass.centroid_x, "z": mass.centroid_z},
            "widths_m": widths(self.board),
            "warnings": [finding.as_json() for finding in self.warnings],
            "notes": [finding.as_json() for finding in self.notes],
            "fairness": {name: figure.as_json() for name, figure in self.fairness.items()},
            "profile": profile(self.board),
        }


def check_job(board: Path, system: System = System.INCH) -> Checked:
    """Return a board sheet's board in numbers, with its warnings in the units asked for.

    Raises
    ------
    InputError
        The sheet cannot be read, no fair curve meets its numbers, a rail cannot be, or a fin box lies outside
        the outline; with all that a check finds besides, so that a sheet need be mended once only.
    """
    numbers = read_board(board)
    try:
        return checked(board_of(numbers, system), system)
    except InputError as wrong:
        raise InputError([*wrong.problems, *_besides(numbers, system)]) from None


def _besides(numbers: BoardNumbers, system: System) -> list[Problem]:
    """What a check finds of a refused board once its edges can be; nothing if it has no fair curves."""
    eased = replace(numbers, rails=tuple(replace(rail, angle=None) for rail in numbers.rails))
    try:
        found = check_board(board_of(eased, system), system)
    except InputError:
        return []
    return [
        Problem(f"{numbers.name}, {one.where}", one.sentence, one.remedy)
        for one in found
        if one.severity is not Severity.NOTE
    ]


def write_page(checked: Checked, path: Path, sheets: Sequence[Path], system: System) -> None:
    """Write a checked board as one page for a browser.

    Raises
    ------
    InputError
        The name does not end in ``.html``, something else lies there, or the place cannot be written to.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.board_index import board_index

    if path.suffix.lower() != ".html":
        what, remedy = "a page is written as HTML.", f"Name it {path.with_suffix('.html').name}."
        raise InputError(Problem(f"--page {path.name}", what, remedy))
    refuse_own_sheets([path], sheets)
    refuse_other_file(
        path, "a page (HTML)", lambda content: content.lstrip().lower().startswith(b"<!doctype")
    )
    write_atomically(path, board_index(checked.board, (*checked.warnings, *checked.notes), system))


def checked(board: Board, system: System = System.INCH) -> Checked:
    """Return a board in numbers, with its warnings.

    Raises
    ------
    InputError
        A fin box lies outside the outline.
    """
    found = (*check_board(board, system), *check_boxes(box_fits(board, system), system))
    warnings = tuple(finding for finding in found if finding.code != USUAL)
    notes = tuple(finding for finding in found if finding.code == USUAL)
    return Checked(
        board, warnings, notes, {curve.name: _fairness(board, curve) for curve in long_curves(board)}
    )


def _fairness(board: Board, curve: LongCurve) -> Fairness:
    figure = _spline(board, curve.name).fairness()
    x = curve.stations(board)
    return Fairness(figure, _places(_extrema(curve, x)), _places(_inflections(curve, x)))


def _spline(board: Board, name: str) -> FairCurve:
    curves = {"rocker": board.rocker_curve, "foil": board.thickness_curve}
    return curves.get(name, board.outline.side.curve)


def _places(x: Floats) -> tuple[float, ...]:
    return tuple(float(place) for place in x)


def _extrema(curve: LongCurve, x: Floats) -> Floats:
    slope = np.gradient(curve.height(x), x)
    rise = np.diff(curve.bend(x) / (1.0 + slope**2) ** 1.5)
    return np.asarray(x[1:-1][rise[:-1] * rise[1:] < 0.0])


def _inflections(curve: LongCurve, x: Floats) -> Floats:
    bend = curve.bend(x)
    seen = np.flatnonzero(np.abs(bend) > 1e-6 * np.max(np.abs(bend)))
    turns = np.flatnonzero(np.diff(np.sign(bend[seen])) != 0)
    return np.asarray((x[seen[turns]] + x[seen[turns + 1]]) / 2.0)


def widths(board: Board) -> dict[str, float]:
    """Return the full widths that people ask for, m: at the tail tip and 12 in from both tips."""
    stations = {"tail": 0.0, "12 in from tail": 12 * INCH, "12 in from nose": board.length - 12 * INCH}
    return {name: 2.0 * float(board.half_width(x)) for name, x in stations.items()}


def profile(board: Board) -> dict[str, list[float]]:
    """Return the stringer's lines and the outline at even stations, as plain lists in metres."""
    x = np.linspace(0.0, board.length, STATIONS)
    columns = {
        "x_m": x,
        "rocker_m": board.rocker(x),
        "thickness_m": board.thickness(x),
        "half_width_m": board.half_width(x),
        "pre_contour_bottom_m": board.pre_contour(x),
    }
    return {name: [float(value) for value in values] for name, values in columns.items()}
