"""Showing results: JSON documents, and plain lines for people."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping

import numpy as np


def plain(value: object) -> object:
    """Return `value` with arrays as lists and numpy scalars as Python numbers (NaN never leaves)."""
    if isinstance(value, np.ndarray):
        return [plain(v) for v in value.tolist()]
    if isinstance(value, np.generic):
        return plain(value.item())
    if isinstance(value, Mapping):
        return {str(k): plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [plain(v) for v in value]
    return value


def json_text(document: Mapping[str, object]) -> str:
    """Return one JSON document as text; the same document gives the same text."""
    return json.dumps(plain(document), ensure_ascii=False, indent=1, allow_nan=False)


def print_json(document: Mapping[str, object]) -> None:
    """Print one JSON document, and nothing else, on standard output."""
    sys.stdout.write(json_text(document) + "\n")
