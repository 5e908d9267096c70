"""Numbers of a stock sheet that read well one by one, and cannot stand together."""

from __future__ import annotations

from foamwright.blank.foam_words import CUSTOMS
from foamwright.blank.numbers import BlankNumbers, Section
from foamwright.blank.written import BlankTable, StockSheet, ThicknessTable
from foamwright.findings import said
from foamwright.sheets.locate import Path
from foamwright.sheets.mark_checks import check_most, check_own_place, check_rocker
from foamwright.sheets.opening import OpenSheet
from foamwright.sheets.shape_problems import missing
from foamwright.stations import Mark
from foamwright.units import quoted

Opened = OpenSheet[StockSheet]


def check_ids(sheet: Opened) -> None:
    """Note an empty stock, and every name that two blanks share."""
    blanks = sheet.written.blank
    if not blanks and isinstance(sheet.problems.document.tree.get("blank"), list):
        sheet.problems.note(
            ("blank",),
            said("sheet.no-blank", "There is no blank in this stock."),
            said("sheet.no-blank.remedy", "Add one as [[blank]]."),
        )
    first: dict[str, int] = {}
    for n, blank in enumerate(blanks):
        if blank.id and first.setdefault(blank.id, n) != n:
            line = sheet.problems.document.line(("blank", first[blank.id], "id"))
            sheet.problems.note(
                ("blank", n, "id"),
                said(
                    "sheet.blank-twice",
                    "{name} is the name of another blank too (line {line}).",
                    name=quoted(blank.id),
                    line=str(line),
                ),
                said(
                    "sheet.blank-twice.remedy",
                    "Give each blank its own name; several of one kind are on_hand.",
                ),
            )


def check_blank(sheet: Opened, place: int, blank: BlankNumbers) -> None:
    """Note every contradiction between the numbers of one blank."""
    path, written = ("blank", place), sheet.written.blank[place]
    if blank.wide is not None:
        check_most(sheet, (*path, "outline"), blank.outline, Mark(0.0, blank.wide, "wide"))
        check_own_place(sheet, (*path, "outline", "wide_at"), blank.outline, blank.wide_at)
    check_rocker(sheet, (*path, "rocker"), blank.rocker)
    _check_width(sheet, path, written)
    _check_thickness(sheet, path, written.thickness)
    _check_dome(sheet, path, written)
    _check_stringer(sheet, path, written)
    _check_hard_face(sheet, path, written, blank)


def _check_width(sheet: Opened, path: Path, written: BlankTable) -> None:
    if written.width is not None and written.outline is not None:
        sheet.problems.note(
            (*path, "width"),
            said("sheet.width-twice", "There are a width and an outline too."),
            said("sheet.keep-one", "Keep one of them."),
        )
    elif written.width is None and written.outline is None:
        sheet.problems.note(
            path,
            missing("width"),
            said("sheet.width.remedy", "Add width = 22, or widths at stations as [blank.outline]."),
        )
    outline = written.outline
    if outline is not None and outline.wide_at is not None and outline.wide is None:
        remedy = said("sheet.wide.remedy", "Say how wide it is there.")
        sheet.problems.note((*path, "outline", "wide_at"), missing("wide"), remedy)


def _check_thickness(sheet: Opened, path: Path, table: ThicknessTable) -> None:
    path = (*path, "thickness")
    if table.everywhere is not None:
        if table.stations:
            sheet.problems.note(
                path,
                said("sheet.thickness-twice", "There is one thickness and stations too."),
                said("sheet.keep-one", "Keep one of them."),
            )
        return
    if sheet.problems.noted(path, (*path, "everywhere")):
        return
    for tip, remedy in _AT_TIPS.items():
        if getattr(table, tip) is None:
            sheet.problems.note((*path, tip), missing(tip), remedy)


_AT_TIPS = {
    "nose": said("sheet.thickness-nose.remedy", "Add the thickness at the nose tip."),
    "tail": said("sheet.thickness-tail.remedy", "Add the thickness at the tail tip."),
}


def _check_dome(sheet: Opened, path: Path, written: BlankTable) -> None:
    if sheet.problems.noted((*path, "section"), (*path, "dome")):
        return
    if written.section is Section.DOMED and written.dome is None:
        remedy = said(
            "sheet.missing-dome.remedy",
            "Add [blank.dome]: thickness at the edge as a share of the stringer's, at stations.",
        )
        what = said("sheet.missing-dome", "“dome” is missing for a domed blank.")
        sheet.problems.note((*path, "dome"), what, remedy)
    elif written.section is Section.SQUARE and written.dome is not None:
        sheet.problems.note(
            (*path, "dome"),
            said("sheet.square-dome", "A square blank has no dome."),
            said("sheet.square-dome.remedy", 'Take it away, or say section = "domed".'),
        )


def _check_stringer(sheet: Opened, path: Path, written: BlankTable) -> None:
    stringer, path = written.stringer, (*path, "stringer")
    if sheet.problems.noted(path, (*path, "wood")):
        return
    none = stringer.wood.strip().casefold() == "none"
    if none and stringer.width:
        sheet.problems.note(
            (*path, "width"),
            said("sheet.no-stringer", "No stringer has no width."),
            said("sheet.no-stringer.remedy", "Name its wood, or take width away."),
        )
    elif not none and stringer.width is None:
        sheet.problems.note(
            path,
            missing("width"),
            said("sheet.stringer.remedy", 'Add it, like width = "1/8", or say stringer = "none".'),
        )


def _check_hard_face(sheet: Opened, path: Path, written: BlankTable, blank: BlankNumbers) -> None:
    if sheet.problems.noted((*path, "hard_face"), (*path, "foam")):
        return
    if written.hard_most is not None and blank.hard_face is None:
        sheet.problems.note(
            (*path, "hard_most"),
            said("sheet.no-hard-face", "This foam has no hard face."),
            said("sheet.no-hard-face.remedy", 'Say hard_face = "deck" too.'),
        )
    elif (
        written.hard_most is None
        and blank.hard_face is not None
        and blank.hard_face is not CUSTOMS[blank.foam.family].hard_face
    ):
        sheet.problems.note(
            (*path, "hard_face"),
            missing("hard_most"),
            said("sheet.hard-most.remedy", 'Say how much may come off, like hard_most = "1/4".'),
        )
