"""From the finished core to a board: boxes, laminate, mass, stiffness, materials, price, in one."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Layup, Materials
from foamwright.board.board import Board
from foamwright.cautions import Caution
from foamwright.findings import Finding, Severity, said
from foamwright.finish.areas import Skin, skin_of
from foamwright.finish.box_figures import foam_figure, need_figure
from foamwright.finish.box_overlaps import check_apart
from foamwright.finish.boxes import BoxFit, box_fits
from foamwright.finish.cautions import finishing_cautions
from foamwright.finish.laminate import Ply, plies_of
from foamwright.finish.mass import FinishedMass, finished_mass
from foamwright.finish.price import Line, Price, material_lines, price_of
from foamwright.finish.sandwich import JOLT, SPAN, Bent, Sandwich, sandwich_at, three_point
from foamwright.units import System

GRAVITY = 9.80665
USUAL_RIDER = 75.0
"""Kilograms of the rider whose feet bend the board in the worked load. Common practice, no source."""


@dataclass(frozen=True, eq=False)
class Finished:
    """A board with all that is added to its core.

    Attributes
    ----------
    board, layup
        The core, and the cloth on it.
    boxes
        Its fin boxes with the foam above them.
    skin, plies
        Areas, and cloth with resin.
    mass
        Finished mass by parts.
    sandwich, bent
        The section at the middle, and the worked load on it.
    lines, price
        What to have at hand, and what it all costs.
    """

    board: Board
    layup: Layup
    boxes: tuple[BoxFit, ...]
    skin: Skin
    plies: tuple[Ply, ...]
    mass: FinishedMass
    sandwich: Sandwich
    bent: Bent
    lines: tuple[Line, ...]
    price: Price

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Resin, dust, fumes."""
        return finishing_cautions()


@dataclass(frozen=True, slots=True)
class Shop:
    """What a workshop finishes with: materials, prices of labour, and the price of the blank where known."""

    materials: Materials
    prices: Prices
    blank_price: float | None = None


def finish_board(
    board: Board, shop: Shop, rider: float = USUAL_RIDER, system: System = System.INCH
) -> Finished:
    """Return a core finished in a workshop.

    Parameters
    ----------
    board
        The finished core.
    shop
        Materials and prices.
    rider
        kg of the rider in the worked load.
    system
        What lengths are read out in, in messages.

    Raises
    ------
    InputError
        A fin box lies outside the outline.
    """
    materials, fins = shop.materials, board.numbers.fins
    boxes, skin, layup = box_fits(board, system), skin_of(board), materials.layup(board.length)
    plies = plies_of(skin, layup, materials.resin)
    lines = material_lines(skin, plies, fins, materials)
    volume = board.mass.volume
    foam = volume * materials.foam.price if shop.blank_price is None else shop.blank_price
    sandwich = sandwich_at(board, 0.5 * board.length, materials, layup)
    return Finished(
        board=board,
        layup=layup,
        boxes=boxes,
        skin=skin,
        plies=plies,
        mass=finished_mass(volume, skin, plies, fins, materials),
        sandwich=sandwich,
        bent=three_point(sandwich, SPAN, JOLT * rider * GRAVITY),
        lines=lines,
        price=price_of(foam, lines, len(fins), materials, shop.prices),
    )


def check_finished(finished: Finished, materials: Materials, system: System) -> tuple[Finding, ...]:
    """Return what there is to say: boxes with too little foam, a core that would shear."""
    none = () if finished.boxes else (NO_BOXES,)
    return (*check_boxes(finished.boxes, system), *none, *_sheared(finished.bent, materials))


def check_boxes(boxes: tuple[BoxFit, ...], system: System) -> tuple[Finding, ...]:
    """Return a finding for every box with too little foam above a corner, or in another's way."""
    thin = tuple(_thin_box(fit, system) for fit in boxes if fit.spare < 0.0)
    return (*thin, *check_apart(boxes, system))


NO_BOXES = Finding(
    "finish-no-fins",
    Severity.NOTE,
    "[fins]",
    None,
    None,
    "1",
    "The board sheet has no fin boxes.",
    'Name a layout under [fins], like layout = "three", or give boxes one by one.',
)


CORNERS = {
    "rear inner": ("corner.rear-inner", "rear inner corner"),
    "rear outer": ("corner.rear-outer", "rear outer corner"),
    "front inner": ("corner.front-inner", "front inner corner"),
    "front outer": ("corner.front-outer", "front outer corner"),
}
THIN_BOX = ("finish-box-thin", "The {corner} of the {box} box keeps only {kept} of foam; {need} must remain.")
THROUGH = (
    "finish-box-thin.through",
    "The {corner} of the {box} box comes through the deck; {need} must remain.",
)


def _thin_box(fit: BoxFit, system: System) -> Finding:
    worst, fin = fit.worst, fit.fin
    kept = f"{foam_figure(fit, system)} {system}"
    need = f"{need_figure(fin.cover, system)} {system}"
    more = f"{need_figure(fit.thicken, system)} {system}"
    corner = said(*CORNERS[worst.name])
    return Finding(
        "finish-box-thin",
        # A thin skin can be set with care; a box through the deck cannot be glassed over.
        Severity.WARNING if worst.above > 0.0 else Severity.STOP,
        said("where.fin-box", "fin box {box}, {corner}", box=fin.name, corner=corner),
        worst.above,
        fin.cover,
        "m",
        said(*THIN_BOX, corner=corner, box=fin.name, kept=kept, need=need)
        if worst.above > 0.0
        else said(*THROUGH, corner=corner, box=fin.name, need=need),
        said(
            "finish-box-thin.remedy",
            "Make the board {more} thicker there, move the box forward, or take a shallower one.",
            more=more,
        ),
    )


def _sheared(bent: Bent, materials: Materials) -> tuple[Finding, ...]:
    foam, stress = materials.foam, bent.core_stress
    if stress <= foam.strength:
        return ()
    return (
        Finding(
            "finish-core-shear",
            Severity.WARNING,
            "the middle of the board",
            stress,
            foam.strength,
            "Pa",
            f"Under the worked load the core is sheared by {stress / 1000.0:.0f} kPa, more than the "
            f"{foam.strength / 1000.0:.0f} kPa assumed for {foam.name}.",
            "Take a denser foam, a wider stringer or a thicker board.",
        ),
    )
