"""The export job: formats by ending, what needs a stock, nothing written when it refuses."""

import argparse
import io
import sys
import tempfile
import zipfile
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import ezdxf
import numpy as np
import openpyxl
import pytest
import trimesh
from ezdxf import bbox

from foamwright.blank.blank import blank_of
from foamwright.blank.sheet import read_stock
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.cli.commands import export as command
from foamwright.errors import InputError, NoAnswerError
from foamwright.exchange.readings_csv import numbers_of_form
from foamwright.jobs.export import ExportOrder, export_job
from foamwright.jobs.export_asked import ExportWords
from foamwright.units import INCH, System

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
BOARD, STOCK = DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml"


@pytest.mark.parametrize("ending", [".stl", ".obj", ".3mf", ".dxf", ".svg", ".csv", ".xlsx"])
def test_the_same_board_gives_the_same_bytes(ending):
    first = export_job(BOARD, Path(f"board{ending}"), ExportOrder())
    assert first == export_job(BOARD, Path(f"board{ending.upper()}"), ExportOrder())
    assert len(first) > 300


def test_the_dxf_is_at_full_size(tmp_path):
    path = tmp_path / "board.dxf"
    path.write_bytes(export_job(BOARD, path, ExportOrder()))
    document = ezdxf.readfile(path)
    outline = [e for e in document.modelspace() if e.dxf.layer == "outline"]
    box = bbox.extents(outline)
    assert box.size.x == pytest.approx(1930.4, abs=0.01)
    assert box.extmax.y == pytest.approx(517.525 / 2.0, abs=0.01)


@pytest.mark.parametrize("what", ["foam", "blank", "rails", "outline"])
def test_what_depends_on_the_blank_takes_a_stock(what):
    with pytest.raises(InputError, match="depends on the blank"):
        export_job(BOARD, Path("a.obj"), ExportOrder(what=what))
    assert export_job(BOARD, Path("a.svg"), ExportOrder(what=what, stock=STOCK)).startswith(b"<?xml")


def test_foam_needs_only_the_stringer():
    assert export_job(BOARD, Path("a.svg"), ExportOrder(what="foam", stringer="1/8 in")).startswith(b"<?xml")


def test_a_csv_says_its_unit():
    inches = export_job(BOARD, Path("a.csv"), ExportOrder()).decode().splitlines()
    millimetres = export_job(BOARD, Path("a.csv"), ExportOrder(system=System.MM)).decode().splitlines()
    assert inches[0].startswith("station,x_in,width_in")
    assert millimetres[0].startswith("station,x_mm,width_mm")
    rows = [line for line in inches if not line.startswith("#")]
    assert rows[-1].startswith("nose,76.0000,0.0000,4.7500,0.5000")
    assert inches[len(rows) :] == [
        "# tail_form = square",
        "# tail_width = 5.5000 in",
        "# tail_bow = 0.0000 in",
        "# tail_corner = 0.7500 in",
        "# The tail's width in the rows is between its rounded corners; "
        "with them the block is tail_width wide.",
    ]
    # A true fillet of 3/4 in between the end and the slanting side begins this far out, not 3/4 in each side.
    assert rows[1].startswith("tail,0.0000,4.6257,")
    assert millimetres[len(rows) - 1].startswith("nose,1930.400,0.000,120.650,12.700")


@pytest.mark.parametrize(
    ("to", "order", "words"),
    [
        ("a.xyz", ExportOrder(), "is no format"),
        ("a", ExportOrder(), r"the name has no ending\. Write one of \.step"),
        ("a.stl", ExportOrder(what="fins"), "cannot be exported"),
        ("a.csv", ExportOrder(what="foam", stock=STOCK), "a table holds the finished board's stations"),
        ("a.stl", ExportOrder(what="sections"), "sections are a drawing"),
        ("a.svg", ExportOrder(words=ExportWords(at="12 from tail")), "names a section"),
        ("a.stl", ExportOrder(words=ExportWords(scale="5")), "is no scale"),
        ("a.stl", ExportOrder(words=ExportWords(tolerance="7 mm")), "is not possible"),
        ("a.stl", ExportOrder(words=ExportWords(comma=True)), "means nothing for a file that ends in"),
        ("a.3mf", ExportOrder(words=ExportWords(date="soon")), "is no day"),
        ("a.stl", ExportOrder(words=ExportWords(tolerance="0.01 mm", scale="1:1")), "more than 2,000,000"),
        ("a.stl", ExportOrder(words=ExportWords(scale="1:2", bed="150 mm")), "wider than the bed"),
        ("a.stl", ExportOrder(words=ExportWords(scale="1:60", bed="50 mm")), None),
        (
            "a.stl",
            ExportOrder(what="blank", stock=STOCK, blank="none such"),
            "no blank of the stock is called",
        ),
        ("a.stl", ExportOrder(what="foam", stringer="9 ft"), "leaves foam"),
    ],
)
def test_what_cannot_be_exported(to, order, words):
    if words is None:
        # A model this small needs no saw: it is shorter than the bed.
        assert export_job(BOARD, Path(to), order)
        return
    with pytest.raises(InputError, match=words):
        export_job(BOARD, Path(to), order)


def test_everything_wrong_is_told_at_once():
    words = ExportWords(scale="0", paths=True, comma=True, bed="1 mm")
    with pytest.raises(InputError) as caught:
        export_job(BOARD, Path("a.stl"), ExportOrder(words=words))
    assert [problem.where for problem in caught.value.problems] == ["--paths", "--comma", "--bed", "--scale"]


def test_a_table_with_commas_is_the_same_table_and_is_read_back():
    points = export_job(BOARD, Path("a.csv"), ExportOrder(system=System.MM)).decode()
    commas = export_job(BOARD, Path("a.csv"), ExportOrder(system=System.MM, words=ExportWords(comma=True)))
    rows = [line for line in commas.decode().splitlines() if not line.startswith("#")]
    assert [row.replace(",", ".").replace(";", ",") for row in rows] == points.splitlines()[: len(rows)]
    first, second = (numbers_of_form(text, "a.csv")[0] for text in (points, commas.decode()))
    assert first.outline == second.outline
    assert first.rocker == second.rocker


def test_a_workbook_holds_the_same_numbers_as_numbers():
    told = export_job(BOARD, Path("a.csv"), ExportOrder()).decode().splitlines()
    book = openpyxl.load_workbook(io.BytesIO(export_job(BOARD, Path("a.xlsx"), ExportOrder())))
    rows = list(book.active.iter_rows(values_only=True))
    assert ",".join(rows[0]) == told[0]
    for row, line in zip(rows[1:12], told[1:12], strict=True):
        name, *numbers = line.split(",")
        assert row[0] == name
        assert list(row[1:]) == [float(number) for number in numbers]
    assert book.active["B2"].number_format == "0.0000"


def test_a_blanks_table_is_the_blank():
    rows = export_job(BOARD, Path("a.csv"), ExportOrder("blank", STOCK, "Q-7-6-3")).decode().splitlines()
    assert rows[0] == "station,x_in,width_in,rocker_in,thickness_in,edge_thickness_in"
    (blank,) = [b for b in read_stock(STOCK) if b.id == "Q-7-6-3"]
    assert float(rows[-1].split(",")[1]) == pytest.approx(blank.length / INCH, abs=1e-4)
    middle = next(row for row in rows if row.startswith("centre")).split(",")
    x = np.array([float(middle[1]) * INCH])
    thick = float(blank_of(blank).deck(x)[0])
    assert float(middle[4]) == pytest.approx(thick / INCH - float(middle[3]), abs=2e-4)


def test_fin_boxes_are_marked_where_the_sheet_puts_them():
    content = export_job(BOARD, Path("a.dxf"), ExportOrder(stringer="1/8 in"))
    document = ezdxf.read(io.StringIO(content.decode()))
    board = board_of(read_board(BOARD))
    rings = [
        np.array(e.get_points("xy"))
        for e in document.modelspace().query('LWPOLYLINE[layer=="cut"]')
        if e.closed
    ]
    assert len(rings) == len(board.numbers.fins) > 0
    for fin in board.numbers.fins:
        rear = np.array([fin.x, fin.y]) * 1000.0
        ends = [0.5 * (ring[0] + ring[1]) for ring in rings]
        assert min(np.hypot(*(end - rear)) for end in ends) < 1e-3
    words = [e.dxf.text for e in document.modelspace().query("TEXT")]
    assert all(any(unit in word for unit in (" in", "centre")) for word in words)
    assert any("stringer slot, 1/8 in wide" in word for word in words)


@pytest.mark.parametrize("order", [ExportOrder(what="sections"), ExportOrder()])
def test_release_12_holds_the_same_lines_and_is_sound(order):
    new = ezdxf.read(io.StringIO(export_job(BOARD, Path("a.dxf"), order).decode()))
    words = replace(order.words, r12=True)
    old = ezdxf.read(io.StringIO(export_job(BOARD, Path("a.dxf"), replace(order, words=words)).decode()))
    assert old.dxfversion == "AC1009"
    assert not old.audit().has_issues
    lines = [np.array(e.get_points("xy")) for e in new.modelspace().query("LWPOLYLINE")]
    polylines = [
        np.array([[v.dxf.location.x, v.dxf.location.y] for v in e.vertices])
        for e in old.modelspace().query("POLYLINE")
    ]
    assert len(lines) == len(polylines) > 0
    for one, other in zip(lines, polylines, strict=True):
        assert one == pytest.approx(other, abs=1e-6)


def test_one_section_is_the_boards_own_at_its_station():
    words = ExportWords(at="12 from tail")
    content = export_job(BOARD, Path("a.dxf"), ExportOrder(what="sections", words=words))
    document = ezdxf.read(io.StringIO(content.decode()))
    (ring,) = [np.array(e.get_points("xy")) for e in document.modelspace().query("LWPOLYLINE")]
    board = board_of(read_board(BOARD))
    x = np.array([12.0 * INCH])
    assert np.ptp(ring[:, 0]) == pytest.approx(2000.0 * float(board.half_width(x)[0]), abs=0.02)
    (label,) = [e.dxf.text for e in document.modelspace().query("TEXT")]
    assert label == "12 in from the tail"


@pytest.mark.parametrize("board", ["groyne", "breakwater"])
@pytest.mark.parametrize("what", ["board", "sections"])
def test_no_line_is_drawn_twice_over_and_straight_ones_have_two_points(board, what):
    content = export_job(DEMO / f"{board}.board.toml", Path("a.dxf"), ExportOrder(what=what))
    document = ezdxf.read(io.StringIO(content.decode()))
    lines = [(e, np.array(e.get_points("xy"))) for e in document.modelspace().query("LWPOLYLINE")]
    assert lines
    for entity, points in lines:
        closed = np.vstack([points, points[:1]]) if entity.closed else points
        steps = np.diff(closed, axis=0)
        assert np.hypot(*steps.T).min() > 1e-6
        if not entity.closed and max(np.ptp(points, axis=0).min(), 0.0) < 1e-6:
            assert len(points) == 2


def test_pockets_of_fin_boxes_are_cut_out_of_the_solid():
    """The kernel's own volume, of the file read again, against length, width and depth of every box."""
    bare, cut = (
        _volume(export_job(BOARD, Path("a.step"), ExportOrder(words=ExportWords(pockets=pockets))))
        for pockets in (False, True)
    )
    fins = board_of(read_board(BOARD)).numbers.fins
    boxes = sum(fin.box_length * fin.box_width * fin.box_depth for fin in fins) * 1e9
    assert bare - cut == pytest.approx(boxes, rel=0.03)


def _volume(content):
    ocp = pytest.importorskip("OCP.STEPControl")
    from foamwright.exchange.step import volume_of

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.step"
        path.write_bytes(content)
        reader = ocp.STEPControl_Reader()
        reader.ReadFile(str(path))
        reader.TransferRoots()
        return volume_of(reader.OneShape()) * 1e9


def test_letters_as_outlines_need_no_font():
    text = export_job(BOARD, Path("a.svg"), ExportOrder(words=ExportWords(paths=True))).decode()
    assert "<text" not in text
    assert "@font-face" not in text
    assert 'aria-label="12 in from tail"' in text


@pytest.mark.parametrize("tolerance", ["0.6 mm", "0.2 mm"])
def test_triangles_are_as_near_as_asked_for(tolerance):
    """Places of a mesh eight times as fine, against the nearest point of the file's triangles (trimesh)."""
    content = export_job(BOARD, Path("a.stl"), ExportOrder(words=ExportWords(tolerance=tolerance)))
    told = float(content[:80].decode().partition("within ")[2].partition(" mm")[0])
    asked = float(tolerance.split()[0])
    assert told <= asked
    mesh = trimesh.load(io.BytesIO(content), file_type="stl")
    board = board_of(read_board(BOARD))
    draw = np.random.default_rng(14)
    x = board.length * (1.0 - np.cos(np.pi * draw.uniform(0.001, 0.999, 1500))) / 2.0
    share = np.sin(draw.uniform(0.0, np.pi / 2.0, 1500))[:, None]
    y = share[:, 0] * board.half_width(x)
    places = np.concatenate(
        [np.stack([x, y, face(x, share)[:, 0]], axis=1) for face in (board.bottom_at, board.deck_at)]
    )
    _, distance, _ = trimesh.proximity.closest_point_naive(mesh, places[::30] * 1000.0)
    assert distance.max() <= told + 1e-3
    assert distance.max() > 0.02 * asked


def test_a_model_is_sawn_to_the_bed_and_its_keys_go_in():
    words = ExportWords(scale="1:5", bed="180 mm", date="2026-05-31", tolerance="0.1 mm")
    content = export_job(BOARD, Path("a.3mf"), ExportOrder(words=words))
    assert content == export_job(BOARD, Path("a.3mf"), ExportOrder(words=words))
    scene = trimesh.load(io.BytesIO(content), file_type="3mf")
    pieces = [scene.geometry[name] for name in sorted(scene.geometry)]
    assert len(pieces) == 3
    assert all(piece.is_watertight and piece.extents.max() <= 180.0 for piece in pieces)
    whole = board_of(read_board(BOARD)).mass.volume * 1e9
    # Holes are wider than their keys: the pieces together are a little less than the board.
    assert 0.99 * whole / 125.0 < sum(piece.volume for piece in pieces) < whole / 125.0
    boxes = sorted((piece.bounds[0][1], piece.bounds[1][1]) for piece in pieces)
    assert all(ahead[0] > behind[1] for behind, ahead in pairwise(boxes))
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        model = archive.read("3D/3dmodel.model").decode()
    assert '<metadata name="CreationDate">2026-05-31</metadata>' in model
    assert f'<metadata name="Title">{board_of(read_board(BOARD)).name}</metadata>' in model


def test_a_blank_that_does_not_take_the_board_is_no_answer():
    with pytest.raises(NoAnswerError, match="Q-7-6"):
        export_job(DEMO / "breakwater.board.toml", Path("a.stl"), ExportOrder("blank", STOCK, "Q-7-6-3"))


def test_step_without_the_kernel_writes_nothing(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "OCP.BRepBuilderAPI", None)
    target = tmp_path / "board.step"
    with pytest.raises(InputError, match="Install it with"):
        command.run(arguments(target))
    assert not target.exists()


def test_the_command_writes_the_file(tmp_path, capsys):
    target = tmp_path / "new" / "board.csv"
    assert command.run(arguments(target)) == 0
    assert target.read_text().startswith("station,")
    assert "bytes" in capsys.readouterr().out


def arguments(target):
    parser = argparse.ArgumentParser()
    command.add_arguments(parser)
    args = parser.parse_args([str(BOARD), "--to", str(target)])
    args.json, args.units = False, None
    return args
