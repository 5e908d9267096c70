"""Short lessons, one a stage: the papers' own words in English, and a file of them in each other language."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from foamwright.cautions import cautions_for
from foamwright.papers.job_howto import HOW, Step
from foamwright.web.catalogue import ENGLISH

PARTS = ("why", "hold", "do", "wrong")
"""Pieces of a lesson, in the order they are told."""


@dataclass(frozen=True, slots=True)
class Lesson:
    """What a beginner is told at one stage: its purpose, four pieces of text by name, what can hurt."""

    purpose: str
    parts: tuple[tuple[str, str], ...]
    cautions: tuple[str, ...]


def step_of(stage: str) -> Step:
    """Return the papers' step that a stage belongs to."""
    return Step.FINISH if stage == "finished" else Step(stage)


@cache
def lesson_of(stage: str, language: str, polyurethane: bool) -> Lesson:
    """Return the lesson of a stage.

    Parameters
    ----------
    stage
        Name of the stage.
    language
        Code of a language the app speaks.
    polyurethane
        Whether the foam is polyurethane: it has a caution of its own.
    """
    step = step_of(stage)
    how, said = HOW[step], _translated(language)
    cautions = cautions_for(step.value, polyurethane=polyurethane)

    def told(part: str) -> str:
        return said[f"{step.value}.{part}"] if said else str(getattr(how, part))

    return Lesson(
        told("purpose"),
        tuple((part, told(part)) for part in PARTS),
        tuple(said[f"caution.{one.code}"] if said else one.sentence for one in cautions),
    )


@cache
def _translated(language: str) -> dict[str, str]:
    """The lessons in another language, by dotted key; nothing for English, which the papers hold."""
    if language == ENGLISH:
        return {}
    text = resources.files("foamwright.web.bench").joinpath(f"lessons.{language}.toml").read_text("utf-8")
    return {
        f"{step}.{part}": words
        for step, parts in tomllib.loads(text).items()
        for part, words in parts.items()
    }
