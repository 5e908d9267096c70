"""Kinds of board, sizes of waves, and the patterns that boards are cut after."""

from __future__ import annotations

from enum import StrEnum


class Kind(StrEnum):
    """A generic kind of board."""

    NOSERIDER = "noserider"
    LONG_BOARD = "long board"
    MID_LENGTH = "mid-length"
    FISH = "fish"
    TWIN_KEEL = "twin keel"
    SMALL_WAVE = "small-wave"
    PERFORMANCE = "performance"
    STEP_UP = "step-up"
    GUN = "gun"
    CHILD = "child"
    FOIL = "foil"
    PADDLE = "paddle"


class Waves(StrEnum):
    """How big the faces of the waves are: to 1 m, 1 to 2 m, 2 to 4 m, over 4 m."""

    SMALL = "small"
    MEDIUM = "medium"
    LARGE = "large"
    HUGE = "huge"


class Pattern(StrEnum):
    """What a board is cut after: its kind, but a gun for huge waves is another board than one for large."""

    NOSERIDER = "noserider"
    LONG_BOARD = "long board"
    MID_LENGTH = "mid-length"
    FISH = "fish"
    TWIN_KEEL = "twin keel"
    SMALL_WAVE = "small-wave"
    PERFORMANCE = "performance"
    STEP_UP = "step-up"
    GUN = "gun"
    GUN_HUGE = "gun for huge waves"
    CHILD = "child"
    FOIL = "foil"


LONG = (Pattern.NOSERIDER, Pattern.LONG_BOARD)
"""Long boards."""

SHORT = (
    Pattern.FISH,
    Pattern.TWIN_KEEL,
    Pattern.SMALL_WAVE,
    Pattern.PERFORMANCE,
    Pattern.CHILD,
    Pattern.FOIL,
)
"""Boards that are fitted to the size of the waves; long boards, step-ups and guns are made for theirs."""


def pattern_of(kind: Kind, waves: Waves) -> Pattern:
    """Return the pattern of a kind in waves; `Kind.PADDLE` has none."""
    return Pattern.GUN_HUGE if kind is Kind.GUN and waves is Waves.HUGE else Pattern(str(kind))


_WORDS = {
    Kind.SMALL_WAVE: "small-wave board",
    Kind.PERFORMANCE: "performance board",
    Kind.CHILD: "child's board",
    Kind.FOIL: "foil board",
    Kind.PADDLE: "paddle board",
}


def board_word(kind: Kind) -> str:
    """Return a kind as the noun it is in a sentence."""
    return _WORDS.get(kind, str(kind))
