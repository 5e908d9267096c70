"""The papers of what comes after the foam, as a part of planning: fins, glassing, the board in the water."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from foamwright.bay.materials import Materials
from foamwright.board.board import Board
from foamwright.errors import InputError, Problem, attempt
from foamwright.finish.finished import USUAL_RIDER, Shop
from foamwright.planning.plan import Known
from foamwright.sheets.rider import RiderNumbers, read_rider
from foamwright.units import System


@dataclass(frozen=True)
class AfterSheets:
    """Who rides it and what it is glassed with; `None` where the sheet is not given."""

    rider: RiderNumbers | None = None
    materials: Materials | None = None


@dataclass(frozen=True, eq=False)
class AfterWanted:
    """What the papers after the foam are made from.

    Attributes
    ----------
    board, shop
        The finished board, and what it is finished with.
    rider
        Who lies on it; without one there is no page of the water.
    paper
        ``"a4"`` or ``"letter"``.
    system
        Inches or millimetres.
    """

    board: Board
    shop: Shop
    rider: RiderNumbers | None
    paper: str
    system: System

    def files(self) -> dict[str, bytes]:
        """Return the papers, file name to bytes."""
        # Laminate and water load much; each only where it is wanted.
        from foamwright.jobs.finish import after_files, finish_of

        mass = USUAL_RIDER if self.rider is None else self.rider.mass
        job = finish_of(self.board, self.shop, mass, self.system)
        if self.rider is None:
            return after_files(job, None, self.paper, self.system)
        from foamwright.jobs.water import FloatWish, float_of

        wish = FloatWish(board_mass=job.finished.mass.total)
        return after_files(job, float_of(self.board, self.rider, wish, self.system), self.paper, self.system)


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


def after_wanted(plan: Known, sheets: AfterSheets, paper: str, system: System) -> AfterWanted:
    """Return what the papers after the foam of a plan are made from; the blank at its own price."""
    shop = Shop(sheets.materials or Materials(), plan.bay.prices, plan.blank.numbers.price)
    return AfterWanted(plan.board, shop, sheets.rider, paper, system)
