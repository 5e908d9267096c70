"""Recording readings, strokes, times and notes in a job."""

from __future__ import annotations

import csv
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from enum import StrEnum
from pathlib import Path
from typing import TypeVar

from foamwright.bench.advice import Advice, advise
from foamwright.bench.belief import Made
from foamwright.bench.entries import (
    MOST_MINUTES,
    Corrected,
    Entry,
    Event,
    Laid,
    Noted,
    State,
    Stroked,
    Taken,
    Timed,
    Undone,
    Worked,
    counting,
)
from foamwright.bench.next_step import Kind, Step
from foamwright.bench.questions import Case, judged, judged_stick
from foamwright.bench.readings import FITTING, SHIMS, Lay, Measured, Reading, StickReading, Tool, Zone
from foamwright.cuts.run import End
from foamwright.errors import InputError, Problem
from foamwright.jobs.bench_job import BenchJob
from foamwright.sheets.stations import parse_station
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System, Unit, parse_length, quoted

T = TypeVar("T")
E = TypeVar("E", bound=StrEnum)

STAGES = tuple(name for name in StageName if name is not StageName.BLANK)
"""Stages at which a reading can be taken."""


@dataclass(frozen=True, slots=True)
class ReadingText:
    """A reading as a person wrote it; `where` says in which file and line."""

    stage: str = ""
    station: str = ""
    what: str = ""
    value: str = ""
    tool: str = ""
    spacer: str = ""
    note: str = ""
    where: str = "reading"


COLUMNS = tuple(one.name for one in fields(ReadingText) if one.name != "where")
NEEDED = ("stage", "station", "what", "value")


@dataclass(frozen=True, slots=True)
class Recorded:
    """What became of readings, and how the job stands now."""

    accepted: tuple[Entry, ...]
    questioned: tuple[Entry, ...]
    advice: Advice

    @property
    def sound(self) -> bool:
        """Whether nothing is questioned, and nothing too deep where it was read; `advise` tells the rest."""
        read = [entry.event for entry in self.accepted]
        here = [(one.reading if isinstance(one, Taken) else one) for one in read]
        return not self.questioned and not any(
            isinstance(one, Reading)
            and deep.at.stage == one.stage.value
            and abs(deep.at.station - one.x) < INCH
            for deep in self.advice.too_deep
            for one in here
        )

    def as_json(self) -> dict[str, object]:
        """Return it as plain values, keys as in docs/interface."""
        return {
            "accepted": [entry.as_json() for entry in self.accepted],
            "questioned": [entry.as_json() for entry in self.questioned],
            "too_deep": [one.as_json() for one in self.advice.too_deep],
        }


def unit_of(system: System) -> Unit:
    """Return what a bare number means."""
    return Unit.MM if system is System.MM else Unit.INCH


def record_readings(job: BenchJob, texts: Sequence[ReadingText]) -> Recorded:
    """Record readings; each is judged by what is known with all those before it.

    Raises
    ------
    InputError
        Any of them is no reading (no such stage or station, text for a number): all problems are held and
        nothing is recorded.
    """
    readings = read_texts(job, texts)

    def telling(before: Sequence[Entry]) -> Sequence[Event]:
        known, told = list(before), []
        for reading in readings:
            event = _judged(job, reading, tuple(known))
            told.append(event)
            known.append(Entry(len(known) + 1, "", event))
        return told

    made = job.store.tell(telling)
    return Recorded(_with_state(made, State.ACCEPTED), _with_state(made, State.QUESTIONED), _now(job))


def correct_reading(job: BenchJob, number: int, text: ReadingText) -> Recorded:
    """Replace an earlier reading by another; the history holds both.

    Raises
    ------
    InputError
        Entry `number` is no reading that counts, or the new one cannot stand.
    """
    reading = read_texts(job, [_filled(text, _reading_of(job.store.entries(), number))])[0]

    def telling(before: Sequence[Entry]) -> Sequence[Event]:
        # Another hand may have corrected or undone it since.
        _reading_of(before, number)
        without = tuple(e for e in before if e.number != number)
        return [Corrected(number, _judged(job, reading, without))]

    made = job.store.tell(telling)
    taken = [Entry(e.number, e.at, e.event.reading) for e in made if isinstance(e.event, Corrected)]
    return Recorded(_with_state(taken, State.ACCEPTED), _with_state(taken, State.QUESTIONED), _now(job))


def _reading_of(entries: Sequence[Entry], number: int) -> Reading:
    """Return the reading of an entry that counts."""
    event = next((e.event for e in counting(entries) if e.number == number), None)
    if isinstance(event, Taken):
        return event.reading
    readings = [str(e.number) for e in counting(entries) if isinstance(e.event, Taken)]
    remedy = f"Readings that count: {', '.join(readings[-10:])}." if readings else "Nothing was read yet."
    raise InputError(Problem("--correct", f"Entry {number} is no reading that counts.", remedy))


def _filled(text: ReadingText, before: Reading) -> ReadingText:
    """Return what a person wrote, and the rest as it was: most slips are of the number alone."""
    same_tool = not text.what or text.what == before.what.value
    return replace(
        text,
        stage=text.stage or before.stage.value,
        station=text.station or before.station,
        what=text.what or before.what.value,
        tool=text.tool or (before.tool.value if same_tool else ""),
        spacer=text.spacer or (f"{1000.0 * before.spacer:g} mm" if before.spacer and same_tool else ""),
    )


def record_stick(job: BenchJob, stage: str, end: str, lay: Lay) -> Recorded:
    """Record a stick that was laid on the face of one run.

    Raises
    ------
    InputError
        The plan has no such run, or the answer does not lie on it.
    """
    name, tip = run_named(job, stage, end)
    run = next(one for one in job.plan.runs_of(name) if one.end == tip)
    _require_on_run(lay, run.run.length)
    stick = StickReading(name, tip, lay)

    def telling(before: Sequence[Entry]) -> Sequence[Event]:
        return [judged_stick(job.plan, job.as_is(tuple(before), name), stick)]

    made = job.store.tell(telling)
    return Recorded(_with_state(made, State.ACCEPTED), _with_state(made, State.QUESTIONED), _now(job))


PAST_THE_RUN = INCH
"""Metres by which a stick may reach beyond its run."""


def _require_on_run(lay: Lay, length: float) -> None:
    marks = [*lay.touches, *(m for z in lay.zones for m in (z.begin, z.end))]
    if not lay.touches or max(marks) > length + PAST_THE_RUN:
        raise InputError(
            Problem(
                "--stick",
                "It touches nowhere." if not lay.touches else "A mark of it lies beyond the run.",
                "Count from the tip: where it touches, then which shim goes under from where to where.",
            )
        )


def stick_from(text: str, unit: Unit) -> Lay:
    """Return a stick's answer as a person wrote it: ``touches 0, 18; 1/32 from 4 to 9; 1/16 from 6 to 8``.

    Raises
    ------
    InputError
        Anything of it cannot stand; every problem is held.
    """
    problems: list[Problem] = []
    touches: list[float] = []
    zones: list[Zone] = []
    for part in filter(None, (" ".join(one.split()) for one in text.split(";"))):
        try:
            if part.casefold().startswith("touches"):
                touches += [parse_length(one.strip(), unit, "--stick") for one in part[7:].split(",")]
            else:
                shim, _, stretch = part.partition(" from ")
                begin, _, end = stretch.partition(" to ")
                first, last, thick = (parse_length(one, unit, "--stick") for one in (begin, end, shim))
                zones.append(Zone(min(first, last), max(first, last), thick))
        except InputError as wrong:
            problems.extend(wrong.problems)
    if problems:
        raise InputError(problems)
    return Lay(tuple(touches), tuple(zones), SHIMS)


def _judged(job: BenchJob, reading: Reading, entries: tuple[Entry, ...]) -> Taken:
    found = job.as_is(entries, reading.stage)
    return judged(Case(job.plan, reading, job.bay, found), entries, job.system)


def _with_state(entries: Sequence[Entry], state: State) -> tuple[Entry, ...]:
    return tuple(e for e in entries if isinstance(e.event, Taken | Laid) and e.event.state is state)


def _now(job: BenchJob) -> Advice:
    return advise(job.bench(job.store.entries()), job.stations)


def record_strokes(job: BenchJob, stage: str, end: str, strokes: Sequence[tuple[Made, int]]) -> Advice:
    """Record strokes that were made in one run, and return what to do now.

    Raises
    ------
    InputError
        The plan has no such run.
    """
    name, tip = run_named(job, stage, end)
    job.store.tell(lambda _: [Stroked(name, tip, made, count) for made, count in strokes])
    return _now(job)


def run_named(job: BenchJob, stage: str, end: str) -> tuple[StageName, End]:
    """Return which run-off a person means.

    Raises
    ------
    InputError
        The plan has no such run.
    """
    name = _word(StageName, stage, "--stage")
    if not job.plan.runs_of(name):
        raise InputError(
            Problem(
                "--stage",
                f"Strokes of stage {name.value} are not followed one by one.",
                "Read what the tape shows after them; strokes are told in rocker and foil.",
            )
        )
    tip = _word(End, end, "--end")
    if not any(run.end == tip for run in job.plan.runs_of(name)):
        raise InputError(
            Problem("--end", f"The plan has no run-off of {name.value} to the {tip.value}.", "Check --end.")
        )
    return name, tip


def record_done(job: BenchJob) -> Advice:
    """Record that the step advised now was done, and return what to do now.

    Raises
    ------
    InputError
        The step is one of measuring, which takes what was read; or there is nothing left to do.
    """
    step = _now(job).step
    if step.kind in (Kind.MEASURE, Kind.STICK, Kind.DONE):
        raise InputError(
            Problem(
                "--done",
                f"The step now is to {step.kind.value}." if step.kind is not Kind.DONE else "All is done.",
                "Record what was read; foamwright advise says where.",
            )
        )
    job.store.tell(lambda _: events_of(step))
    return _now(job)


def events_of(step: Step) -> list[Event]:
    """Return what goes into the history when a step was done as it stands."""
    if step.strokes:
        return [Stroked(step.stage, End(step.end), made, 1) for made in step.strokes]
    if step.kind is Kind.BAND:
        return [Worked(step.stage, step.kind.value, step.name)]
    name = step.name if step.kind is Kind.FOAM_DOWN else step.kind.value
    return [Worked(step.stage, name, step.face, step.end)]


def record_time(job: BenchJob, stage: str, minutes: float) -> None:
    """Record what a stage, or a part of it, took."""
    if not 0.0 < minutes < MOST_MINUTES:
        raise InputError(
            Problem("--minutes", f"{minutes:g} minutes cannot be.", "Write the minutes it took.")
        )
    name = _word(StageName, stage, "--stage")
    job.store.tell(lambda _: [Timed(name, minutes)])


def record_note(job: BenchJob, text: str) -> None:
    """Record words."""
    job.store.tell(lambda _: [Noted(text)])


def _undoings(entries: Sequence[Entry]) -> set[int]:
    """Return the undoings that have not been undone themselves."""
    undone = {e.event.of for e in entries if isinstance(e.event, Undone)}
    return {e.number for e in entries if isinstance(e.event, Undone)} - undone


def undo(job: BenchJob, number: int) -> Advice:
    """Undo an entry by a later one; both stay in the history.

    Raises
    ------
    InputError
        There is no such entry.
    """

    def telling(before: Sequence[Entry]) -> Sequence[Event]:
        if not 1 <= number <= len(before):
            raise InputError(
                Problem("--undo", f"There is no entry {number}.", f"The history has {len(before)} entries.")
            )
        if number not in {entry.number for entry in counting(before)} | _undoings(before):
            raise InputError(Problem("--undo", f"Entry {number} is undone already.", "It counts no more."))
        return [Undone(number)]

    job.store.tell(telling)
    return _now(job)


def read_texts(job: BenchJob, texts: Sequence[ReadingText]) -> tuple[Reading, ...]:
    """Return what people wrote as readings.

    Raises
    ------
    InputError
        Anything in any of them cannot stand; every problem is held.
    """
    problems: list[Problem] = []
    readings = [_reading(job, text, problems) for text in texts]
    if problems:
        raise InputError(problems)
    return tuple(one for one in readings if one is not None)


def _reading(job: BenchJob, text: ReadingText, problems: list[Problem]) -> Reading | None:
    unit = unit_of(job.system)
    where = text.where

    def part(name: str, make: Callable[[], T]) -> T | None:
        try:
            return make()
        except InputError as wrong:
            place = f"{where}, {name}"
            problems.extend(Problem(place, p.what, p.remedy) for p in wrong.problems)
            return None

    stage = part("stage", lambda: _stage(text.stage))
    x = part("station", lambda: parse_station(text.station, job.plan.length, unit))
    what = part("what", lambda: _word(Measured, text.what, "what"))
    value = part("value", lambda: _size(text.value, unit))
    tool = part("tool", lambda: _tool(text.tool, what)) if what or text.tool.strip() else None
    spacer = part("spacer", lambda: _spacer(text, tool, unit))
    if stage is None or x is None or what is None or value is None or tool is None or spacer is None:
        return None
    return Reading(stage, x, what, value, tool, spacer, text.station, text.value, text.note)


def _size(text: str, unit: Unit) -> float:
    metres = parse_length(text, unit)
    if metres < 0.0:
        raise InputError(Problem("value", f"{quoted(text)} is below nothing.", "Say what the tool showed."))
    return metres


def _stage(text: str) -> StageName:
    name = next((one for one in STAGES if one.value == " ".join(text.split()).casefold()), None)
    if name is None:
        raise InputError(Problem("stage", f"{quoted(text)} is no stage that is cut.", _choices(STAGES)))
    return name


def _word(words: type[E], text: str, where: str) -> E:
    plain = " ".join(text.split()).casefold()
    try:
        return words(plain)
    except ValueError:
        raise InputError(Problem(where, f"{quoted(text)} is none of them.", _choices(tuple(words)))) from None


def _choices(words: Sequence[str]) -> str:
    return f"Say {', '.join(words[:-1])} or {words[-1]}."


def _tool(text: str, what: Measured | None) -> Tool | None:
    if what and not text.strip():
        return FITTING[what][0]
    tool = _word(Tool, text, "tool")
    if what and tool not in FITTING[what]:
        names = " or ".join(FITTING[what])
        raise InputError(Problem("tool", f"A {tool} does not measure {what}.", f"Use a {names}."))
    return tool


def _spacer(text: ReadingText, tool: Tool | None, unit: Unit) -> float:
    if tool is Tool.PROPPED_EDGE and not text.spacer.strip():
        raise InputError(Problem("spacer", "A propped edge needs its spacer's height.", "Write it."))
    if not text.spacer.strip():
        return 0.0
    if tool is not None and tool is not Tool.PROPPED_EDGE:
        raise InputError(Problem("spacer", f"A {tool} has no spacer.", "Leave it out, or say propped edge."))
    return parse_length(text.spacer, unit)


def texts_from_csv(path: Path) -> tuple[ReadingText, ...]:
    """Return the readings in a CSV file with a line of names first.

    Raises
    ------
    InputError
        The file cannot be read, or its columns are not those of readings.
    """
    try:
        with path.open(newline="", encoding="utf-8-sig") as stream:
            rows = list(csv.DictReader(stream))
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise InputError(
            Problem(str(path), f"Cannot read it ({error}).", "Save it as CSV in UTF-8.")
        ) from error
    if not rows:
        raise InputError(Problem(str(path), "There is no reading in it.", _columns()))
    missing = [name for name in NEEDED if name not in rows[0]]
    unknown = [str(name) for name in rows[0] if name not in COLUMNS]
    if missing or unknown:
        raise InputError(
            Problem(
                f"{path.name}, line 1",
                " ".join(
                    [
                        *(f"The column {quoted(name)} is missing." for name in missing),
                        *(f"{quoted(name)} is no column of a reading." for name in unknown),
                    ]
                ),
                _columns(),
            )
        )
    return tuple(_text(row, f"{path.name}, line {number}") for number, row in enumerate(rows, 2))


def _text(row: Mapping[str, str | None], where: str) -> ReadingText:
    return ReadingText(**{name: row.get(name) or "" for name in COLUMNS}, where=where)


def _columns() -> str:
    return f"Columns: {', '.join(NEEDED)}; and if wanted {', '.join(c for c in COLUMNS if c not in NEEDED)}."


def strokes_from(
    job: BenchJob, count: int, written: tuple[str | None, str | None, str | None]
) -> tuple[Made, int]:
    """Return strokes that a person wrote: how many, and start, end and chip as lengths.

    Raises
    ------
    InputError
        Anything of it cannot stand; every problem is held.
    """
    unit = unit_of(job.system)
    problems: list[Problem] = []

    def length(name: str, text: str | None) -> float:
        try:
            return parse_length(text or "", unit, name)
        except InputError as wrong:
            problems.extend(wrong.problems)
            return 0.0

    start, chip = length("--from", written[0]), length("--chip", written[2])
    end = None if written[1] is None else length("--to", written[1])
    if not 1 <= count <= 1000:
        problems.append(Problem("--strokes", f"{count} strokes cannot be.", "Say how many were made."))
    if not problems and not (0.0 < chip < 0.01 and (end or 0.0) < start < job.plan.length):
        problems.append(
            Problem(
                "strokes",
                "They lie off the board, end before they start, or cut a chip that no plane cuts.",
                "Check --from, --to and --chip.",
            )
        )
    if problems:
        raise InputError(problems)
    return Made(start, end, chip), count
