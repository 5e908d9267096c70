"""Pages rasterised by poppler at 300 dpi and measured in pixels: what is printed has the size it says."""

import shutil
import subprocess

import numpy as np
import pytest

from foamwright.papers.drawing import Document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.tiling import OVERLAP, Paper, tiled
from foamwright.papers.tiling_pages import full_size_sheets, millimetre_bar_place

DPI = 300
MM_PER_PIXEL = 25.4 / DPI
TOLERANCE = 0.2

pytestmark = pytest.mark.skipif(
    shutil.which("pdftoppm") is None,
    reason="pdftoppm (poppler-utils) is not installed: true size cannot be measured",
)


@pytest.fixture(scope="module", params=list(Paper), ids=lambda paper: paper.name)
def paper(request):
    return request.param


@pytest.fixture(scope="module")
def raster(paper, outline, tmp_path_factory):
    """A function from page label to ink (True where dark), row 0 at the top."""
    folder = tmp_path_factory.mktemp("pages")
    sheets = full_size_sheets(outline.pages[paper], paper)
    (folder / "outline.pdf").write_bytes(pdf_bytes(Document("Outline", sheets)))

    def page(label):
        number = next(i for i, sheet in enumerate(sheets, 1) if sheet.title.endswith(f"page {label}"))
        name = f"page-{label}"
        command = ["pdftoppm", "-r", str(DPI), "-gray", "-f", str(number), "-singlefile"]
        subprocess.run([*command, "outline.pdf", name], cwd=folder, check=True)
        return read_grey(folder / f"{name}.pgm") < 128

    return page


def read_grey(path):
    magic, size, top, pixels = path.read_bytes().split(b"\n", 3)
    width, height = map(int, size.split())
    assert (magic, top) == (b"P5", b"255")
    return np.frombuffer(pixels, np.uint8).reshape(height, width)


def middles(ink):
    """Middles of the dark runs in a row or column of pixels, mm from its start."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], ink.astype(np.int8), [0]))))
    return edges.reshape(-1, 2).mean(axis=1) * MM_PER_PIXEL


def row_at(ink, y):
    """The row of pixels `y` mm above the lower edge of the page."""
    return ink[ink.shape[0] - 1 - round(y / MM_PER_PIXEL)]


def column_at(ink, x):
    """The column `x` mm from the left edge, from the lower edge upwards."""
    return ink[::-1, round(x / MM_PER_PIXEL)]


def test_the_page_is_as_large_as_the_paper(raster, paper, outline):
    (tiling,) = tiled(outline.pages[paper].drawings, paper)
    height, width = raster(f"{rows(tiling)}-4").shape
    sides = sorted((width * MM_PER_PIXEL, height * MM_PER_PIXEL))
    assert sides == pytest.approx(list(paper.value), abs=0.1)


def test_both_scale_bars_measure_what_they_say(raster, paper, outline):
    (tiling,) = tiled(outline.pages[paper].drawings, paper)
    ink = raster(f"{rows(tiling)}-4")
    x, y = millimetre_bar_place(tiling.page)
    for foot, length in ((y, 100.0), (y - 10.5, 101.6)):
        # Just below the bar only its two end strokes reach.
        reach = round((x + length + 5.0) / MM_PER_PIXEL)
        ends = middles(row_at(ink, foot - 0.5)[:reach])
        assert len(ends) == 2
        assert ends[1] - ends[0] == pytest.approx(length, abs=TOLERANCE)


def test_half_widths_on_the_page_are_those_of_the_board(raster, paper, outline, numbers):
    (tiling,) = tiled(outline.pages[paper].drawings, paper)
    tile = next(tile for tile in tiling.tiles if str(tile.place) == f"{rows(tiling)}-{columns(tiling)}")
    window = tiling.page.window
    ink = raster(str(tile.place))
    stringer = window.bottom - tile.window.bottom
    # Below the strip that the page above shows too: a registration mark may stand there.
    top = window.top - OVERLAP - 1.0
    for x in (1850.0, 1870.0, 1890.0, 1910.0):
        column = column_at(ink, window.left + x - tile.window.left)
        low, high = round((stringer - 2.0) / MM_PER_PIXEL), round(top / MM_PER_PIXEL)
        lines = middles(column[low:high]) + low * MM_PER_PIXEL
        drawn = lines[-1] - lines[0]
        assert drawn == pytest.approx(1000 * float(numbers.half_width(x / 1000)), abs=TOLERANCE), x


def test_stations_are_where_a_tape_finds_them(raster, paper, outline, board):
    (tiling,) = tiled(outline.pages[paper].drawings, paper)
    checked = 0
    for label in (f"{rows(tiling)}-{column}" for column in (2, 5, columns(tiling))):
        tile = next(tile for tile in tiling.tiles if str(tile.place) == label)
        window = tiling.page.window
        row = row_at(raster(label), window.bottom - tile.window.bottom + 2.0)
        left, right = round((window.left + 1.0) / MM_PER_PIXEL), round((window.right - 1.0) / MM_PER_PIXEL)
        ticks = middles(row[left:right]) + left * MM_PER_PIXEL - window.left + tile.window.left
        places = [1000 * station.x for station in board.stations]
        wanted = [x for x in places[1:-1] if tile.window.left + 2.0 < x < tile.window.right - 2.0]
        for x in wanted:
            assert np.abs(ticks - x).min() < TOLERANCE, (label, x)
        checked += len(wanted)
    assert checked >= 4


def test_neighbouring_pages_meet_at_their_marks(raster, paper, outline):
    (tiling,) = tiled(outline.pages[paper].drawings, paper)
    tiles = {str(tile.place): tile for tile in tiling.tiles}
    window = tiling.page.window
    found = []
    for label in ("1-4", "1-5"):
        ink, tile = raster(label), tiles[label]
        # The outline just inside the strip both pages show, in the board's own millimetres.
        middle = tiles["1-5"].window.left + 1.2
        column = column_at(ink, window.left + middle - tile.window.left)
        low, high = round((window.bottom + 30.0) / MM_PER_PIXEL), round((window.top - 1.0) / MM_PER_PIXEL)
        height = middles(column[low:high])[-1]
        found.append(height + low * MM_PER_PIXEL - window.bottom + tile.window.bottom)
    assert found[0] == pytest.approx(found[1], abs=TOLERANCE)


def rows(tiling):
    return max(tile.place.row for tile in tiling.tiles)


def columns(tiling):
    return max(tile.place.column for tile in tiling.tiles)
