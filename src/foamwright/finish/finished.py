"""From the finished core to a board: boxes, laminate, mass, stiffness, materials, price, in one."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Layup, Materials, ResinKind
from foamwright.blank.numbers import BlankNumbers, FoamFamily
from foamwright.board.board import Board
from foamwright.cautions import Caution
from foamwright.findings import Finding, Severity, said
from foamwright.finish.areas import Skin, skin_of
from foamwright.finish.box_figures import foam_figure, need_figure
from foamwright.finish.box_overlaps import check_apart
from foamwright.finish.boxes import BoxFit, box_fits
from foamwright.finish.cautions import finishing_cautions
from foamwright.finish.core import materials_on
from foamwright.finish.laminate import Ply, plies_of
from foamwright.finish.mass import FinishedMass, finished_mass
from foamwright.finish.price import Line, Price, hours_of, material_lines, price_of
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
    board, materials, layup
        The core, all it is made with once its blank is known, and the cloth on it.
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
    blank
        What it is cut from; ``None`` where that is not known.
    """

    board: Board
    materials: Materials
    layup: Layup
    boxes: tuple[BoxFit, ...]
    skin: Skin
    plies: tuple[Ply, ...]
    mass: FinishedMass
    sandwich: Sandwich
    bent: Bent
    lines: tuple[Line, ...]
    price: Price
    blank: BlankNumbers | None = None

    @property
    def family(self) -> FoamFamily | None:
        """The foam's family, where the blank is known."""
        return None if self.blank is None else self.blank.foam.family

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Resin, dust, fumes, of this foam and this resin."""
        return finishing_cautions(self.family, self.materials.resin.kind)


@dataclass(frozen=True, slots=True)
class Shop:
    """What a workshop finishes with.

    Attributes
    ----------
    materials, prices
        Materials as the shop has them, and what labour costs.
    blank_price
        Where only that is known of the blank.
    blank
        The chosen blank: its foam, stringer and price are the board's.
    planned
        Minutes of the plan from that blank.
    """

    materials: Materials
    prices: Prices
    blank_price: float | None = None
    blank: BlankNumbers | None = None
    planned: float | None = None

    def foam_cost(self, volume: float) -> float:
        """Return what the blank of a board of a volume in m3 costs."""
        if self.blank_price is not None:
            return self.blank_price
        # A price of 0 in a stock sheet is one that is not known.
        if self.blank is not None and self.blank.price > 0.0:
            return self.blank.price
        return volume * self.materials.foam.price


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
    materials = shop.materials if shop.blank is None else materials_on(shop.materials, shop.blank)
    fins = board.numbers.fins
    boxes, skin, layup = box_fits(board, system), skin_of(board), materials.layup(board.length)
    plies = plies_of(skin, layup, materials.resin)
    lines = material_lines(skin, plies, fins, materials)
    volume = board.mass.volume
    sandwich = sandwich_at(board, 0.5 * board.length, materials, layup)
    return Finished(
        board=board,
        materials=materials,
        layup=layup,
        boxes=boxes,
        skin=skin,
        plies=plies,
        mass=finished_mass(volume, skin, plies, fins, materials),
        sandwich=sandwich,
        bent=three_point(sandwich, SPAN, JOLT * rider * GRAVITY),
        lines=lines,
        price=price_of(
            shop.foam_cost(volume),
            lines,
            hours_of(materials, len(fins), shop.planned),
            materials,
            shop.prices,
        ),
        blank=shop.blank,
    )


def check_finished(finished: Finished, system: System) -> tuple[Finding, ...]:
    """Return what there is to say: thin foam over boxes, a resin that eats the core, a core that shears."""
    none = () if finished.boxes else (NO_BOXES,)
    eaten = (_dissolved(finished),) if _dissolves(finished) else ()
    return (
        *check_boxes(finished.boxes, system),
        *none,
        *eaten,
        *_sheared(finished.bent, finished.materials),
    )


def _dissolves(finished: Finished) -> bool:
    polystyrene = finished.family in (FoamFamily.EPS, FoamFamily.XPS)
    return polystyrene and finished.materials.resin.kind is ResinKind.POLYESTER


def _dissolved(finished: Finished) -> Finding:
    return Finding(
        "finish-resin-foam",
        Severity.STOP,
        "[resin]",
        None,
        None,
        "1",
        f"Polyester resin dissolves polystyrene, and the board's foam is {finished.materials.foam.name}.",
        "Glass it with epoxy, or take a polyurethane blank.",
    )


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
