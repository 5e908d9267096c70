"""The papers of what comes after the foam, as a part of planning: fins, glassing, the board in the water."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from foamwright.bay.materials import Materials
from foamwright.errors import InputError, Problem, attempt
from foamwright.finish.finished import USUAL_RIDER
from foamwright.planning.plan import Plan
from foamwright.sheets.rider import RiderNumbers, read_rider
from foamwright.units import System


@dataclass(frozen=True)
class AfterSheets:
    """Who rides it and what it is glassed with; `None` where the sheet is not given."""

    rider: RiderNumbers | None = None
    materials: Materials | None = None


def read_after(rider: Path | None, materials: Path | None) -> AfterSheets:
    """Read the sheets there are.

    Raises
    ------
    InputError
        With every problem of both.
    """
    problems: list[Problem] = []
    found = AfterSheets(
        rider=None if rider is None else attempt(problems, lambda: read_rider(rider)),
        materials=None if materials is None else attempt(problems, lambda: _materials(materials)),
    )
    if problems:
        raise InputError(problems)
    return found


def _materials(path: Path) -> Materials:
    # What a materials sheet may say is loaded only where there is one.
    from foamwright.bay.materials_sheet import read_materials

    return read_materials(path)


def after_files_of(plan: Plan, sheets: AfterSheets, paper: str, system: System) -> dict[str, bytes]:
    """Return the papers after the foam of a plan, file name to bytes, for the blank that it was planned in.

    Parameters
    ----------
    plan
        The plan.
    sheets
        What it is glassed with, and who rides it; without a rider there is no page of the water.
    paper
        ``"a4"`` or ``"letter"``.
    system
        Inches or millimetres.
    """
    # Laminate and water load much; each only where it is needed.
    from foamwright.jobs.finish import after_files, finish_of, shop_of
    from foamwright.papers.template_files import signature_of

    signed, shop = signature_of(plan), shop_of(plan, sheets.materials or Materials())
    mass = USUAL_RIDER if sheets.rider is None else sheets.rider.mass
    job = finish_of(plan.board, shop, mass, system)
    if sheets.rider is None:
        return after_files(job, None, paper, system, signed)
    from foamwright.jobs.water import FloatWish, float_of

    wish = FloatWish(board_mass=job.finished.mass.total)
    return after_files(job, float_of(plan.board, sheets.rider, wish, system), paper, system, signed)
