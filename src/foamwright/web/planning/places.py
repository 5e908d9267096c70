"""Stations in the visitor's words, and where in the form a problem or a finding belongs."""

from __future__ import annotations

import re
from dataclasses import dataclass

from foamwright.errors import InputError, Problem
from foamwright.findings import Finding
from foamwright.papers.job_words import Figures
from foamwright.sheets.stations import parse_station
from foamwright.units import BareNumberError, System, Unit, format_length, parse_length
from foamwright.web.rendering import Reader

NEAR = 0.001
"""Metres; stations nearer than this are one."""

_PLACE = re.compile(r"\[(?P<table>[^\]]+)\](?: (?P<key>.+))?$")
_FOUND = re.compile(r"(?:(nose|tail) tip|([\d /.]+?)(?: to [\d /.]+?)? (in|mm) from (nose|tail))")

COLUMNS = {"foil": "thickness", "rocker": "rocker", "outline": "outline"}
"""Columns of the form by what findings call a curve."""

COLUMN_OF_CODE = {
    "tip-thin": "thickness",
    "thickness-flow": "thickness",
    "rocker-excess": "rocker",
    "rocker-low": "rocker",
    "rocker-flat": "rocker",
    "rocker-sudden": "rocker",
    "rail-thin": "rails",
    "edge-hard-nose": "rails",
    "tuck-wide": "rails",
    "deck-steep": "deck",
}
"""Columns of the form by the code of a finding that has a place along the board."""

FIELD_OF_CODE = {
    "thick-aft": "thickness/thickest_at",
    "thick-forward": "thickness/thickest_at",
    "wide-aft": "outline/wide_at",
    "wide-forward": "outline/wide_at",
    "tail-corner": "outline/tail_corner",
}
"""Fields by the code of a finding that has none."""


def field_of(problem: Problem) -> str:
    """Return the name of the field that a problem of a sheet belongs to; empty if to none."""
    found = _PLACE.search(problem.where)
    if found is None:
        last = problem.where.rpartition(", ")[2]
        return last if last.isidentifier() else ""
    parts = [*found["table"].split(", "), *([found["key"]] if found["key"] else [])]
    return "/".join(part.strip("\"'") for part in parts)


def column_of(finding: Finding) -> str:
    """Return the column of the form that a finding belongs to; empty if to none."""
    return COLUMNS.get(finding.where.partition(",")[0], COLUMN_OF_CODE.get(finding.code, ""))


def x_of(finding: Finding, length: float) -> float | None:
    """Return where along the board a finding begins, metres from the tail; ``None`` if it has no place."""
    found = _FOUND.search(finding.where)
    if found is None:
        return None
    if found[1]:
        return length if found[1] == "nose" else 0.0
    distance = parse_length(f"{found[2]} {found[3]}")
    return length - distance if found[4] == "nose" else distance


@dataclass(frozen=True, slots=True)
class Stations:
    """Stations of a board of some length, whose sheet's bare numbers are in `unit`."""

    length: float
    unit: Unit | None
    reader: Reader

    def x(self, place: str) -> float | None:
        """Return metres from the tail; ``None`` if the place cannot be read."""
        try:
            return parse_station(place, self.length, self.unit)
        except InputError:
            return None

    def label(self, place: str) -> str:
        """Return a station in the visitor's words and units."""
        x = self.x(place)
        return place if x is None else place_words(self.reader, x, self.length, place)


def place_words(reader: Reader, x: float, length: float, place: str = "") -> str:
    """Return a station in words, measured from the end that `place` names, or else from the nearer one."""
    say = reader.words.say
    if x < NEAR or x > length - NEAR:
        return say("plan.place.tail-tip" if x < NEAR else "plan.place.nose-tip")
    middle = x - length / 2.0
    if abs(middle) < NEAR:
        return say("plan.place.centre")
    if "cent" in place:
        key = "plan.place.forward" if middle > 0 else "plan.place.aft"
        return say(key, distance=along(reader, abs(middle)))
    end = "nose" if "nose" in place or ("tail" not in place and middle > 0) else "tail"
    return say(f"plan.place.from-{end}", distance=along(reader, length - x if end == "nose" else x))


def along(reader: Reader, metres: float) -> str:
    """Return a distance along the board: to the tape's mark, or whole millimetres, as the bench says it."""
    return reader.figure(Figures(reader.lengths).along(metres))


def with_unit(written: str, reader: Reader, unit: Unit | None) -> str:
    """Return what a person wrote, with the unit they read in where the sheet means another one."""
    if reader.unit is unit:
        return written
    try:
        parse_length(written)
    except BareNumberError:
        return f"{written.strip()} {reader.unit}"
    except InputError:
        return written
    return written


def in_their_unit(written: object, reader: Reader, unit: Unit | None) -> str:
    """Return a length of the sheet as the visitor reads it: the sheet's own words where the units agree."""
    if reader.unit is unit:
        return _as_said(written, unit)
    try:
        text = format_length(parse_length(written, unit), reader.lengths, 32)
    except InputError:
        return f"{written}"
    return text.removesuffix(".0") if reader.lengths is System.MM else text


def _as_said(written: object, unit: Unit) -> str:
    """A number of the sheet as a person says it: 4.75 in as 4 3/4, and 1.9 in as it is."""
    if unit is not Unit.INCH or not isinstance(written, float):
        return f"{written}"
    metres = parse_length(written, unit)
    fraction = format_length(metres, System.INCH, 32)
    return fraction if parse_length(fraction, unit) == metres else f"{written}"
