"""The fonts shipped with foamwright: where they are, what they cover and how wide they run."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from foamwright.papers.style import Face

MISSING = "?"
"""Printed for a character that no shipped face has: seen, so asked about, rather than silently gone."""

_FALLBACKS = (Face.LABEL, Face.FIGURES)


@dataclass(frozen=True, slots=True)
class Metrics:
    """Widths of one face in ems by code point, and its capital height in ems."""

    widths: dict[int, float]
    capital: float


def font_bytes(face: Face) -> bytes:
    """Return the TrueType file of `face`."""
    return files("foamwright.papers").joinpath("fonts", f"{face.value.file}.ttf").read_bytes()


@cache
def metrics(face: Face) -> Metrics:
    """Return the metrics of `face`, read once from its file."""
    from io import BytesIO

    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    font = TTFont(BytesIO(font_bytes(face)), lazy=True)
    em = font["head"].unitsPerEm
    advances = font["hmtx"].metrics
    widths = {code: advances[name][0] / em for code, name in font.getBestCmap().items()}
    # The height of an H, not the header's rounded word for it: the faces must match side by side.
    capital = font["glyf"][font.getBestCmap()[ord("H")]].yMax / em
    return Metrics(widths, capital)


def em_for(height: float, face: Face) -> float:
    """Return the em size at which capitals of `face` are `height` tall (same unit)."""
    return height / metrics(face).capital


def plain_width(words: str, face: Face, height: float) -> float:
    """Return the width of `words` set plainly in `face`, capitals `height` mm tall; it has every glyph."""
    widths = metrics(face).widths
    return em_for(height, face) * sum(widths[ord(letter)] for letter in words)


@cache
def face_for(letter: str, face: Face) -> Face | None:
    """Return the first face that has `letter`: `face`, else a face of wider coverage, else None."""
    return next((f for f in (face, *_FALLBACKS) if ord(letter) in metrics(f).widths), None)


def covered_runs(words: str, face: Face) -> tuple[tuple[str, Face], ...]:
    """Split `words` into runs that one face can print each; what no face has becomes ``MISSING``."""
    runs: list[tuple[str, Face]] = []
    for letter in words:
        found = face_for(letter, face)
        shown, used = (letter, found) if found else (MISSING, face)
        if runs and runs[-1][1] is used:
            runs[-1] = (runs[-1][0] + shown, used)
        else:
            runs.append((shown, used))
    return tuple(runs)


def unprintable(words: str) -> str:
    """Return the letters of `words` that no shipped face has, each once, in their order."""
    if words.isascii():
        return ""
    return "".join(dict.fromkeys(letter for letter in words if face_for(letter, Face.TEXT) is None))
