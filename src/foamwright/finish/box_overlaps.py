"""Fin boxes in each other's way: where two of them overlap, and where two have one name."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations

import numpy as np

from foamwright.findings import Finding, Severity, said
from foamwright.finish.boxes import BoxFit
from foamwright.shape.curves import Floats
from foamwright.units import System, format_with_unit

TOUCHING = 1e-6
"""Metres; boxes that only touch do not overlap."""

AROUND = (0, 1, 3, 2)
"""The corners of a box in order round it."""


def check_apart(boxes: tuple[BoxFit, ...], system: System) -> tuple[Finding, ...]:
    """Return a finding for every two boxes that overlap, and for every name that more than one box has."""
    over = [_overlapping(one, other, system) for one, other in combinations(boxes, 2)]
    return (*(finding for finding in over if finding is not None), *_same_names(boxes))


def overlap(one: BoxFit, other: BoxFit) -> float:
    """Return how far two boxes would have to be moved apart, metres; 0 or less where they do not overlap.

    Seen from above, where they open in the bottom and at their deep ends; both are convex, so that two
    which do not overlap are parted by a line along one of their sides.
    """
    return max(_depth(*pair) for pair in zip(_plans(one), _plans(other), strict=True))


def _plans(fit: BoxFit) -> tuple[Floats, Floats]:
    """Return the (4, 2) corners of a box in order: in the bottom, and at its deep end."""
    corners = [fit.corners[at] for at in AROUND]
    return np.array([corner.rim for corner in corners]), np.array([corner.floor[:2] for corner in corners])


def _depth(one: Floats, other: Floats) -> float:
    return min(_along(one, other, axis) for axis in (*_normals(one), *_normals(other)))


def _normals(plan: Floats) -> Iterator[Floats]:
    for side in np.roll(plan, -1, axis=0) - plan:
        yield np.array([-side[1], side[0]]) / np.hypot(*side)


def _along(one: Floats, other: Floats, axis: Floats) -> float:
    first, second = one @ axis, other @ axis
    return float(min(first.max() - second.min(), second.max() - first.min()))


def _overlapping(one: BoxFit, other: BoxFit, system: System) -> Finding | None:
    by = overlap(one, other)
    if by <= TOUCHING:
        return None
    words = format_with_unit(by, system, 32)
    return Finding(
        "finish-box-overlap",
        Severity.STOP,
        said("where.fin-boxes", "fin boxes {one} and {other}", one=one.fin.name, other=other.fin.name),
        by,
        0.0,
        "m",
        said(
            "finish-box-overlap",
            "The boxes {one} and {other} overlap by {amount}: both cannot be set.",
            one=one.fin.name,
            other=other.fin.name,
            amount=words,
        ),
        said(
            "finish-box-overlap.remedy",
            "Move one of them along the board or away from the stringer, or leave one out.",
        ),
    )


def _same_names(boxes: tuple[BoxFit, ...]) -> tuple[Finding, ...]:
    counts = Counter(fit.fin.name.strip().casefold() for fit in boxes)
    return tuple(
        Finding(
            "finish-box-name",
            Severity.WARNING,
            said("where.fin-box-name", "fin box {name}", name=name),
            float(count),
            1.0,
            "1",
            said(
                "finish-box-name",
                "{count} fin boxes are called {name}: papers and marks cannot tell them apart.",
                count=f"{count}",
                name=name,
            ),
            said("finish-box-name.remedy", "Give each a name of its own."),
        )
        for name, count in counts.items()
        if count > 1
    )
