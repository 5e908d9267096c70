"""The export job: formats by ending, what needs a stock, nothing written when it refuses."""

import argparse
import sys
from pathlib import Path

import ezdxf
import pytest
from ezdxf import bbox

from foamwright.cli.commands import export as command
from foamwright.errors import InputError, NoAnswerError
from foamwright.jobs.export import ExportOrder, export_job
from foamwright.units import System

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
BOARD, STOCK = DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml"


@pytest.mark.parametrize("ending", [".stl", ".obj", ".3mf", ".dxf", ".svg", ".csv"])
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
        ("a.csv", ExportOrder(what="blank", stock=STOCK), "a CSV holds the finished board's stations"),
        (
            "a.stl",
            ExportOrder(what="blank", stock=STOCK, blank="none such"),
            "no blank of the stock is called",
        ),
        ("a.stl", ExportOrder(what="foam", stringer="9 ft"), "leaves foam"),
    ],
)
def test_what_cannot_be_exported(to, order, words):
    with pytest.raises(InputError, match=words):
        export_job(BOARD, Path(to), order)


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
