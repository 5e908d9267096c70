"""Tables to be edited: CSV as the reader's spreadsheet writes it, and XLSX; the same bytes each time."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

ZIP_TIME = (1980, 1, 1, 0, 0, 0)
"""The earliest time a zip file can say."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number with as many decimals as it is worth."""

    value: float
    places: int

    def written(self) -> str:
        """Return it with a point and without a negative nought."""
        text = f"{self.value:.{self.places}f}"
        return f"{0.0:.{self.places}f}" if float(text) == 0.0 else text


Cell = str | Number


@dataclass(frozen=True, slots=True)
class Table:
    """Heads, rows, and lines for people that stand below."""

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    lines: tuple[str, ...] = ()


def csv_bytes(table: Table, *, comma: bool = False) -> bytes:
    """Return UTF-8 CSV; with `comma` cells are parted by semicolons and decimals by commas."""
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, delimiter=";" if comma else ",", lineterminator="\n")
    writer.writerow(table.heads)
    for row in table.rows:
        writer.writerow([_word(cell, comma) for cell in row])
    stream.writelines(f"{line}\n" for line in table.lines)
    return stream.getvalue().encode()


def _word(cell: Cell, comma: bool) -> str:
    if isinstance(cell, str):
        return cell
    return cell.written().replace(".", ",") if comma else cell.written()


def xlsx_bytes(table: Table) -> bytes:
    """Return the table as a workbook of one sheet (ECMA-376, Office Open XML), numbers as numbers.

    Written here, because the library that reads such files puts the clock into every one that it writes.
    """
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in (*_FRAME, ("xl/styles.xml", _styles(table)), (_SHEET, _sheet(table))):
            archive.writestr(zipfile.ZipInfo(name, ZIP_TIME), _HEAD + text, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_SHEET = "xl/worksheets/sheet1.xml"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"


def _relations(*targets: tuple[str, str]) -> str:
    kept = "".join(
        f'<Relationship Id="r{number}" Type="{_OFFICE}/{kind}" Target="{target}"/>'
        for number, (kind, target) in enumerate(targets, 1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{kept}</Relationships>'


_FRAME = (
    (
        "[Content_Types].xml",
        f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_KIND}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_KIND}.styles+xml"/>'
        f'<Override PartName="/{_SHEET}" ContentType="{_KIND}.worksheet+xml"/></Types>',
    ),
    ("_rels/.rels", _relations(("officeDocument", "xl/workbook.xml"))),
    (
        "xl/_rels/workbook.xml.rels",
        _relations(("worksheet", "worksheets/sheet1.xml"), ("styles", "styles.xml")),
    ),
    (
        "xl/workbook.xml",
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}">'
        '<sheets><sheet name="stations" sheetId="1" r:id="r1"/></sheets></workbook>',
    ),
)


def _places(table: Table) -> list[int]:
    return sorted({cell.places for row in table.rows for cell in row if isinstance(cell, Number)})


def _styles(table: Table) -> str:
    """One style for each count of decimals; the first is plain text."""
    known = _places(table)
    forms = "".join(
        f'<numFmt numFmtId="{164 + n}" formatCode="0{"." if places else ""}{"0" * places}"/>'
        for n, places in enumerate(known)
    )
    cells = "".join(
        f'<xf numFmtId="{number}" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>'
        for number in (0, *(164 + n for n in range(len(known))))
    )
    return (
        f'<styleSheet xmlns="{_MAIN}"><numFmts count="{len(known)}">{forms}</numFmts>'
        '<fonts count="1"><font><sz val="11"/><name val="Calibri"/></font></fonts>'
        '<fills count="2"><fill><patternFill patternType="none"/></fill>'
        '<fill><patternFill patternType="gray125"/></fill></fills>'
        '<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>'
        '<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>'
        f'<cellXfs count="{1 + len(known)}">{cells}</cellXfs>'
        '<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles></styleSheet>'
    )


def _sheet(table: Table) -> str:
    styles = {places: number for number, places in enumerate(_places(table), 1)}
    rows: list[Sequence[Cell]] = [table.heads, *table.rows, *((line,) for line in table.lines)]
    written = "".join(
        f'<row r="{y}">{"".join(_cell(cell, x, y, styles) for x, cell in enumerate(row))}</row>'
        for y, row in enumerate(rows, 1)
    )
    pane = '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>'
    view = f'<sheetViews><sheetView workbookViewId="0">{pane}</sheetView></sheetViews>'
    widths = f'<cols><col min="1" max="{len(table.heads)}" width="18" customWidth="1"/></cols>'
    return f'<worksheet xmlns="{_MAIN}">{view}{widths}<sheetData>{written}</sheetData></worksheet>'


def _cell(cell: Cell, x: int, y: int, styles: dict[int, int]) -> str:
    place = f"{chr(ord('A') + x)}{y}"
    if isinstance(cell, Number):
        return f'<c r="{place}" s="{styles[cell.places]}"><v>{cell.written()}</v></c>'
    return f'<c r="{place}" t="inlineStr"><is><t xml:space="preserve">{escape(cell)}</t></is></c>'
