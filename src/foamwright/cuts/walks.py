"""Plans a run: a walk by counting from the face that is there, its foam-downs and its stops."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from foamwright.bay.bay import Plane
from foamwright.cuts.counting import Marks, walk
from foamwright.cuts.run import Run
from foamwright.cuts.trench import foam_downs, stops, tracks_of

__all__ = ["walked", "walked_by_first"]


def walked(run: Run, plane: Plane, marks: Marks) -> Run:
    """Return a run with the walk that brings its face down, by one plane at its coarsest chip.

    Parameters
    ----------
    run
        The face as it is and as it shall be; whatever strokes it has are replaced.
    plane
        Held straight.
    marks
        Where the tape has them.

    Returns
    -------
    Run
        Never below its target by counting, whatever the sole does; `predicted` is what the nominal mechanics
        leave, higher where the sole bridges a hollow.
    """
    chip = plane.chips[0]
    tracks = tracks_of(plane, chip)
    strokes = tuple(
        replace(one, tracks=tracks) for one in walk(run.before - run.target, run.step, chip, marks)
    )
    made = replace(run, plane=plane, strokes=strokes, foam_down=foam_downs(strokes))
    found, predicted = stops(made, marks)
    return replace(made, stops=found, predicted=predicted)


def walked_by_first(run: Run, planes: Sequence[Plane], marks: Marks) -> Run:
    """Return the walk by the first plane that ends within tolerance, or by the one that comes nearest."""
    best: Run | None = None
    for plane in planes:
        # What one sole bridges, a longer one bridges too.
        if best is not None and plane.sole > best.plane.sole:
            continue
        made = walked(run, plane, marks)
        if best is None or made.left.max() < best.left.max() - 1e-9:
            best = made
        if float(best.left.max()) <= run.tolerance + 1e-9:
            break
    assert best is not None
    return best
