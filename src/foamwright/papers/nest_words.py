"""What a nested order says in words: the answer, its proof, what each block holds, the cuts in order."""

from __future__ import annotations

from collections import Counter

from foamwright.making.nest.layout import MONEY, LaidBlock, LaidStrip, Layout
from foamwright.making.nest.order import Least, Order, Tool
from foamwright.units import INCH, System, format_with_unit


def answer_lines(layout: Layout) -> list[str]:
    """Return the answer and its proof in sentences."""
    order, chosen = layout.order, layout.chosen
    blanks = sum(piece.count // 2 if piece.halves else piece.count for piece in order.pieces)
    money = f"{layout.price:,.2f} {order.currency}"
    lines = [
        f"{order.name}: {blanks} blanks from {_blocks(layout.count)} ({_kinds(layout)}), {money}; "
        f"{layout.share:.0%} of the foam becomes blanks."
    ]
    if chosen.cost == chosen.bound:
        what = "fewer blocks" if order.least is Least.BLOCKS else "less money"
        lines.append(f"Proved: no layout of this kind takes {what}.")
    else:
        lines.append(f"Proved: no layout of this kind takes less than {_cost(order, chosen.bound)}, "
                     f"{chosen.gap:.1%} below this one.")  # fmt: skip
    if chosen.first_fit is not None:
        lines.append(f"First-fit decreasing takes {_cost(order, chosen.first_fit)}.")
    return lines


def _cost(order: Order, cost: int) -> str:
    return _blocks(cost) if order.least is Least.BLOCKS else f"{cost / MONEY:,.2f} {order.currency}"


def _blocks(count: int) -> str:
    return f"{count} block{'' if count == 1 else 's'}"


def _kinds(layout: Layout) -> str:
    kinds: Counter[str] = Counter()
    for block in layout.blocks:
        kinds[block.block.name] += block.times
    return ", ".join(f"{times} {name}" for name, times in kinds.items())


def way_rows(layout: Layout) -> list[tuple[str, ...]]:
    """Return a row for every way a block is cut."""
    return [
        (
            str(block.number),
            str(block.times),
            block.block.name,
            str(len(block.strips)),
            content_words(layout.order, block),
            f"{block.share(layout.order):.0%}",
        )
        for block in layout.blocks
    ]


def content_words(order: Order, block: LaidBlock) -> str:
    """Return what one block gives: ``3 Q-6-4, 5 halves Q-6-8``."""
    found: Counter[tuple[str, bool]] = Counter((piece.blank, piece.halves) for piece in block.pieces(order))
    return ", ".join(
        f"{times} {('half ' if times == 1 else 'halves ') if halves else ''}{name}"
        for (name, halves), times in found.items()
    )


def slicing_words(layout: Layout, block: LaidBlock, system: System) -> str:
    """Return how a block is sliced."""
    cutting = layout.order.cutting
    cuts = [strip.stop for strip in block.strips]
    places = ", ".join(format_with_unit(cut, system) for cut in cuts)
    return (
        f"Trim {format_with_unit(cutting.margin, system)} off the near face, then slice at {places} from "
        f"where the near face was; each slice loses {format_with_unit(cutting.slicing, system)} beyond it."
    )


def cutting_words(layout: Layout, system: System) -> str:
    """Return in which order the pieces of a strip are cut."""
    cutting = layout.order.cutting
    way = "the wire" if cutting.tool is Tool.WIRE else "the saw"
    return (
        "Cut each strip from the top down, in the order of its list: the deck of a piece from end to end, "
        "lift the offcut off, then its bottom, and take the piece away. "
        f"Run {way} outside the line by half the kerf of {_kerf(cutting.kerf, system)}. Strips drawn "
        f"together are cut alike: where {way} reaches across them, cut them first and slice them after."
    )


def _kerf(metres: float, system: System) -> str:
    """Return a kerf, which is finer than a tape's marks."""
    return f"{metres / INCH:.3f} in" if system is System.INCH else f"{metres * 1000:.1f} mm"


def strip_title(strips: tuple[LaidStrip, ...], system: System) -> str:
    """Return the name of strips that are cut alike, with their width."""
    names = ", ".join(strip.name for strip in strips)
    width = format_with_unit(strips[0].width, system)
    return f"Strip{'s' if len(strips) > 1 else ''} {names}, {width} wide"
