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
from foamwright.finish.mass import sealing
from foamwright.finish.sandwich import JOLT, SPAN
from foamwright.jobs.options import Limits, number_option
from foamwright.sheets.rider import RiderNumbers, read_rider
from foamwright.units import System

if TYPE_CHECKING:
    from foamwright.jobs.picking import Job
    from foamwright.jobs.water import FloatJob
    from foamwright.papers.drawing import Signature
    from foamwright.planning.plan import Plan


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
    stock, blank
        Sheet of the stock that the board is cut from, and the blank, if not the best one. The blank then
        decides foam, stringer, resin and price, and its plan the hours of shaping.
    """

    board: Path
    bay: Path | None = None
    materials: Path | None = None
    blank_price: float | str | None = None
    rider: float = USUAL_RIDER
    water: Path | None = None
    stock: Path | None = None
    blank: str | None = None


@dataclass(frozen=True, eq=False)
class FinishJob:
    """A finished board and what there is to say about it; `who` is who lies on it in the water, if anyone."""

    finished: Finished
    rider: float
    findings: tuple[Finding, ...]
    who: RiderNumbers | None = None

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<FinishJob {self.finished.board.name!r} {self.finished.mass.total:.2f} kg>"

    @property
    def answer_is_no(self) -> bool:
        """Whether the board cannot be finished as it stands."""
        return any(finding.severity is Severity.STOP for finding in self.findings)

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        finished = self.finished
        return {
            "name": finished.board.name,
            **_blank_json(finished),
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
        skin, materials = self.finished.skin, self.finished.materials
        return {
            "area_m2": skin.area,
            "bottom_m2": skin.bottom,
            "deck_m2": skin.deck,
            "around_m": skin.around,
            "lap_m": self.finished.layup.lap,
            "plies": [_ply_json(ply) for ply in self.finished.plies],
            "resin": materials.resin.name,
            "resin_per_fibre": materials.resin.per_fibre,
            "seal_kg_m2": sealing(materials),
            "foam": materials.foam.name,
            "foam_kg_m3": materials.foam.density,
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


def _blank_json(finished: Finished) -> dict[str, object]:
    """What the board is cut from; ``None`` where that is not known."""
    blank, wood = finished.blank, finished.materials.wood
    if blank is None:
        return {"blank": None, "foam": None, "stringer": None}
    spine = None if wood.width == 0.0 else {"wood": wood.name, "width_m": wood.width}
    foam = {"family": blank.foam.family.value, "density_kg_m3": blank.foam.density}
    return {"blank": blank.id, "foam": foam, "stringer": spine}


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
        "hours": price.hours.total,
        "hours_parts": {
            "shaping": price.hours.shaping,
            "glassing": price.hours.glassing,
            "coating": price.hours.coating,
            "sanding": price.hours.sanding,
            "boxes": price.hours.boxes,
        },
        "currency": price.currency,
    }


def finish_job(order: FinishOrder, system: System) -> FinishJob:
    """Return a board sheet's board finished.

    Raises
    ------
    InputError
        With every problem of every sheet and of the price; or a fin box lies outside the outline.
    NoAnswerError
        The board lies in no blank of the stock, or not in the one named.
    """
    problems: list[Problem] = []
    if order.blank is not None and order.stock is None:
        problems.append(Problem("--blank", "the stock it is in is not given.", "Give --stock too."))
    job = None if order.stock is None else attempt(problems, lambda: _in_stock(order))
    board = attempt(problems, lambda: board_of(read_board(order.board))) if order.stock is None else None
    bay = Bay() if order.bay is None else attempt(problems, partial(read_bay, order.bay))
    glassed = attempt(problems, lambda: _materials(order))
    who = None if order.water is None else attempt(problems, partial(read_rider, order.water))
    price = attempt(problems, lambda: _price(order.blank_price))
    if problems or bay is None or glassed is None:
        raise InputError(list(dict.fromkeys(problems)))
    if job is None:
        assert board is not None
        return replace(finish_of(board, Shop(glassed, bay.prices, price), order.rider, system), who=who)
    plan = _planned(job, order.blank, system)
    shop = replace(shop_of(plan, glassed), blank_price=price)
    return replace(finish_of(plan.board, shop, order.rider, system), who=who)


def shop_of(plan: Plan, materials: Materials) -> Shop:
    """Return what a planned board is finished with: its blank decides foam, stringer, resin, price, hours."""
    return Shop(materials, plan.bay.prices, blank=plan.blank.numbers, planned=plan.choice.work_min)


def _in_stock(order: FinishOrder) -> Job:
    # The stock is read, and the board planned in it, only where there is one.
    from foamwright.jobs.picking import read_job

    assert order.stock is not None
    return read_job(order.board, order.stock, order.bay)


def _planned(job: Job, blank: str | None, system: System) -> Plan:
    from foamwright.jobs.planning import plan_job

    return plan_job(job, blank, system)


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
    return FinishJob(finished, rider, check_finished(finished, system))


AFTER_SHEET = "after-the-foam.pdf"


def after_files(
    job: FinishJob, afloat: FloatJob | None, paper: str, system: System, signed: Signature | None = None
) -> dict[str, bytes]:
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
    signed
        Who made them and when; foamwright, and no day, where not given.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.after_sheet import After, after_document
    from foamwright.papers.drawing import Signature
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
    signed = signed or Signature()
    date = " " if signed.date is None else signed.date.isoformat()
    block = TitleBlock("", job=" ", board=name, date=date)
    document = after_document(after, Paper[paper.upper()], Figures(system), block)
    document = replace(document, signature=signed)
    return {"finish.json": json_bytes(job.as_json()), AFTER_SHEET: pdf_bytes(document)}
