"""One line of text set in type: glyph runs where they stand, with real fractions and real primes.

``2 3/4`` is set as a whole number and a stacked fraction with its bar, ``6'2"`` with prime marks. All
writers print the same setting, so a line is as wide in every format as it was when the page was planned.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from foamwright.papers.fonts import covered_runs, em_for, plain_width
from foamwright.papers.style import Face

_FRACTION = re.compile(r"(?<![\d/.])(\d{1,2})/(2|4|8|16|32|64|128)(?![\d/])")
_PRIME = re.compile(r"(?<=\d)(['\"])")

# Shares of the capital height; the fraction's figures stay above 2/3 so that they read at arm's length.
FRACTION_FIGURES = 0.68
FRACTION_GAP = 0.17
FRACTION_BAR = 0.09
_SIDE_BEARING = 0.10
FRACTION_TOP = 0.5 + FRACTION_GAP + FRACTION_FIGURES
FRACTION_BOTTOM = 1.0 - FRACTION_TOP


@dataclass(frozen=True, slots=True)
class GlyphRun:
    """Letters of one face at one size; `x`, `y` is the left end of their baseline, mm from the line's."""

    words: str
    face: Face
    em: float
    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class FractionBar:
    """The bar of a fraction: from `x` to `x` + `width` at height `y` above the baseline, mm."""

    x: float
    y: float
    width: float
    thickness: float


@dataclass(frozen=True, slots=True)
class SetLine:
    """A line of text as set, in millimetres from the left end of its baseline.

    Attributes
    ----------
    width
        Advance of the whole line.
    runs
        Glyphs in reading order.
    bars
        Fraction bars.
    """

    width: float
    runs: tuple[GlyphRun, ...]
    bars: tuple[FractionBar, ...]

    @property
    def has_fraction(self) -> bool:
        """Whether the line holds a stacked fraction."""
        return bool(self.bars)


@lru_cache(maxsize=4096)
def set_line(words: str, face: Face, height: float) -> SetLine:
    """Set one line of text.

    Parameters
    ----------
    words
        The text; lengths as people write them.
    face
        Face to print in; characters it lacks come from a shipped face that has them.
    height
        Capital height, millimetres.

    Returns
    -------
    SetLine
        Runs and bars, left to right from x = 0.
    """
    line = _Line(face, height)
    for part in _split(words):
        if isinstance(part, tuple):
            line.fraction(*part)
        else:
            line.plain(part)
    return SetLine(line.x, tuple(line.runs), tuple(line.bars))


def line_width(words: str, face: Face, height: float) -> float:
    """Return the width of `words` as set, millimetres."""
    return set_line(words, face, height).width


def _split(words: str) -> list[str | tuple[str, str]]:
    """Split at fractions; the space before a fraction that follows a whole number becomes its bearing."""
    primed = _PRIME.sub(lambda match: "′" if match[1] == "'" else "″", words)
    parts: list[str | tuple[str, str]] = []
    end = 0
    for match in _FRACTION.finditer(primed):
        before = primed[end : match.start()]
        whole = re.search(r"\d[ -]$", before)
        parts += [before[:-1] if whole else before, (match[1], match[2])]
        end = match.end()
    return [part for part in (*parts, primed[end:]) if part]


class _Line:
    """A line being set, left to right."""

    def __init__(self, face: Face, height: float) -> None:
        self.face, self.height = face, height
        self.x = 0.0
        self.runs: list[GlyphRun] = []
        self.bars: list[FractionBar] = []

    def plain(self, words: str) -> None:
        self._put(words, self.height, 0.0)

    def fraction(self, numerator: str, denominator: str) -> None:
        height, figures = self.height, FRACTION_FIGURES * self.height
        widths = [plain_width(figure, self.face, figures) for figure in (numerator, denominator)]
        width = max(widths)
        left = self.x + _SIDE_BEARING * height * (2.0 if self.runs else 0.5)
        for figure, own, y in zip(
            (numerator, denominator),
            widths,
            ((0.5 + FRACTION_GAP) * height, FRACTION_BOTTOM * height),
            strict=True,
        ):
            self.x = left + (width - own) / 2
            self._put(figure, figures, y)
        self.bars.append(FractionBar(left, 0.5 * height, width, FRACTION_BAR * height))
        self.x = left + width + _SIDE_BEARING * height

    def _put(self, words: str, height: float, y: float) -> None:
        for letters, face in covered_runs(words, self.face):
            # Faces differ in their share of capitals; every run gets the same capital height.
            width = plain_width(letters, face, height)
            self.runs.append(GlyphRun(letters, face, em_for(height, face), self.x, y, width))
            self.x += width
