"""Rescue: nothing changes without need; otherwise the nearest board inside, as a second solver agrees."""

from __future__ import annotations

import shutil
from dataclasses import replace
from functools import cache
from pathlib import Path

import highspy
import numpy as np
import pytest
from pypdf import PdfReader
from scipy.optimize import nnls

from foamwright.bay.bay import Weights
from foamwright.bay.sheet import read_bay
from foamwright.bench.foam_left import FoamLeft
from foamwright.bench.rescue import SPARE, Rescue, Rescuer
from foamwright.bench.store import FolderStore
from foamwright.blank.sheet import read_stock
from foamwright.board.sheet import read_board
from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.errors import InputError, NoAnswerError
from foamwright.jobs.advising import advise_job
from foamwright.jobs.bench_job import BenchJob, open_job
from foamwright.jobs.reading import ReadingText, record_readings
from foamwright.jobs.rescuing import RescueSheets, rescue_job
from foamwright.shape.curves import Floats
from foamwright.sheets.rider import read_rider
from foamwright.units import INCH, System
from tests.bench_jobs import bench_job
from tests.plans import demo_plan

SHEET = demo_path("groyne.board.toml")


@cache
def rescuer() -> Rescuer:
    return Rescuer(demo_plan().board)


def foam(bottom: float = 0.0, deck: float = 0.0, at: float = 1.2, width: float = 0.1) -> FoamLeft:
    """Return the finished board with 1/64 in all round, less a hollow of a depth in each face (metres)."""
    board, x = demo_plan().board, rescuer().x
    bump = np.exp(-0.5 * ((x - at) / width) ** 2)
    return FoamLeft(
        x,
        board.pre_contour(x) - INCH / 64 + bottom * bump,
        board.deck_line(x) + INCH / 64 - deck * bump,
        board.half_width(x) + INCH / 64,
    )


def test_a_board_that_is_inside_stays_as_it_is() -> None:
    rescue = rescuer().rescued(foam())
    assert rescue.changes == ()
    assert rescue.board is demo_plan().board
    assert rescue.lost == 0.0


@pytest.mark.parametrize(
    ("bottom", "deck", "at"), [(0.003, 0.0, 1.6), (0.0, 0.004, 0.9), (0.002, 0.003, 0.2)]
)
def test_a_rescued_board_is_inside_and_smaller(bottom: float, deck: float, at: float) -> None:
    left = foam(bottom, deck, at)
    rescue = rescuer().rescued(left)
    x, up = left.x, rescue.shift.at(left.x)
    board = rescue.board
    out = left.short(x, board.pre_contour(x) + up, board.deck_line(x) + up, board.half_width(x))
    assert out.max() <= 0.0
    assert rescue.changes
    assert rescue.lost > 0.0
    assert board.rocker(x, 2).min() > -1e-3


def test_the_optimum_is_confirmed_by_an_independent_solver() -> None:
    """The same quadratic program by HiGHS: the same changes, the same cost."""
    one, left = rescuer(), foam(0.004, 0.002, 1.5)
    quadratic, rows, right = one.program(one.tangent_at_board, left, SPARE)
    ours = one._nearest(one.tangent_at_board, np.zeros(one.scale.size), left, SPARE) / one.scale
    theirs = by_highs(quadratic, rows, right)
    dual = by_least_squares(rows, right)
    assert ours @ ours == pytest.approx(theirs @ theirs, rel=1e-5)
    assert ours @ ours == pytest.approx(dual @ dual, rel=1e-5)
    assert ours == pytest.approx(theirs, abs=1e-3)
    assert (rows @ ours - right).min() > -1e-7


def by_least_squares(rows: Floats, right: Floats) -> Floats:
    """Return the shortest `p` with ``rows p >= right`` by scipy's non-negative least squares.

    Lawson and Hanson, Solving Least Squares Problems, 1974, chapter 23, problem LDP.
    """
    dual = np.vstack([rows.T, right])
    wanted = np.zeros(rows.shape[1] + 1)
    wanted[-1] = 1.0
    weights, _ = nnls(dual, wanted, maxiter=100 * rows.shape[0])
    residual = dual @ weights - wanted
    return np.asarray(-residual[:-1] / residual[-1])


def by_highs(quadratic: Floats, rows: Floats, right: Floats) -> Floats:
    """Return the minimum by HiGHS's active set."""
    size = rows.shape[1]
    model = highspy.HighsModel()
    lp = model.lp_
    lp.num_col_, lp.num_row_ = size, rows.shape[0]
    lp.col_cost_, lp.row_lower_ = np.zeros(size), right
    lp.col_lower_, lp.col_upper_ = np.full(size, -1e3), np.full(size, 1e3)
    lp.row_upper_ = np.full(rows.shape[0], 1e9)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.arange(0, rows.size + 1, size)
    lp.a_matrix_.index_ = np.tile(np.arange(size), rows.shape[0])
    lp.a_matrix_.value_ = rows.ravel()
    model.hessian_.dim_ = size
    model.hessian_.start_ = np.arange(size + 1)
    model.hessian_.index_ = np.arange(size)
    model.hessian_.value_ = np.diag(quadratic)
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.passModel(model)
    solver.run()
    assert solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return np.array(solver.getSolution().col_value)


def test_foam_that_is_gone_altogether_is_told() -> None:
    with pytest.raises(NoAnswerError, match="inside the remaining foam"):
        rescuer().rescued(foam(0.05, 0.05, 0.9, 0.4))


@pytest.fixture
def spoilt(tmp_path: Path) -> BenchJob:
    """A job whose rocker went 1/4 in too deep 12 in from the nose."""
    job = bench_job(tmp_path)
    values = {
        "nose": 4.88,
        "6 from nose": 3.24,
        "12 from nose": 2.24,
        "18 from nose": 1.09,
        "24 from nose": 0.51,
    }
    texts = [
        ReadingText("rocker", station, "rocker", f"{value:.3f}")
        for station, value in values.items()
        for _ in range(3)
    ]
    record_readings(job, texts)
    return job


def test_a_job_is_rescued_into_a_new_sheet_and_a_plan_that_goes_on(spoilt: BenchJob, tmp_path: Path) -> None:
    rescued = rescue_job(spoilt, tmp_path, RescueSheets(SHEET))
    assert rescued.rescue.changes
    folder = tmp_path / "rescued"
    sheet, plan, bay = (folder / name for name in ("board.toml", "plan.json", "bay.toml"))
    assert set(rescued.written) == {path for path in folder.rglob("*") if path.is_file()}
    assert read_bay(bay) == spoilt.bay
    numbers = read_board(sheet)
    assert numbers == rescued.rescue.board.numbers
    again = FolderStore(plan.parent).plan()
    as_is, shift = again.stages[again.order[0]], rescued.rescue.shift
    assert as_is.bottom + shift.at(again.x) == pytest.approx(rescued.foam.bottom, abs=1e-12)
    assert as_is.deck + shift.at(again.x) == pytest.approx(rescued.foam.deck, abs=1e-12)
    assert all((run.run.before - run.run.target).max() >= 0.0 for run in again.runs)


def test_a_rescue_hands_over_papers_for_the_rest_of_the_work(spoilt: BenchJob, tmp_path: Path) -> None:
    shutil.copy(SHEET, tmp_path / "board.toml")
    stock = demo_path("harbour.stock.toml").read_text("utf-8")
    (tmp_path / "blank.toml").write_text(stock, "utf-8")
    rescue_job(spoilt, tmp_path, paper="letter")
    sheet = PdfReader(tmp_path / "rescued" / "job-sheet.pdf")
    words = [page.extract_text() for page in sheet.pages]
    assert "Rocker" in words[2]
    assert not any("Which blank" in page for page in words)
    assert f"{read_stock(tmp_path / 'blank.toml')[0].id}, as it is" in words[0].replace("\n", " ")
    assert (tmp_path / "rescued" / "templates" / "outline-letter.pdf").is_file()
    assert len(read_stock(tmp_path / "rescued" / "blank.toml")) == 1


def test_what_a_shaper_gives_up_first_is_said_in_the_bay_sheet(spoilt: BenchJob, tmp_path: Path) -> None:
    """Dear thickness stays nearly as it was, and the rocker gives instead."""
    usual = rescue_job(spoilt, tmp_path, RescueSheets(SHEET), tmp_path / "usual").rescue
    dear = replace(spoilt, bay=replace(spoilt.bay, rescue=Weights(thickness=INCH / 64)))
    other = rescue_job(dear, tmp_path, RescueSheets(SHEET), tmp_path / "dear").rescue

    def thinner(rescue: Rescue) -> float:
        return rescue.before.numbers.thickest - rescue.board.numbers.thickest

    assert 0.0 <= thinner(other) < 0.5 * thinner(usual)


def test_what_a_rescue_costs_in_the_water_is_told(spoilt: BenchJob, tmp_path: Path) -> None:
    shutil.copy(SHEET, tmp_path / "board.toml")
    shutil.copy(demo_path("demo.rider.toml"), tmp_path / "rider.toml")
    rescued = rescue_job(spoilt, tmp_path)
    water = rescued.water
    assert water is not None
    before, after = water.before, water.after
    lost = before.litres_per_kg - after.litres_per_kg
    assert lost * read_rider(tmp_path / "rider.toml").mass == pytest.approx(
        rescued.rescue.lost * 1000.0, abs=1e-3
    )
    assert before.sinkage is not None
    assert after.sinkage is not None
    assert after.sinkage > before.sinkage
    assert (tmp_path / "rescued" / "rider.toml").read_bytes() == demo_path("demo.rider.toml").read_bytes()


def test_a_rescued_job_goes_on_and_stays_as_it_is(spoilt: BenchJob, tmp_path: Path) -> None:
    rescue_job(spoilt, tmp_path, RescueSheets(SHEET))
    again = open_job(tmp_path / "rescued", None, System.INCH)
    assert rescue_job(again, tmp_path / "rescued").rescue.changes == ()
    assert not advise_job(again).finished


def test_a_job_without_its_board_sheet_says_how_to_name_one(spoilt: BenchJob, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="Name it with --board"):
        rescue_job(spoilt, tmp_path)


def test_an_uncut_job_is_left_alone(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    rescued = rescue_job(job, tmp_path, RescueSheets(SHEET))
    assert rescued.rescue.changes == ()
    assert rescued.written == ()
    assert not (tmp_path / "rescued").exists()


def test_another_boards_sheet_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not the board of this job"):
        rescue_job(bench_job(tmp_path), tmp_path, RescueSheets(demo_path("breakwater.board.toml")))


def test_the_command_says_what_changes(
    spoilt: BenchJob, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["rescue", str(tmp_path), "--board", str(SHEET)]) == 0
    told = capsys.readouterr().out
    assert "becomes" in told
    assert "litres less" in told
    assert "told with a rider sheet" in told
    rider = ["--rider", str(demo_path("demo.rider.toml"))]
    assert main(["rescue", str(tmp_path), "--board", str(SHEET), *rider]) == 0
    assert "share of the board under water" in capsys.readouterr().out
