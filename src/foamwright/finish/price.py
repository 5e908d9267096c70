"""What goes into a board and what it costs: the list of materials, the hours, the price."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.numbers import FinMark
from foamwright.finish.areas import Skin
from foamwright.finish.laminate import Ply
from foamwright.finish.mass import is_large, sealing


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the list: a quantity of something, in its unit, and what it costs."""

    name: str
    quantity: float
    unit: str
    cost: float


@dataclass(frozen=True, slots=True)
class HoursWorked:
    """Hours of one board, by part."""

    shaping: float
    glassing: float
    coating: float
    sanding: float
    boxes: float

    @property
    def total(self) -> float:
        """All of them."""
        return self.shaping + self.glassing + self.coating + self.sanding + self.boxes


@dataclass(frozen=True, slots=True)
class Price:
    """The price of a board.

    Attributes
    ----------
    foam, materials, labour, margin
        Its parts.
    hours
        Of work, by part.
    currency
        Of all of them.
    """

    foam: float
    materials: float
    labour: float
    margin: float
    hours: HoursWorked
    currency: str

    @property
    def total(self) -> float:
        """All together."""
        return self.foam + self.materials + self.labour + self.margin


def material_lines(
    skin: Skin, plies: tuple[Ply, ...], fins: tuple[FinMark, ...], materials: Materials
) -> tuple[Line, ...]:
    """Return what to have at hand for glassing a board."""
    cloths = {ply.cloth.name: ply.cloth for ply in plies}
    lines = [
        Line(name, metres := _metres(plies, name), "m off the roll", metres * cloth.roll_width * cloth.price)
        for name, cloth in cloths.items()
    ]
    mixed = resin_to_mix(skin, plies, len(fins), materials)
    lines.append(Line(materials.resin.name, mixed, "kg mixed", mixed * materials.resin.price))
    lines += _fittings(fins, materials)
    spent = sum(line.cost for line in lines)
    lines.append(Line("brushes, tape, gloves, paper", 1.0, "lot", spent * materials.share))
    return tuple(lines)


def _metres(plies: tuple[Ply, ...], cloth: str) -> float:
    return sum(ply.cut_length * ply.strips for ply in plies if ply.cloth.name == cloth)


def resin_to_mix(skin: Skin, plies: tuple[Ply, ...], boxes: int, materials: Materials) -> float:
    """Return kg of resin to mix: under and in the cloth, in the coat before sanding, round boxes, spilt."""
    used = sum(ply.resin for ply in plies) + (materials.coats.hot + sealing(materials)) * skin.area
    return (used + materials.fittings.setting_resin * (boxes + 1)) / (1.0 - materials.resin.spilt)


def _fittings(fins: tuple[FinMark, ...], materials: Materials) -> list[Line]:
    fittings, large = materials.fittings, sum(is_large(fin) for fin in fins)
    small = len(fins) - large
    lines = [
        Line("fin box", float(small), "pieces", small * fittings.small_box_price),
        Line("large fin box", float(large), "pieces", large * fittings.large_box_price),
        Line("leash plug", 1.0, "piece", fittings.leash_plug_price),
    ]
    return [line for line in lines if line.quantity]


def hours_of(materials: Materials, boxes: int, planned: float | None) -> HoursWorked:
    """Return the hours of a board; `planned`: minutes of its plan, where there is one."""
    hours = materials.hours
    shaping = hours.shaping if planned is None else planned / 60.0 + hours.beside_plan
    return HoursWorked(shaping, hours.glassing, hours.coating, hours.sanding, hours.each_box * boxes)


def price_of(
    foam: float, lines: tuple[Line, ...], hours: HoursWorked, materials: Materials, prices: Prices
) -> Price:
    """Return the price of a board.

    Parameters
    ----------
    foam
        What the blank costs.
    lines
        Materials.
    hours
        Of work.
    materials, prices
        Margin; labour.
    """
    spent = sum(line.cost for line in lines)
    labour = hours.total * prices.labour_hour
    return Price(foam, spent, labour, materials.margin * (foam + spent + labour), hours, prices.currency)
