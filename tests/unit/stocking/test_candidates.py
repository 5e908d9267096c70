import re

import numpy as np
import pytest

from foamwright.blank.sheet import read_stock, stock_sheet
from foamwright.stocking.candidates import Make, generated, radical_inverse
from foamwright.stocking.laying import foam_in, profiles_of
from foamwright.units import INCH, Unit


@pytest.mark.parametrize("make", Make)
def test_candidates_are_all_different_and_all_fair(make):
    blanks = generated(80, make)
    assert len({blank.id for blank in blanks}) == 80
    assert len(profiles_of(blanks)) == 80


def test_more_candidates_are_the_same_ones_and_more():
    assert generated(20) == generated(50)[:20]


def test_thickness_stands_in_quarter_inches():
    for blank in generated(100):
        quarters = blank.thickness[0].value / (INCH / 4)
        assert abs(quarters - round(quarters)) < 1e-9


def test_candidates_spread_over_the_whole_range():
    lengths = np.array([blank.length for blank in generated(100)]) / INCH
    assert np.histogram(lengths, bins=4, range=(62, 124))[0].min() >= 20


@pytest.mark.parametrize(("base", "n", "value"), [(2, 6, 0.375), (3, 5, 2 / 3 + 1 / 9), (10, 123, 0.321)])
def test_radical_inverse_mirrors_digits(base, n, value):
    assert radical_inverse(n, base) == pytest.approx(value, abs=1e-15)


@pytest.mark.parametrize("make", Make)
@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MM])
def test_kept_blanks_read_back_from_their_stock_sheet(make, unit, tmp_path):
    path = tmp_path / "kept.stock.toml"
    path.write_text(stock_sheet(generated(12, make), unit))
    for read, made in zip(read_stock(path), generated(12, make), strict=True):
        assert read.id == made.id
        assert read.length == pytest.approx(made.length, abs=1e-9)
        for marks in ("rocker", "thickness", "outline", "dome"):
            ours, theirs = getattr(made, marks), getattr(read, marks)
            assert [m.value for m in theirs] == pytest.approx([m.value for m in ours], abs=1e-9)


def test_foam_of_a_block_is_its_box():
    # A square blank is a sheared box: its rocker moves foam up, and takes none away.
    blank = generated(1)[0]
    box = blank.length * blank.outline[0].value * blank.thickness[0].value
    assert foam_in(profiles_of([blank])[0]) == pytest.approx(box, rel=0.003)


def test_price_grows_with_the_foam():
    blanks = sorted(generated(60), key=lambda b: b.length * b.thickness[0].value * b.outline[0].value)
    assert blanks[0].price < blanks[30].price < blanks[-1].price


@pytest.mark.parametrize("make", list(Make))
def test_a_sheet_in_millimetres_says_round_numbers_and_names_hold_no_fraction(make):
    text = stock_sheet(generated(60, make), Unit.MM)
    # 1/32 in is 0.79375 mm.
    assert max(len(part) for part in re.findall(r"(?<=\.)\d+", text)) == 5
    assert not any("/" in blank.id for blank in generated(60, make))
