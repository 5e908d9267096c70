"""A run as a value: what it refuses, and that it comes back from its document as it was."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Face
from foamwright.cuts.planing import Mechanics, planed
from foamwright.cuts.run import End, FoamDown, Lifted, Place, Run, Stop, Stroke, run_from_json
from foamwright.errors import FaultError
from foamwright.units import INCH

X = np.linspace(0.0, 1.0, 201)


def a_run() -> Run:
    return Run(
        stage="rocker",
        face=Face.BOTTOM,
        end=End.NOSE,
        x=X,
        before=np.zeros(201),
        target=-0.01 * X**2,
        predicted=-0.009 * X**2,
        finished=-0.011 * X**2,
        plane=Bay().planes[-1],
        strokes=(Stroke(0.1, INCH / 32), Stroke(0.2, INCH / 32, 2)),
        stops=(Stop(2, (Place(0.05, 0.001, 0.0),)),),
        foam_down=(FoamDown(2, 0.2, whole=True),),
        tolerance=INCH / 32,
        lifted=(Lifted(0.3, 0.1, INCH / 64),),
    )


def test_a_run_comes_back_from_its_document() -> None:
    run = a_run()
    plain = run.as_json()
    assert run_from_json(json.loads(json.dumps(plain))).as_json() == plain


def test_a_run_knows_its_length_step_and_what_is_left() -> None:
    run = a_run()
    assert (run.length, run.step) == (1.0, 0.005)
    assert run.at(run.left, 0.0) == pytest.approx(0.001)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"x": X + 0.1}, "start at 0"),
        ({"before": np.zeros(7)}, "one length"),
        ({"target": np.full(201, np.nan)}, "finite"),
    ],
)
def test_a_run_that_cannot_be_is_a_fault(changes: dict[str, object], message: str) -> None:
    with pytest.raises(FaultError, match=message):
        replace(a_run(), **changes)


def test_strokes_start_on_their_mark_or_after_it_and_lift_before_theirs() -> None:
    run = a_run()
    full = planed(X, np.zeros(201), run.plane, [Stroke(0.1024, 0.001)], Mechanics.FULL)
    assert X[np.flatnonzero(full)[0]] == pytest.approx(0.9)
    lifted = planed(X, np.zeros(201), run.plane, [Lifted(0.1024, 0.0526, 0.001)], Mechanics.FULL)
    assert X[np.flatnonzero(lifted)[[0, -1]]] == pytest.approx([0.9, 0.945])


def test_a_grid_coarser_than_the_sole_is_a_fault() -> None:
    with pytest.raises(FaultError, match="coarser than the plane's sole"):
        planed(np.linspace(0.0, 1.0, 11), np.zeros(11), Bay().planes[0], [])
