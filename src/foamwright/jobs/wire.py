"""A close-cut blank for a board, as wire programs, with its price and how it compares with stock blanks."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

import numpy as np
from pydantic_core import PydanticCustomError

from foamwright.bay.bay import Bay
from foamwright.bay.machine import Block, WireMachine
from foamwright.bay.machine_sheet import read_machine
from foamwright.bay.sheet import read_bay
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.foam_words import read_foam
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.blank.sheet import read_stock, stock_sheet
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.documents import json_bytes
from foamwright.errors import InputError, Problem, attempt
from foamwright.lay.survey import Survey
from foamwright.making.closecut import CloseCut, CutAllowances, close_cut
from foamwright.making.closecut_numbers import refuse_polyurethane
from foamwright.making.closecut_price import Cost, cost_of, pricing_of
from foamwright.making.wire_cautions import HAND_CAUTIONS, WIRE_CAUTIONS
from foamwright.making.wire_cut import Wanted, WireCut, block_for, wire_cuts
from foamwright.making.wire_program import carriage_points
from foamwright.papers.svg import svg_bytes
from foamwright.papers.wire_drawing import ends_sheet, wire_sheet
from foamwright.planning.build import survey_of
from foamwright.units import INCH, System, Unit

STRINGER = Stringer("basswood", INCH / 8)
"""The stringer that is glued in if nothing else is asked for. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class WireOrder:
    """What is asked for, besides the sheets.

    Attributes
    ----------
    foam
        Family and density in words; ``None``: that of the block.
    stringer
        Glued between two halves; of width 0: none.
    allowances
        What is left on purpose.
    wanted
        Feed, block, taper.
    """

    foam: str | None = None
    stringer: Stringer = STRINGER
    allowances: CutAllowances = field(default_factory=CutAllowances)
    wanted: Wanted = field(default_factory=Wanted)


@dataclass(frozen=True, eq=False)
class WireJob:
    """A close-cut blank, its programs, its cost, and (if a stock was given) every blank compared."""

    cut: CloseCut
    machine: WireMachine
    cuts: tuple[WireCut, ...]
    cost: Cost
    compared: Survey | None

    def as_json(self) -> dict[str, object]:
        """Return the job as plain values."""
        cut = self.cut
        document: dict[str, object] = {
            "blank": {
                "id": cut.id,
                "length_m": cut.length,
                "width_m": cut.width,
                "foam_l": cut.volume * 1000.0,
                "lay": {"slide_m": cut.lay.slide, "lift_m": cut.lay.lift, "tilt_rad": cut.lay.tilt},
                "price": cut.numbers.price,
                "currency": cut.numbers.currency,
                "lead_time_days": cut.numbers.lead_time_days,
            },
            "paths": [_path_json(one) for one in self.cuts],
            "kerf_m": self.cuts[0].kerf,
            "cost": self.cost.as_json(),
            "cautions": [caution.as_json() for caution in WIRE_CAUTIONS],
        }
        if self.compared is not None:
            document["compared"] = [
                {"blank": c.id, "fits": c.fits, "work_min": c.work_min if c.fits else None,
                 "price": c.numbers.price, "lead_time_days": c.numbers.lead_time_days}
                for c in self.compared.choices
            ]  # fmt: skip
        return document

    def files(self) -> dict[str, bytes]:
        """Return the programs, their pictures, the blank as a stock sheet and the JSON, by file name."""
        contents: dict[str, bytes] = {}
        for one in self.cuts:
            contents[f"{one.name}.ngc"] = one.text.encode("ascii")
            contents[f"{one.name}.svg"] = _picture(one, self.cut)
            contents[f"{one.name}-ends.svg"] = _ends_picture(one, self)
        contents["close-cut.stock.toml"] = stock_sheet([self.cut.numbers], Unit.MM).encode()
        contents["wire.json"] = json_bytes(self.as_json())
        return contents

    def rib_files(self, paper: str, system: System) -> dict[str, bytes]:
        """Return ribs for a hand bow at full size, by file name: tiled PDF, SVG and DXF.

        Parameters
        ----------
        paper
            ``"a4"``, ``"letter"`` or ``"a3"``.
        system
            Inches or millimetres.
        """
        # Pages are drawn only where they are asked for.
        from foamwright.papers.templates import files_of
        from foamwright.papers.templates_ribs import RibShape, rib_template
        from foamwright.papers.templates_shapes import Wording
        from foamwright.papers.tiling import Paper
        from foamwright.papers.titleblock import TitleBlock

        cut = self.cut
        rib = RibShape(cut.board.name, cut.length, cut.bottom, cut.deck, self.cuts[0].kerf)
        block = TitleBlock("", job=" ", board=cut.board.name, blank=cut.id, date=" ")
        cautions = [caution.sentence for caution in HAND_CAUTIONS]
        template = rib_template(rib, cautions, block, Wording(system))
        size = Paper[paper.upper()]
        return files_of(replace(template, pages={size: template.pages[size]}))


@dataclass(frozen=True, eq=False)
class WireSheets:
    """What a close-cut blank is made from, read: board, machine, bay, and blanks to compare it with."""

    board: Board
    machine: WireMachine
    bay: Bay
    blanks: tuple[Blank, ...]


def read_wire_sheets(
    board: Path, *, machine: Path | None = None, bay: Path | None = None, stock: Path | None = None
) -> WireSheets:
    """Return the sheets read; a machine and a bay that are not given are usual ones.

    Raises
    ------
    InputError
        With every problem of every sheet.
    """
    problems: list[Problem] = []
    solid = attempt(problems, lambda: board_of(read_board(board)))
    hot = WireMachine() if machine is None else attempt(problems, partial(read_machine, machine))
    shop = Bay() if bay is None else attempt(problems, partial(read_bay, bay))
    numbers = () if stock is None else attempt(problems, partial(read_stock, stock)) or ()
    blanks = [attempt(problems, partial(blank_of, one)) for one in numbers]
    if problems or solid is None or hot is None or shop is None:
        raise InputError(problems)
    return WireSheets(solid, hot, shop, tuple(blank for blank in blanks if blank is not None))


def wire_of(sheets: WireSheets, order: WireOrder) -> WireJob:
    """Return a close-cut blank for a board, with its programs, from sheets that were read.

    Raises
    ------
    InputError
        Polyurethane; a block too small, a machine too short, an offset that crosses itself.
    """
    solid, hot, shop, blanks = sheets.board, sheets.machine, sheets.bay, sheets.blanks
    cut, cuts, cost = close_cut_blank(solid, order, hot, shop)
    compared = survey_of(solid, [*blanks, cut], shop) if blanks else None  # type: ignore[list-item]
    return WireJob(cut, hot, cuts, cost, compared)


def close_cut_blank(
    board: Board, order: WireOrder, machine: WireMachine, bay: Bay
) -> tuple[CloseCut, tuple[WireCut, ...], Cost]:
    """Return a close-cut blank with its price, its programs and its cost.

    Raises
    ------
    InputError
        It cannot be cut on that machine.
    """
    usable = replace(machine, blocks=_blocks(machine, order))
    first = close_cut(board, _foam(usable.blocks[0]), order.stringer, order.allowances)
    block = block_for(first, usable, order.wanted.block)
    cut = replace(first, foam=_foam(block))
    cuts = wire_cuts(cut, usable, replace(order.wanted, block=block.name))
    cost = cost_of(cut, usable, cuts, bay.prices.labour_hour)
    return replace(cut, pricing=pricing_of(cost, usable)), cuts, cost


def _blocks(machine: WireMachine, order: WireOrder) -> tuple[Block, ...]:
    """The blocks of the foam that was asked for; polyurethane is refused before anything is cut."""
    asked = None if order.foam is None else asked_foam(order.foam)
    named = [b for b in machine.blocks if order.wanted.block in (None, b.name)]
    for block in named if asked is None else []:
        refuse_polyurethane(_foam(block), f"block {block.name}")
    kept = tuple(b for b in machine.blocks if asked is None or _foam(b) == asked)
    if not kept:
        foams = ", ".join(sorted({b.foam for b in machine.blocks}))
        raise InputError(Problem("--foam", f"no block is of {order.foam}.", f"The blocks are of {foams}."))
    return kept


def asked_foam(words: str) -> Foam:
    """Return the foam that was asked for in words.

    Raises
    ------
    InputError
        It is no foam, or polyurethane, however it is written.
    """
    first = (words.replace("-", " ").split() or [""])[0].casefold()
    if first in POLYURETHANES:
        refuse_polyurethane(Foam(FoamFamily.PU, math.nan), "--foam")
    foam = _read(words, "--foam")
    refuse_polyurethane(foam, "--foam")
    return foam


POLYURETHANES = frozenset({"pu", "pur", "pir", "polyurethane", "polyurethan", "urethane", "polyisocyanurate"})
"""What people call foams that are never cut by hot wire."""


def _foam(block: Block) -> Foam:
    return _read(block.foam, f"block {block.name}")


def _read(words: str, where: str) -> Foam:
    try:
        return read_foam(words)
    except PydanticCustomError as why:
        context = why.context or {}
        raise InputError(Problem(where, str(context.get("what")), str(context.get("remedy")))) from None


def _path_json(one: WireCut) -> dict[str, object]:
    path = one.path
    return {
        "name": one.name,
        "program": f"{one.name}.ngc",
        "near": {"along_m": path.near[:, 0], "up_m": path.near[:, 1]},
        "far": {"along_m": path.far[:, 0], "up_m": path.far[:, 1]},
        "seconds": path.seconds,
        "minutes": path.minutes,
        "depth_m": path.depth,
        "riser_m": one.riser,
        "kerf_m": one.kerf,
        "gouge_m": one.sweep.gouge,
        "left_m": one.sweep.left,
        "block": None if one.block is None else one.block.name,
        "steps": one.steps,
    }


def _picture(one: WireCut, cut: CloseCut) -> bytes:
    part = np.concatenate([edge.points for edge in one.part.near])
    if not one.part.closed:
        part = np.vstack([part, [part[-1, 0], 0.0], [part[0, 0], 0.0]])
    half = (cut.length, float(np.max(part[:, 1])))
    foam = half if one.block is None else (one.block.length, one.block.height)
    words = "\n".join([*one.steps, *(caution.sentence for caution in WIRE_CAUTIONS)])
    sheet = wire_sheet(f"{one.name}: {cut.id}", part, one.path.near, foam, words)
    return svg_bytes(sheet, f"Path of the wire for the {one.part.name} of {cut.id}, tail at the left.")


def _ends_picture(one: WireCut, job: WireJob) -> bytes:
    ends = carriage_points(one.path, job.machine, one.riser)
    sheet = ends_sheet(f"{one.name}: {job.cut.id}", ends, one.path.seconds)
    return svg_bytes(sheet, f"Both ends of the wire over time for the {one.part.name} of {job.cut.id}.")
