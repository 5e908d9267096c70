"""Numbers of a board sheet that read well one by one, and cannot stand together."""

from __future__ import annotations

from foamwright.board.checks_written_tips import check_ends
from foamwright.board.numbers import BoardNumbers
from foamwright.board.written import BoardSheet
from foamwright.findings import said
from foamwright.sheets.mark_checks import check_most, check_own_place, check_rocker, shown
from foamwright.sheets.opening import OpenSheet
from foamwright.stations import Mark

Opened = OpenSheet[BoardSheet]


def check_board(sheet: Opened, board: BoardNumbers) -> None:
    """Note every contradiction between the numbers of a board."""
    check_most(sheet, ("outline",), board.outline, Mark(0.0, board.wide, "wide"))
    check_own_place(sheet, ("outline", "wide_at"), board.outline, board.wide_at)
    check_most(sheet, ("thickness",), board.thickness, Mark(0.0, board.thickest, "thickest"))
    check_own_place(sheet, ("thickness", "thickest_at"), board.thickness, board.thickest_at)
    check_rocker(sheet, ("rocker",), board.rocker)
    check_ends(sheet, board)
    _check_channels(sheet)
    _check_fins(sheet)


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
