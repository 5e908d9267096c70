import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.board.board import board_of
from foamwright.lay.profiles import profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.survey import survey
from foamwright.stocking import laying
from foamwright.stocking.candidates import Make, generated
from foamwright.stocking.demand import expected_boards
from foamwright.stocking.laying import lay_boards, made_to_order, profiles_of, slides_for
from foamwright.units import INCH

BOARDS = tuple(one.board for one in expected_boards(6, 21))
BAY = Bay()


@pytest.fixture(scope="module", params=Make)
def rack(request):
    return Rack(profiles_of(generated(30, request.param)))


def test_cells_are_what_the_survey_finds(rack):
    laid = lay_boards(BOARDS, rack, BAY)
    fitted = 0
    for n, numbers in enumerate(BOARDS):
        found = survey(profile_of_board(board_of(numbers)), rack, BAY, step=laying.STEP)
        for place, blank in enumerate(rack.blanks):
            choice, cell = found.of(blank.numbers.id), laid.cells[n, place]
            assert (cell[laying.FATE] == laying.FITTED) == choice.fits
            if choice.fits:
                fitted += 1
                assert cell[laying.WORK] == pytest.approx(choice.work_min, rel=1e-9)
                assert cell[laying.SLIDE : laying.FATE] == pytest.approx(
                    [choice.placed.slide, choice.placed.lift, choice.placed.tilt], abs=0
                )
            else:
                assert np.isnan(cell[laying.WORK])
    assert fitted > 0


def test_every_fate_has_a_name(rack):
    fates = lay_boards(BOARDS, rack, BAY).cells[:, :, laying.FATE]
    named = {laying.FITTED, laying.NO_ROOM, laying.NARROW, laying.SHORT}
    assert set(np.unique(fates)) <= named


def test_a_split_of_the_boards_changes_no_bit(rack):
    whole = lay_boards(BOARDS, rack, BAY)
    parts = [lay_boards(BOARDS[n : n + 2], rack, BAY) for n in (0, 2, 4)]
    assert whole.cells.tobytes() == np.concatenate([p.cells for p in parts]).tobytes()
    assert whole.volume.tobytes() == np.concatenate([p.volume for p in parts]).tobytes()
    assert whole.slides == sum(p.slides for p in parts)


def test_a_split_of_the_blanks_changes_no_bit(rack):
    whole = lay_boards(BOARDS[:2], rack, BAY)
    halves = [Rack(rack.blanks[:11]), Rack(rack.blanks[11:])]
    parts = [lay_boards(BOARDS[:2], half, BAY).cells for half in halves]
    assert whole.cells.tobytes() == np.concatenate(parts, axis=1).tobytes()


@pytest.mark.parametrize("longer", [0.3, 0.5, 0.500001, 0.74, 0.75, 3.0, 12.3])
def test_slides_hold_both_ends_and_every_quarter_between(longer):
    board, saw, step = 1.8, BAY.allowances.saw, laying.STEP
    starts, slides = slides_for(board, np.array([board + longer * INCH]), saw, step)
    most = longer * INCH - saw
    if most < saw - 1e-9:
        assert starts.tolist() == [0, 0]
        return
    assert slides[0] == saw
    assert slides[-1] == pytest.approx(max(most, saw), abs=1e-9)
    assert np.all(np.diff(slides) > 0.0)
    assert np.all(np.diff(slides) <= step + 1e-12)
    between = slides[1:-1] / step
    assert np.allclose(between, np.round(between), atol=1e-9)


def test_a_finer_grid_never_costs_work(rack):
    coarse, fine = (lay_boards(BOARDS, rack, BAY, step).cells[:, :, laying.WORK] for step in (INCH, INCH / 8))
    both = np.isfinite(coarse) & np.isfinite(fine)
    assert both.any()
    # The bettering to the tape's marks looks only beside the grid's best, so a little may be lost in a tie.
    assert np.all(fine[both] <= coarse[both] * (1 + 1e-3))
    assert np.isfinite(fine).sum() >= np.isfinite(coarse).sum()


def test_a_blank_made_to_order_takes_less_work_than_any_other(rack):
    laid = lay_boards(BOARDS, rack, BAY)
    least = np.nanmin(
        np.where(np.isnan(laid.cells[:, :, laying.WORK]), np.inf, laid.cells[:, :, laying.WORK]), axis=1
    )
    assert np.all(laid.to_order[:, 0] < least)
    assert np.all(laid.to_order[:, 1] > laid.volume)


def test_work_of_a_blank_made_to_order_in_closed_form():
    board = profile_of_board(board_of(BOARDS[0]))
    work, _ = made_to_order(board, BAY)
    area = board.weight @ (2 * (board.half_width + BAY.allowances.saw))
    planed = BAY.rates.foam * (2 * INCH / 4 * area + board.weight @ board.crown)
    # Two faces of 1/4 in are four trenches of 1/8 in: a strip each, a reading every 8 in of each, a stop at
    # both tips for each; each of the four run-offs begins and ends with 1 1/2 stops and 2 1/2 readings more.
    rates, trenches = BAY.rates, 4
    strips = trenches * board.length * rates.strip
    readings = trenches * board.length / (8 * INCH) * rates.reading
    stops = trenches * 2 * rates.stop
    steady = 4 * (1.5 * rates.stop + 2.5 * rates.reading)
    planed += rates.stringer * 2 * INCH / 4 * board.length
    assert work == pytest.approx(planed + strips + readings + stops + steady)
