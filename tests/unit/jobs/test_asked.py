"""What is asked beside the sheets: impossible values refused with their limits, and all problems at once."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefOrder, brief_job
from foamwright.jobs.export import ExportOrder, export_job
from foamwright.jobs.finish import FinishOrder, finish_job
from foamwright.jobs.float_asked import FloatAsked, asked_float_job
from foamwright.jobs.options import Limits, length_option, number_option
from foamwright.jobs.stocking import StockingOrder
from foamwright.jobs.stocking_asked import StockingAsked, asked_order
from foamwright.jobs.stocking_demand import Sources
from foamwright.jobs.water import FloatJob, FloatWish, float_of
from foamwright.jobs.wire_asked import WireAsked, asked_wire_job
from foamwright.sheets.rider import read_rider
from foamwright.units import System

BOARD, RIDER = demo_path("groyne.board.toml"), demo_path("demo.rider.toml")


def afloat(**asked: str) -> FloatJob:
    return asked_float_job(BOARD, RIDER, FloatAsked(**asked), System.INCH)


def refused(call) -> list[str]:
    with pytest.raises(InputError, match=r".") as caught:
        call()
    return [str(problem) for problem in caught.value.problems]


@pytest.fixture
def wrong(tmp_path: Path) -> Path:
    path = tmp_path / "wrong.toml"
    path.write_text("colour = 1\n")
    return path


@pytest.mark.parametrize("mass", ["-3 kg", "0 kg", "101 kg"])
def test_a_board_of_impossible_mass_is_refused_with_the_limits(mass: str) -> None:
    with pytest.raises(
        InputError, match=r"--board-mass: .* is not possible\. Give a mass from 0\.2 to 100 kg"
    ):
        afloat(board_mass=mass)


@pytest.mark.parametrize("mass", [-3.0, 0.0, math.nan])
def test_the_mass_of_a_board_is_looked_at_for_every_caller(mass: float) -> None:
    board, rider = board_of(read_board(BOARD)), read_rider(RIDER)
    with pytest.raises(InputError, match=r"A board weighs from 0\.2 to 100 kg"):
        float_of(board, rider, FloatWish(board_mass=mass), System.INCH)


@pytest.mark.parametrize("trim", ["nan", "inf", "91", "steep"])
def test_a_trim_that_is_none_is_refused_with_the_limits(trim: str) -> None:
    with pytest.raises(InputError, match=r"--trim: .* is no trim in degrees\. Give a number from -90 to 90"):
        afloat(trim=trim)


@pytest.mark.parametrize("price", ["nan", "-5000", "1e400", "much", -1.0, math.nan])
def test_a_price_that_is_none_is_refused_with_the_limits(price: str | float) -> None:
    with pytest.raises(
        InputError, match=r"--blank-price: .* is no price\. Give a number from 0 to 1,000,000"
    ):
        finish_job(FinishOrder(BOARD, blank_price=price), System.INCH)


def test_a_price_may_be_written() -> None:
    job = finish_job(FinishOrder(BOARD, blank_price="80"), System.INCH)
    assert job.finished.price.foam == 80.0


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (WireAsked(stringer="-1 in"), r"--stringer: “-1 in” is not possible\. Give a length from 0 to 2 in"),
        (WireAsked(wood="balsaaa"), r"--wood: .*Did you mean “balsa”\? It can be basswood, balsa"),
        (
            WireAsked(left={"bottom": "3"}),
            r"--bottom: “3” has no unit\. Write the unit, like 3 in or 75",
        ),
        (WireAsked(left={"tips": "-1 mm"}), r"--tips: .* from 0 to 12 in"),
        (WireAsked(feed="nan"), r"--feed: .* from 1 to 10,000"),
        (WireAsked(foam="polyurethane 35 kg/m3"), "never cut by hot wire.*isocyanates"),
        (WireAsked(foam="PU-foam"), "never cut by hot wire.*isocyanates"),
    ],
)
def test_what_a_wire_is_never_asked(asked: WireAsked, words: str) -> None:
    with pytest.raises(InputError, match=words):
        asked.order()


def test_no_stringer_is_written_as_none_or_as_no_width() -> None:
    for width in ("none", "0 in"):
        assert WireAsked(stringer=width).order().stringer.width == 0.0
    assert WireAsked(stringer="1/4 in", wood="Balsa").order().stringer.wood == "balsa"


def test_a_wire_tells_every_option_and_every_sheet(wrong: Path) -> None:
    asked = WireAsked(foam="pu 35 kg/m3", stringer="3", wood="iron", left={"bottom": "x", "deck": "y"})
    said = refused(lambda: asked_wire_job(BOARD, asked, machine=wrong, bay=wrong, stock=wrong))
    options = [line.split(":")[0] for line in said if line.startswith("--")]
    assert options == ["--foam", "--stringer", "--wood", "--bottom", "--deck"]
    assert sum("colour" in line for line in said) == 3


def test_a_wire_tells_a_missing_block_with_the_options() -> None:
    said = refused(lambda: asked_wire_job(BOARD, WireAsked(block="none such", stringer="3")))
    assert [line.split(":")[0] for line in said] == ["--stringer", "block none such"]


def test_a_float_tells_every_option_and_both_sheets(wrong: Path) -> None:
    asked = FloatAsked("-1 kg", "3 q", "nan", "abaft")
    said = refused(lambda: asked_float_job(wrong, wrong, asked, System.INCH))
    options = [line.split(":")[0] for line in said if line.startswith("--")]
    together = "--nose-clear and --trim and --lie-at"
    assert options == [together, "--board-mass", "--nose-clear", "--trim", "--lie-at"]
    assert sum("colour" in line for line in said) == 2


def test_two_places_to_lie_are_one_too_many() -> None:
    with pytest.raises(InputError, match=r"--trim and --lie-at: .* Give only one of them"):
        afloat(trim="3", lie_at="48 in from tail")


def test_a_finish_tells_every_sheet_and_the_price(wrong: Path) -> None:
    order = FinishOrder(BOARD, wrong, wrong, "nan", water=wrong)
    said = refused(lambda: finish_job(order, System.INCH))
    assert sum("colour" in line for line in said) == 3
    assert said[-1].startswith("--blank-price")


def test_a_study_tells_every_option_and_every_sheet(wrong: Path) -> None:
    sources = Sources((wrong,), (wrong,), f"sqlite:///{wrong.parent / 'none.sqlite'}")
    order = StockingOrder(1, 0, None, -1, sources, stock=wrong, bay=wrong)
    said = refused(lambda: asked_order(StockingAsked("1.5", "nan", 0), order))
    assert [line.split(":")[0] for line in said if line.startswith("--")] == [
        *("--workers", "--keep", "--holding", "--seed"),
    ]
    assert sum("colour" in line for line in said) == 4
    assert said[-1].startswith("database: There is no database")


def test_a_study_is_asked_for_the_best_number() -> None:
    order = asked_order(StockingAsked("best"), StockingOrder(1, 1, 1))
    assert (order.keep, order.terms.holding) == (None, 100.0)
    order = asked_order(StockingAsked("8", "3"), StockingOrder(1, 1, 1))
    assert (order.keep, order.terms.holding) == (8, 3.0)


@pytest.mark.parametrize(
    ("asked", "words", "limit"),
    [
        (
            {"trim": "80"},
            "Asked for the nose pointing up by 80.0 degrees; lying as far",
            math.radians(80),
        ),
        ({"nose_clear": "40 in"}, "Asked for the nose 40 in above water; lying as far back", 40 * 0.0254),
        ({"nose_clear": "-300 in"}, "Asked for the nose 300 in under water; lying as far forward", -7.62),
    ],
)
def test_a_wish_that_is_not_met_is_told_with_what_is_reached(
    asked: dict[str, str], words: str, limit: float
) -> None:
    job = afloat(**asked)
    (missed,) = [finding for finding in job.findings if finding.code == "float-wish-missed"]
    assert words in missed.sentence
    assert missed.limit == pytest.approx(limit)
    assert job.lain is not None
    reached = job.lain.afloat.pitch if "trim" in asked else job.lain.afloat.nose_above
    assert missed.measured == reached
    assert not any(finding.code == "float-trim" for finding in job.findings)


def test_a_wish_that_is_met_needs_no_words() -> None:
    assert not any("float-wish" in finding.code for finding in afloat(trim="3").findings)


def test_a_length_without_its_unit_is_told_how_to_write_it_there() -> None:
    with pytest.raises(InputError, match=r"--stringer: “3” has no unit\. Write the unit, like 3 in or 75"):
        export_job(BOARD, Path("a.stl"), ExportOrder(what="foam", stringer="3"))


def test_limits_are_told_in_both_units() -> None:
    with pytest.raises(InputError, match=r"from 0 to 1 in \(25\.4 mm\)"):
        length_option("2 in", "--x", Limits(0.0, 0.0254))
    assert length_option("1 in", "--x", Limits(0.0, 0.0254)) == 0.0254
    assert number_option("2", "--x", "thing", Limits(0, 2)) == 2.0


def test_a_number_fixed_twice_is_told() -> None:
    with pytest.raises(InputError, match="--fix wide: It is fixed twice"):
        brief_job(RIDER, BriefOrder(fixes=("wide=20", "wide=21")), System.INCH)


def test_a_board_that_cannot_be_fair_names_what_was_fixed() -> None:
    with pytest.raises(InputError, match=r"^--fix nose thickness: .*no fair foil"):
        brief_job(RIDER, BriefOrder(fixes=("nose thickness=6",)), System.INCH)


@pytest.mark.parametrize(
    ("system", "words", "other"), [(System.INCH, "88 in", "mm"), (System.MM, "2235.2 mm", "in")]
)
def test_a_brief_explains_itself_in_the_units_asked_for(system: System, words: str, other: str) -> None:
    choices = {choice.name: choice.why for choice in brief_job(RIDER, BriefOrder(), system).brief.choices}
    assert words in choices["length"]
    assert f" {other} " not in choices["length"]


def test_what_is_not_fair_is_told_in_the_units_asked_for() -> None:
    (said,) = refused(lambda: brief_job(RIDER, BriefOrder(fixes=("nose thickness=150",)), System.MM))
    assert " mm" in said
    assert " in, " not in said


@pytest.mark.parametrize(("units", "unwanted"), [("in", "mm"), ("mm", "in")])
def test_float_finish_and_wire_are_told_in_one_unit(
    units: str, unwanted: str, capsys: pytest.CaptureFixture[str]
) -> None:
    for words in (["float", str(BOARD), "--rider", str(RIDER)], ["finish", str(BOARD)], ["wire", str(BOARD)]):
        main([*words, "--units", units])
        said = [line for line in capsys.readouterr().out.splitlines() if "own words are" not in line]
        assert not [line for line in said if re.search(rf"[0-9] {unwanted}\b", line)]


@pytest.mark.parametrize("fix", ["volume=500"])
def test_a_brief_writes_no_sheet_that_could_not_be_read(
    fix: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    sheet = tmp_path / "board.toml"
    words = ["brief", str(demo_path("demo.rider.toml")), "--fix", fix, "--out", str(sheet)]
    assert main(words) == 2
    told = capsys.readouterr().err
    assert f"--fix {fix.partition('=')[0]}: the board, [" in told
    assert "is not possible." in told
    assert not sheet.exists()
