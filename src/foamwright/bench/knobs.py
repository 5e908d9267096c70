"""The numbers of a board that a rescue may change, each with what a change of it costs the shaper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace

from foamwright.bay.bay import Weights
from foamwright.board.contours.kinds import KINDS
from foamwright.board.numbers import BoardNumbers
from foamwright.stations import Mark


@dataclass(frozen=True, slots=True)
class Knob:
    """One number of a board.

    Attributes
    ----------
    table
        Field of the board's numbers.
    index
        Which mark of it; ``None`` where the field is the number itself.
    name
        As a person says it.
    value
        As it is, metres.
    weight
        Change that costs one, metres.
    """

    table: str
    index: int | None
    name: str
    value: float
    weight: float


def knobs_of(numbers: BoardNumbers, weights: Weights) -> tuple[Knob, ...]:
    """Return the numbers that may change: rocker, thickness and width where given, and depths of concaves.

    Heights given as 0 stay: they say where the bottom touches its level line.
    """
    found = [
        *_marks("rocker", numbers.rocker, weights.rocker),
        *_marks("thickness", numbers.thickness, weights.thickness),
        Knob("thickest", None, "thickest", numbers.thickest, weights.thickness),
        *_marks("outline", numbers.outline, weights.width),
        Knob("wide", None, "wide", numbers.wide, weights.width),
    ]
    for index, term in enumerate(numbers.bottom):
        if not KINDS[term.shape].rises:
            name = f"{term.shape} {term.stretch.places[1]}".strip()
            found.append(Knob("bottom", index, name, term.numbers["depth"], weights.concave))
    return tuple(found)


def _marks(table: str, marks: Sequence[Mark], weight: float) -> list[Knob]:
    word = "width" if table == "outline" else table
    return [
        Knob(table, k, f"{word} {m.place}", m.value, weight) for k, m in enumerate(marks) if m.value > 0.0
    ]


def turned_by(numbers: BoardNumbers, knobs: Sequence[Knob], changes: Sequence[float]) -> BoardNumbers:
    """Return the numbers with each knob at its own value plus a change, metres."""
    values = {one.name: getattr(numbers, one.name) for one in fields(numbers)}
    for knob, change in zip(knobs, changes, strict=True):
        if knob.index is None:
            values[knob.table] = knob.value + float(change)
            continue
        marks = list(values[knob.table])
        one, value = marks[knob.index], knob.value + float(change)
        numbers_of = {**one.numbers, "depth": value} if knob.table == "bottom" else {}
        marks[knob.index] = replace(one, numbers=numbers_of) if numbers_of else replace(one, value=value)
        values[knob.table] = tuple(marks)
    return BoardNumbers(**values)
