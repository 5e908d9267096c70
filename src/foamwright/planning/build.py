"""Building the plan: choose, lay, nest, mark, plan the strokes, and say what matters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace

from foamwright.bay.bay import Bay
from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.board.checks import check_board
from foamwright.cautions import all_cautions
from foamwright.cuts.counting import MARKS
from foamwright.cuts.ladder import ladder_of
from foamwright.cuts.run_findings import find_in_run
from foamwright.cuts.stage_rails import plan_rails
from foamwright.cuts.stage_runs import plan_runs, plan_thickness
from foamwright.cuts.stage_surfaces import (
    against_the_grain,
    plan_job_foam,
    plan_job_grain,
    plan_job_scoop,
)
from foamwright.lay.choice import Choice
from foamwright.lay.limits import Lay
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.reasons import reasons_for
from foamwright.lay.rotation import Points, points_of, settled
from foamwright.lay.survey import Order, Survey, measure_of, order_by, survey
from foamwright.lay.words import Words
from foamwright.planning.plan import Cuts, Plan
from foamwright.stages.marks import marks_of, rack_stations
from foamwright.stages.solids import chain_of
from foamwright.units import System


def survey_of(board: Board, blanks: Sequence[Blank], bay: Bay, order: Order | None = None) -> Survey:
    """Return every blank with its best lay, best first; every lay that fits is checked by true rotation.

    Parameters
    ----------
    board, blanks, bay
        The job and its stock.
    order
        What the best is; ``None``: cost where prices are known, else minutes.
    """
    rack = Rack(tuple(profile_of_blank(blank) for blank in blanks))
    found = survey(profile_of_board(board), rack, bay, order=order)
    solid = {blank.id: blank for blank in blanks}
    surface = points_of(board)
    truly = [_truly(choice, board, solid[choice.id], surface) for choice in found.choices]
    by = order_by(truly, order)
    return Survey(tuple(sorted(truly, key=lambda choice: _rank(choice, by))), by)


def _truly(choice: Choice, board: Board, blank: Blank, surface: Points) -> Choice:
    """Return the choice with a lay that fits when the board is really turned; it fails if there is none."""
    if not choice.fits:
        return choice
    checked = settled(choice, board, blank, surface)
    return replace(choice, fits=False) if checked is None else checked.choice


def _rank(choice: Choice, order: Order) -> tuple[int, float]:
    """Keep the survey's order; among blanks that fit and are alike on hand, by the true lay."""
    if not choice.fits:
        return 2, 0.0
    return (0 if choice.numbers.on_hand > 0 else 1), measure_of(choice, order)


def build_plan(
    board: Board,
    blanks: Sequence[Blank],
    bay: Bay,
    choice: Choice,
    others: tuple[Choice, ...],
    system: System,
) -> Plan:
    """Return the plan for a board in a chosen blank.

    Parameters
    ----------
    board, blanks, bay
        The job and its stock.
    choice
        A choice that fits.
    others
        The other choices, to explain it.
    system
        Inches or millimetres: decides where a tape finds its stations.

    Raises
    ------
    FaultError
        A stage would add foam, or a simulated stroke went below its target: nothing is planned.
    """
    blank = next(b for b in blanks if b.id == choice.id)
    cuts = build_cuts(board, blank, bay, choice.placed, bay.allowances.finish, system)
    return Plan(
        **{one.name: getattr(cuts, one.name) for one in fields(cuts)},
        choice=choice,
        others=others,
        findings=(
            *check_board(board, system),
            *reasons_for(choice, Words(system, bay.tape.fraction)),
            *(f for run in cuts.runs for f in find_in_run(run, system)),
            *against_the_grain(cuts.runs, cuts.grain, board.length, system),
        ),
        cautions=all_cautions(polyurethane=cuts.polyurethane),
    )


def build_cuts(board: Board, blank: Blank, bay: Bay, lay: Lay, finish: float, system: System) -> Cuts:
    """Return the stages, marks and strokes of a board that lies in a blank, or in what is left of one.

    Parameters
    ----------
    board, blank, bay
        What is wanted, what it is cut from, where.
    lay
        Where the board lies in the blank.
    finish
        What is left on each face for sanding, metres.
    system
        Inches or millimetres: decides where a tape finds its stations.

    Raises
    ------
    FaultError
        A stage would add foam, or a simulated stroke went below its target: nothing is planned.
    """
    chain = chain_of(board, blank, lay, finish)
    stations = rack_stations(board.length, system)
    tape = MARKS[system]
    passes = plan_thickness(chain, bay, tape)
    runs = plan_runs(chain, bay, tape, passes)
    planer, widest = bay.power_planer, float(max(chain.stages[-1].half_width))
    return Cuts(
        board=board,
        blank=blank,
        bay=bay,
        lay=lay,
        chain=chain,
        stations=stations,
        marks=marks_of(chain, board, lay, stations),
        passes=passes,
        runs=runs,
        bands=plan_rails(board, chain, bay, stations),
        scoop=plan_job_scoop(board, chain, stations),
        grain=plan_job_grain(chain, blank),
        foam=plan_job_foam(chain, bay),
        ladders=() if planer is None else tuple(ladder_of(run, planer, widest, tape) for run in runs),
    )
