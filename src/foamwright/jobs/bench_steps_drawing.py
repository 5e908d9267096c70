"""Parts of the bench's pictures: strokes and figures in one view box, a tape under them, paths."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import floor

from foamwright.units import INCH, System, format_length

WIDTH = 1000.0
"""Every picture is so wide; its height follows."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """A path with the class that says what it is; `place` names the station it marks."""

    kind: str
    path: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Label:
    """A figure at a place of the picture."""

    kind: str
    x: float
    y: float
    text: str
    place: str = ""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture: its height (it is `WIDTH` wide), what is in it, and how much heights are exaggerated."""

    height: float
    strokes: tuple[Stroke, ...]
    labels: tuple[Label, ...]
    times: int = 1


@dataclass(frozen=True, slots=True)
class Tape:
    """A tape's marks: step and named step, metres, and how a named one is written."""

    step: float
    named: float
    say: Callable[[float], str]


def tape_of(system: System, length: float) -> Tape:
    """Return the tape to draw along a length (metres)."""
    if system is System.MM:
        named = 0.2 if length > 1.0 else 0.1
        return Tape(named / 4, named, lambda x: f"{x * 1000:.0f}")
    named = (12 if length > 1.0 else 6) * INCH
    return Tape(named / 6, named, lambda x: format_length(x, System.INCH, 1))


def rule_under(
    tape: Tape, length: float, at: Callable[[float], float], y: float
) -> tuple[list[Stroke], list[Label]]:
    """Return a tape under a picture, from its zero at `at(0)`, and its figures."""
    count = floor(length / tape.step + 1e-9)
    every = round(tape.named / tape.step)
    ticks = [f"M{at(n * tape.step):.1f} {y:.1f}v{12 if n % every == 0 else 6}" for n in range(count + 1)]
    rule = Stroke("rule", f"M{at(0.0):.1f} {y:.1f}L{at(length):.1f} {y:.1f}" + "".join(ticks))
    named = range(0, count + 1, every)
    return [rule], [Label("rule", at(n * tape.step), y + 30, tape.say(n * tape.step)) for n in named]


def disc(x: float, y: float, radius: float = 16.0) -> str:
    """Return the path around a disc."""
    half = f"a{radius} {radius} 0 1 1"
    return f"M{x - radius:.1f} {y:.1f}{half} {2 * radius} 0{half} {-2 * radius} 0Z"


def opened(points: Iterable[Sequence[float]]) -> str:
    """Return the path through points."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def closed(points: Iterable[Sequence[float]]) -> str:
    """Return the path around points."""
    return opened(points) + "Z"
