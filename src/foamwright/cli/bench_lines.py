"""Readings, advice, rescue and trials as plain lines for a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from foamwright.bench.belief import RUB
from foamwright.bench.entries import (
    Corrected,
    Entry,
    Event,
    Laid,
    Noted,
    Stroked,
    Taken,
    Timed,
    Undone,
    Worked,
)
from foamwright.bench.next_step import Kind
from foamwright.cli.tables import table
from foamwright.units import Rounding, System, format_length, format_with_unit

if TYPE_CHECKING:
    from foamwright.bench.advice import Advice, Deep, Group, Left
    from foamwright.bench.next_step import Ask, Step
    from foamwright.jobs.bench_job import BenchJob
    from foamwright.jobs.reading import Recorded
    from foamwright.jobs.rescue_water import WaterCost
    from foamwright.jobs.rescuing import RescuedJob


def recorded_lines(recorded: Recorded, job: BenchJob) -> list[str]:
    """Return what became of readings, and what is too deep."""
    lines = [_reading_line(entry, job) for entry in (*recorded.accepted, *recorded.questioned)]
    return [*lines, *_deep_lines(recorded.advice.too_deep, job)]


def _reading_line(entry: Entry, job: BenchJob) -> str:
    event = entry.event
    if isinstance(event, Laid):
        where = f"{event.stick.stage.value} to the {event.stick.end.value}, stick"
        return f"{entry.number}. {where}: {event.state.value}. {event.reason}".rstrip()
    assert isinstance(event, Taken)
    one = event.reading
    value = _fine(one.value, job)
    line = f"{entry.number}. {one.stage.value}, {one.station}, {one.what.value} {value}: {event.state.value}."
    return f"{line} {event.reason}".rstrip()


def told_lines(entries: Sequence[Entry], job: BenchJob) -> list[str]:
    """Return what was recorded, each entry with the number by which it is undone."""
    return [f"{entry.number}. {_told(entry.event, job)} Recorded." for entry in entries] or ["Nothing new."]


def _told(event: Event, job: BenchJob) -> str:
    match event:
        case Stroked():
            stroke, count = event.stroke, event.count
            way = "off the tip" if stroke.end is None else f"lifted {_length(stroke.end, job)} before the tip"
            many = f"{count} strokes" if count != 1 else "a stroke"
            where = f"from {_length(stroke.start, job)}, {way}"
            run = f"{event.stage.value} to the {event.end.value}"
            return f"{run}: {many} {where}, chip {_chip(stroke.chip, job)}."
        case Timed():
            return f"{event.stage.value}, {event.minutes:g} minutes."
        case Undone():
            return f"Entry {event.of} no longer counts."
        case Noted():
            return f"Note: {event.text}."
        case Worked():
            return f"{event.stage.value}, {event.step}: done."
        case Laid():
            return f"{event.stick.stage.value}, stick."
        case Corrected():
            return f"Entry {event.of} is replaced."
        case Taken():
            return f"{event.reading.stage.value}, {event.reading.station}."


def advice_lines(advice: Advice, job: BenchJob) -> list[str]:
    """Return what to do now, what is left, and what is too deep."""
    step = advice.step
    lines = [_step_line(step)]
    lines += [f"  {number}. {_group(group, job)}" for number, group in enumerate(advice.strokes, 1)]
    if step.places:
        lines.append("Then measure:" if step.strokes or step.kind in WORK else "Measure:")
        lines += [f"  {_ask(one, job)}" for one in step.places]
    for x, left in step.left_to_sand:
        lines.append(f"Sand {_station(x, job)} down: up to {_fine(left, job)} may stand there.")
    begun = [one for one in advice.left if one.doubt > 0.0]
    return [*lines, *(["", *_left_table(begun, job)] if begun else []), *_deep_lines(advice.too_deep, job)]


WORK = frozenset({Kind.SAW, Kind.PASSES, Kind.SCOOP, Kind.BAND, Kind.SAND})
"""Steps that are worked first and measured then."""

ACTS = {
    Kind.SAW: "Saw along the line",
    Kind.PASSES: "Plane the passes to thickness",
    Kind.STROKES: "Make these strokes, in order",
    Kind.FOAM_DOWN: "Bring the foam down to the stringer with the coarse block",
    Kind.MEASURE: "Measure",
    Kind.STICK: "Lay the stick and slide the shims under it",
    Kind.SCOOP: "Scoop out the bottom by its depth marks",
    Kind.BAND: "Cut the band between its two lines",
    Kind.SAND: "Sand",
    Kind.RESCUE: "Too deep: sand less there, or find the nearest board (foamwright rescue)",
    Kind.DONE: "Everything is done",
}
"""What each step says to do."""


def _step_line(step: Step) -> str:
    act = "Rub these places down" if step.kind is Kind.SAND and step.strokes else ACTS[step.kind]
    where = ", ".join(
        part for part in (step.stage.value, step.face, f"to the {step.end}" if step.end else "") if part
    )
    named = f" ({step.name})" if step.kind is Kind.BAND else ""
    return f"{act}{named}: {where}. {step.why.value[0].upper()}{step.why.value[1:]}."


def _ask(ask: Ask, job: BenchJob) -> str:
    place = f"{_station(ask.station, job)}: {ask.what.value} with the {ask.tool.value}"
    should = f"should read about {_fine(ask.expect, job)}, not under {_fine(ask.not_under, job, Rounding.UP)}"
    return f"{place}, {should}"


def _group(group: Group, job: BenchJob) -> str:
    stroke = group.stroke
    way = "off the tip" if stroke.end is None else f"lifted {_length(stroke.end, job)} before the tip"
    where = f"{group.count} from {_length(stroke.start, job)} before the {group.end}, {way}"
    if stroke.rubbed:
        return f"{where}: sanding block, {round(stroke.chip / RUB)} rubs"
    return f"{where}; {group.face}, {group.plane}, iron {_chip(stroke.chip, job)}"


def _left_table(begun: Sequence[Left], job: BenchJob) -> list[str]:
    rows = [
        (
            f"{one.stage}, {one.face}, {_station(one.station, job)}",
            _signed(one.left, job),
            _fine(one.doubt, job, Rounding.UP),
        )
        for one in begun
    ]
    return table(("left to take off", "left", "give or take"), rows) if rows else []


def _deep_lines(deep: Sequence[Deep], job: BenchJob) -> list[str]:
    lines = []
    for one in deep:
        harm = (
            "the sanding allowance takes it up: sand less there"
            if one.within_finish
            else "see foamwright rescue for the nearest board still in the foam"
        )
        place = f"{one.at.stage}, {one.at.face}, {_station(one.at.station, job)}"
        amount = _fine(-one.at.left, job)
        if one.at.doubt >= -one.at.left:
            doubt = _fine(one.at.doubt, job, Rounding.UP)
            lines.append(
                f"Perhaps too deep at {place}, {amount} give or take {doubt}: measure before you cut."
            )
        else:
            lines.append(f"Too deep at {place} by {amount}: {harm}.")
    return lines


def _station(x: float, job: BenchJob) -> str:
    """Return a station as it is measured: from the nearer tip, to the tape's marks."""
    length = job.plan.length
    if abs(x - length / 2.0) < 1e-6:
        return "centre"
    end, distance = ("tail", x) if x < length / 2.0 else ("nose", length - x)
    return end if distance < 1e-6 else f"{_length(distance, job)} from {end}"


def _length(metres: float, job: BenchJob) -> str:
    return format_with_unit(metres, job.system)


def _chip(metres: float, job: BenchJob) -> str:
    """Return a chip: far finer than a tape's marks."""
    if job.system is System.INCH:
        return f"{format_length(metres, System.INCH, 128)} in"
    return f"{metres * 1000:.2f} mm"


def _fine(metres: float, job: BenchJob, rounding: Rounding = Rounding.NEAREST) -> str:
    """Return what is left as it would be read: to 1/64 in, a step finer than a tape's marks, or 0.1 mm."""
    return format_with_unit(metres, job.system, 64, rounding)


def _signed(metres: float, job: BenchJob) -> str:
    amount = _fine(abs(metres), job)
    return f"-{amount}" if metres < 0 and not amount.startswith("0 ") else amount


def _close(metres: float, system: System) -> str:
    """Return a number of the board closer than a tape reads it, so that small changes show."""
    return f"{format_length(metres, system, 64)} {'in' if system is System.INCH else 'mm'}"


def _water_lines(water: WaterCost | None, system: System) -> list[str]:
    """Return how the board as meant and the rescued one float."""
    if water is None:
        return ["What it costs in the water is told with a rider sheet (--rider)."]
    rows = [
        (name, _in_water(before, kind, system), _in_water(after, kind, system))
        for name, before, after, kind in water.rows()
    ]
    return ["", *table((f"{water.rider}, lying, at rest", "was", "becomes"), rows)]


def _in_water(value: float | None, kind: str, system: System) -> str:
    if value is None:
        return "sinks, or stands on end"
    return _close(value, system) if kind == "m" else f"{value:.2f} {kind}"


def rescue_lines(rescued: RescuedJob, system: System) -> list[str]:
    """Return what a rescue changes and what it costs."""
    rescue = rescued.rescue
    if not rescue.changes:
        return ["Nothing has to change: the board is still inside the foam."]
    rows = [
        (change.name, _close(change.before, system), _close(change.after, system))
        for change in rescue.changes
    ]
    seen = [row for row in rows if row[1] != row[2]]
    unseen = len(rows) - len(seen)
    lost = f"{rescue.lost * 1000:.2f} litres less than before"
    return [
        *table(("number", "was", "becomes"), seen),
        *([f"Changed by less than shows here: {unseen} more, in the sheet."] if unseen else []),
        f"Volume {rescue.volume * 1000:.1f} l, {lost}.",
        *_water_lines(rescued.water, system),
        "",
        *(str(path) for path in rescued.written),
    ]
