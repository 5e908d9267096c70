"""Showing results: JSON documents, and plain lines for people."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Mapping

from foamwright.documents import json_text
from foamwright.units import System


def print_json(document: Mapping[str, object]) -> None:
    """Print one JSON document, and nothing else, on standard output."""
    sys.stdout.write(json_text(document) + "\n")


def system_of(args: argparse.Namespace) -> System:
    """Return what lengths are read out in: ``--units``, else inches."""
    return System.MM if args.units == "mm" else System.INCH


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
