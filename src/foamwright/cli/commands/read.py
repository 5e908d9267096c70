"""``foamwright read``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.bench_job import BenchJob
    from foamwright.jobs.reading import ReadingText, Recorded

WORDS = ("stage", "station", "what", "value", "tool", "spacer", "note")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("job", type=Path, metavar="JOB", help="folder of a planned job")
    parser.add_argument(
        "--bay", type=Path, metavar="BAY", help="bay sheet (default: the job's, or a usual bay)"
    )
    one = parser.add_argument_group("one reading")
    one.add_argument("--stage", help="stage being cut: outline, thickness, rocker, foil, …")
    one.add_argument("--station", help='where: nose, tail, centre, "12 from tail", …')
    one.add_argument(
        "--what", help="rocker, thickness, width, left half width, right half width, left to take off"
    )
    one.add_argument("--value", help="what the tool showed")
    one.add_argument(
        "--tool", help="straight edge, propped edge, calipers, squared edge, tape, feeler or witness line"
    )
    one.add_argument("--spacer", help="height of the spacer under a propped edge")
    one.add_argument("--note", help="anything in words; alone, it is kept as a note of the job")
    many = parser.add_argument_group("many readings")
    many.add_argument("--csv", type=Path, metavar="FILE", help="readings with a line of column names first")
    made = parser.add_argument_group("strokes and time")
    made.add_argument("--done", action="store_true", help="the step advised now was done as advised")
    made.add_argument("--strokes", type=int, metavar="N", help="N equal strokes were made")
    made.add_argument("--end", help="the end they ran towards: nose or tail")
    made.add_argument("--from", dest="start", metavar="LENGTH", help="where they started, from the tip")
    made.add_argument(
        "--to", metavar="LENGTH", help="where they were lifted, from the tip (default: run off)"
    )
    made.add_argument("--chip", metavar="LENGTH", help="the chip that was set")
    made.add_argument("--minutes", type=float, metavar="M", help="minutes that --stage took, or a part of it")
    one.add_argument(
        "--stick",
        metavar="ANSWER",
        help='a stick laid on a run, from the tip: "touches 0, 18; 1/32 from 4 to 9; 1/16 from 6 to 8"',
    )
    one.add_argument(
        "--correct",
        type=int,
        metavar="N",
        help="this reading replaces entry N (--value alone keeps its place); both stay in the history",
    )
    parser.add_argument(
        "--undo", type=int, metavar="N", help="entry N no longer counts; it stays in the history"
    )


def run(args: argparse.Namespace) -> int:
    """Record what is told; 1 if a reading is questioned, or is itself too deep."""
    from foamwright.cli.show import system_of
    from foamwright.jobs.bench_job import open_job
    from foamwright.jobs.reading import record_readings, texts_from_csv

    job = open_job(args.job, args.bay, system_of(args))
    if _told_otherwise(args, job):
        return 0
    if args.stick is not None:
        return _stick(args, job)
    if args.correct is not None:
        from foamwright.jobs.reading import correct_reading

        return _show(args, correct_reading(job, args.correct, _text(args)), job)
    if args.csv is not None:
        return _show(args, record_readings(job, texts_from_csv(args.csv)), job)
    if any(getattr(args, name) for name in WORDS):
        return _show(args, record_readings(job, [_text(args)]), job)
    if args.json or not sys.stdin.isatty():
        from foamwright.errors import InputError, Problem

        raise InputError(
            Problem(
                "read", "There is nothing to record.", "Say --stage, --station, --what and --value; or --csv."
            )
        )
    return _dialogue(args, job)


def _stick(args: argparse.Namespace, job: BenchJob) -> int:
    from foamwright.jobs.reading import record_stick, stick_from, unit_of

    lay = stick_from(args.stick, unit_of(job.system))
    return _show(args, record_stick(job, args.stage or "", args.end or "", lay), job)


def _text(args: argparse.Namespace) -> ReadingText:
    from foamwright.jobs.reading import ReadingText

    return ReadingText(**{name: getattr(args, name) or "" for name in WORDS})


def _told_otherwise(args: argparse.Namespace, job: BenchJob) -> bool:
    """Record strokes, time, a note or an undoing; tell whether it was any of these."""
    from foamwright.jobs import reading

    _require_one(args)
    before = len(job.store.entries())
    if args.undo is not None:
        reading.undo(job, args.undo)
    elif args.done:
        reading.record_done(job)
    elif args.strokes is not None:
        reading.run_named(job, args.stage or "", args.end or "")
        reading.record_strokes(job, args.stage or "", args.end or "", [_strokes(args, job)])
    elif args.minutes is not None:
        reading.record_time(job, args.stage or "", args.minutes)
    elif args.note and not any(getattr(args, name) for name in WORDS if name != "note"):
        reading.record_note(job, args.note)
    else:
        return False
    _show_told(args, job, before)
    return True


def _require_one(args: argparse.Namespace) -> None:
    """Refuse to drop a part of what was said: each of these is an entry of its own."""
    from foamwright.errors import InputError, Problem

    told = {
        "--undo": args.undo is not None,
        "--done": args.done,
        "--strokes": args.strokes is not None,
        "--minutes": args.minutes is not None,
    }
    named = [name for name, given in told.items() if given]
    alone = [*named, *(f"--{word}" for word in ("note", "value") if named and getattr(args, word))]
    if len(alone) > 1:
        what = f"{' and '.join(alone)} cannot be told in one go."
        raise InputError(Problem("read", what, "Give the command once for each; nothing was recorded."))


def _strokes(args: argparse.Namespace, job: BenchJob):  # type: ignore[no-untyped-def]
    from foamwright.jobs.reading import strokes_from

    return strokes_from(job, args.strokes, (args.start, args.to, args.chip))


def _show_told(args: argparse.Namespace, job: BenchJob, before: int) -> None:
    from foamwright.cli.bench_lines import told_lines
    from foamwright.cli.show import print_json

    if args.json:
        print_json({"accepted": [], "questioned": [], "too_deep": []})
    else:
        print("\n".join(told_lines(job.store.entries()[before:], job)))


def _show(args: argparse.Namespace, recorded: Recorded, job: BenchJob) -> int:
    from foamwright.cli.show import print_json

    if args.json:
        print_json(recorded.as_json())
    else:
        from foamwright.cli.bench_lines import recorded_lines

        print("\n".join(recorded_lines(recorded, job)))
    return 0 if recorded.sound else 1


def _dialogue(args: argparse.Namespace, job: BenchJob) -> int:
    """Ask for readings one by one; each is on the disk before the next question."""
    from foamwright.errors import InputError
    from foamwright.jobs.reading import ReadingText, record_readings

    print(
        "One reading after the other; an empty station ends. An empty answer keeps what stands in brackets."
    )
    kept = {"stage": args.stage or "", "what": args.what or "", "tool": ""}
    code = 0
    while True:
        given = {"stage": _ask("stage", kept["stage"]), "station": _ask("station", "")}
        if not given["station"]:
            return code
        given |= {"what": _ask("what", kept["what"]), "value": _ask("value", "")}
        given["tool"] = _ask("tool (empty: the usual one)", kept["tool"])
        if given["tool"] == "propped edge":
            given["spacer"] = _ask("spacer", "")
        try:
            code = max(code, _show(args, record_readings(job, [ReadingText(**given)]), job))
            kept = {name: given[name] for name in kept}
        except InputError as wrong:
            print(*wrong.problems, sep="\n")


def _ask(name: str, before: str) -> str:
    try:
        answer = input(f"{name}{f' [{before}]' if before else ''}: ").strip()
    except EOFError:
        return "" if name == "station" else before
    return answer or before
