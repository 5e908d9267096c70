"""Showing results: JSON documents, and plain lines for people."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping

from foamwright.documents import json_text
from foamwright.units import System


def print_json(document: Mapping[str, object]) -> None:
    """Print one JSON document, and nothing else, on standard output."""
    sys.stdout.write(json_text(document) + "\n")


def system_of(args: argparse.Namespace) -> System:
    """Return what lengths are read out in: ``--units``, else inches."""
    return System.MM if args.units == "mm" else System.INCH
