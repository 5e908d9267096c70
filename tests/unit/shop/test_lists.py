"""Suppliers' lists: the same blanks from CSV and XLSX, every bad row explained, nothing bursts."""

from __future__ import annotations

import io
import zipfile
from datetime import date

import pytest
from openpyxl import Workbook

from foamwright.blank.sheet import stock_from_text
from foamwright.shop.list_files import MOST_BYTES, MOST_ROWS
from foamwright.shop.lists import ListForm, read_list
from foamwright.shop.told import ShopError
from foamwright.units import Unit

FORM = ListForm(Unit.INCH, "EUR")
COLUMNS = [
    "id", "foam", "section", "length", "width", "Rocker Nose", "rocker 12 from nose", "rocker 12 from tail",
    "rocker tail", "thickness", "stringer wood", "stringer width", "price", "on hand",
]  # fmt: skip
GOOD = [
    "Q-6-8-2.75",
    "eps 24 kg/m3",
    "square",
    "6'8\"",
    22,
    5.0,
    2.15,
    0.8,
    2.0,
    "2 3/4",
    "basswood",
    "1/8",
    78,
    3,
]


def with_cells(**cells):
    row = list(GOOD)
    for column, cell in cells.items():
        row[[c.casefold().replace(" ", "_") for c in COLUMNS].index(column)] = cell
    return row


def as_csv(*rows, separator=";"):
    def cell(value):
        text = "" if value is None else str(value)
        return '"' + text.replace('"', '""') + '"' if separator in text or '"' in text else text

    return "\r\n".join(separator.join(map(cell, row)) for row in rows)


def as_xlsx(*rows):
    book, stream = Workbook(), io.BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(stream)
    return stream.getvalue()


def read(data, name="list.csv", form=FORM):
    return read_list(name, data.encode() if isinstance(data, str) else data, form)


def said(listed):
    return [str(problem) for row in listed.bad for problem in row.problems]


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_a_csv_row_is_the_same_blank_as_in_a_stock_sheet(stock_sheet_text, separator, encoding):
    text = as_csv(COLUMNS, with_cells(stringer_wood="Fußholz"), separator=separator)
    (blank,) = read(text.encode(encoding)).blanks
    expected = stock_from_text(
        stock_sheet_text.replace('wood = "basswood", width = "1/8"', 'wood = "Fußholz", width = "1/8"'), "s"
    )[0]
    assert blank == expected


def test_an_xlsx_row_is_the_same_blank_as_in_a_stock_sheet(stock_sheet_text):
    listed = read(as_xlsx(COLUMNS, GOOD), "list.xlsx")
    assert listed.blanks == stock_from_text(stock_sheet_text, "s")[:1]
    assert listed.bad == ()


def test_a_domed_blank_with_an_outline_fits_in_a_row_too(stock_sheet_text):
    columns = [
        "id", "foam", "section", "length", "price", "on_hand", "stringer wood", "stringer width",
        *(f"{table} {place}" for table, places in {
            "thickness": ("nose", "12 from nose", "centre", "12 from tail", "tail"),
            "rocker": ("nose", "12 from nose", "12 from tail", "tail"),
            "outline": ("nose", "12 from nose", "wide", "wide_at", "12 from tail", "tail"),
            "dome": ("nose", "centre", "tail"),
        }.items() for place in places),
    ]  # fmt: skip
    row = ["M-6-9", "pu 35 kg/m3", "domed", "6'9\"", 96, 1, "basswood", "3/16", 1.6, 2.25, 3.0, 2.4, 1.7,
           5.4, 2.2, 0.95, 2.6, 6, 15.5, 22.75, "centre", 18, 11, 0.55, 0.7, 0.6]  # fmt: skip
    listed = read(as_csv(columns, row))
    assert listed.blanks == stock_from_text(stock_sheet_text, "s")[1:]


def test_every_bad_row_is_explained_at_its_row_and_column():
    listed = read(
        as_csv(
            COLUMNS,
            with_cells(foam="eps 24", rocker_12_from_nose="2,15"),
            GOOD,
            with_cells(id="P-2", price="cheap", on_hand=-1, section="round"),
            [],
            GOOD,
            [*with_cells(id="P-3"), "one too many"],
        )
    )
    assert [blank.id for blank in listed.blanks] == ["Q-6-8-2.75"]
    assert [row.number for row in listed.bad] == [2, 4, 6, 7]
    assert said(listed) == [
        "list.csv, row 2, foam: “eps 24” is not a foam and its density. "
        "Write it like “eps 24 kg/m3” or “pu 2.2 lb/ft3”.",
        "list.csv, row 2, rocker 12 from nose: “2,15” is not a length. "
        "A comma could mean two things; write the decimal with a point, like 187.5 mm.",
        "list.csv, row 4, section: “round” is not a section. It can be square, domed.",
        "list.csv, row 4, price: “cheap” is not a number. Write a price, like 78.",
        "list.csv, row 4, on_hand: -1 is not possible. How many there are is from 0 to 100000.",
        "list.csv, row 6, id: Q-6-8-2.75 stands in row 3 already. Keep one of them.",
        "list.csv, row 7: This row has more cells than there are columns. Check its separators.",
    ]


def test_what_a_spreadsheet_spoils_is_told():
    listed = read(
        as_xlsx(COLUMNS, with_cells(thickness=date(2026, 3, 4)), with_cells(id="B", price="#REF!")), "l.xlsx"
    )
    assert said(listed) == [
        "l.xlsx, row 2, thickness: The spreadsheet has made a date out of this cell. "
        "Format the column as text and write the fraction again, like 3/4.",
        "l.xlsx, row 3, price: This cell shows #REF!. Mend the formula, or write the number.",
    ]


def test_columns_are_checked_before_rows():
    with pytest.raises(ShopError) as refusal:
        read(as_csv(["id", "foam", "foam", "length", "pirce"], ["a", "b", "c", "d", "e"]))
    assert [str(p) for p in refusal.value.problems] == [
        "list.csv, row 1: Two columns are called “foam”. Take one away.",
        "list.csv, row 1: There is no column “section”. Add it; the columns are named in the help.",
        "list.csv, row 1: There is no column “price”. Add it; the columns are named in the help.",
        "list.csv, row 1: No blank has anything called “pirce”. Did you mean “price”?",
    ]


def test_a_row_says_its_own_unit_and_currency():
    columns = [*COLUMNS, "units", "currency"]
    mm = [
        "M",
        "eps 24 kg/m3",
        "square",
        2032,
        558.8,
        127,
        54.61,
        20.32,
        50.8,
        69.85,
        "basswood",
        3.175,
        78,
        3,
        "mm",
        "NZD",
    ]
    (metric,) = read(as_csv(columns, mm)).blanks
    (inches,) = read(as_csv(COLUMNS, GOOD)).blanks
    assert metric.currency == "NZD"
    assert metric.length == pytest.approx(inches.length, abs=1e-12)
    assert [m.value for m in metric.rocker] == pytest.approx([m.value for m in inches.rocker], abs=1e-12)


@pytest.mark.parametrize(
    ("data", "match"),
    [
        (b"", "has no rows"),
        (b"id;foam\n", "has no rows"),
        (b"\x80\x81\x8d\x00\x00", "not a text"),
        (b"PK\x03\x04 torn", "not a spreadsheet that can be read"),
        (b"x" * (MOST_BYTES + 1), "larger than 4 MB"),
        (b"id\n" + b"a\n" * (MOST_ROWS + 1), "more than 5000 rows"),
        (b";".join([b"c"] * 200) + b"\n1\n", "more than 80 columns"),
    ],
)
def test_files_that_are_no_list_are_refused_in_words(data, match):
    with pytest.raises(ShopError, match=match):
        read(data)


def test_a_zip_that_would_burst_is_refused_before_it_is_unpacked():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b"\0" * 70_000_000)
    assert len(stream.getvalue()) < 100_000
    with pytest.raises(ShopError, match="Unpacked, this file would be larger than 40 MB"):
        read(stream.getvalue(), "bomb.xlsx")


def test_a_zip_of_something_else_is_refused():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as packed:
        packed.writestr("letter.txt", "Dear all")
    with pytest.raises(ShopError, match="not a spreadsheet"):
        read(stream.getvalue(), "letter.zip")


def test_a_sheet_that_says_it_is_endless_is_read_to_the_limit():
    rows = [COLUMNS] + [with_cells(id=f"B{n}") for n in range(3)]
    data = as_xlsx(*rows)
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(stream, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name.endswith("sheet1.xml"):
                content = content.replace(b'<dimension ref="A1:N4"', b'<dimension ref="A1:XFD1048576"')
                assert b"XFD" in content
            target.writestr(name, content)
    assert len(read(stream.getvalue(), "l.xlsx").blanks) == 3
