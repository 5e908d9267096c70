"""What foamwright does, as functions: the jobs that its commands run, with values instead of printed lines.

``float_``, ``brief_`` and ``finish_`` end in an underscore: Python has a ``float``, and ``foamwright.brief``
and ``foamwright.finish`` are packages. A sheet is named by its path. ``units`` is ``"in"`` or ``"mm"``: what
sentences, sheets and papers are written in. Every value is SI: metres, litres only where a name says so.

All functions raise `foamwright.errors.InputError`, which holds every problem with its place and remedy, where
the input cannot stand, and `foamwright.errors.NoAnswerError` where there is no such board, blank or lay.

The examples run in a folder with the demo's sheets, which are in the package under ``foamwright/demo``.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from foamwright.errors import InputError, Problem
from foamwright.units import System

if TYPE_CHECKING:
    from foamwright.bench.advice import Advice
    from foamwright.bench.next_step import Step
    from foamwright.board.board import Board
    from foamwright.jobs.brief import BriefJob
    from foamwright.jobs.check import Checked
    from foamwright.jobs.finish import FinishJob
    from foamwright.jobs.measure import MeasureJob
    from foamwright.jobs.rescuing import RescuedJob
    from foamwright.jobs.water import FloatJob
    from foamwright.lay.survey import Survey
    from foamwright.planning.plan import Plan

PathText = str | PathLike[str]
W = TypeVar("W", bound=StrEnum)

# The jobs are imported inside the functions: water, laminate and drawing load much, and most uses need one.


def read_board(board: PathText) -> Board:
    """Return the finished board of a board sheet.

    >>> board = foamwright.read_board("groyne.board.toml")
    >>> board
    <Board 'Groyne' 1.930 m, 36.0 l>
    >>> round(float(board.thickness(board.length / 2)), 4)  # metres, at a station in metres from the tail
    0.0634
    """
    from foamwright.board.board import board_of
    from foamwright.board.sheet import read_board as read_numbers

    return board_of(read_numbers(Path(board)))


def check(board: PathText, *, units: str = "in") -> Checked:
    """Return a board's numbers, how fair its curves are, and what to look at again.

    >>> checked = foamwright.check("breakwater.board.toml")
    >>> checked.answer_is_no, len(checked.warnings)
    (False, 0)
    """
    from foamwright.jobs.check import check_job

    return check_job(Path(board), _system(units))


def pick(board: PathText, stock: PathText, *, bay: PathText | None = None, by: str | None = None) -> Survey:
    """Return every blank of a stock for a board, best first, or why it fails.

    `by` ranks by ``"cost"``, ``"minutes"`` or ``"foam"``; without it by cost, or by minutes where a price is
    not known.

    >>> survey = foamwright.pick("groyne.board.toml", "harbour.stock.toml", bay="harbour.bay.toml")
    >>> survey
    <Survey of 47 blanks, best 'Q-6-8-2.75'>
    """
    from foamwright.jobs.picking import pick_job, read_job
    from foamwright.lay.survey import Order

    order = None if by is None else _word(Order, by, "by")
    return pick_job(read_job(Path(board), Path(stock), _path(bay)), order)


def plan(
    board: PathText,
    stock: PathText,
    *,
    blank: str | None = None,
    bay: PathText | None = None,
    units: str = "in",
) -> Plan:
    """Return the whole job of a board in its best blank, or in the one named: lay, stages, strokes, findings.

    >>> job = foamwright.plan("groyne.board.toml", "harbour.stock.toml", bay="harbour.bay.toml")
    >>> job  # doctest: +ELLIPSIS
    <Plan of 'Groyne' from blank 'Q-6-8-2.75', ... minutes>
    >>> [(run.stage, run.end.value) for run in job.runs if len(run.strokes) > 9]
    [('rocker', 'nose'), ('rocker', 'tail'), ('foil', 'nose'), ('foil', 'tail')]
    """
    from foamwright.jobs.picking import read_job
    from foamwright.jobs.planning import plan_job

    return plan_job(read_job(Path(board), Path(stock), _path(bay)), blank, _system(units))


def write_papers(
    plan: Plan,
    folder: PathText,
    *,
    pack: str = "wall",
    paper: str = "a4",
    roll: str | None = None,
    units: str = "in",
    rider: PathText | None = None,
    materials: PathText | None = None,
) -> tuple[Path, ...]:
    """Write a plan's folder, all of it or nothing: plan.json, its sheets, wall pack and templates.

    `pack` is ``"wall"``, or ``"full"`` with the job sheet too; `paper` is ``"a4"`` or ``"letter"``; `roll`
    names a roll of paper for templates on one page (as ``plan --roll``); with a rider's sheet there is a page
    of the water. Returns the paths written.

    >>> written = foamwright.write_papers(job, "groyne", units="in")
    >>> [path.name for path in written][:5]
    ['plan.json', 'board.toml', 'bay.toml', 'blank.toml', 'wall.pdf']
    """
    from foamwright.jobs.after_foam import read_after
    from foamwright.jobs.job_sheets import GivenSheets
    from foamwright.jobs.planning import Along
    from foamwright.jobs.planning import write_papers as write
    from foamwright.papers.job_files import Pack
    from foamwright.papers.templates_roll import Roll
    from foamwright.papers.tiling import Paper

    chosen = _word(Pack, pack, "pack")
    _one_of([each.name.lower() for each in Paper], paper, "paper")
    if roll is not None:
        _word(Roll, roll, "roll")
    rider, materials = _path(rider), _path(materials)
    along = Along(read_after(rider, materials), chosen, roll, GivenSheets(rider=rider))
    return write(plan, Path(folder), paper, _system(units), along)


def next_step(job: PathText, *, bay: PathText | None = None, units: str = "in") -> Step:
    """Return the next step of the job in a folder, from its plan and its history.

    >>> foamwright.next_step("groyne").kind.value
    'saw'
    """
    return advise(job, bay=bay, units=units).step


def advise(job: PathText, *, bay: PathText | None = None, units: str = "in") -> Advice:
    """Return what is left of the job in a folder, what to do next, and what is too deep.

    >>> foamwright.advise("groyne").too_deep
    ()
    """
    from foamwright.jobs.advising import advise_job
    from foamwright.jobs.bench_job import open_job

    return advise_job(open_job(Path(job), _path(bay), _system(units)))


def rescue(
    job: PathText,
    *,
    board: PathText | None = None,
    rider: PathText | None = None,
    bay: PathText | None = None,
    out: PathText | None = None,
    paper: str = "a4",
    units: str = "in",
) -> RescuedJob:
    """Return the nearest board inside the foam that is left of the job in a folder.

    Where the board has to change, its sheet, the plan that goes on and the papers are written to `out`, or to
    ``rescued`` in the job's folder. A job that is not cut too deep needs no change, and nothing is written:

    >>> foamwright.rescue("groyne").written
    ()
    """
    from foamwright.jobs.rescuing import RescueSheets, open_rescue, rescue_job

    sheets = RescueSheets(_path(board), _path(rider))
    opened = open_rescue(Path(job), _path(bay), sheets, _system(units))
    return rescue_job(opened, Path(job), sheets, _path(out), paper)


def float_(
    board: PathText,
    rider: PathText,
    *,
    board_mass: str | None = None,
    nose_clear: str | None = None,
    trim: str | float | None = None,
    lie_at: str | None = None,
    build: str = "between",
    units: str = "in",
) -> FloatJob:
    """Return a board and its rider at rest in the water.

    `board_mass` is a text with its unit; one of `nose_clear` (a length), `trim` (degrees) and `lie_at` (a
    station) says how to lie; `build` is ``"male"``, ``"female"`` or ``"between"``.

    >>> foamwright.float_("breakwater.board.toml", "demo.rider.toml", board_mass="6 kg").craft.mass
    6.0
    """
    from foamwright.jobs.float_asked import FloatAsked, asked_float_job
    from foamwright.water.body_tables import Build

    options = FloatAsked(board_mass, nose_clear, trim, lie_at, _word(Build, build, "build"))
    return asked_float_job(Path(board), Path(rider), options, _system(units))


def brief_(
    rider: PathText,
    *,
    kind: str | None = None,
    waves: str = "medium",
    fix: Iterable[str] = (),
    like: PathText | None = None,
    units: str = "in",
) -> BriefJob:
    """Return starting numbers of a board for a rider; `sheet` of the result is its board sheet.

    >>> drawn = foamwright.brief_("demo.rider.toml", kind="fish", fix=["length=5'10"])
    >>> "5'10" in drawn.sheet
    True
    """
    from foamwright.brief.kinds import Kind, Waves
    from foamwright.jobs.brief import BriefOrder, brief_job

    chosen = None if kind is None else _word(Kind, kind, "kind")
    order = BriefOrder(chosen, _word(Waves, waves, "waves"), tuple(fix), _path(like))
    return brief_job(Path(rider), order, _system(units))


def finish_(
    board: PathText,
    *,
    stock: PathText | None = None,
    blank: str | None = None,
    bay: PathText | None = None,
    materials: PathText | None = None,
    blank_price: float | str | None = None,
    units: str = "in",
) -> FinishJob:
    """Return a board's fins, laminate, mass, materials and price.

    >>> job = foamwright.finish_("groyne.board.toml")
    >>> 2.0 < job.finished.mass.total < 4.0  # kg
    True
    """
    from foamwright.jobs.finish import FinishOrder, finish_job

    order = FinishOrder(
        Path(board), _path(bay), _path(materials), blank_price, stock=_path(stock), blank=blank
    )
    return finish_job(order, _system(units))


def export(
    board: PathText,
    to: PathText,
    *,
    what: str = "board",
    stock: PathText | None = None,
    blank: str | None = None,
    bay: PathText | None = None,
    stringer: str | None = None,
    units: str = "in",
) -> int:
    """Write a board, its foam, a blank or a stage for other tools; the file's ending names the format.

    Returns the bytes written.

    >>> foamwright.export("groyne.board.toml", "groyne.csv", units="mm") > 500
    True
    """
    from foamwright.jobs.export import ExportOrder, write_export

    order = ExportOrder(what, _path(stock), blank, _path(bay), stringer, _system(units))
    return write_export(Path(board), Path(to), order)


def measure(
    file: PathText,
    *,
    unit: str | None = None,
    apex: str | None = None,
    against: PathText | None = None,
    name: str | None = None,
    kind: str = "board",
    foam: str | None = None,
    turned: bool = False,
    units: str = "in",
) -> MeasureJob:
    """Return a scanned board or blank, or one read by hand (CSV), as a sheet.

    `unit` is that of a scan's numbers: ``"mm"``, ``"cm"``, ``"m"`` or ``"in"``.

    >>> foamwright.measure("groyne.csv").numbers.length > 1.9
    True
    """
    from foamwright.jobs.measure import As, MeasureOrder, measure_job
    from foamwright.units import Unit

    order = MeasureOrder(
        unit=None if unit is None else _word(Unit, unit, "unit"),
        apex=apex,
        against=_path(against),
        name=name,
        kind=_word(As, kind, "kind"),
        foam=foam,
        turned=turned,
        system=_system(units),
    )
    return measure_job(Path(file), order)


def _path(path: PathText | None) -> Path | None:
    return None if path is None else Path(path)


def _system(units: str) -> System:
    return _word(System, units, "units")


def _word(words: type[W], word: str, name: str) -> W:
    """Return a member of a kind of words by its value."""
    _one_of([each.value for each in words], word, name)
    return words(word)


def _one_of(known: list[str], word: str, name: str) -> None:
    if word not in known:
        raise InputError(Problem(name, f"“{word}” is no choice.", f"Choose from: {', '.join(known)}."))
