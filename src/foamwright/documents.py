"""JSON documents: plain values from arrays, and the same text for the same values."""

from __future__ import annotations

import json
from collections.abc import Mapping

import numpy as np


def plain(value: object) -> object:
    """Return `value` with arrays as lists and numpy scalars as Python numbers."""
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
    """Return one JSON document as text; NaN and infinity are refused.

    Raises
    ------
    ValueError
        A number is not finite.
    """
    return json.dumps(plain(document), ensure_ascii=False, indent=1, allow_nan=False)


def json_bytes(document: Mapping[str, object]) -> bytes:
    """Return one JSON document as the bytes of a file."""
    return (json_text(document) + "\n").encode()
