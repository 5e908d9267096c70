"""Blanks of an order in blocks of foam: least blocks or least cost, with the proof, the layout, the cuts."""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass, replace
from pathlib import Path

from foamwright.bay.machine_sheet import read_machine
from foamwright.blank.foam_words import write_foam
from foamwright.blank.numbers import FoamFamily
from foamwright.cautions import DEFER, DUST, POLYURETHANE, Caution
from foamwright.documents import json_bytes
from foamwright.errors import NoAnswerError
from foamwright.making.nest.choosing import Chosen, Lacking, choose
from foamwright.making.nest.layout import MONEY, LaidBlock, LaidStrip, Layout, from_the_top, layout_of
from foamwright.making.nest.order import Least, Order, Tool
from foamwright.making.nest.program import program_of
from foamwright.making.nest.sheet import read_order
from foamwright.making.wire_cautions import CURRENT, FUME, HOT_WIRE, NO_POLYURETHANE
from foamwright.papers.nest_drawing import block_sheet, nest_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.svg import svg_bytes
from foamwright.units import INCH, System

SAW = Caution(
    "saw-block",
    "nest",
    "A block of foam is light and catches the wind and the blade: support both sides of the cut, keep hands "
    "off its line, and have a second person take the offcut of a long block.",
)


@dataclass(frozen=True, eq=False)
class NestJob:
    """A nested order."""

    layout: Layout

    @property
    def order(self) -> Order:
        """The order."""
        return self.layout.order

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """What can hurt someone at this work."""
        return cautions_of(self.order)

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        return nest_json(self.layout) | {"cautions": [caution.as_json() for caution in self.cautions]}

    def files(self, system: System = System.MM) -> dict[str, bytes]:
        """Return the layout as PDF, a drawing of every way a block is cut, the list as CSV, and the JSON."""
        words = tuple(caution.sentence for caution in self.cautions)
        contents = {
            "nest.pdf": pdf_bytes(nest_document(self.layout, words, system)),
            "layout.csv": _table(self.layout, system),
            "nest.json": json_bytes(self.as_json()),
        }
        for block in self.layout.blocks:
            sheet = block_sheet(self.layout, block, words, system)
            said = f"How block {block.number} is cut: its strips, and the stack in each, tail at the left."
            contents[f"block-{block.number:02d}.svg"] = svg_bytes(sheet, said)
        return contents


def nest_job(order: Path, machine: Path | None = None, least: Least | None = None) -> NestJob:
    """Return an order nested in the shop's blocks.

    Parameters
    ----------
    order
        The order sheet.
    machine
        A machine sheet: its kerf, margin, limits, and its blocks if the order has none.
    least
        What there should be least of; ``None``: as the sheet says.

    Raises
    ------
    InputError
        Anything in the sheets cannot stand; a blank that no block holds; polyurethane by hot wire.
    NoAnswerError
        The blocks on hand do not suffice.
    """
    asked = read_order(order, None if machine is None else read_machine(machine))
    return nested(asked if least is None else replace(asked, least=least))


def nested(order: Order) -> NestJob:
    """Return an order nested in its blocks.

    Raises
    ------
    NoAnswerError
        The blocks on hand do not suffice.
    """
    program = program_of(order)
    chosen = choose(program)
    if isinstance(chosen, Lacking):
        raise NoAnswerError(_lacking(order, chosen))
    return NestJob(layout_of(program, chosen))


def _lacking(order: Order, lacking: Lacking) -> str:
    """What is missing, and how many blocks would do."""
    sure = "do not suffice" if lacking.proved else "do not suffice in any way that was found"
    on_hand = ", ".join(f"{b.on_hand} of {b.name}" for b in order.blocks if b.on_hand is not None)
    endless = replace(order, blocks=tuple(replace(block, on_hand=None) for block in order.blocks))
    program = program_of(endless)
    enough = choose(program)
    remedy = ""
    if isinstance(enough, Chosen):
        used = Counter(program.kinds[block.kind].block.name for block in enough.plan.blocks)
        remedy = f" {', '.join(f'{times} of {name}' for name, times in used.items())} would do."
    return f"{order.name}: the blocks on hand ({on_hand}) {sure}.{remedy}"


def cautions_of(order: Order) -> tuple[Caution, ...]:
    """Return the cautions of an order, the most particular first."""
    if order.cutting.tool is Tool.WIRE:
        return (HOT_WIRE, FUME, NO_POLYURETHANE, CURRENT, SAW, DUST, DEFER)
    pu = any(piece.foam.family is FoamFamily.PU for piece in order.pieces)
    return (SAW, *((POLYURETHANE,) if pu else ()), DUST, DEFER)


def nest_json(layout: Layout) -> dict[str, object]:
    """Return a layout as plain values."""
    order, chosen, cutting = layout.order, layout.chosen, layout.order.cutting
    unit = 1.0 if order.least is Least.BLOCKS else MONEY
    return {
        "order": order.name,
        "blocks": layout.count,
        "yield": layout.share,
        "price": layout.price,
        "currency": order.currency,
        "least": str(order.least),
        "cost": chosen.cost / unit,
        "bound": chosen.bound / unit,
        "gap": chosen.gap,
        "first_fit_cost": None if chosen.first_fit is None else chosen.first_fit / unit,
        "proof": {
            "cases": chosen.cases,
            "relaxation": chosen.prices.bound / unit,
            "prices": [
                {"blank": piece.blank, "half": piece.halves, "count": piece.count, "price": price / unit}
                for piece, price in zip(order.pieces, chosen.prices.pieces.tolist(), strict=True)
            ],
        },
        "cutting": {
            "tool": str(cutting.tool),
            "kerf_m": cutting.kerf,
            "margin_m": cutting.margin,
            "slicing_m": cutting.slicing,
        },
        "layout": [_block_json(order, block) for block in layout.blocks],
    }


def _block_json(order: Order, block: LaidBlock) -> dict[str, object]:
    kind = block.block
    return {
        "number": block.number,
        "times": block.times,
        "block": kind.name,
        "foam": write_foam(kind.foam),
        "length_m": kind.length,
        "width_m": kind.width,
        "height_m": kind.height,
        "price": kind.price / MONEY,
        "yield": block.share(order),
        "strips": [_strip_json(order, strip) for strip in block.strips],
    }


def _strip_json(order: Order, strip: LaidStrip) -> dict[str, object]:
    return {
        "strip": strip.name,
        "from_m": strip.start,
        "to_m": strip.stop,
        "stack": [
            {
                "blank": order.pieces[lain.piece].blank,
                "half": order.pieces[lain.piece].halves,
                "tail_m": lain.along,
                "level_line_m": lain.up,
                "length_m": order.pieces[lain.piece].profile.length,
                "width_m": order.pieces[lain.piece].width,
            }
            for lain in strip.stack
        ],
    }


_LENGTHS = ("from", "to", "length", "width", "thickness", "tail", "level_line")


def _heads(system: System) -> tuple[str, ...]:
    names = (
        *("block", "times", "kind", "strip", "from", "to", "cut", "blank", "half", "foam"),
        *("length", "width", "thickness", "tail", "level_line"),
    )
    return tuple(f"{name}_{system.value}" if name in _LENGTHS else name for name in names)


def _table(layout: Layout, system: System) -> bytes:
    """The list of the cuts; lengths in inches to a thousandth, or in millimetres to a hundredth."""
    text = io.StringIO()
    rows = csv.writer(text, lineterminator="\n")
    rows.writerow(_heads(system))

    def length(metres: float) -> str:
        return f"{metres / INCH:.3f}" if system is System.INCH else f"{metres * 1000.0:.2f}"

    for block in layout.blocks:
        for strip in block.strips:
            for cut, lain in enumerate(from_the_top(strip.stack), start=1):
                piece = layout.order.pieces[lain.piece]
                where = (strip.name, length(strip.start), length(strip.stop), cut)
                what = (piece.blank, "yes" if piece.halves else "no", write_foam(piece.foam))
                size = map(length, (piece.profile.length, piece.width, piece.profile.thickest))
                lies = map(length, (lain.along, lain.up))
                rows.writerow((block.number, block.times, block.block.name, *where, *what, *size, *lies))
    return text.getvalue().encode()
