"""Readings taken by hand, asked for one by one: question after question, answers as people write them.

The answers become the form of `readings_csv`, so that a dialogue and a filled form make the same sheet.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from pydantic_core import PydanticCustomError

from foamwright.board.tail_forms import FORMS
from foamwright.board.tail_words import POINTED, read_tail_form
from foamwright.errors import InputError, Problem
from foamwright.exchange.scan_numbers import unit_of
from foamwright.exchange.tail_lines import DEPTH, FORM, WIDTH
from foamwright.jobs.measure import MeasureJob, MeasureOrder, readings_job, require_length
from foamwright.stages.marks import rack_stations
from foamwright.units import System, Unit, parse_length

BACK = "back"
"""The answer that goes back one question."""

READINGS = ("width", "thickness", "rocker")
SHOWN = {
    "width": "full width",
    "thickness": "thickness at the stringer",
    "rocker": "gap to the straight edge",
}


class Need(Enum):
    """Whether a question can be left open."""

    NEEDED = "needed"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Question:
    """One question: its key, its words, whether it can be left open."""

    key: str
    words: str
    need: Need = Need.NEEDED


Answers = dict[str, str]


def questions(answers: Answers, system: System) -> list[Question]:
    """Return every question that the answers so far lead to, in the order of asking."""
    asked = [Question("name", "Name of the board", Need.OPEN), Question("length", "Length, tip to tip")]
    if "length" not in answers:
        return asked
    length = parse_length(answers["length"], unit_of(system))
    for station in rack_stations(length, system):
        tip = station.x in (0.0, length)
        need = Need.NEEDED if tip or station.name == "centre" else Need.OPEN
        asked += [
            Question(f"{station.name}/{what}", f"{station.name}: {SHOWN[what]}", need) for what in READINGS
        ]
    asked += [
        Question("wide/x", "Where it is widest, from the tail", Need.OPEN),
        Question("low point/x", "Where the straight edge touches, from the tail", Need.OPEN),
        Question(FORM, "Form of the tail: pin, round, squash, swallow, …", Need.OPEN),
    ]
    kind = read_tail_form(answers[FORM]).kind if answers.get(FORM) else None
    if kind is not None and kind not in POINTED:
        asked.append(Question(WIDTH, "Width of the tail's block or between its tips"))
    if kind is not None and DEPTH in FORMS.get(kind, {}):
        asked.append(Question(DEPTH, "Depth of the notch, or of the point"))
    return asked


def checked(question: Question, words: str, system: System) -> str:
    """Return an answer that can be read.

    Raises
    ------
    InputError
        It cannot; says what would be right.
    """
    told = " ".join(words.split())
    if not told:
        if question.need is Need.NEEDED:
            raise InputError(Problem(question.words, "is needed.", f"Measure it, or say {BACK}."))
        return ""
    if question.key == "name":
        return told
    if question.key == FORM:
        _check_form(question, told)
        return told
    metres = parse_length(told, unit_of(system), question.words)
    if question.key == "length":
        require_length(metres, question.words)
    return told


def _check_form(question: Question, words: str) -> None:
    try:
        read_tail_form(words)
    except PydanticCustomError as why:
        context = why.context or {}
        raise InputError(
            Problem(question.words, str(context.get("what")), str(context.get("remedy")))
        ) from None


def asked_by_hand(ask: Callable[[str], str], tell: Callable[[str], None], system: System) -> Answers:
    """Ask until every question is answered; ``back`` goes back one.

    Parameters
    ----------
    ask
        Shows a question and returns the answer; what it raises ends the dialogue.
    tell
        Shows a line.
    system
        What a bare number means.
    """
    answers: Answers = {}
    while True:
        asked = questions(answers, system)
        place = next((i for i, question in enumerate(asked) if question.key not in answers), None)
        if place is None:
            return answers
        question = asked[place]
        words = ask(f"{question.words}{' (empty: not measured)' if question.need is Need.OPEN else ''}: ")
        if words.strip().casefold() == BACK:
            if place:
                del answers[asked[place - 1].key]
            continue
        try:
            answers[question.key] = checked(question, words, system)
        except InputError as wrong:
            for problem in wrong.problems:
                tell(str(problem))


def form_of(answers: Answers, system: System) -> str:
    """Return the answers as a filled form."""
    unit = unit_of(system)
    lines = [f"station,x_{unit},width_{unit},rocker_{unit},thickness_{unit}"]
    length = parse_length(answers["length"], unit)
    for station in rack_stations(length, system):
        cells = [answers.get(f"{station.name}/{what}", "") for what in ("width", "rocker", "thickness")]
        x = answers["length"] if station.x == length else str(station.x / float(unit.exact))
        lines.append(",".join([station.name, *map(_cell, (x, *cells))]))
    wide = answers.get("wide/x", "")
    lines += [f"wide,{_cell(wide)},,,", f"low point,{_cell(answers.get('low point/x', ''))},,,"]
    lines += [
        f"# {key} = {_with_unit(answers[key], key, unit)}" for key in (FORM, WIDTH, DEPTH) if answers.get(key)
    ]
    return "\n".join(lines) + "\n"


def _cell(words: str) -> str:
    return '"' + words.replace('"', '""') + '"' if '"' in words else words


def _with_unit(words: str, key: str, unit: Unit) -> str:
    """A length with its unit, as the lines of a tail want it."""
    if key == FORM or re.search(r"[a-z\"'″′”’]", words, re.IGNORECASE):
        return words
    return f"{words} {unit}"


def by_hand_job(answers: Answers, order: MeasureOrder) -> MeasureJob:
    """Return the board that the answers describe.

    Raises
    ------
    InputError
        No fair board comes near them.
    """
    name = order.name or answers.get("name") or "by hand"
    return readings_job(form_of(answers, order.system), name, order)
