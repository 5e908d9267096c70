"""Apprentice trials: many simulated shapers follow the advice, and two baselines, on the same job."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass, field
from pathlib import Path

from foamwright.bench.care import usual_care
from foamwright.bench.course import Course
from foamwright.bench.lines import add_line, read_lines
from foamwright.bench.shaper import Hands, Outcome, Way, do_job
from foamwright.bench.tally import Tally, tally
from foamwright.errors import InputError, Problem
from foamwright.shape.kernels.stroke_choice import Care

CHUNK = 50
"""Shapers done between two notes of progress."""

Progress = Callable[[Way, int], None]
"""Told how many shapers of a way are done."""


@dataclass(frozen=True, slots=True)
class TrialSettings:
    """What is tried.

    Attributes
    ----------
    shapers, seed
        How many, and from which seed; shaper `k` is the same whatever their number.
    workers
        Threads.
    hands
        What goes wrong.
    care
        How careful the advice is.
    """

    shapers: int = 1000
    seed: int = 1
    workers: int = 2
    hands: Hands = field(default_factory=Hands)
    care: Care = field(default_factory=usual_care)

    def as_json(self) -> dict[str, object]:
        """Return what an outcome depends on, beside the job and the shaper's number."""
        return {"seed": self.seed, "hands": asdict(self.hands), "care": self.care._asdict()}


@dataclass(frozen=True, slots=True)
class TrialResult:
    """How each way of working came out, and what the plan without noise takes.

    Attributes
    ----------
    tallies
        By way.
    planned
        Strokes of the noise-free plan.
    tolerance
        By which stations were judged, metres.
    """

    tallies: dict[Way, Tally]
    planned: int
    tolerance: float

    def as_json(self) -> dict[str, object]:
        """Return the result as plain values: the advice's own tally, and both baselines."""
        return {
            **self.tallies[Way.ADVICE].as_json(),
            "planned_strokes": self.planned,
            "tolerance_m": self.tolerance,
            "baselines": {
                way.value.replace(" ", "_"): self.tallies[way].as_json() for way in (Way.LIST, Way.RULE)
            },
        }


def run_trial(
    courses: Sequence[Course],
    settings: TrialSettings,
    resume: Path | None = None,
    progress: Progress | None = None,
) -> TrialResult:
    """Return how the advice and the baselines came out.

    Parameters
    ----------
    courses
        The job's run-offs.
    settings
        What is tried.
    resume
        File that outcomes are kept in as they come; what it holds already is not done again.
    progress
        Told after every chunk.

    Raises
    ------
    InputError
        The file holds another trial.
    """
    done = _Kept(resume, courses, settings)
    with ThreadPoolExecutor(settings.workers) as pool:
        for way in Way:
            missing = [k for k in range(settings.shapers) if (way, k) not in done.outcomes]
            for chunk in _chunks(missing):
                found = pool.map(lambda k: _outcome(courses, settings, way, k), chunk)  # noqa: B023
                done.keep(way, chunk, list(found))
                if progress is not None:
                    progress(way, chunk[-1] + 1)
    tolerance = settings.care.tolerance
    return TrialResult(
        {way: tally([done.outcomes[way, k] for k in range(settings.shapers)], tolerance) for way in Way},
        sum(len(course.planned) for course in courses),
        tolerance,
    )


def _outcome(courses: Sequence[Course], settings: TrialSettings, way: Way, number: int) -> Outcome:
    return do_job(courses, way, settings.hands, settings.care, (settings.seed, number))


def _chunks(numbers: Sequence[int]) -> Iterator[Sequence[int]]:
    for start in range(0, len(numbers), CHUNK):
        yield numbers[start : start + CHUNK]


class _Kept:
    """Outcomes by way and shaper, kept in a file of lines if one is named."""

    def __init__(self, path: Path | None, courses: Sequence[Course], settings: TrialSettings) -> None:
        self.path = path
        self.outcomes: dict[tuple[Way, int], Outcome] = {}
        if path is None:
            return
        head = {"trial": settings.as_json(), "job": [_mark_of(course) for course in courses]}
        lines = read_lines(path) if path.exists() else []
        if not lines:
            add_line(path, head)
        elif lines[0] != json.loads(json.dumps(head)):
            raise InputError(
                Problem(
                    str(path), "It holds a trial with other settings or another job.", "Name another file."
                )
            )
        for line in lines[1:]:
            self._take(line)

    def _take(self, line: dict[str, object]) -> None:
        for number, values in zip(line["shapers"], line["outcomes"], strict=True):  # type: ignore[call-overload]
            one = Outcome(**{**values, "stops": tuple(values["stops"])})
            self.outcomes[Way(str(line["way"])), number] = one

    def keep(self, way: Way, numbers: Sequence[int], found: Sequence[Outcome]) -> None:
        """Keep outcomes, in the file first."""
        if self.path is not None:
            rows = [asdict(one) for one in found]
            add_line(self.path, {"way": way.value, "shapers": list(numbers), "outcomes": rows})
        self.outcomes |= {(way, k): one for k, one in zip(numbers, found, strict=True)}


def _mark_of(course: Course) -> dict[str, object]:
    """Return numbers that differ between any two jobs worth the name."""
    return {
        "depth_m": course.target.depth.tolist(),
        "target_m": course.target.target.tolist(),
        "strokes": len(course.planned),
        "sole_m": [course.sole.behind, course.sole.ahead],
    }
