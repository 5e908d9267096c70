"""A board, its foam, a blank with the board inside, or a stage, as a file that other tools read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from foamwright.blank.blank import Blank
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, NoAnswerError, Problem, attempt
from foamwright.exchange.mesh_files import obj_bytes, stl_bytes, surface_of, threemf_bytes
from foamwright.exchange.solids import (
    Body,
    blank_body,
    board_body,
    foam_body,
    inside_body,
    stage_body,
)
from foamwright.exchange.stations_csv import stations_csv
from foamwright.exchange.step import require_kernel, step_bytes
from foamwright.files import write_atomically
from foamwright.jobs.job_sheets import refuse_job_file, refuse_own_sheets
from foamwright.jobs.options import length_option
from foamwright.jobs.picking import pick_job, read_job
from foamwright.jobs.planning import no_blank_words
from foamwright.lay.choice import Choice
from foamwright.lay.survey import Survey
from foamwright.papers.body_drawing import bodies_drawing
from foamwright.papers.dxf import dxf_bytes
from foamwright.papers.svg import sheet_around, svg_bytes
from foamwright.stages.marks import rack_stations
from foamwright.stages.solids import StageName, chain_of
from foamwright.units import System


class What(StrEnum):
    """What is exported; a stage is named by its own name."""

    BOARD = "board"
    FOAM = "foam"
    BLANK = "blank"


@dataclass(frozen=True, slots=True)
class ExportOrder:
    """What is asked for.

    Attributes
    ----------
    what
        ``board``, ``foam``, ``blank``, or the name of a stage.
    stock, blank, bay
        Where the blank comes from; foam, blank and stages need a stock (foam also does with `stringer`).
    stringer
        Width of the stringer in words, where there is no stock.
    system
        In which unit a CSV and names of stations are written.
    """

    what: str = What.BOARD
    stock: Path | None = None
    blank: str | None = None
    bay: Path | None = None
    stringer: str | None = None
    system: System = System.INCH


@dataclass(frozen=True, eq=False)
class _Scene:
    """The bodies of a file and the board they belong to."""

    board: Board
    bodies: tuple[Body, ...]
    system: System

    def drawing_stations(self) -> list[tuple[str, float]]:
        solid = self.bodies[0].solid
        first, last = solid.panels[0], solid.panels[-1]
        stations = rack_stations(last, self.system)
        return [(s.name, s.x) for s in stations if first + 0.02 < s.x < last - 0.02]


Writer = Callable[[_Scene], bytes]


def export_job(board: Path, to: Path, order: ExportOrder) -> bytes:
    """Return the bytes of a file.

    Parameters
    ----------
    board
        Board sheet.
    to
        The file to be; its ending names the format.
    order
        What is exported.

    Raises
    ------
    InputError
        An unknown ending or name, anything wrong in a sheet, a missing kernel for STEP, a stock that is not
        named.
    NoAnswerError
        The board lies in no blank of the stock.
    """
    problems: list[Problem] = []
    ending = attempt(problems, lambda: _ending(to))
    attempt(problems, lambda: _require_known(order.what))
    if problems or ending is None:
        attempt(problems, lambda: _read(board, order))
        raise InputError(problems)
    if ending in (".step", ".stp"):
        require_kernel()
    if ending == ".csv" and order.what != What.BOARD:
        raise InputError(
            Problem(
                "--what", "a CSV holds the finished board's stations.", "Leave --what away, or choose a mesh."
            )
        )
    return WRITERS[ending](_scene(board, order))


def _ending(to: Path) -> str:
    ending = to.suffix.lower()
    if ending in WRITERS:
        return ending
    what = f"the ending “{ending}” is no format." if ending else "the name has no ending."
    raise InputError(Problem(f"--to {to.name}", what, f"Write one of {', '.join(WRITERS)}."))


def _require_known(what: str) -> None:
    stages = [str(stage) for stage in StageName]
    if what not in [*What, *stages]:
        known = ", ".join([*What, *stages[1:]])
        raise InputError(Problem("--what", f"“{what}” cannot be exported.", f"It can be {known}."))


def _read(board: Path, order: ExportOrder) -> None:
    """Read the sheets for their problems only, and look for the blank that is named."""
    if order.stock is None:
        read_board(board)
        return
    blanks = read_job(board, order.stock, order.bay).blanks
    if order.blank is not None and order.blank not in [blank.id for blank in blanks]:
        raise _no_such_blank(order.blank, blanks)


def _no_such_blank(name: str, blanks: Iterable[Blank]) -> InputError:
    what = f"no blank of the stock is called “{name}”."
    return InputError(Problem("--blank", what, f"The stock has: {', '.join(blank.id for blank in blanks)}."))


def write_export(board: Path, to: Path, order: ExportOrder) -> int:
    """Write a file and return how many bytes it has; the place is looked at before the work is done.

    Raises
    ------
    InputError
        As `export_job`; also where a sheet would be lost, or the place cannot be written to.
    NoAnswerError
        As `export_job`.
    """
    refuse_job_file(to)
    refuse_own_sheets([to], [board, order.stock, order.bay])
    content = export_job(board, to, order)
    write_atomically(to, content)
    return len(content)


def _scene(board: Path, order: ExportOrder) -> _Scene:
    if order.stock is None:
        return _without_stock(board_of(read_board(board)), order)
    choice, solid, blank, finish = _laid(board, order)
    if order.what == What.BOARD:
        bodies: tuple[Body, ...] = (board_body(solid),)
    elif order.what == What.FOAM:
        bodies = (foam_body(solid, blank.numbers.stringer.width),)
    elif order.what in (What.BLANK, StageName.BLANK):
        bodies = (blank_body(blank), inside_body(solid, choice.placed))
    else:
        chain = chain_of(solid, blank, choice.placed, finish)
        bodies = (stage_body(solid, chain.stage(StageName(order.what)), finish),)
    return _Scene(solid, bodies, order.system)


def _without_stock(board: Board, order: ExportOrder) -> _Scene:
    if order.what in (What.BOARD, StageName.FINISHED):
        return _Scene(board, (board_body(board),), order.system)
    if order.what == What.FOAM and order.stringer is not None:
        width = length_option(order.stringer, "--stringer")
        return _Scene(board, (foam_body(board, width),), order.system)
    raise InputError(
        Problem(
            "--stock",
            f"is not given, and “{order.what}” depends on the blank.",
            "Name a stock sheet" + (", or give --stringer." if order.what == What.FOAM else "."),
        )
    )


def _laid(board: Path, order: ExportOrder) -> tuple[Choice, Board, Blank, float]:
    assert order.stock is not None
    job = read_job(board, order.stock, order.bay)
    survey = pick_job(job)
    try:
        choice = survey.best if order.blank is None else survey.of(order.blank)
    except KeyError:
        raise _no_such_blank(order.blank or "", job.blanks) from None
    if choice is None or not choice.fits:
        shown = survey if choice is None else Survey((choice,))
        raise NoAnswerError(no_blank_words(shown, order.system))
    blank = next(blank for blank in job.blanks if blank.id == choice.id)
    return choice, job.board, blank, job.bay.allowances.finish


def _dxf(scene: _Scene) -> bytes:
    name = " with ".join(body.name for body in scene.bodies)
    return dxf_bytes(bodies_drawing(scene.bodies, scene.drawing_stations()), name)


def _svg(scene: _Scene) -> bytes:
    name = " with ".join(body.name for body in scene.bodies)
    drawing = bodies_drawing(scene.bodies, scene.drawing_stations())
    words = f"{name} at full size: from above, from the side, and cut across at stations; tail at the left."
    return svg_bytes(sheet_around(drawing, name), words)


def _csv(scene: _Scene) -> bytes:
    return stations_csv(scene.board, rack_stations(scene.board.length, scene.system), scene.system)


WRITERS: dict[str, Writer] = {
    ".step": lambda scene: step_bytes(scene.bodies),
    ".stp": lambda scene: step_bytes(scene.bodies),
    ".stl": lambda scene: stl_bytes([surface_of(body) for body in scene.bodies]),
    ".3mf": lambda scene: threemf_bytes([surface_of(body) for body in scene.bodies]),
    ".obj": lambda scene: obj_bytes([surface_of(body) for body in scene.bodies]),
    ".dxf": _dxf,
    ".svg": _svg,
    ".csv": _csv,
}
"""Formats by the ending of the file."""
