"""A board, its foam, a blank with the board inside, or a stage, as a file that other tools read."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path

from foamwright.blank.blank import Blank
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, NoAnswerError, Problem, attempt
from foamwright.exchange.mesh_files import (
    Made,
    Surface,
    obj_bytes,
    stl_bytes,
    surface_of,
    surface_within,
    threemf_bytes,
)
from foamwright.exchange.model_pieces import Model, pieces_of
from foamwright.exchange.solids import (
    Body,
    blank_body,
    board_body,
    foam_body,
    inside_body,
    stage_body,
)
from foamwright.exchange.stations_csv import blank_table, stations_table
from foamwright.exchange.step import require_kernel, step_bytes
from foamwright.exchange.tables import Table, csv_bytes, xlsx_bytes
from foamwright.files import write_atomically
from foamwright.finish.boxes import BoxFit, box_fits
from foamwright.jobs.export_asked import DRAWINGS, STEPS, TABLES, ExportWishes, ExportWords, read_wishes
from foamwright.jobs.job_sheets import refuse_job_file, refuse_own_sheets
from foamwright.jobs.options import length_option
from foamwright.jobs.picking import pick_job, read_job
from foamwright.jobs.planning import no_blank_words
from foamwright.lay.choice import Choice
from foamwright.lay.survey import Survey
from foamwright.papers.board_marks import box_marks, slot_marks
from foamwright.papers.body_drawing import bodies_drawing, sections_drawing
from foamwright.papers.drawing import Drawing
from foamwright.papers.dxf import dxf_bytes
from foamwright.papers.svg import FontUse, sheet_around, svg_bytes
from foamwright.sheets.stations import parse_station
from foamwright.stages.marks import RackStation, rack_stations
from foamwright.stages.solids import StageName, chain_of
from foamwright.units import System, Unit, format_with_unit


class What(StrEnum):
    """What is exported; a stage is named by its own name."""

    BOARD = "board"
    FOAM = "foam"
    BLANK = "blank"
    SECTIONS = "sections"


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
        In which unit tables and names of stations are written.
    words
        What else is asked for.
    """

    what: str = What.BOARD
    stock: Path | None = None
    blank: str | None = None
    bay: Path | None = None
    stringer: str | None = None
    system: System = System.INCH
    words: ExportWords = field(default_factory=ExportWords)


@dataclass(frozen=True, eq=False)
class _Scene:
    """The bodies of a file and the board they belong to; the blank where a stock is given."""

    board: Board
    bodies: tuple[Body, ...]
    order: ExportOrder
    wishes: ExportWishes
    blank: Blank | None = None

    @property
    def name(self) -> str:
        return " with ".join(body.name for body in self.bodies)

    @property
    def system(self) -> System:
        return self.order.system

    def drawing_stations(self) -> list[tuple[str, float]]:
        """Stations with their names, units and all; of one section only, where that is asked for."""
        solid = self.bodies[0].solid
        first, last = solid.panels[0], solid.panels[-1]
        if self.wishes.at is not None:
            x = parse_station(self.wishes.at, last, Unit(self.system.value))
            if not first < x < last:
                raise InputError(Problem("--at", "has no section.", "Name a station between the tips."))
            return [(f"{format_with_unit(x, self.system)} from the tail", x)]
        stations = rack_stations(last, self.system)
        return [(_unit_named(s, self.system), s.x) for s in stations if first + 0.02 < s.x < last - 0.02]

    def stringer(self) -> float | None:
        """Width of the stringer, where it is known and is not left out already."""
        if self.order.stringer is not None:
            return length_option(self.order.stringer, "--stringer")
        width = 0.0 if self.blank is None else self.blank.numbers.stringer.width
        return width or None


def _unit_named(station: RackStation, system: System) -> str:
    """The station's name with the unit of its number, as a label far from any heading needs it."""
    number, between, end = station.name.partition(" from ")
    unit = "" if number.endswith(system.value) else f" {system.value}"
    return f"{number}{unit} from {end}" if between else station.name


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
    wishes = ExportWishes() if ending is None else read_wishes(order.words, ending, problems)
    attempt(problems, lambda: _require_fitting(ending, order))
    if problems or ending is None:
        attempt(problems, lambda: _read(board, order))
        raise InputError(problems)
    if ending in STEPS:
        require_kernel()
    return WRITERS[ending](_scene(board, order, wishes))


def _require_fitting(ending: str | None, order: ExportOrder) -> None:
    """Refuse what a format cannot hold."""
    if ending in TABLES and order.what not in (What.BOARD, What.BLANK):
        what = "a table holds the finished board's stations, or the blank's."
        raise InputError(Problem("--what", what, "Leave --what away, say blank, or choose a mesh."))
    if order.what == What.SECTIONS and ending not in (*DRAWINGS, None):
        raise InputError(Problem("--what", "sections are a drawing.", "Write a .dxf or an .svg."))
    if order.words.at is not None and order.what != What.SECTIONS:
        raise InputError(Problem("--at", "names a section.", "Say --what sections beside it."))
    if order.words.bed is not None and order.what == What.BLANK:
        raise InputError(
            Problem("--bed", "saws one body, not two.", "Export the board or the blank's stage.")
        )


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


def _scene(board: Path, order: ExportOrder, wishes: ExportWishes) -> _Scene:
    if order.stock is None:
        return _without_stock(board_of(read_board(board)), order, wishes)
    choice, solid, blank, finish = _laid(board, order)
    if order.what in (What.BOARD, What.SECTIONS):
        bodies: tuple[Body, ...] = (board_body(solid),)
    elif order.what == What.FOAM:
        bodies = (foam_body(solid, blank.numbers.stringer.width),)
    elif order.what in (What.BLANK, StageName.BLANK):
        bodies = (blank_body(blank), inside_body(solid, choice.placed))
    else:
        chain = chain_of(solid, blank, choice.placed, finish)
        bodies = (stage_body(solid, chain.stage(StageName(order.what)), finish),)
    return _Scene(solid, bodies, order, wishes, blank)


def _without_stock(board: Board, order: ExportOrder, wishes: ExportWishes) -> _Scene:
    if order.what in (What.BOARD, What.SECTIONS, StageName.FINISHED):
        return _Scene(board, (board_body(board),), order, wishes)
    if order.what == What.FOAM and order.stringer is not None:
        width = length_option(order.stringer, "--stringer")
        return _Scene(board, (foam_body(board, width),), order, wishes)
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


def _drawing(scene: _Scene) -> Drawing:
    """What DXF and SVG show: three views with the marks, or the sections alone."""
    stations, width = scene.drawing_stations(), scene.stringer()
    if scene.order.what == What.SECTIONS:
        slot = None if width is None else (width, f"stringer {format_with_unit(width, scene.system)}")
        return sections_drawing(scene.bodies[0], stations, slot)
    return bodies_drawing(scene.bodies, stations, _marks(scene, width))


def _marks(scene: _Scene, width: float | None) -> Drawing:
    """Fin boxes of a finished board; the stringer's slot, where it is not left out as a body's own."""
    if scene.bodies[0].lay is not None or scene.order.what not in (What.BOARD, What.FOAM, StageName.FINISHED):
        return Drawing(())
    boxes = box_marks(box_fits(scene.board, scene.system), scene.system)
    if width is None or scene.order.what == What.FOAM:
        return boxes
    return boxes + slot_marks(scene.board, width, scene.system)


def _pockets(scene: _Scene) -> tuple[BoxFit, ...]:
    """The fin boxes whose pockets are asked for, in the finished board only."""
    if not scene.wishes.pockets:
        return ()
    if scene.order.what not in (What.BOARD, StageName.FINISHED):
        raise InputError(Problem("--pockets", "are cut into the finished board.", "Leave --what away."))
    return box_fits(scene.board, scene.system)


def _dxf(scene: _Scene) -> bytes:
    return dxf_bytes(_drawing(scene), scene.name, r12=scene.wishes.r12)


def _svg(scene: _Scene) -> bytes:
    shown = "cut across at stations" if scene.order.what == What.SECTIONS else (
        "from above, from the side, and cut across at stations; tail at the left"
    )  # fmt: skip
    fonts = FontUse.PATHS if scene.wishes.paths else FontUse.EMBEDDED
    return svg_bytes(sheet_around(_drawing(scene), scene.name), f"{scene.name} at full size: {shown}.", fonts)


def _table(scene: _Scene) -> Table:
    if scene.order.what == What.BLANK and scene.blank is not None:
        return blank_table(scene.blank, rack_stations(scene.blank.length, scene.system), scene.system)
    return stations_table(scene.board, rack_stations(scene.board.length, scene.system), scene.system)


def _surfaces(scene: _Scene) -> list[Surface]:
    """The meshes of the bodies, as near as asked for, as large as asked for, in as many pieces as needed."""
    model, tolerance = Model(scene.wishes.scale, _bed(scene)), scene.wishes.tolerance
    made: list[Surface] = []
    for body in scene.bodies:
        # What is made smaller may be so much coarser: the tolerance is that of the model in the hand.
        whole = surface_of(body) if tolerance is None else surface_within(body, tolerance / model.scale)
        made += pieces_of(body, whole, model)
    return made


def _bed(scene: _Scene) -> float | None:
    return None if scene.wishes.bed is None else scene.wishes.bed * 1000.0


WRITERS: dict[str, Writer] = {
    ".step": lambda scene: step_bytes(scene.bodies, scene.wishes.date, _pockets(scene)),
    ".stp": lambda scene: step_bytes(scene.bodies, scene.wishes.date, _pockets(scene)),
    ".stl": lambda scene: stl_bytes(_surfaces(scene)),
    ".3mf": lambda scene: threemf_bytes(_surfaces(scene), Made(scene.name, scene.wishes.date)),
    ".obj": lambda scene: obj_bytes(_surfaces(scene)),
    ".dxf": _dxf,
    ".svg": _svg,
    ".csv": lambda scene: csv_bytes(_table(scene), comma=scene.wishes.comma),
    ".xlsx": lambda scene: xlsx_bytes(_table(scene)),
}
"""Formats by the ending of the file."""
