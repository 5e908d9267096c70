"""A lay in a person's numbers: where the board lies, how long the work takes, what comes off where."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foamwright.jobs.live_planning import outline_room, slides_of
from foamwright.lay.choice import Choice
from foamwright.lay.failure import SAME, first_worst
from foamwright.lay.words import Words
from foamwright.papers.job_words import Figures, figures_of
from foamwright.stages.marks import rack_stations
from foamwright.units import System, format_length, write_length
from foamwright.web.planning.figures import matrix_of
from foamwright.web.planning.places import place_words
from foamwright.web.rendering import Reader

LONGEST_EXACT = 8
"""Signs of a number that a person still reads: 10 15/16, or 123.825 mm, which is a mark of an inch tape."""


@dataclass(frozen=True, slots=True)
class StationOff:
    """What comes off the stringer at a station."""

    label: str
    deck: str
    bottom: str


@dataclass(frozen=True, slots=True)
class LaidView:
    """A lay in a person's numbers.

    Attributes
    ----------
    slide_m, slide, gap_nose
        The slide in metres; in the visitor's unit, as a field takes it; and what is left before the blank's
        nose.
    matrix
        Brings the board's frame into the blank's, for SVG.
    tail_percent, nose_percent
        Where the board's tips stand along the blank.
    fits
        Whether the board lies in the blank there.
    minutes, minutes_exact
        Work, in words and as a number (``None`` where it does not fit).
    litres
        Foam that is planed off.
    why
        Why it does not fit, in words; empty if it does.
    lift, tilt
        Height of the board's level line at its tail above the blank's, and its slope in degrees.
    parts
        Minutes by end and face: tail, middle, nose; bottom and deck; and the rails.
    stations
        What comes off at the stations of a tape.
    """

    slide_m: float
    slide: str
    gap_nose: str
    matrix: str
    tail_percent: float
    nose_percent: float
    fits: bool
    minutes: str
    minutes_exact: float | None
    litres: str
    why: str
    lift: str
    tilt: str
    parts: tuple[tuple[str, str, str], ...]
    rails: str
    stations: tuple[StationOff, ...]

    def as_json(self) -> dict[str, object]:
        """Return what changes as the board is slid, as plain values."""
        return {
            "slide_m": self.slide_m,
            "slide": self.slide,
            "gap_nose": self.gap_nose,
            "matrix": self.matrix,
            "nose_percent": self.nose_percent,
            "fits": self.fits,
            "minutes": self.minutes,
            "minutes_exact": self.minutes_exact,
            "litres": self.litres,
            "why": self.why,
            "lift": self.lift,
            "tilt": self.tilt,
            "parts": self.parts,
            "rails": self.rails,
            "deck": [station.deck for station in self.stations],
            "bottom": [station.bottom for station in self.stations],
        }


def laid_view(choice: Choice, reader: Reader) -> LaidView:
    """Return a lay, that fits or not, in a person's numbers."""
    lay, blank, board = choice.placed, choice.blank.length, choice.board.length
    figures = figures_of(choice.bay, reader.lengths)
    work = choice.work_min if choice.fits else None
    parts = choice.parts
    return LaidView(
        slide_m=lay.slide,
        slide=slide_text(lay.slide, reader),
        gap_nose=reader.figure(figures.along(max(blank - board - lay.slide, 0.0))),
        matrix=matrix_of(lay),
        tail_percent=100.0 * lay.slide / blank,
        nose_percent=100.0 * (lay.slide + board) / blank,
        fits=choice.fits,
        minutes="–" if work is None else f"{work:.0f}",
        minutes_exact=work,
        litres=reader.figure(f"{choice.foam_off.planed:.1f}") if choice.fits else "–",
        why="" if choice.fits else why_not(choice, reader),
        lift=reader.length(lay.lift),
        tilt=reader.figure(f"{math.degrees(lay.tilt):+.2f}".replace("-", "−")),
        parts=tuple(
            (end, f"{both[1]:.0f}", f"{both[0]:.0f}")
            for end, both in zip(("tail", "middle", "nose"), parts.by_end, strict=True)
        ),
        rails=f"{parts.rails:.0f}",
        stations=_stations(choice, reader, figures),
    )


def slide_text(metres: float, reader: Reader) -> str:
    """Return a slide as it stands in the number field: exact on a mark, rounded in the hand."""
    exact = write_length(metres, reader.unit)
    if len(exact) <= LONGEST_EXACT:
        return exact
    text = format_length(metres, reader.lengths)
    return text.removesuffix(".0") if reader.lengths is System.MM else text


def why_not(choice: Choice, reader: Reader) -> str:
    """Return why the board does not lie in the blank at this slide, and what to do, in words."""
    least, most = slides_of(choice)
    say, length = reader.words.say, choice.board.length

    def amount(metres: float) -> str:
        return reader.figure(Words(reader.lengths, choice.bay.tape.fraction).amount(metres))

    if most < least:
        return say("plan.lay.too-short", amount=amount(least - most))
    remedy = say("plan.lay.slide-on" if choice.curve.fits.any() else "plan.lay.no-slide")
    room = outline_room(choice, choice.placed.slide)
    worst = first_worst(-room)
    if room[worst] < -1e-9:
        place = place_words(reader, float(choice.board.x[worst]), length)
        lacking = amount(2.0 * float(room[worst]))
        return f"{say('plan.lay.too-narrow', amount=lacking, place=place)} {remedy}"
    line = choice.placed.line(choice.board.x)
    lack = {"bottom": choice.limits.lower - line, "deck": line - choice.limits.upper}
    face = "deck" if lack["deck"].max() > lack["bottom"].max() + SAME else "bottom"
    worst = first_worst(lack[face])
    place = place_words(reader, _to_half_inch(float(choice.board.x[worst]), length), length)
    lacking = amount(float(lack[face][worst]))
    return f"{say(f'plan.lay.lacks-{face}', amount=lacking, place=place)} {remedy}"


def _to_half_inch(x: float, length: float) -> float:
    """A station to half an inch from the nearer tip: nobody looks for one more exactly."""
    near, far = (0.0, 1.0) if 2.0 * x <= length else (length, -1.0)
    return near + far * round(abs(x - near) / 0.0127) * 0.0127


def _stations(choice: Choice, reader: Reader, figures: Figures) -> tuple[StationOff, ...]:
    x, length = choice.board.x, choice.board.length

    def off(depths: np.ndarray, at: float) -> str:
        depth = float(np.interp(at, x, depths))
        return reader.figure(figures.depth(depth) if depth > -1e-9 else "−" + figures.depth(-depth))

    return tuple(
        StationOff(
            place_words(reader, station.x, length),
            off(choice.deck_off, station.x),
            off(choice.bottom_off, station.x),
        )
        for station in rack_stations(length, reader.lengths)
    )
