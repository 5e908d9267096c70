"""What an export is asked for beside the body itself, in words, and which formats know it."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from math import isfinite

from foamwright.errors import InputError, Problem, attempt
from foamwright.jobs.options import Limits, date_option, length_option
from foamwright.units import quoted

MESHES = (".stl", ".3mf", ".obj")
DRAWINGS = (".dxf", ".svg")
STEPS = (".step", ".stp")
TABLES = (".csv", ".xlsx")

TOLERANCE = Limits(0.00001, 0.005)
"""Metres: under a hundredth of a millimetre nothing is made of foam, over five a board is no board."""

BED = Limits(0.05, 4.0)
SCALE = Limits(0.01, 1.0)


@dataclass(frozen=True, slots=True)
class ExportWords:
    """Options as they are written; what is `None` or false was not asked for.

    Attributes
    ----------
    tolerance
        How far the triangles may be from the body.
    scale, bed
        Scale of a model like ``1:5``, and the length of the bed that its pieces fit.
    date
        The file's day.
    r12
        DXF as the oldest programs read it.
    paths
        Letters of an SVG as outlines.
    comma
        CSV with semicolons, and commas in decimals.
    at
        Station of the one section that is drawn.
    pockets
        Fin boxes cut out of a STEP solid.
    """

    tolerance: str | None = None
    scale: str | None = None
    bed: str | None = None
    date: str | None = None
    r12: bool = False
    paths: bool = False
    comma: bool = False
    at: str | None = None
    pockets: bool = False


@dataclass(frozen=True, slots=True)
class ExportWishes:
    """The same read, in metres."""

    tolerance: float | None = None
    scale: float = 1.0
    bed: float | None = None
    date: datetime.date | None = None
    r12: bool = False
    paths: bool = False
    comma: bool = False
    at: str | None = None
    pockets: bool = False


_KNOWN = {
    "tolerance": ("--tolerance", MESHES),
    "scale": ("--scale", MESHES),
    "bed": ("--bed", MESHES),
    "date": ("--date", (*STEPS, ".3mf")),
    "r12": ("--r12", (".dxf",)),
    "paths": ("--paths", (".svg",)),
    "comma": ("--comma", (".csv",)),
    "at": ("--at", DRAWINGS),
    "pockets": ("--pockets", STEPS),
}


def read_wishes(words: ExportWords, ending: str, problems: list[Problem]) -> ExportWishes:
    """Return what is wished for; whatever cannot be, or means nothing for the format, joins the problems."""
    for name, (option, endings) in _KNOWN.items():
        if getattr(words, name) and ending not in endings:
            what = f"means nothing for a file that ends in “{ending}”."
            problems.append(Problem(option, what, f"Leave it away, or write one of {', '.join(endings)}."))
    tolerance = bed = scale = None
    if words.tolerance is not None:
        tolerance = attempt(problems, lambda: length_option(str(words.tolerance), "--tolerance", TOLERANCE))
    if words.bed is not None:
        bed = attempt(problems, lambda: length_option(str(words.bed), "--bed", BED))
    if words.scale is not None:
        scale = attempt(problems, lambda: _scale(str(words.scale)))
    # The environment's day is taken only where the format can tell it.
    dated = ending in _KNOWN["date"][1]
    date = attempt(problems, lambda: date_option(words.date)) if dated else None
    return ExportWishes(
        tolerance, scale or 1.0, bed, date, words.r12, words.paths, words.comma, words.at, words.pockets
    )


def _scale(words: str) -> float:
    """Return 0.2 for ``1:5`` or ``0.2``."""
    match = re.fullmatch(r"\s*1\s*:\s*(\d+(?:\.\d+)?)\s*|\s*(\d*\.\d+|1)\s*", words)
    share = 0.0
    if match:
        share = 1.0 / float(match[1]) if match[1] and float(match[1]) > 0.0 else float(match[2] or 0.0)
    if isfinite(share) and SCALE.hold(share):
        return share
    raise InputError(
        Problem("--scale", f"{quoted(words)} is no scale.", "Write one from 1:1 to 1:100, like 1:5.")
    )
