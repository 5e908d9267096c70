"""Writing a stock sheet that reads back to the same blanks."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from foamwright.blank.foam_words import write_foam
from foamwright.blank.numbers import BlankNumbers, Section, Stringer
from foamwright.sheets.writing import (
    feet_value,
    key,
    length_value,
    lines,
    number_value,
    station_key,
    station_text,
    text_value,
)
from foamwright.stations import Mark
from foamwright.units import Unit


def stock_sheet(blanks: Sequence[BlankNumbers], unit: Unit) -> str:
    """Return a stock sheet in TOML that reads back to the same blanks, bit for bit.

    Raises
    ------
    ValueError
        The blanks are priced in more than one currency.
    """
    currencies = sorted({blank.currency for blank in blanks})
    if len(currencies) > 1:
        raise ValueError(f"One sheet has one currency, not {', '.join(currencies)}.")
    head = lines(key("units", text_value(unit)), *(key("currency", text_value(c)) for c in currencies))
    return "\n".join([head, *(_blank(blank, unit) for blank in blanks)])


def _blank(blank: BlankNumbers, unit: Unit) -> str:
    return lines(
        "[[blank]]",
        key("id", text_value(blank.id)),
        key("foam", text_value(write_foam(blank.foam))),
        key("section", text_value(blank.section)),
        key("length", feet_value(blank.length, unit)),
        _outline(blank, unit),
        key("rocker", _table(_lengths(blank, blank.rocker, unit))),
        key("thickness", _thickness(blank, unit)),
        key("dome", _table(_shares(blank, unit))) if blank.section is Section.DOMED else None,
        key("stringer", _stringer(blank.stringer, unit)),
        key("price", number_value(blank.price)),
        key("on_hand", str(blank.on_hand)),
        key("lead_time_days", number_value(blank.lead_time_days)),
        key("hard_face", text_value(blank.hard_face or "none")),
        key("hard_most", length_value(blank.hard_most, unit)) if blank.hard_face else None,
        key("skim", _skim(blank, unit)),
    )


def _table(parts: Iterable[str]) -> str:
    return f"{{ {', '.join(parts)} }}"


def _lengths(blank: BlankNumbers, marks: Iterable[Mark], unit: Unit) -> list[str]:
    return [
        f"{station_key(mark.x, mark.place, blank.length, unit)} = {length_value(mark.value, unit)}"
        for mark in marks
    ]


def _shares(blank: BlankNumbers, unit: Unit) -> list[str]:
    return [
        f"{station_key(mark.x, mark.place, blank.length, unit)} = {number_value(mark.value)}"
        for mark in blank.dome
    ]


def _outline(blank: BlankNumbers, unit: Unit) -> str:
    one = _one_value(blank.outline)
    if one is not None and blank.wide is None:
        return f"width = {length_value(one, unit)}"
    parts = _lengths(blank, blank.outline, unit)
    if blank.wide is not None:
        parts.append(f"wide = {length_value(blank.wide, unit)}")
    if blank.wide_at is not None:
        parts.append(f"wide_at = {text_value(station_text(blank.wide_at, '', blank.length, unit))}")
    return f"outline = {_table(parts)}"


def _thickness(blank: BlankNumbers, unit: Unit) -> str:
    one = _one_value(blank.thickness)
    return _table(_lengths(blank, blank.thickness, unit)) if one is None else length_value(one, unit)


def _one_value(marks: Sequence[Mark]) -> float | None:
    """The number that holds everywhere: given at both tips and nowhere else."""
    return marks[0].value if len(marks) == 2 and marks[0].value == marks[1].value else None


def _stringer(stringer: Stringer, unit: Unit) -> str:
    if stringer.width == 0 and stringer.wood == "none":
        return '"none"'
    return f"{{ wood = {text_value(stringer.wood)}, width = {length_value(stringer.width, unit)} }}"


def _skim(blank: BlankNumbers, unit: Unit) -> str:
    bottom, deck = length_value(blank.skim_bottom, unit), length_value(blank.skim_deck, unit)
    return f"{{ bottom = {bottom}, deck = {deck} }}"
