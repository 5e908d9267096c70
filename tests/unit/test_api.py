"""The Python API: its examples run, it answers as the commands do, and nothing loads before it is used."""

from __future__ import annotations

import doctest
import inspect
import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import foamwright
from foamwright import api
from foamwright.cli.main import main
from foamwright.errors import InputError

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "src" / "foamwright" / "demo"
OFFERED = [name for name in foamwright.__all__ if name != "__version__"]


@pytest.fixture
def demo(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for sheet in DEMO.glob("*.toml"):
        shutil.copy(sheet, tmp_path)
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_every_example_is_true(demo: Path) -> None:
    # One session in the order of the module, as it is read: a later example uses what an earlier one made.
    found = doctest.DocTestFinder().find(api, "foamwright.api", globs={"foamwright": foamwright})
    examples = [doctest.DocTestFinder().find(foamwright, "foamwright", module=foamwright)[0], *found]
    order = sorted(examples, key=lambda test: test.lineno or 0)
    runner = doctest.DocTestRunner(verbose=False)
    session: dict[str, object] = {"foamwright": foamwright}
    for test in order:
        test.globs = session
        runner.run(test, clear_globs=False)
    assert runner.summarize(verbose=False).failed == 0
    assert runner.tries > 15


@pytest.mark.parametrize("name", OFFERED)
def test_what_is_offered_is_typed_and_has_an_example(name: str) -> None:
    function = getattr(foamwright, name)
    signature = inspect.signature(function)
    assert function is getattr(api, name)
    assert ">>>" in inspect.getdoc(function)  # type: ignore[operator]
    assert signature.return_annotation is not inspect.Signature.empty
    assert all(p.annotation is not inspect.Parameter.empty for p in signature.parameters.values())


def test_nothing_loads_before_it_is_used() -> None:
    code = "import foamwright, sys; print([m for m in sys.modules if m[:5] in ('foamw', 'numpy')])"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "['foamwright']"


def test_the_commands_say_the_same(demo: Path, capsys: pytest.CaptureFixture[str]) -> None:
    board, stock = "groyne.board.toml", "harbour.stock.toml"
    assert main(["check", board, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads(json.dumps(foamwright.check(board).as_json()))
    assert main(["pick", board, "--stock", stock, "--by", "foam", "--json"]) == 0
    blanks = [choice["blank"] for choice in json.loads(capsys.readouterr().out)["choices"]]
    assert blanks == [choice.id for choice in foamwright.pick(board, stock, by="foam").choices]


def test_a_wrong_word_is_a_problem_with_its_remedy(demo: Path) -> None:
    with pytest.raises(InputError, match=r"^units.*Choose from: in, mm"):
        foamwright.check("groyne.board.toml", units="furlong")
    with pytest.raises(InputError, match=r"^by.*Choose from: cost, minutes, foam"):
        foamwright.pick("groyne.board.toml", "harbour.stock.toml", by="colour")


def test_an_unknown_name_is_no_attribute() -> None:
    with pytest.raises(AttributeError, match="has no attribute 'plane'"):
        _ = foamwright.plane  # type: ignore[attr-defined]


def test_a_board_draws_itself_to_scale() -> None:
    from xml.etree import ElementTree

    from foamwright.demo import demo_path

    board = foamwright.read_board(str(demo_path("groyne.board.toml")))
    root = ElementTree.fromstring(board._repr_svg_())
    above = next(root.iter("{http://www.w3.org/2000/svg}path")).attrib["d"]
    points = [[float(v) for v in pair] for pair in zip(*[iter(above.strip("MZ").split())] * 2, strict=True)]
    x, y = zip(*points, strict=True)
    assert max(x) - min(x) == pytest.approx(board.length, abs=1e-3)
    assert max(y) - min(y) == pytest.approx(board.numbers.wide, abs=1e-3)
