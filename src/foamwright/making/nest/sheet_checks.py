"""An order's numbers that read well one by one, and cannot stand together."""

from __future__ import annotations

from foamwright.bay.machine import WireMachine
from foamwright.blank.foam_words import write_foam
from foamwright.blank.numbers import Foam, FoamFamily
from foamwright.errors import InputError
from foamwright.making.closecut_numbers import refuse_polyurethane
from foamwright.making.nest.order import BlockKind, Cutting, Least, Order, Piece, Tool
from foamwright.making.nest.sheet_sources import Opened
from foamwright.making.nest.stacks import SLACK
from foamwright.sheets.locate import Path
from foamwright.units import quoted

MM = 1000.0


def check_order(sheet: Opened, order: Order, machine: WireMachine | None) -> None:
    """Note what is wrong with the list of blanks, the blocks, and one in the other."""
    _check_some(sheet, machine)
    _check_names(sheet)
    _check_prices(sheet, order)
    _check_polyurethane(sheet, order)
    _check_room(sheet, order)
    if machine is not None and order.cutting.tool is Tool.WIRE:
        _check_machine(sheet, order, machine)


def _check_some(sheet: Opened, machine: WireMachine | None) -> None:
    tree = sheet.problems.document.tree
    if not sheet.written.blank and isinstance(tree.get("blank"), list):
        sheet.problems.note(("blank",), "There is no blank in this order.", "Add one as [[blank]].")
    if not sheet.written.block and machine is None and not sheet.problems.noted(("block",)):
        what = "There is no block to cut the blanks from."
        sheet.problems.note(("block",), what, "Add one as [[block]], or name a machine sheet with blocks.")


def _check_names(sheet: Opened) -> None:
    for table, key in (("blank", "id"), ("block", "name")):
        seen: set[str] = set()
        for n, entry in enumerate(getattr(sheet.written, table)):
            name = getattr(entry, key)
            if name and name in seen:
                what = f"{quoted(name)} is another {table} too."
                sheet.problems.note((table, n, key), what, "Give each its own name; count says how many.")
            seen.add(name)


def _check_prices(sheet: Opened, order: Order) -> None:
    for n, block in enumerate(order.blocks):
        if order.least is Least.COST and block.price == 0 and not _noted(sheet, ("block", n), "price"):
            what = f"The block {quoted(block.name)} costs nothing, so least cost says nothing."
            sheet.problems.note(("block", n, "price"), what, 'Give its price, or say least = "blocks".')


def _check_polyurethane(sheet: Opened, order: Order) -> None:
    """A hot wire never meets polyurethane, neither as a blank that is asked for nor as a block."""
    if order.cutting.tool is not Tool.WIRE:
        return
    for n, entry in enumerate(sheet.written.blank):
        foam = entry.foam or _foam_of(order, entry.id)
        if foam is not None and foam.family is FoamFamily.PU:
            _refuse(sheet, ("blank", n, "foam"))
    for n, block in enumerate(order.blocks):
        if block.foam.family is FoamFamily.PU:
            _refuse(sheet, ("block", n, "foam"))


def _foam_of(order: Order, blank: str) -> Foam | None:
    return next((piece.foam for piece in order.pieces if piece.blank == blank), None)


def _refuse(sheet: Opened, path: Path) -> None:
    try:
        refuse_polyurethane(Foam(FoamFamily.PU, 35.0), "foam")
    except InputError as why:
        problem = why.problems[0]
        sheet.problems.note(path, f"{problem.what[:1].upper()}{problem.what[1:]}", problem.remedy)


def _check_room(sheet: Opened, order: Order) -> None:
    """Every piece must lie in some block of its foam, alone."""
    places = {entry.id: n for n, entry in enumerate(sheet.written.blank)}
    if not order.blocks or _unread_blocks(sheet):
        return
    for piece in order.pieces:
        path = ("blank", places[piece.blank])
        same = [block for block in order.blocks if block.foam == piece.foam]
        if not same and not _noted(sheet, path, "foam"):
            foams = ", ".join(sorted({write_foam(block.foam) for block in order.blocks}))
            what = f"No block is of {write_foam(piece.foam)}."
            sheet.problems.note((*path, "foam"), what, f"The blocks are of {foams}.")
        elif same and all(_misses(piece, block, order.cutting) for block in same):
            needs = " x ".join(f"{need * MM:.0f}" for need in _needs(piece, order.cutting))
            why = "; ".join(f"{block.name}: {_misses(piece, block, order.cutting)}" for block in same)
            what = f"{quoted(piece.blank)} needs {needs} mm of a block and lies in none ({why})."
            sheet.problems.note(path, what, "Use a larger block, or order a smaller blank.")


def _unread_blocks(sheet: Opened) -> bool:
    keys = ("length", "width", "height", "foam")
    return any(_noted(sheet, ("block", n), *keys) for n in range(len(sheet.written.block)))


def _noted(sheet: Opened, path: Path, *keys: str) -> bool:
    return sheet.problems.noted(*((*path, key) for key in keys))


def _needs(piece: Piece, cutting: Cutting) -> tuple[float, float, float]:
    """Length, width and height of block that a piece takes alone."""
    apart = 2.0 * cutting.apart
    return (
        piece.profile.length + apart,
        piece.width + 2.0 * cutting.margin,
        piece.profile.tall + apart,
    )


def _misses(piece: Piece, block: BlockKind, cutting: Cutting) -> str:
    have = (block.length, block.width, block.height)
    short = [
        f"{name} {(need - side) * MM:.0f} mm short"
        for name, need, side in zip(("length", "width", "height"), _needs(piece, cutting), have, strict=True)
        if need > side + SLACK
    ]
    return ", ".join(short)


def _check_machine(sheet: Opened, order: Order, machine: WireMachine) -> None:
    """The wire must reach over the block's length and height; strips are sliced before they are cut."""
    for n, block in enumerate(order.blocks):
        reach = (
            ("along the block", block.length + 2.0 * machine.lead, machine.along),
            ("upwards", block.height, machine.up),
        )
        for what, need, have in reach:
            if need > have + SLACK:
                words = (
                    f"The machine {machine.name} has {have * MM:.0f} mm {what}; the block "
                    f"{quoted(block.name)} needs {need * MM:.0f} mm."
                )
                sheet.problems.note(("block", n), words, "Use a larger machine or a smaller block.")
    widest = max((piece.width for piece in order.pieces), default=0.0)
    if widest > machine.span - machine.near_gap + SLACK:
        words = f"The machine {machine.name} has a wire too short for a strip {widest * MM:.0f} mm wide."
        sheet.problems.note(("blank",), words, "Use a longer wire, or blanks in halves.")


def check_cutting(sheet: Opened, cutting: Cutting) -> None:
    """Note cuts of no width: they would be a wish, not a way to cut."""
    if cutting.kerf <= 0.0 and not sheet.problems.noted(("kerf",)):
        sheet.problems.note(("kerf",), "A cut of no width cannot be made.", "Measure it on a test piece.")
