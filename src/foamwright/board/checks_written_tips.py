"""What a board sheet says of its ends and cannot stand: tail numbers, tips, wings, beak."""

from __future__ import annotations

import math
from itertools import pairwise

from foamwright.board.numbers import BoardNumbers, TailKind, Wing
from foamwright.board.sheet_tips import given_numbers
from foamwright.board.tail_forms import FORMS, Limit, most_corner, tail_of
from foamwright.board.tail_words import POINTED, Corners
from foamwright.board.written import BoardSheet, OutlineTable
from foamwright.findings import said
from foamwright.sheets.locate import Path
from foamwright.sheets.mark_checks import shown
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.shape_problems import missing
from foamwright.units import INCH

Opened = OpenSheet[BoardSheet]

NEAREST, FARTHEST = 6 * INCH, 24 * INCH
"""Where a wing may lie, from the tail. Common practice, no source."""

MOST_WINGS = 2
"""So many wings an outline can carry. Common practice, no source."""

ROUNDING = 1e-7
"""Metres by which a number may miss its limit: a sheet in millimetres cannot write 1/8 in exactly."""


def check_ends(sheet: Opened, board: BoardNumbers) -> None:
    """Note every contradiction in what is said of the tail, the tips, the wings and the nose."""
    _check_tail(sheet, sheet.written.outline)
    _check_tips(sheet, board)
    _check_beak(sheet, board)
    _check_wings(sheet, board.wings)


def _check_tail(sheet: Opened, outline: OutlineTable) -> None:
    kind = outline.tail_form.kind if outline.tail_form else TailKind.SQUARE
    if kind is None or sheet.problems.noted(("outline",)):
        return
    if kind in POINTED:
        _check_point(sheet, kind, outline.tail)
    else:
        _check_block(sheet, kind, outline)
    for key, value in given_numbers(outline).items():
        if value is not None:
            _check_number(sheet, kind, key, value)
    if kind not in POINTED and outline.tail:
        _check_room(sheet, kind, outline)


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
                "Write tail = 0, or another tail_form (square, squash, diamond, crescent, bat, swallow).",
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


def _check_number(sheet: Opened, kind: TailKind, key: str, value: float) -> None:
    if math.isnan(value):
        # No number could be read there, and that is told already.
        return
    limit = FORMS.get(kind, {}).get(key)
    if limit is None:
        having = ", ".join(str(other) for other, keys in FORMS.items() if key in keys)
        sheet.problems.note(
            ("outline", key),
            said("sheet.no-tail-number", "A {kind} tail has no “{key}”.", kind=str(kind), key=key),
            said(
                "sheet.no-tail-number.remedy",
                "Leave it away, or say another tail_form ({forms}).",
                forms=having,
            ),
        )
    elif not _within(value, limit, sharp=key == "tail_corner" and _sharp(sheet)):
        sheet.problems.note(
            ("outline", key),
            said(
                "sheet.tail-number",
                "{value} is not a “{key}” of a {kind} tail: it lies between {least} and {most}.",
                value=shown(value, sheet.unit),
                key=key,
                kind=str(kind),
                least=shown(limit.least, sheet.unit),
                most=shown(limit.most, sheet.unit),
            ),
            said("sheet.tail-number.remedy", "{usual} is usual.", usual=shown(limit.usual, sheet.unit)),
        )


def _within(value: float, limit: Limit, *, sharp: bool) -> bool:
    return limit.least - ROUNDING <= value <= limit.most + ROUNDING or (sharp and value == 0.0)


def _sharp(sheet: Opened) -> bool:
    form = sheet.written.outline.tail_form
    return form is not None and form.corners is Corners.SHARP


def _check_room(sheet: Opened, kind: TailKind, outline: OutlineTable) -> None:
    """Corners too large for the tail, and tips that leave no crack."""
    width = outline.tail or 0.0
    tail = tail_of(kind, width, given_numbers(outline))
    most = most_corner(kind, width, tail.tip_width)
    if outline.tail_corner is not None and outline.tail_corner > most + ROUNDING:
        sheet.problems.note(
            ("outline", "tail_corner"),
            said(
                "sheet.corner",
                "Corners of {corner} do not fit: on this tail they can be {most} at most.",
                corner=shown(outline.tail_corner, sheet.unit),
                most=shown(most, sheet.unit),
            ),
            said("sheet.corner.remedy", "Make the corners smaller, or the tail wider."),
        )
    if kind is TailKind.SWALLOW and 2.0 * tail.tip_width >= width:
        sheet.problems.note(
            ("outline", "tail_tip_width" if outline.tail_tip_width is not None else "tail"),
            said(
                "sheet.no-crack",
                "Two tips of {tip} leave no crack in a tail of {width}.",
                tip=shown(tail.tip_width, sheet.unit),
                width=shown(width, sheet.unit),
            ),
            said(
                "sheet.no-crack.remedy",
                "tail is the width from tip to tip: make it more than {least}, or the tips narrower.",
                least=shown(2.0 * tail.tip_width, sheet.unit),
            ),
        )


def _check_tips(sheet: Opened, board: BoardNumbers) -> None:
    written, path = sheet.written.thickness, ("thickness",)
    if written.tail_tip is None:
        if written.tail is None and not sheet.problems.noted(path):
            sheet.problems.note(
                (*path, "tail"),
                missing("tail"),
                said("sheet.missing-tail-thickness.remedy", 'Add tail = "5/8": thickness at the tail tip.'),
            )
        return
    if board.tail.kind is not TailKind.SWALLOW:
        sheet.problems.note(
            (*path, "tail_tip"),
            said("sheet.tail-tip-form", "Only a swallow tail has tips of their own thickness."),
            said("sheet.tail-tip-form.remedy", "Write tail, the thickness at the stringer, instead."),
        )
    elif written.tail is not None:
        sheet.problems.note(
            (*path, "tail_tip"),
            said("sheet.tail-tip-twice", "There are “tail” and “tail_tip”; both say how thick the tail is."),
            said("sheet.tail-tip-twice.remedy", "Keep tail_tip: in a notch there is no stringer to measure."),
        )


def _check_beak(sheet: Opened, board: BoardNumbers) -> None:
    written, path = sheet.written.thickness, ("thickness",)
    beak = written.nose_beak
    if beak is None:
        if written.nose is None and not sheet.problems.noted(path):
            sheet.problems.note(
                (*path, "nose"),
                missing("nose"),
                said("sheet.missing-nose-thickness.remedy", 'Add nose = "1/2": thickness at the nose tip.'),
            )
        return
    if written.nose is not None:
        sheet.problems.note(
            (*path, "nose_beak"),
            said("sheet.beak-twice", "There are “nose” and “nose_beak”; both say how thick the nose is."),
            said("sheet.beak-twice.remedy", "Keep nose_beak with its tip, and leave nose away."),
        )
    if beak.tip >= beak.thickness:
        sheet.problems.note(
            (*path, "nose_beak"),
            said(
                "sheet.beak-tip",
                "A tip of {tip} is not thinner than the beak where it begins ({thick}).",
                tip=shown(beak.tip, sheet.unit),
                thick=shown(beak.thickness, sheet.unit),
            ),
            said("sheet.beak-tip.remedy", "Make the tip thinner, or leave the beak away and give nose."),
        )
    begins = board.length - beak.length
    for mark in board.thickness:
        if mark.place != "nose_beak" and mark.x >= begins - 1e-6:
            sheet.problems.note(
                (*path, mark.place),
                said(
                    "sheet.beak-station", "This place lies in the beak, whose roll gives the thickness there."
                ),
                said("sheet.beak-station.remedy", "Leave this thickness away, or make the beak shorter."),
            )


def _check_wings(sheet: Opened, wings: tuple[Wing, ...]) -> None:
    path: Path = ("outline", "wing")
    if len(wings) > MOST_WINGS:
        sheet.problems.note(
            path,
            said("sheet.wings", "{count} wings are more than an outline can carry.", count=str(len(wings))),
            said("sheet.wings.remedy", "Keep two at most."),
        )
    for place, wing in enumerate(wings):
        if wing.x < NEAREST - ROUNDING or wing.x > FARTHEST + ROUNDING:
            sheet.problems.note(
                (*path, place, "at"),
                said(
                    "sheet.wing-place",
                    "A wing lies between {least} and {most} from the tail.",
                    least=shown(NEAREST, sheet.unit),
                    most=shown(FARTHEST, sheet.unit),
                ),
                said("sheet.wing-place.remedy", "Usual is about 14 in, before the fins."),
            )
    for aft, fore in pairwise(wings):
        if fore.x - fore.length < aft.x:
            sheet.problems.note(
                path,
                said("sheet.wings-meet", "The two wings run into one another."),
                said("sheet.wings-meet.remedy", "Move them apart."),
            )
