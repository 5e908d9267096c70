"""Texts that people send: trimmed, without control signs, no longer than there is room for."""

from __future__ import annotations

import unicodedata

from foamwright.errors import Problem
from foamwright.shop.told import ShopError, told

LONGEST_NOTE = 2000
LONGEST_NAME = 120
LONGEST_TITLE = 200
LONGEST_SHEET = 60_000

_KEPT_SIGNS = "\n\t"


def line_of(where: str, written: str, most: int = LONGEST_NAME) -> str:
    """Return a text of one line; it must not be empty.

    Raises
    ------
    ShopError
        It is empty or too long.
    """
    line = " ".join(without_control_signs(written).split())
    problem = line_problem(where, line, most)
    if problem is not None:
        raise ShopError(problem)
    return line


def line_problem(where: str, line: str, most: int) -> Problem | None:
    """Return what is wrong with a line that must not be empty."""
    if not line:
        return told(where, "empty")
    return told(where, "too-long", most=most) if len(line) > most else None


def note_of(where: str, written: str, most: int = LONGEST_NOTE) -> str:
    """Return a text of any number of lines, or none.

    Raises
    ------
    ShopError
        It is too long.
    """
    note = without_control_signs(written).replace("\r\n", "\n").strip()
    if len(note) > most:
        raise ShopError(told(where, "too-long", most=most))
    return note


def without_control_signs(written: str) -> str:
    """Return a text without signs that no person types (a NUL, half a surrogate, a change of direction)."""
    text = written.replace("\r\n", "\n").replace("\r", "\n")
    return "".join(sign for sign in text if sign in _KEPT_SIGNS or unicodedata.category(sign)[0] != "C")


def folded(*texts: str) -> str:
    """Return texts as they are searched: small letters, one space between words."""
    return " ".join(" ".join(texts).casefold().split())


def escaped_like(words: str) -> str:
    """Return a text for LIKE, with its own signs meaning themselves (escape sign: backslash)."""
    return words.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
