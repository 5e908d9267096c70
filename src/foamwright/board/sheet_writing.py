"""Writing a board sheet that reads back to the same numbers."""

from __future__ import annotations

from collections.abc import Iterable

from foamwright.board.contours.terms import RAIL_TO_RAIL, Term
from foamwright.board.numbers import (
    Beak,
    BoardNumbers,
    DeckMark,
    Edge,
    FinMark,
    RailMark,
    Tail,
    TailKind,
    Wing,
)
from foamwright.board.tail_forms import FIELDS, FORMS
from foamwright.board.tail_words import Corners
from foamwright.shape.conic import PARABOLA
from foamwright.sheets.writing import (
    angle_value,
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

IMAGINED = ("tail_tip", "nose_beak")
"""Marks of the thickness that stand for other keys of the sheet."""


def board_sheet(board: BoardNumbers, unit: Unit) -> str:
    """Return a board sheet in TOML that reads back to the same numbers, bit for bit.

    Stations keep the names they were given, unless those mean another place in `unit`.
    """
    return "\n".join(
        [
            lines(
                key("name", text_value(board.name)),
                key("units", text_value(unit)),
                key("length", feet_value(board.length, unit)),
            ),
            _outline(board, unit),
            _rocker(board, unit),
            _thickness(board, unit),
            lines("[rails]", *(_rail(board, mark, unit) for mark in board.rails)),
            *_deck(board, unit),
            *(_contour(board, term, unit) for term in board.bottom),
            *(_fin(board, fin, unit) for fin in board.fins),
        ]
    )


def _marks(board: BoardNumbers, marks: Iterable[Mark], unit: Unit) -> list[str]:
    return [
        f"{station_key(mark.x, mark.place, board.length, unit)} = {length_value(mark.value, unit)}"
        for mark in marks
    ]


def _station(board: BoardNumbers, x: float | None, unit: Unit) -> str | None:
    return None if x is None else text_value(station_text(x, "", board.length, unit))


def _outline(board: BoardNumbers, unit: Unit) -> str:
    tail = board.tail
    return lines(
        "[outline]",
        *_marks(board, board.outline, unit),
        key("wide", length_value(board.wide, unit)),
        key("wide_at", _station(board, board.wide_at, unit)),
        key("tail_form", text_value(_form(tail))),
        *(key(name, length_value(getattr(tail, FIELDS[name]), unit)) for name in FORMS.get(tail.kind, {})),
    ) + "".join(_wing(board, wing, unit) for wing in board.wings)


def _form(tail: Tail) -> str:
    """A squash whose corners are sharp says so, since no number of its own may."""
    sharp = tail.kind is TailKind.SQUASH and tail.corner_radius == 0.0
    return f"{tail.kind}, {Corners.SHARP}" if sharp else str(tail.kind)


def _wing(board: BoardNumbers, wing: Wing, unit: Unit) -> str:
    return lines(
        "",
        "[[outline.wing]]",
        key("at", text_value(station_text(wing.x, wing.place, board.length, unit))),
        key("step", length_value(wing.step, unit)),
        key("length", length_value(wing.length, unit)),
        key("flare", length_value(wing.flare, unit)),
        key("fade_forward", length_value(wing.fade_forward, unit)),
    )


def _rocker(board: BoardNumbers, unit: Unit) -> str:
    return lines(
        "[rocker]", *_marks(board, board.rocker, unit), key("low_at", _station(board, board.low_at, unit))
    )


def _thickness(board: BoardNumbers, unit: Unit) -> str:
    return lines(
        "[thickness]",
        *_marks(board, (m for m in board.thickness if m.place not in IMAGINED), unit),
        None if board.tail_tip is None else key("tail_tip", length_value(board.tail_tip, unit)),
        None if board.beak is None else _beak(board, board.beak, unit),
        key("thickest", length_value(board.thickest, unit)),
        key("thickest_at", _station(board, board.thickest_at, unit)),
    )


def _beak(board: BoardNumbers, beak: Beak, unit: Unit) -> str:
    begins = next(mark for mark in board.thickness if mark.place == "nose_beak")
    numbers = {
        "length": length_value(beak.length, unit),
        "tip": length_value(beak.tip, unit),
        "thickness": length_value(begins.value, unit),
        "n": number_value(beak.power),
    }
    return f"nose_beak = {{ {', '.join(f'{name} = {value}' for name, value in numbers.items())} }}"


def _rail(board: BoardNumbers, mark: RailMark, unit: Unit) -> str:
    parts = [
        key("apex", apex_value(mark.apex)),
        key("tuck", length_value(mark.tuck, unit)),
        None if mark.edge is Edge.SOFT else key("edge", text_value(mark.edge)),
        None if mark.angle is None else key("angle", angle_value(mark.angle)),
        None if mark.fullness == PARABOLA else key("fullness", number_value(mark.fullness)),
        None if mark.radius is None else key("radius", length_value(mark.radius, unit)),
    ]
    return f"{station_key(mark.x, mark.place, board.length, unit)} = {_inline(parts)}"


def apex_value(share: float) -> str:
    """Return an apex as a shaper says it where that reads back to the same share: ``"60/40"``."""
    below = round(share * 100.0)
    plain = below / 100.0 == share and below >= 10
    return text_value(f"{100 - below}/{below}") if plain else number_value(share)


def _inline(parts: list[str | None]) -> str:
    return f"{{ {', '.join(part for part in parts if part is not None)} }}"


def _deck(board: BoardNumbers, unit: Unit) -> list[str]:
    step, rail_step = board.deck_step, board.rail_step
    tables = []
    if board.deck:
        tables.append(lines("[deck]", *(_deck_at(board, mark, unit) for mark in board.deck)))
    if step is not None:
        tables.append(
            lines(
                "[deck.step]",
                key("at", text_value(station_text(step.x, step.place, board.length, unit))),
                key("step", length_value(step.step, unit)),
                key("blend", length_value(step.blend, unit)),
                key("margin", length_value(step.margin, unit)),
            )
        )
    if rail_step is not None:
        tables.append(
            lines(
                "[deck.rail_step]",
                key("step", length_value(rail_step.step, unit)),
                key("margin", length_value(rail_step.margin, unit)),
                key("blend", length_value(rail_step.blend, unit)),
            )
        )
    return tables


def _deck_at(board: BoardNumbers, mark: DeckMark, unit: Unit) -> str:
    parts = [
        key("crown", length_value(mark.crown, unit)),
        key("roll", length_value(mark.roll, unit)),
        None if mark.fullness == PARABOLA else key("fullness", number_value(mark.fullness)),
    ]
    return f"{station_key(mark.x, mark.place, board.length, unit)} = {_inline(parts)}"


PLAIN_NUMBERS = frozenset({"count", "angle"})
"""Numbers of contours that are no lengths."""


def _contour(board: BoardNumbers, term: Term, unit: Unit) -> str:
    numbers = [
        key(
            name,
            number_value(value)
            if name in PLAIN_NUMBERS
            else text_value("rail to rail")
            if value == RAIL_TO_RAIL
            else length_value(value, unit),
        )
        for name, value in term.numbers.items()
    ]
    stretch = term.stretch
    begin, fore, aft, end = (
        text_value(station_text(x, place, board.length, unit))
        for x, place in zip(stretch.marks, stretch.places, strict=True)
    )
    return lines(
        "[[bottom.contour]]",
        key("shape", text_value(term.shape)),
        *numbers,
        *(key(name, text_value(value)) for name, value in term.words.items()),
        key("from", begin),
        key("full", f"[{fore}, {aft}]"),
        key("to", end),
    )


def _fin(board: BoardNumbers, fin: FinMark, unit: Unit) -> str:
    return lines(
        "[[fins.box]]",
        key("name", text_value(fin.name)),
        key("at", _station(board, fin.x, unit)),
        key("offset", length_value(abs(fin.y), unit)),
        key("side", '"left"' if fin.y > 0 else '"right"') if fin.y else None,
        key("toe", angle_value(fin.toe)),
        key("cant", angle_value(fin.cant)),
        key("length", length_value(fin.box_length, unit)),
        key("width", length_value(fin.box_width, unit)),
        key("depth", length_value(fin.box_depth, unit)),
        key("cover", length_value(fin.cover, unit)),
    )
