"""From a board sheet to a finished board: fins, laminate, mass, materials, price."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from foamwright.bay.bay import Bay
from foamwright.bay.materials import Materials
from foamwright.bay.materials_sheet import read_materials
from foamwright.bay.sheet import read_bay
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.documents import json_bytes
from foamwright.errors import InputError, Problem, attempt
from foamwright.findings import Finding, Severity
from foamwright.finish.boxes import BoxFit
from foamwright.finish.finished import USUAL_RIDER, Finished, Shop, check_finished, finish_board
from foamwright.finish.laminate import Ply
from foamwright.finish.sandwich import JOLT, SPAN
from foamwright.jobs.options import Limits, number_option
from foamwright.sheets.rider import RiderNumbers, read_rider
from foamwright.units import System

if TYPE_CHECKING:
    from foamwright.jobs.water import FloatJob


@dataclass(frozen=True, slots=True)
class FinishOrder:
    """Sheets to finish by, and what else is known; what is `None` is as usual.

    Attributes
    ----------
    board, bay, materials
        Sheets.
    blank_price
        What the blank costs: a number, or its text.
    rider
        kg of the rider in the worked load.
    water
        Sheet of the rider of the page of the water.
    """

    board: Path
    bay: Path | None = None
    materials: Path | None = None
    blank_price: float | str | None = None
    rider: float = USUAL_RIDER
    water: Path | None = None


@dataclass(frozen=True, eq=False)
class FinishJob:
    """A finished board and what there is to say about it; `who` is who lies on it in the water, if anyone."""

    finished: Finished
    materials: Materials
    rider: float
    findings: tuple[Finding, ...]
    who: RiderNumbers | None = None

    @property
    def answer_is_no(self) -> bool:
        """Whether the board cannot be finished as it stands."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        finished = self.finished
        return {
            "name": finished.board.name,
            "fins": [_box_json(fit) for fit in finished.boxes],
            "laminate": self._laminate(),
            "mass_kg": finished.mass.total,
            "mass_scatter_kg": finished.mass.scatter,
            "mass_parts": [
                {"name": p.name, "mass_kg": p.mass, "scatter_kg": p.scatter} for p in finished.mass.parts
            ],
            "stiffness": self._stiffness(),
            "materials": [
                {"name": line.name, "quantity": line.quantity, "unit": line.unit, "cost": line.cost}
                for line in finished.lines
            ],
            "price": _price_json(finished),
            "warnings": [finding.as_json() for finding in self.findings],
            "cautions": [caution.as_json() for caution in finished.cautions],
        }

    def _laminate(self) -> dict[str, object]:
        skin = self.finished.skin
        return {
            "area_m2": skin.area,
            "bottom_m2": skin.bottom,
            "deck_m2": skin.deck,
            "around_m": skin.around,
            "lap_m": self.finished.layup.lap,
            "plies": [_ply_json(ply) for ply in self.finished.plies],
            "resin_per_fibre": self.materials.resin.per_fibre,
            "foam": self.materials.foam.name,
            "foam_kg_m3": self.materials.foam.density,
        }

    def _stiffness(self) -> dict[str, object]:
        beam, bent = self.finished.sandwich, self.finished.bent
        return {
            "span_m": SPAN,
            "load_n": JOLT * self.rider * 9.80665,
            "bending_n_m2": beam.bending,
            "shear_n": beam.shear,
            "deflection_m": bent.deflection,
            "by_shear_m": bent.by_shear,
            "face_stress_pa": bent.face_stress,
            "core_stress_pa": bent.core_stress,
            "assumptions": ASSUMPTIONS,
        }


ASSUMPTIONS = (
    "A straight beam with the section of the middle of the board, on two supports a metre apart, three times "
    "the rider's weight in the middle; thin faces of woven cloth without crimp, a core that takes only "
    "shear; small deflections; nothing about fatigue, dents or buckling of the skin."
)


def _box_json(fit: BoxFit) -> dict[str, object]:
    fin, worst = fit.fin, fit.worst
    return {
        "name": fin.name,
        "x_m": fin.x,
        "y_m": fin.y,
        "front_x_m": fit.front[0],
        "front_y_m": fit.front[1],
        "toe_rad": fin.toe,
        "cant_rad": fin.cant,
        "box_m": [fin.box_length, fin.box_width, fin.box_depth],
        "cover_m": fin.cover,
        "corners": [{"name": c.name, "rim_m": list(c.rim), "above_m": c.above} for c in fit.corners],
        "worst": worst.name,
        "above_m": worst.above,
        "spare_m": fit.spare,
        "thicken_m": fit.thicken,
    }


def _ply_json(ply: Ply) -> dict[str, object]:
    return {
        "face": ply.face.value,
        "cloth": ply.cloth.name,
        "cloth_kg_m2": ply.cloth.mass,
        "area_m2": ply.area,
        "cut_length_m": ply.cut_length,
        "strips": ply.strips,
        "fibre_kg": ply.fibre,
        "resin_kg": ply.resin,
    }


def _price_json(finished: Finished) -> dict[str, object]:
    price = finished.price
    return {
        "total": price.total,
        "foam": price.foam,
        "materials": price.materials,
        "labour": price.labour,
        "margin": price.margin,
        "hours": price.hours,
        "currency": price.currency,
    }


def finish_job(order: FinishOrder, system: System) -> FinishJob:
    """Return a board sheet's board finished.

    Raises
    ------
    InputError
        With every problem of every sheet and of the price; or a fin box lies outside the outline.
    """
    problems: list[Problem] = []
    board = attempt(problems, lambda: board_of(read_board(order.board)))
    bay = Bay() if order.bay is None else attempt(problems, partial(read_bay, order.bay))
    glassed = attempt(problems, lambda: _materials(order))
    who = None if order.water is None else attempt(problems, partial(read_rider, order.water))
    price = attempt(problems, lambda: _price(order.blank_price))
    if problems or board is None or bay is None or glassed is None:
        raise InputError(problems)
    job = finish_of(board, Shop(glassed, bay.prices, price), order.rider, system)
    return replace(job, who=who)


def _materials(order: FinishOrder) -> Materials:
    return Materials() if order.materials is None else read_materials(order.materials)


def _price(written: float | str | None) -> float | None:
    return None if written is None else number_option(written, "--blank-price", "price", PRICES)


PRICES = Limits(0.0, 1_000_000.0)
"""Of a blank, in whatever currency; more is a slip of the keyboard."""


def finish_of(board: Board, shop: Shop, rider: float, system: System) -> FinishJob:
    """Return a board finished in a shop for a rider of a mass in kg.

    Raises
    ------
    InputError
        A fin box lies outside the outline.
    """
    finished = finish_board(board, shop, rider, system)
    return FinishJob(finished, shop.materials, rider, check_finished(finished, shop.materials, system))


AFTER_SHEET = "after-the-foam.pdf"


def after_files(job: FinishJob, afloat: FloatJob | None, paper: str, system: System) -> dict[str, bytes]:
    """Return a finished board's papers, file name to bytes: numbers, and pages of fins, glassing, water.

    Parameters
    ----------
    job
        The finished board.
    afloat
        The board under its rider, where there is one; none where they sink.
    paper
        ``"a4"`` or ``"letter"``.
    system
        Inches or millimetres.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.after_sheet import After, after_document
    from foamwright.papers.job_words import Figures
    from foamwright.papers.pdf import pdf_bytes
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock

    name = job.finished.board.name
    after = After(job.finished)
    if afloat is not None and afloat.lain is not None:
        from foamwright.papers.pages_water import WaterWords

        words = WaterWords(name, afloat.rider.name, afloat.litres_per_kg)
        after = After(job.finished, afloat.lain.afloat, words)
    block = TitleBlock("", job=" ", board=name, date=" ")
    document = after_document(after, Paper[paper.upper()], Figures(system), block)
    return {"finish.json": json_bytes(job.as_json()), AFTER_SHEET: pdf_bytes(document)}
