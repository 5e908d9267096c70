"""Showing results: JSON documents, and plain lines for people."""

from __future__ import annotations

import argparse
import sys
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path

from foamwright.documents import json_text
from foamwright.units import System

METRIC = ("mm", "cm")


def print_json(document: Mapping[str, object]) -> None:
    """Print one JSON document, and nothing else, on standard output."""
    sys.stdout.write(json_text(document) + "\n")


def system_of(args: argparse.Namespace) -> System:
    """Return what lengths are read out in: ``--units``, else the units of the (first) board's sheet.

    Where a sheet says nothing, inches. One from standard input can be read only once, so it has no say.
    """
    if args.units is not None:
        return System.MM if args.units == "mm" else System.INCH
    several = getattr(args, "boards", None)
    # Of a study `boards` is how many, and no sheets.
    given = [*(several if isinstance(several, list) else ()), getattr(args, "board", None)]
    units = (_units_of(path) for path in given if isinstance(path, Path))
    return System.MM if next((unit for unit in units if unit), "in") in METRIC else System.INCH


def _units_of(path: Path) -> str:
    """The units that a sheet names, or none where it is no sheet: what is wrong with it is told elsewhere."""
    if not path.is_file():
        return ""
    from foamwright.errors import InputError
    from foamwright.sheets.files import read_text

    try:
        units = tomllib.loads(read_text(path)).get("units")
    except (InputError, tomllib.TOMLDecodeError):
        return ""
    return units if isinstance(units, str) else ""


def tell_of_letters(names: Iterable[str]) -> None:
    """Say once on standard error which names hold letters that the papers cannot print."""
    from foamwright.papers.fonts import MISSING, unprintable

    lacking = {name: letters for name in names if (letters := unprintable(name))}
    if lacking:
        letters = " ".join(dict.fromkeys("".join(lacking.values())))
        named = ", ".join(f"“{name}”" for name in lacking)
        sys.stderr.write(
            f"note: the papers' faces lack {letters} of {named}; each is printed as {MISSING}.\n"
        )
