"""Measuring what exists: a scan, a CSV of stations or readings by hand become a board sheet (or a blank)."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from pathlib import Path

from pydantic_core import PydanticCustomError

from foamwright.blank.foam_words import read_foam
from foamwright.blank.numbers import BlankNumbers, Foam
from foamwright.blank.sheet import stock_sheet
from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BoardNumbers
from foamwright.board.sheet import board_sheet, read_board
from foamwright.documents import json_bytes
from foamwright.errors import InputError, Problem
from foamwright.exchange.deviation import Deviation, deviation_of, laid_on
from foamwright.exchange.readings_csv import blank_form, numbers_of_form
from foamwright.exchange.scan_blank import blank_of_scan
from foamwright.exchange.scan_files import READERS, read_scan
from foamwright.exchange.scan_measure import Ends, Measured, halfway, measure
from foamwright.exchange.scan_numbers import require_board, sheet_of, unit_of
from foamwright.exchange.scan_settling import settled
from foamwright.files import write_atomically
from foamwright.findings import Finding, Severity
from foamwright.jobs.options import length_option
from foamwright.papers.deviation_drawing import deviation_document, deviation_sheet
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.svg import svg_bytes
from foamwright.sheets.files import read_text
from foamwright.sheets.stations import parse_station
from foamwright.stages.marks import rack_stations
from foamwright.units import System, Unit


def _silent(_: str) -> None:
    """Say nothing."""


ENDINGS = (*READERS, ".csv")


class As(StrEnum):
    """What a scan is taken for."""

    BOARD = "board"
    BLANK = "blank"


@dataclass(frozen=True, slots=True)
class MeasureOrder:
    """What is asked for, besides the file.

    Attributes
    ----------
    unit
        Unit of a scan's numbers; a CSV says its own.
    apex
        Station where the level line touches, in words; ``None``: that of `against`, or halfway.
    against
        A board sheet to compare with.
    name
        What the board is called; ``None``: as the file.
    kind
        Board or blank.
    foam
        Foam of a blank, in words.
    turned
        Whether nose and tail are to be exchanged.
    system
        In which unit the sheet is written.
    """

    unit: Unit | None = None
    apex: str | None = None
    against: Path | None = None
    name: str | None = None
    kind: As = As.BOARD
    foam: str | None = None
    turned: bool = False
    system: System = System.INCH


@dataclass(frozen=True, eq=False)
class MeasureJob:
    """What was measured: the sheet, the findings, and (for a scan of a board) the scan and its deviation."""

    numbers: BoardNumbers | BlankNumbers
    findings: tuple[Finding, ...]
    unit: Unit
    measured: Measured | None = None
    board: Board | None = None
    deviation: Deviation | None = None

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<MeasureJob of a {type(self.numbers).__name__}, {len(self.findings)} findings>"

    @property
    def sheet(self) -> str:
        """The board sheet, or the stock sheet of one blank."""
        if isinstance(self.numbers, BlankNumbers):
            return stock_sheet([self.numbers], self.unit)
        return board_sheet(self.numbers, self.unit)

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        numbers = self.numbers
        document: dict[str, object] = {
            "name": numbers.id if isinstance(numbers, BlankNumbers) else numbers.name,
            "length_m": numbers.length,
            "wide_m": numbers.wide,
            "rocker": [{"station": m.place, "x_m": m.x, "rocker_m": m.value} for m in numbers.rocker],
            "thickness": [
                {"station": m.place, "x_m": m.x, "thickness_m": m.value} for m in numbers.thickness
            ],
            "outline": [{"station": m.place, "x_m": m.x, "width_m": m.value} for m in numbers.outline],
            "findings": [finding.as_json() for finding in self.findings],
            "sheet": self.sheet,
        }
        if self.measured is not None:
            document["apex_m"] = self.measured.apex
            document["frame"] = {"origin_m": self.measured.frame.origin, "axes": self.measured.frame.axes}
        if self.deviation is not None:
            document["deviation"] = self.deviation.as_json()
        return document

    def files(self) -> dict[str, bytes]:
        """Return the sheet, the JSON and (where compared) the map, by file name."""
        kind = "stock" if isinstance(self.numbers, BlankNumbers) else "board"
        contents = {f"measured.{kind}.toml": self.sheet.encode(), "measure.json": json_bytes(self.as_json())}
        if self.deviation is not None and self.board is not None:
            contents["deviation.csv"] = self.deviation.csv()
            sheet = deviation_sheet(self.board, self.deviation)
            words = f"How much more or less foam than {self.board.name} has, cell by cell, on both faces."
            contents["deviation.svg"] = svg_bytes(sheet, words)
            contents["deviation.pdf"] = pdf_bytes(deviation_document(self.board, self.deviation))
        return contents


def measure_job(file: Path, order: MeasureOrder, say: Callable[[str], None] = _silent) -> MeasureJob:
    """Return what a file shows, as a sheet.

    Parameters
    ----------
    file
        A scan, or a CSV of stations.
    order
        What is asked for.
    say
        Takes a line about how far it is.

    Raises
    ------
    InputError
        The file is not what it claims, is empty, says no unit and none was given, or shows no board.
    """
    ending = file.suffix.lower()
    if ending == ".csv":
        return readings_job(read_text(file), file.name, order)
    if ending not in READERS:
        known = ", ".join(ENDINGS)
        what = f"the ending “{ending}” is no scan." if ending else "the name has no ending."
        raise InputError(Problem(file.name, what, f"It can be {known}."))
    return _blank(file, order) if order.kind is As.BLANK else _board(file, order, say)


def form_job(length: str, system: System) -> str:
    """Return the form for readings by hand from a board of that length.

    Raises
    ------
    InputError
        The length cannot be read, or no board has it.
    """
    metres = length_option(length, "--guide")
    if not 1.2 <= metres <= 4.3:
        raise InputError(
            Problem("--guide", f"no board is {metres:.2f} m long.", "Give its length, like 6'4\".")
        )
    return blank_form(metres, rack_stations(metres, system), unit_of(system))


def form_json(form: str) -> dict[str, object]:
    """Return a form as plain values: sentences for people, columns, and rows with the cells to fill."""
    lines = form.splitlines()
    guide = [line.removeprefix("# ") for line in lines if line.startswith("#")]
    heads, *rows = (line.split(",") for line in lines if not line.startswith("#"))
    return {
        "guide": guide,
        "columns": heads,
        "rows": [dict(zip(heads, (cell or None for cell in row), strict=True)) for row in rows],
    }


def write_form(form: str, folder: Path) -> Path:
    """Write a form into a folder and return its file; one that is filled in there is never lost.

    Raises
    ------
    InputError
        Another form lies there, or the folder cannot be written to.
    """
    path = folder / FORM
    if path.is_file() and path.read_bytes() != form.encode():
        what = "It is there already, and what is filled in would be lost."
        raise InputError(Problem(str(path), what, "Move it away, or name another folder."))
    write_atomically(path, form.encode())
    return path


FORM = "readings.csv"


def require_length(metres: float, where: str) -> None:
    """Raise unless a board can have that length.

    Raises
    ------
    InputError
        None has.
    """
    if not 1.2 <= metres <= 4.3:
        raise InputError(Problem(where, f"no board is {metres:.2f} m long.", "Give its length, like 6'4\"."))


def readings_job(text: str, name: str, order: MeasureOrder) -> MeasureJob:
    """Return the board that a filled form describes; `name` is that of the file, or the board's.

    Raises
    ------
    InputError
        Something in it cannot be read, or no fair board comes near it.
    """
    numbers, findings = numbers_of_form(text, name)
    numbers = numbers if order.name is None else replace(numbers, name=order.name)
    return MeasureJob(numbers, findings, unit_of(order.system))


def _board(file: Path, order: MeasureOrder, say: Callable[[str], None]) -> MeasureJob:
    board = None if order.against is None else board_of(read_board(order.against))
    say(f"Reading {file.name} ...")
    scan = read_scan(file, order.unit)
    say(f"Measuring {scan.triangles:,} triangles: axis, level line, tips, sections ...")
    measured = measure(scan, _apex(order, board), Ends.EXCHANGED if order.turned else Ends.FOUND)
    require_board(measured)
    measured = settled(measured) if board is None else laid_on(settled(measured), board)
    say("Writing it as the numbers of a fair board ...")
    sheet = sheet_of(measured, order.name or file.stem, unit_of(order.system))
    deviation = None if board is None else deviation_of(measured, board)
    said = () if order.apex is not None or board is not None else _halfway()
    findings = (*said, *_open(scan.open_share), *sheet.findings)
    return MeasureJob(sheet.numbers, findings, unit_of(order.system), measured, board, deviation)


def _blank(file: Path, order: MeasureOrder) -> MeasureJob:
    if order.foam is None:
        raise InputError(
            Problem("--foam", "a scan does not show the foam.", 'Say it, like --foam "eps 20 kg/m3".')
        )
    scan = read_scan(file, order.unit)
    unit = unit_of(order.system)
    numbers = blank_of_scan(scan, order.name or file.stem, _foam(order.foam), unit)
    return MeasureJob(numbers, (*_halfway(), *_open(scan.open_share)), unit)


def _foam(words: str) -> Foam:
    try:
        return read_foam(words)
    except PydanticCustomError as why:
        context = why.context or {}
        raise InputError(Problem("--foam", str(context.get("what")), str(context.get("remedy")))) from None


def _apex(order: MeasureOrder, board: Board | None) -> Callable[[float], float]:
    """Where the level line touches a board of a length: as told, as on the sheet, or halfway."""
    if order.apex is not None:
        words, unit = order.apex, unit_of(order.system)
        return lambda length: parse_station(words, length, unit)
    if board is not None:
        share = board.low_at / board.length
        return lambda length: share * length
    return halfway


def _halfway() -> tuple[Finding, ...]:
    return (
        Finding(
            "scan-level",
            Severity.WARNING,
            "level line",
            None,
            None,
            "1",
            "Nobody said where the level line touches; it was laid on the bottom halfway between the tips.",
            "All rocker depends on it: say --apex, or compare with --against a board sheet.",
        ),
    )


def _open(share: float) -> tuple[Finding, ...]:
    if not share > 0.0:
        return ()
    return (
        Finding(
            "scan-open",
            Severity.NOTE,
            "scan",
            share,
            0.0,
            "1",
            f"The mesh is open: {share:.1%} of its edges have a triangle on one side only.",
            "What is missing was carried over by fair curves; look at the map of deviation for holes.",
        ),
    )
