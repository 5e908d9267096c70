"""Writing a board sheet that reads back to the same numbers."""

from __future__ import annotations

from collections.abc import Iterable

from foamwright.board.numbers import BoardNumbers, BottomMark, BottomShape, FinMark, RailMark
from foamwright.board.tail_words import CORNERED, NOTCHED
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
            lines("[bottom]", *(_contour(board, mark, unit) for mark in board.bottom)),
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
        key("tail_form", text_value(tail.kind)),
        key("tail_corner", length_value(tail.corner_radius, unit)) if tail.kind in CORNERED else None,
        key("tail_depth", length_value(tail.depth, unit)) if tail.kind in NOTCHED else None,
    )


def _rocker(board: BoardNumbers, unit: Unit) -> str:
    return lines(
        "[rocker]", *_marks(board, board.rocker, unit), key("apex", _station(board, board.apex, unit))
    )


def _thickness(board: BoardNumbers, unit: Unit) -> str:
    return lines(
        "[thickness]",
        *_marks(board, board.thickness, unit),
        key("thickest", length_value(board.thickest, unit)),
        key("thickest_at", _station(board, board.thickest_at, unit)),
    )


def _rail(board: BoardNumbers, mark: RailMark, unit: Unit) -> str:
    apex, lower, upper = (number_value(number) for number in (mark.apex, mark.lower, mark.upper))
    place = station_key(mark.x, mark.place, board.length, unit)
    return f"{place} = {{ apex = {apex}, lower = {lower}, upper = {upper} }}"


def _contour(board: BoardNumbers, mark: BottomMark, unit: Unit) -> str:
    depth = "" if mark.shape is BottomShape.FLAT else f", depth = {length_value(mark.depth, unit)}"
    place = station_key(mark.x, mark.place, board.length, unit)
    return f"{place} = {{ shape = {text_value(mark.shape)}{depth} }}"


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
