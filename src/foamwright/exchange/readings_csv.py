"""Readings taken by hand from an existing board: the form, and the filled form as a board's numbers.

The form is a CSV that any table program opens. Each head ends in its unit; cells may stay empty; lines that
begin with # are for people, but for those that say the tail (`tail_lines`). It is the file that
`stations_csv` writes, so a board goes out and in again.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

import numpy as np

from foamwright.board.numbers import BoardNumbers, Edge, RailMark, Tail, TailKind
from foamwright.errors import InputError, Problem
from foamwright.exchange.fairing import faired
from foamwright.exchange.tail_lines import with_tail
from foamwright.findings import Finding, Severity
from foamwright.sheets.stations import parse_station
from foamwright.stages.marks import RackStation
from foamwright.stations import Mark
from foamwright.units import INCH, Unit, parse_length, quoted, write_length

UNITS = {"in": Unit.INCH, "mm": Unit.MM, "cm": Unit.CM}
READ = ("width", "rocker", "thickness")

SPECIAL = ("wide", "thickest", "low point")
"""Rows that are no station: they say where something is greatest, or where the straight edge touches."""

GUIDE = (
    "Fill in what you can; leave a cell empty where you cannot measure. Stations run along the board.",
    "Width: rail to rail, square to the stringer. Tail: the width of its block, 0 if it ends in a point.",
    "Rocker: turn the board bottom up, lay a straight edge on the stringer so that it touches at the low",
    "point (usually the centre), and measure the gap below it, square to the edge. At the low point it is 0.",
    "Thickness: with calipers at the stringer; at the tips as far out as they hold.",
    "wide, thickest, low point: put into x where they are, from the tail; width or thickness beside it.",
)

APEX, TUCK, TAIL_APEX = 0.4, INCH / 2, 0.1
"""Of a rail that nobody measured. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class _Row:
    """One line of the form, in metres; ``None`` where a cell was left empty."""

    line: int
    station: str
    x: float | None
    width: float | None
    rocker: float | None
    thickness: float | None


def blank_form(length: float, stations: tuple[RackStation, ...], unit: Unit) -> str:
    """Return an empty form for a board of a length (metres)."""
    lines = [f"# {sentence}" for sentence in GUIDE]
    lines.append(f"station,x_{unit},width_{unit},rocker_{unit},thickness_{unit}")
    for station in stations:
        x = (
            write_length(station.x, unit)
            if station.x not in (0.0, length)
            else ("0" if station.x == 0.0 else write_length(length, unit))
        )
        lines.append(f"{station.name},{x},,,")
    lines += [f"{name},,,," for name in SPECIAL]
    return "\n".join(lines) + "\n"


def numbers_of_form(text: str, name: str) -> tuple[BoardNumbers, tuple[Finding, ...]]:
    """Return the board that a filled form describes, made fair, and what was assumed or moved.

    Parameters
    ----------
    text
        The form.
    name
        Name of the board, and of the file in messages.

    Raises
    ------
    InputError
        Every cell that cannot be read, every number that is missing, a number no fair board comes near.
    """
    problems: list[Problem] = []
    unit, rows = _rows(text, name, problems)
    numbers = None if problems else _numbers(rows, name, unit, problems)
    if problems or numbers is None:
        raise InputError(problems)
    tailed, guessed = with_tail(numbers, text, name)
    fair, moves = faired(tailed)
    return fair, (_assumed(), *guessed, *moves)


def _rows(text: str, name: str, problems: list[Problem]) -> tuple[Unit, list[_Row]]:
    lines = list(enumerate(text.removeprefix("\ufeff").splitlines(), 1))
    told = [(n, line) for n, line in lines if line.strip() and not line.lstrip().startswith("#")]
    if not told:
        raise InputError(Problem(name, "is empty.", "Fill in the form that --guide writes."))
    # Heads parted by semicolons speak for a spreadsheet that writes decimals with commas.
    mark = ";" if ";" in told[0][1] else ","
    heads = [head.strip().casefold() for head in _cells(told[0][1], mark)]
    columns = {head.rpartition("_")[0] or head: i for i, head in enumerate(heads)}
    units = {head.rpartition("_")[2] for head in heads if head.rpartition("_")[0] in ("x", *READ)}
    if len(units) != 1 or not units <= set(UNITS) or "station" not in columns:
        raise InputError(
            Problem(
                f"{name}, line {told[0][0]}",
                "does not say its columns and their unit.",
                "Write heads like station,x_mm,width_mm,rocker_mm,thickness_mm.",
            )
        )
    unit = UNITS[units.pop()]
    return unit, [_row(n, _cells(line, mark), columns, (unit, name, problems)) for n, line in told[1:]]


def _cells(line: str, mark: str) -> list[str]:
    cells = next(csv.reader(io.StringIO(line), delimiter=mark))
    return cells if mark == "," else [cell.replace(",", ".") for cell in cells]


def _row(
    line: int, cells: list[str], columns: dict[str, int], reading: tuple[Unit, str, list[Problem]]
) -> _Row:
    unit, name, problems = reading
    if any(word.strip() for word in cells[len(columns) :]):
        problems.append(
            Problem(
                f"{name}, line {line}",
                f"has {len(cells)} cells under {len(columns)} heads.",
                "A comma parts two cells: write 14 7/8 or 378.5, with a point.",
            )
        )

    def cell(column: str) -> float | None:
        place = columns.get(column)
        words = cells[place].strip() if place is not None and place < len(cells) else ""
        if not words:
            return None
        try:
            return parse_length(words, unit)
        except InputError as why:
            problems.append(
                Problem(f"{name}, line {line}, {column}", why.problems[0].what, why.problems[0].remedy)
            )
            return None

    station = " ".join(cells[columns["station"]].split()).casefold() if cells else ""
    return _Row(line, station, cell("x"), cell("width"), cell("rocker"), cell("thickness"))


def _numbers(rows: list[_Row], name: str, unit: Unit, problems: list[Problem]) -> BoardNumbers | None:
    special = {row.station: row for row in rows if row.station in SPECIAL}
    nose = next((row for row in rows if row.station == "nose"), None)
    if nose is None or nose.x is None:
        problems.append(
            Problem(name, "does not say where the nose is.", "Fill in x of the nose: the length.")
        )
        return None
    length = nose.x
    placed = [(row, _place(row, length, unit, name, problems)) for row in rows if row.station not in SPECIAL]
    placed.sort(key=lambda pair: pair[1])
    tables = {table: _marks(placed, table) for table in READ}
    for table, marks in tables.items():
        _check_ends(table, marks, length, name, problems)
    if problems:
        return None
    wide, thickest, low = (special.get(word) for word in SPECIAL)
    widest, at_wide = _greatest(tables["width"], wide.width if wide else None, wide.x if wide else None)
    most, at_most = _greatest(
        tables["thickness"], thickest.thickness if thickest else None, thickest.x if thickest else None
    )
    tail = tables["width"][0].value
    return BoardNumbers(
        name=name.removesuffix(".csv"),
        length=length,
        outline=_without(tables["width"], at_wide),
        wide=widest,
        wide_at=at_wide,
        tail=Tail(TailKind.SQUARE if tail > 0.0 else TailKind.ROUND),
        rocker=tuple(mark for mark in tables["rocker"] if mark.value > 0.0 or mark.x in (0.0, length)),
        low_at=low.x if low and low.x else _lowest(tables["rocker"]),
        thickness=_without(tables["thickness"], at_most),
        thickest=most,
        thickest_at=at_most,
        rails=(
            RailMark(0.0, TAIL_APEX, 0.0, "tail", Edge.HARD),
            RailMark(length / 2.0, APEX, TUCK, "centre"),
        ),
    )


def _place(row: _Row, length: float, unit: Unit, name: str, problems: list[Problem]) -> float:
    if row.x is not None:
        return row.x
    try:
        return parse_station(row.station, length, unit)
    except InputError as why:
        problems.append(Problem(f"{name}, line {row.line}", why.problems[0].what, why.problems[0].remedy))
        return float("nan")


def _marks(placed: list[tuple[_Row, float]], table: str) -> tuple[Mark, ...]:
    read = ((x, getattr(row, table), row.station) for row, x in placed)
    return tuple(Mark(x, value, station) for x, value, station in read if value is not None)


def _check_ends(
    table: str, marks: tuple[Mark, ...], length: float, name: str, problems: list[Problem]
) -> None:
    ends = [mark.x for mark in marks[:1] + marks[-1:]]
    if len(marks) < 3 or not np.allclose(ends, [0.0, length], atol=1e-3):
        problems.append(
            Problem(
                name, f"has too few readings of {table}.", "Give it at both tips and at one station at least."
            )
        )


def _greatest(marks: tuple[Mark, ...], value: float | None, x: float | None) -> tuple[float, float | None]:
    """The greatest value and its station: as it was read, else the greatest mark."""
    top = max(marks, key=lambda mark: mark.value)
    if value is None:
        return top.value, top.x
    return max(value, top.value), x


def _without(marks: tuple[Mark, ...], x: float | None) -> tuple[Mark, ...]:
    return tuple(mark for mark in marks if x is None or abs(mark.x - x) > 1e-3)


def _lowest(rocker: tuple[Mark, ...]) -> float | None:
    """Station of a rocker of 0, if one was read between the tips."""
    inner = [mark.x for mark in rocker[1:-1] if mark.value == 0.0]
    return inner[0] if len(inner) == 1 else None


def _assumed() -> Finding:
    return Finding(
        "readings-assumed",
        Severity.WARNING,
        "rails and bottom",
        None,
        None,
        "1",
        f"Rails and bottom were not measured: {quoted('usual rails')} and a flat bottom stand in the sheet.",
        "Correct [rails] and [deck] by eye and template.",
    )
