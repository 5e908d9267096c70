"""Whether a reading can be believed; if not, what probably happened. It is questioned and kept, not used."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot, sqrt

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import Stretch, left_of, wanted_value
from foamwright.bench.entries import Entry, Laid, State, Taken, counting
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.question_words import (
    AS_INCHES,
    AS_SIXTEENTHS,
    BELOW_ZERO,
    DROPPED,
    GONE,
    GROWN,
    OTHER_TIP,
    OUTSIDE,
    SPACER,
    SQUARED_EDGE,
    TENFOLD,
    WRONG_WAY_ROUND,
)
from foamwright.bench.readings import Lay, Measured, Reading, StickReading, Tool
from foamwright.findings import said
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System, format_with_unit

LIMIT = 4.5
"""Standard errors from what is expected beyond which a reading is questioned."""

LIKELY = 3.0
"""Standard errors within which a supposed slip explains a reading."""

SAME_PLACE = 0.006
"""Metres; nearer stations are one (about 1/4 in)."""

INCHES = 12
"""Whole inches that may have been dropped from the front of a number, at most."""


@dataclass(frozen=True, slots=True)
class Case:
    """A reading before its judges.

    Attributes
    ----------
    plan, reading, bay
        The job, what was read, and with which tape.
    found
        The board as known so far.
    """

    plan: JobPlan
    reading: Reading
    bay: Bay
    found: tuple[Stretch, ...]

    def about(self, reading: Reading) -> Stretch | None:
        """Return the stretch that a reading tells of; ``None``: nothing that is followed."""
        told = (one for one in self.found if left_of(one, reading, self.plan) is not None)
        return next(told, None)

    def missed(self, value: float, x: float | None = None) -> float | None:
        """Return by how many standard errors a value would miss what is expected (high: positive)."""
        reading = replace(self.reading, value=value, x=self.reading.x if x is None else x)
        stretch = self.about(reading)
        told = None if stretch is None else left_of(stretch, reading, self.plan)
        if stretch is None or told is None:
            return None
        left, doubt = stretch.at(reading.x)
        return (told - left) / hypot(doubt, reading.error(self.bay.tape) / _halved(reading))

    def explains(self, value: float, x: float | None = None) -> bool:
        """Tell whether the reading would be as expected with another value or at another station."""
        missed = self.missed(value, x)
        return missed is not None and abs(missed) <= LIKELY


def _halved(reading: Reading) -> float:
    """A width shows both edges: what is left on one is half of it."""
    return 2.0 if reading.what is Measured.WIDTH else 1.0


def judged(case: Case, entries: Sequence[Entry], system: System) -> Taken:
    """Return the reading as it goes into the history.

    Parameters
    ----------
    case
        The reading.
    entries
        The history so far: twice the same questioned value at one place is believed.
    system
        What the reason tells lengths in.
    """
    reason = next(filter(None, _reasons(case, system)), "")
    if not reason:
        return Taken(case.reading)
    before = _questioned_alike(case, counting(entries))
    if before is not None and not _impossible(case, system):
        return Taken(
            case.reading, State.ACCEPTED, f"It was questioned, but agrees with entry {before.number}."
        )
    return Taken(case.reading, State.QUESTIONED, reason)


def _reasons(case: Case, system: System) -> Iterator[str]:
    yield _impossible(case, system)
    yield _spoilt_tool(case)
    missed = case.missed(case.reading.value)
    if missed is not None and abs(missed) > LIMIT:
        yield _slip(case) or _plain_miss(case, missed, system)


def _impossible(case: Case, system: System) -> str:
    """Return why no board from this blank can measure so, or nothing."""
    reading, plan = case.reading, case.plan
    if reading.height < 0.0:
        return said(*SPACER) if reading.spacer > 0.0 else said(*BELOW_ZERO)
    blank = plan.stages[StageName.BLANK]
    most = {
        Measured.WIDTH: 2.0 * blank.half_width,
        Measured.THICKNESS: blank.deck - blank.bottom,
    }.get(reading.what)
    if most is None:
        return ""
    had = plan.at(most, reading.x)
    if reading.height <= had + LIMIT * reading.error(case.bay.tape):
        return ""
    # A slip that would explain it says more than that the blank was never so large.
    return _slip(case) or said(*OUTSIDE, had=format_with_unit(had, system))


def _spoilt_tool(case: Case) -> str:
    """A squared edge is gone once the rails are cut."""
    order = list(StageName)
    late = order.index(case.reading.stage) >= order.index(StageName.RAILS)
    if case.reading.tool is Tool.SQUARED_EDGE and late:
        return said(*SQUARED_EDGE)
    return ""


def _slip(case: Case) -> str:
    """Return the slip that explains the reading, or nothing."""
    return next(filter(None, (ask(case) for ask in SLIPS)), "")


def _sixteenths(case: Case) -> str:
    value = case.reading.value
    if case.explains(value / 16.0):
        return said(*AS_SIXTEENTHS)
    if case.explains(value * 16.0):
        return said(*AS_INCHES)
    return ""


def _other_tip(case: Case) -> str:
    mirrored = case.plan.length - case.reading.x
    if abs(mirrored - case.reading.x) > SAME_PLACE and case.explains(case.reading.value, mirrored):
        return said(*OTHER_TIP)
    return ""


def _dropped_digit(case: Case) -> str:
    value = case.reading.value
    if any(case.explains(value * factor) for factor in (10.0, 0.1)):
        return said(*TENFOLD)
    if any(case.explains(value + count * INCH) for count in range(1, INCHES + 1)):
        return said(*DROPPED)
    return ""


SLIPS: tuple[Callable[[Case], str], ...] = (_other_tip, _sixteenths, _dropped_digit)
"""Slips in the order in which they are asked for."""


def _plain_miss(case: Case, missed: float, system: System) -> str:
    stretch = case.about(case.reading)
    assert stretch is not None
    left, _ = stretch.at(case.reading.x)
    expected = format_with_unit(wanted_value(case.plan, case.reading, left), system)
    return said(*(GROWN if missed > 0.0 else GONE), expected=expected)


def _questioned_alike(case: Case, entries: Sequence[Entry]) -> Entry | None:
    """Return the latest questioned reading of the same thing at the same place that agrees with this one."""
    alike = sqrt(2.0) * LIMIT * case.reading.error(case.bay.tape)
    for entry in reversed(entries):
        event = entry.event
        if not isinstance(event, Taken) or not _same_thing(event.reading, case.reading):
            continue
        if event.state is State.QUESTIONED and abs(event.reading.height - case.reading.height) <= alike:
            return entry
    return None


def _same_thing(one: Reading, other: Reading) -> bool:
    same = (one.stage, one.what) == (other.stage, other.what)
    return same and abs(one.x - other.x) < SAME_PLACE


WRONG_WAY = 0.5
"""Share of the misfit that is left when a stick is turned round, under which it lay the wrong way."""

ODD = 3.0
"""Misfit of a stick, in its own standard errors, under which nothing is asked."""


def judged_stick(plan: JobPlan, found: Sequence[Stretch], stick: StickReading) -> Laid:
    """Return a stick's answer as it goes into the history.

    Raises nothing: one that fits much better the other way round is questioned and kept.
    """
    stretch = next(one for one in found if one.stage is stick.stage and one.end == stick.end)
    assert stretch.run is not None
    as_told = _misfit(stretch, stick.lay)
    turned = _misfit(stretch, stick.lay.mirrored(stretch.run.run.length))
    if as_told > ODD and turned < WRONG_WAY * as_told:
        return Laid(stick, State.QUESTIONED, said(*WRONG_WAY_ROUND))
    return Laid(stick)


def _misfit(stretch: Stretch, lay: Lay) -> float:
    """Return how far the edges of a stick's zones miss what is expected, root mean square over the doubt."""
    ends = [(at, zone.shim) for zone in lay.zones for at in (zone.begin, zone.end) if at > SAME_PLACE]
    if not ends or not lay.touches:
        return 0.0
    near, far = min(lay.touches), max(lay.touches)
    low, high = stretch.belief.at(near), stretch.belief.at(far)
    total = 0.0
    for at, shim in ends:
        share = (at - near) / (far - near) if far > near else 0.0
        left, doubt = stretch.belief.at(at)
        gap = low[0] + share * (high[0] - low[0]) - left
        total += (gap - shim) ** 2 / (doubt**2 + low[1] ** 2 + high[1] ** 2 + (INCH / 64) ** 2)
    return sqrt(total / len(ends))
