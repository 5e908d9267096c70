"""Rails that no board can have: told all at once, with what would do."""

from __future__ import annotations

import math

import numpy as np

from foamwright.board.numbers import BoardNumbers, RailMark
from foamwright.board.sections import Sections, steepness
from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.units import System, format_with_unit

TIP = 1e-3
"""Metres from a tip within which there is no width to speak of."""


def impossible_rails(numbers: BoardNumbers, sections: Sections, system: System) -> list[Problem]:
    """Return a problem for every rail whose tuck or edge cannot be.

    Parameters
    ----------
    numbers, sections
        The board.
    system
        Units of the sentences.
    """
    inner = [mark for mark in numbers.rails if TIP < mark.x < numbers.length - TIP]
    found = [_tuck(numbers.name, mark, sections, system) for mark in inner]
    found += [_edge(numbers.name, mark, sections, system) for mark in numbers.rails]
    return [problem for problem in found if problem is not None]


def _where(name: str, mark: RailMark) -> str:
    return f"{name}, [rails] {mark.place}"


def _tuck(name: str, mark: RailMark, sections: Sections, system: System) -> Problem | None:
    half = float(sections.half_width(np.array([mark.x]))[0])
    if mark.tuck < half:
        return None
    return Problem(
        _where(name, mark),
        said(
            "rails.tuck",
            "a tuck of {tuck} is more than the half-width there, {half}.",
            tuck=format_with_unit(mark.tuck, system),
            half=format_with_unit(half, system),
        ),
        said("rails.tuck.remedy", "Make it {most} or less.", most=format_with_unit(0.3 * half, system)),
    )


def _edge(name: str, mark: RailMark, sections: Sections, system: System) -> Problem | None:
    share = steepness(mark, sections)
    if mark.angle is None or share <= 1.0 + 1e-9:
        return None
    tuck = float(sections.tuck_at(np.array([mark.x]))[0])
    rise = tuck * math.tan(mark.angle) / share
    return Problem(
        _where(name, mark),
        said(
            "rails.edge",
            "so steep an edge needs a higher apex or less tuck: {angle} degrees over a tuck of {tuck} rise "
            "{needed}, and the apex is {rise} up.",
            angle=f"{math.degrees(mark.angle):g}",
            tuck=format_with_unit(tuck, system),
            needed=format_with_unit(tuck * math.tan(mark.angle), system),
            rise=format_with_unit(rise, system),
        ),
        said(
            "rails.edge.remedy",
            "Make the angle {angle} degrees or less, or the tuck {tuck}.",
            angle=f"{math.floor(math.degrees(math.atan2(rise, tuck)))}",
            tuck=format_with_unit(rise / math.tan(mark.angle), system),
        ),
    )
