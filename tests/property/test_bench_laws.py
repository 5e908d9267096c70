"""Laws of what is known and of what is advised."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.bench.belief import Belief, ChipFactor, Errors, Height, Made, prior
from foamwright.bench.care import GRID, usual_care
from foamwright.bench.entries import Entry, Noted, Undone, counting
from foamwright.blank.numbers import Face
from foamwright.cuts.run import End
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole
from foamwright.shape.kernels.stroke_choice import best_stretch, choose_stroke
from foamwright.units import INCH

QUICK = settings(max_examples=60, derandomize=True, deadline=None)
CHIPS = np.array([INCH / 32, INCH / 64, INCH / 128])


def face(depth: float) -> Belief:
    x = np.linspace(0.0, 30 * INCH, 241)
    target = -(x**2) / 6.0
    run = RunTarget("rocker", Face.BOTTOM, End.NOSE, x, target + depth * (x / x[-1]) ** 2, target)
    return prior(run, Sole(9.5 * INCH, 4.5 * INCH), ChipFactor(), Errors())


strokes = st.lists(
    st.builds(
        Made,
        st.floats(2.0, 25.0).map(lambda d: d * INCH),
        st.one_of(st.none(), st.floats(0.0, 1.5).map(lambda d: d * INCH)),
        st.sampled_from(CHIPS.tolist()),
    ),
    min_size=1,
    max_size=12,
)
readings = st.lists(
    st.builds(
        Height,
        st.floats(0.0, 29.0).map(lambda d: d * INCH),
        st.floats(-0.1, 1.0).map(lambda d: d * INCH),
        st.floats(0.005, 0.1).map(lambda d: d * INCH),
    ),
    max_size=8,
)


@QUICK
@given(strokes)
def test_strokes_never_raise_the_face(made: list[Made]) -> None:
    before = face(INCH)
    after = before.after(made)
    assert np.all(after.left <= before.left + 1e-12)
    assert np.all(np.diag(after.cov) >= -1e-15)


@QUICK
@given(strokes, readings)
def test_readings_never_add_doubt_and_their_order_does_not_matter(
    made: list[Made], told: list[Height]
) -> None:
    before = face(INCH).after(made)
    after, turned = before.informed(told), before.informed(told[::-1])
    assert np.all(after.doubt <= before.doubt + 1e-9)
    assert np.allclose(after.mean, turned.mean, atol=1e-8)
    assert np.allclose(after.cov, turned.cov, atol=1e-12)


@QUICK
@given(strokes, readings)
def test_an_advised_stroke_is_safe_where_it_cuts(made: list[Made], told: list[Height]) -> None:
    """After the stroke every point it lowers keeps the careful distance, by the filter's own mean."""
    belief, care, choice = face(INCH).after(made).informed(told), usual_care(), np.zeros(3)
    if not choose_stroke(belief.known(), CHIPS, care, 0, choice):
        return
    size = belief.size
    end = None if choice[1] >= size else (size - 1 - float(choice[1])) * GRID
    after = belief.after([Made((size - 1 - float(choice[0])) * GRID, end, float(choice[2]))])
    cut = belief.left - after.left > 0.5 * choice[2] * max(belief.chip.mean, 0.05)
    careful = after.left - 0.75 * care.caution * after.doubt
    assert np.all(careful[cut] >= -care.tolerance)


@QUICK
@given(st.lists(st.floats(-2.0, 2.0), min_size=1, max_size=12), st.integers(1, 4))
def test_the_best_stretch_is_the_best_of_all(gain: list[float], shortest: int) -> None:
    values = np.array(gain)
    found, begin, end = best_stretch(values, np.zeros(values.size + 1), shortest)
    sums = [values[a : b + 1].sum() for a in range(values.size) for b in range(a + shortest - 1, values.size)]
    assert np.isclose(found, max([0.0, *sums]))
    if begin >= 0:
        assert end - begin + 1 >= shortest
        assert np.isclose(values[begin : end + 1].sum(), found)


@QUICK
@given(st.data())
def test_undoing_an_undoing_brings_an_entry_back(data: st.DataObject) -> None:
    count = data.draw(st.integers(1, 6))
    entries = [Entry(k, "", Noted(str(k))) for k in range(1, count + 1)]
    victim = data.draw(st.integers(1, count))
    undone = [*entries, Entry(count + 1, "", Undone(victim))]
    restored = [*undone, replace(undone[-1], number=count + 2, event=Undone(count + 1))]
    assert [e.number for e in counting(undone)] == [k for k in range(1, count + 1) if k != victim]
    assert [e.number for e in counting(restored)] == list(range(1, count + 1))
