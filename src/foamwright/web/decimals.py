"""Decimals as a language writes them; in what is shown only: a field takes a point, as sheets do.

So what stands in a field, pale or typed, and what tells a person what to write there, keeps its point.
"""

from __future__ import annotations

import re

POINTS = {"de": ","}
"""What stands before decimals, where it is no point."""

_DECIMAL = re.compile(r"(?<=\d)\.(?=\d)")


def point_of(language: str) -> str:
    """Return what stands before decimals in a language."""
    return POINTS.get(language, ".")


def decimals(language: str, text: str) -> str:
    """Return a text with its decimals as a language writes them."""
    return _DECIMAL.sub(point_of(language), text)
