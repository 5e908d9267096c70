"""Laws of what is known and of what is advised."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.bench.belief import Belief, ChipFactor, Height, Made, prior
from foamwright.bench.entries import Entry, Noted, Undone, counting
from foamwright.units import INCH
from tests.runs import bulging_run

QUICK = settings(max_examples=60, derandomize=True, deadline=None)
CHIPS = (INCH / 32, INCH / 64)


def face(depth: float) -> Belief:
    return prior(bulging_run(depth), ChipFactor())


strokes = st.lists(
    st.builds(
        Made,
        st.floats(2.0, 25.0).map(lambda d: d * INCH),
        st.one_of(st.none(), st.floats(0.0, 1.5).map(lambda d: d * INCH)),
        st.sampled_from(CHIPS),
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
def test_strokes_never_raise_the_face_nor_take_more_than_their_chips(made: list[Made]) -> None:
    before = face(INCH)
    after = before.after(made)
    taken = before.left - after.left
    assert taken.min() >= -1e-12
    assert taken.max() <= sum(one.chip for one in made) + 1e-12


@QUICK
@given(strokes, readings)
def test_what_is_known_stays_a_normal(made: list[Made], read: list[Height]) -> None:
    known = face(INCH).after(made).informed(read)
    cov = known.face.cov
    assert np.allclose(cov, cov.T, atol=1e-12)
    assert np.linalg.eigvalsh(cov).min() > -1e-9
    assert np.isfinite(known.left).all()


@QUICK
@given(readings)
def test_readings_never_add_doubt(read: list[Height]) -> None:
    before = face(INCH)
    after = before.informed(read)
    assert (after.doubt <= before.doubt + 1e-12).all()


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
