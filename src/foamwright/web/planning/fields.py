"""The board's numbers as a form: a row for every station, a column for every curve, single numbers above.

A field's name is the key's way in the sheet, joined by strokes: ``outline/12 from nose``.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from foamwright.board.board import Board
from foamwright.board.tail_forms import FIELDS as TAIL_NUMBERS
from foamwright.errors import Problem
from foamwright.findings import Finding
from foamwright.sheets.fields import UNITS
from foamwright.units import System, Unit, parse_length
from foamwright.web.planning.places import (
    FIELD_OF_CODE,
    NEAR,
    Stations,
    column_of,
    field_of,
    in_their_unit,
    with_unit,
    x_of,
)
from foamwright.web.planning.sheet_text import shown, value_at
from foamwright.web.rendering import Reader

CURVES = ("outline", "rocker", "thickness")
"""Tables with one length at each station."""

INNER = {"rails": ("apex", "tuck", "edge"), "deck": ("crown", "roll")}
"""Tables with a few values at each station."""

OWN_KEYS = frozenset(
    {
        "wide",
        "wide_at",
        "tail_form",
        *TAIL_NUMBERS,
        "wing",
        "tail_tip",
        "nose_beak",
        "low_at",
        "thickest",
        "thickest_at",
        "step",
        "rail_step",
    }
)
"""Keys of these tables that are no stations."""

SINGLES = (
    "name",
    "length",
    "outline/wide",
    "outline/wide_at",
    "thickness/thickest",
    "thickness/thickest_at",
    "rocker/low_at",
    "outline/tail_form",
    "outline/tail_corner",
    "outline/tail_depth",
)
"""Fields above the table of stations."""

LENGTHS = frozenset(
    {"length", "outline/wide", "thickness/thickest", "outline/tail_corner", "outline/tail_depth"}
)
"""Single fields that hold a length."""

USUAL = {
    System.INCH: ("tail", "12 in from tail", "centre", "12 in from nose", "nose"),
    System.MM: ("tail", "300 mm from tail", "centre", "300 mm from nose", "nose"),
}
"""Stations that a row is offered for, whether the sheet has them or not, by how its lengths are written."""


@dataclass(frozen=True, slots=True)
class Cell:
    """One field.

    Attributes
    ----------
    name
        Its name in the form.
    text
        What stands in it: as typed, else as in the sheet.
    fair
        What the fair curve has there, where the sheet says nothing.
    problems, findings
        What is wrong with it, and what there is to say.
    """

    name: str
    text: str
    fair: str = ""
    problems: tuple[Problem, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """A station: its name in the sheet, its label, metres from the tail, and its fields by their names."""

    place: str
    label: str
    x: float
    cells: Mapping[str, Cell]

    @property
    def told(self) -> list[Cell]:
        """The fields that have something to say."""
        return [cell for cell in self.cells.values() if cell.problems or cell.findings]


@dataclass(frozen=True, slots=True)
class BoardForm:
    """The form: single fields by name, rows from tail to nose, and what belongs to no field."""

    singles: Mapping[str, Cell]
    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]
    findings: tuple[Finding, ...]

    def cells(self) -> list[Cell]:
        """Return every field."""
        return [*self.singles.values(), *(cell for row in self.rows for cell in row.cells.values())]


@dataclass(frozen=True)
class FormSource:
    """What a form is made from.

    Attributes
    ----------
    sheet
        The text that the form began from; sound TOML.
    reader
        How the visitor reads.
    typed
        What was typed, by field name; empty for a form not touched yet.
    board
        The board, where the numbers can stand.
    problems, findings
        What is wrong, and what there is to say.
    """

    sheet: str
    reader: Reader
    typed: Mapping[str, str] = field(default_factory=dict)
    board: Board | None = None
    problems: Sequence[Problem] = ()
    findings: Sequence[Finding] = ()

    @property
    def tree(self) -> dict[str, Any]:
        """The sheet's tables."""
        return tomllib.loads(self.sheet)


def unit_of(tree: Mapping[str, Any]) -> Unit | None:
    """Return the unit of a sheet's bare numbers."""
    said = tree.get("units")
    return UNITS.get(said.strip().casefold()) if isinstance(said, str) else None


def is_length(name: str) -> bool:
    """Return whether a field holds a length."""
    table, _, key = name.partition("/")
    at_station = table in CURVES and key not in OWN_KEYS and "/" not in key and key != ""
    return name in LENGTHS or at_station or name.endswith("/depth")


def changes_of(sheet: str, typed: Mapping[str, str], reader: Reader) -> dict[tuple[str, ...], str]:
    """Return what was typed that differs from the sheet, by key; bare lengths in the visitor's unit."""
    tree = tomllib.loads(sheet)
    unit = unit_of(tree)
    changes = {}
    for name, text in typed.items():
        path = tuple(name.split("/"))
        if text.strip() != _sheet_text(tree, path, reader, unit).strip():
            changes[path] = with_unit(text, reader, unit) if is_length(name) else text
    return changes


def board_form(source: FormSource) -> BoardForm:
    """Return the form of a board."""
    tree = source.tree
    unit = unit_of(tree)
    stations = stations_of(source)
    fields = _Fields(source, tree, unit)
    singles = {name: fields.cell(tuple(name.split("/"))) for name in SINGLES}
    rows = tuple(_row(fields, stations, place) for place in _places(tree, source.typed, stations))
    return _with_told(source, singles, rows, stations.length)


def stations_of(source: FormSource) -> Stations:
    """Return the stations of a form's board."""
    unit = unit_of(source.tree)
    length = source.board.length if source.board else parse_length(source.tree["length"], unit)
    return Stations(length, unit, source.reader)


def _sheet_text(tree: Mapping[str, Any], path: tuple[str, ...], reader: Reader, unit: Unit | None) -> str:
    value = value_at(tree, path)
    if value is None or isinstance(value, dict):
        return ""
    return in_their_unit(value, reader, unit) if is_length("/".join(path)) else shown(value)


@dataclass(frozen=True)
class _Fields:
    source: FormSource
    tree: Mapping[str, Any]
    unit: Unit | None

    def cell(self, path: tuple[str, ...], fair: str = "") -> Cell:
        name = "/".join(path)
        text = self.source.typed.get(name)
        if text is None:
            text = _sheet_text(self.tree, path, self.source.reader, self.unit)
        return Cell(name, text, "" if text.strip() else fair)


def _places(tree: Mapping[str, Any], typed: Mapping[str, str], stations: Stations) -> list[str]:
    """Names of the rows from tail to nose; of two that are one place, the sheet's own."""
    named: dict[str, None] = {}
    for table in (*CURVES, *INNER):
        named.update(dict.fromkeys(key for key in tree.get(table, {}) if key not in OWN_KEYS))
    named.update(dict.fromkeys(name.split("/")[1] for name in typed if name.count("/") and _is_station(name)))
    placed: list[tuple[float, str]] = []
    for place in (*named, *_usual(stations.unit)):
        x = stations.x(place)
        if x is not None and not any(abs(x - other) < NEAR for other, _ in placed):
            placed.append((x, place))
    return [place for _, place in sorted(placed)]


def _usual(unit: Unit | None) -> tuple[str, ...]:
    return USUAL[System.INCH if unit in (None, Unit.INCH, Unit.FOOT) else System.MM]


def _is_station(name: str) -> bool:
    table, key = name.split("/")[:2]
    return table in (*CURVES, *INNER) and key not in OWN_KEYS


def _row(fields: _Fields, stations: Stations, place: str) -> Row:
    x = stations.x(place)
    assert x is not None
    cells = {}
    for table in CURVES:
        name = _own_name(fields.tree, table, place, stations)
        cells[table] = fields.cell((table, name), _fair(fields.source, table, x))
    for table, keys in INNER.items():
        name = _own_name(fields.tree, table, place, stations)
        for key in keys:
            cells[f"{table}/{key}"] = fields.cell((table, name, key))
    return Row(place, stations.label(place), x, cells)


def _own_name(tree: Mapping[str, Any], table: str, place: str, stations: Stations) -> str:
    """What a table of the sheet calls a station: another table may call it otherwise."""
    x = stations.x(place)
    for key in tree.get(table, {}):
        if key in OWN_KEYS:
            continue
        other = stations.x(key)
        if x is not None and other is not None and abs(other - x) < NEAR:
            return str(key)
    return place


def _fair(source: FormSource, table: str, x: float) -> str:
    board = source.board
    if board is None:
        return ""
    curves = {"outline": board.half_width, "rocker": board.rocker, "thickness": board.thickness}
    factor = 2.0 if table == "outline" else 1.0
    return in_their_unit(f"{factor * float(curves[table](x)):.9f} m", source.reader, None)


def _with_told(
    source: FormSource, singles: Mapping[str, Cell], rows: tuple[Row, ...], length: float
) -> BoardForm:
    """The form with every problem and finding beside the field that causes it."""
    names = {cell.name for cell in singles.values()} | {c.name for row in rows for c in row.cells.values()}
    problems: dict[str, list[Problem]] = {}
    for problem in source.problems:
        problems.setdefault(_nearest_name(field_of(problem), names), []).append(problem)
    findings: dict[str, list[Finding]] = {}
    for finding in source.findings:
        findings.setdefault(_name_of(finding, rows, length), []).append(finding)

    def told(cell: Cell) -> Cell:
        mine = tuple(problems.get(cell.name, ())), tuple(findings.get(cell.name, ()))
        return Cell(cell.name, cell.text, cell.fair, *mine) if any(mine) else cell

    return BoardForm(
        {name: told(cell) for name, cell in singles.items()},
        tuple(Row(r.place, r.label, r.x, {k: told(c) for k, c in r.cells.items()}) for r in rows),
        tuple(problems.get("", ())),
        tuple(findings.get("", ())),
    )


def _nearest_name(name: str, names: set[str]) -> str:
    """The field itself, or the first of the station it belongs to."""
    if name in names:
        return name
    return next((one for one in sorted(names) if name and one.startswith(name + "/")), "")


def _name_of(finding: Finding, rows: tuple[Row, ...], length: float) -> str:
    column, x = column_of(finding), x_of(finding, length)
    if column and x is not None and rows:
        row = min(rows, key=lambda one: abs(one.x - x))
        key = column if column in CURVES else f"{column}/{INNER[column][0]}"
        return row.cells[key].name
    return FIELD_OF_CODE.get(finding.code, "")
