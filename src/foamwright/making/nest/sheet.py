"""Reading an order sheet: every problem in it, and in the sheets that it names, at once."""

from __future__ import annotations

import math
import os
from pathlib import Path as FilePath

from foamwright.bay.machine import Block, WireMachine
from foamwright.blank.blank import blank_of
from foamwright.blank.foam_words import read_foam
from foamwright.errors import InputError
from foamwright.making.nest.order import BlockKind, Cutting, Order, Piece, Tool
from foamwright.making.nest.sheet_checks import check_cutting, check_order
from foamwright.making.nest.sheet_sources import Opened, cut_for_board, from_stock, own_numbers, pieces_of
from foamwright.making.nest.written import OrderSheet, WantedBlock, WantedTable
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.opening import open_sheet

__all__ = ["order_from_text", "read_order"]

HUNDREDTHS = 100


def read_order(path: str | os.PathLike[str], machine: WireMachine | None = None) -> Order:
    """Return the order in a sheet; stock and board sheets that it names lie beside it.

    Parameters
    ----------
    path
        The order sheet.
    machine
        Its kerf at its usual feed, its margin and (if the sheet has none) its blocks are used.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path), FilePath(path).parent, machine)


def order_from_text(text: str, name: str, folder: FilePath, machine: WireMachine | None = None) -> Order:
    """Return the order in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name), folder, machine)


def _read(document: Document, folder: FilePath, machine: WireMachine | None) -> Order:
    sheet = open_sheet(OrderSheet, document)
    hot = WireMachine() if machine is None else machine
    cutting = _cutting(sheet.written, hot)
    order = Order(
        name=sheet.written.name or document.name.removesuffix(".toml").removesuffix(".order"),
        pieces=tuple(piece for n in range(len(sheet.written.blank)) for piece in _pieces(sheet, n, folder)),
        blocks=_blocks(sheet, machine),
        cutting=cutting,
        least=sheet.written.least,
        currency=sheet.written.currency or hot.currency,
    )
    check_order(sheet, order, machine)
    check_cutting(sheet, cutting)
    sheet.problems.finish()
    return order


def _cutting(written: OrderSheet, machine: WireMachine) -> Cutting:
    usual = Cutting()
    wire = written.cut is Tool.WIRE
    kerf = float(machine.kerf.at(machine.feed)) if wire else usual.slicing
    return Cutting(
        tool=written.cut,
        kerf=kerf if written.kerf is None else written.kerf,
        margin=machine.margin if written.margin is None else written.margin,
        slicing=usual.slicing if written.slicing is None else written.slicing,
    )


def _blocks(sheet: Opened, machine: WireMachine | None) -> tuple[BlockKind, ...]:
    written = sheet.written.block
    if written or machine is None:
        return tuple(_block(block) for block in written)
    return tuple(_machine_block(block) for block in machine.blocks)


def _block(written: WantedBlock) -> BlockKind:
    price = 0 if math.isnan(written.price) else round(written.price * HUNDREDTHS)
    sides = written.length, written.width, written.height
    return BlockKind(written.name, *sides, written.foam, price, written.on_hand)


def _machine_block(block: Block) -> BlockKind:
    price = round(block.price * HUNDREDTHS)
    sides = block.length, block.width, block.height
    return BlockKind(block.name, *sides, read_foam(block.foam), price, block.on_hand)


def _pieces(sheet: Opened, place: int, folder: FilePath) -> tuple[Piece, ...]:
    """The pieces of one entry; none where a problem stands in the way, which has been noted."""
    written: WantedTable = sheet.written.blank[place]
    path = ("blank", place)
    try:
        if written.stock is not None:
            numbers = from_stock(sheet, path, folder / written.stock)
            return () if numbers is None else pieces_of(blank_of(numbers), numbers, written.count)
        if written.board is not None:
            return cut_for_board(sheet, path, folder / written.board)
        numbers = own_numbers(sheet, path)
        return () if numbers is None else pieces_of(blank_of(numbers), numbers, written.count)
    except InputError as wrong:
        key = "stock" if written.stock is not None else "board" if written.board is not None else "id"
        for problem in wrong.problems:
            sheet.problems.note((*path, key), f"{problem.where}: {problem.what}", problem.remedy)
        return ()
