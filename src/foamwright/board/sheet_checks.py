"""Numbers of a board sheet that read well one by one, and cannot stand together."""

from __future__ import annotations

from foamwright.board.numbers import BoardNumbers, TailKind
from foamwright.board.tail_words import CORNERED, NOTCHED, POINTED
from foamwright.board.written import BoardSheet, OutlineTable
from foamwright.findings import said
from foamwright.sheets.locate import Path
from foamwright.sheets.mark_checks import check_most, check_own_place, check_rocker, shown
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.shape_problems import missing
from foamwright.stations import Mark

Opened = OpenSheet[BoardSheet]


def check_board(sheet: Opened, board: BoardNumbers) -> None:
    """Note every contradiction between the numbers of a board."""
    check_most(sheet, ("outline",), board.outline, Mark(0.0, board.wide, "wide"))
    check_own_place(sheet, ("outline", "wide_at"), board.outline, board.wide_at)
    check_most(sheet, ("thickness",), board.thickness, Mark(0.0, board.thickest, "thickest"))
    check_own_place(sheet, ("thickness", "thickest_at"), board.thickness, board.thickest_at)
    check_rocker(sheet, ("rocker",), board.rocker)
    _check_tail(sheet, sheet.written.outline)
    _check_channels(sheet)
    _check_fins(sheet)


def _check_tail(sheet: Opened, outline: OutlineTable) -> None:
    kind = outline.tail_form.kind if outline.tail_form else TailKind.SQUARE
    if kind is None or sheet.problems.noted(("outline",)):
        return
    if kind in POINTED:
        _check_point(sheet, kind, outline.tail)
    else:
        _check_block(sheet, kind, outline)
    _check_corner(sheet, kind, outline)
    _check_depth(sheet, kind, outline)


def _check_point(sheet: Opened, kind: TailKind, tail: float | None) -> None:
    if tail is not None and tail > 0:
        sheet.problems.note(
            ("outline", "tail"),
            said(
                "sheet.tail-width",
                "A {kind} tail has no width at the tip, and this one has {width}.",
                kind=str(kind),
                width=shown(tail, sheet.unit),
            ),
            said(
                "sheet.tail-width.remedy",
                "Write tail = 0, or another tail_form (square, squash, swallow, diamond).",
            ),
        )


def _check_block(sheet: Opened, kind: TailKind, outline: OutlineTable) -> None:
    path: Path = ("outline", "tail")
    if outline.tail is None:
        both = said("sheet.missing-tail", "“tail” and “tail_form” are missing.")
        remedy = said(
            "sheet.missing-tail.remedy",
            'Add tail = "5 1/2", the width of the block at the tip, or tail_form = "round" for none.',
        )
        sheet.problems.note(path, missing("tail") if outline.tail_form else both, remedy)
    elif outline.tail == 0 and outline.tail_form is None:
        sheet.problems.note(
            ("outline", "tail_form"),
            missing("tail_form"),
            said(
                "sheet.missing-form.remedy",
                'A tail of no width is a pin, a round or a rounded pin: add tail_form = "round".',
            ),
        )
    elif outline.tail == 0:
        sheet.problems.note(
            path,
            said("sheet.tail-block", "A {kind} tail has a width at the tip.", kind=str(kind)),
            said("sheet.tail-block.remedy", "Give the width of its block, or a pin or round tail_form."),
        )


def _check_corner(sheet: Opened, kind: TailKind, outline: OutlineTable) -> None:
    corner, path = outline.tail_corner, ("outline", "tail_corner")
    if corner is None:
        return
    if kind not in CORNERED:
        sheet.problems.note(
            path,
            said("sheet.no-corners", "A {kind} tail has no corners to round.", kind=str(kind)),
            said("sheet.no-corners.remedy", "Leave tail_corner away."),
        )
    elif outline.tail is not None and corner > outline.tail / 2:
        sheet.problems.note(
            path,
            said(
                "sheet.corner",
                "A corner of {corner} is more than half the tail ({half}).",
                corner=shown(corner, sheet.unit),
                half=shown(outline.tail / 2, sheet.unit),
            ),
            said("sheet.corner.remedy", "Make the corner smaller, or the tail wider."),
        )


def _check_depth(sheet: Opened, kind: TailKind, outline: OutlineTable) -> None:
    path = ("outline", "tail_depth")
    if kind in NOTCHED and outline.tail_depth is None:
        notch = said("sheet.missing-depth.notch", "Add the length of its notch.")
        point = said("sheet.missing-depth.point", "Add the length of its point.")
        sheet.problems.note(
            path,
            said("sheet.missing-depth", "“tail_depth” is missing for a {kind} tail.", kind=str(kind)),
            notch if kind is TailKind.SWALLOW else point,
        )
    elif kind not in NOTCHED and outline.tail_depth is not None:
        sheet.problems.note(
            path,
            said("sheet.no-depth", "A {kind} tail has no depth.", kind=str(kind)),
            said("sheet.no-depth.remedy", "Leave tail_depth away, or say swallow or diamond."),
        )


def _check_channels(sheet: Opened) -> None:
    bottom = sheet.written.bottom
    for n, table in enumerate(bottom.contour if bottom else []):
        if table.count is not None and table.count % 2:
            sheet.problems.note(
                ("bottom", "contour", n, "count"),
                said(
                    "sheet.channels-odd",
                    "{count} channels are not alike on both sides.",
                    count=str(table.count),
                ),
                said("sheet.channels-odd.remedy", "Count both sides together: 2, 4, 6 or 8."),
            )


def _check_fins(sheet: Opened) -> None:
    fins, path = sheet.written.fins, ("fins",)
    if fins is None:
        return
    if fins.layout and fins.box:
        sheet.problems.note(
            path,
            said("sheet.fins-twice", "There are a layout and boxes too."),
            said("sheet.fins-twice.remedy", "Keep the layout, or the boxes."),
        )
    if not fins.layout and not fins.box and not sheet.problems.noted(path, ("fins", "box")):
        sheet.problems.note(
            path,
            said("sheet.no-fins", "There is nothing in it."),
            said("sheet.no-fins.remedy", 'Add layout = "three", or boxes as [[fins.box]].'),
        )
    for place, box in enumerate(fins.box):
        if box.offset > sheet.written.outline.wide / 2:
            sheet.problems.note(
                ("fins", "box", place, "offset"),
                said(
                    "sheet.box-outside",
                    "{offset} from the stringer is outside the board.",
                    offset=shown(box.offset, sheet.unit),
                ),
                said("sheet.box-outside.remedy", "Measure from the stringer."),
            )
