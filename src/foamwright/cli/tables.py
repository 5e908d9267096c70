"""Results as plain lines for a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from foamwright.findings import Finding
from foamwright.units import INCH, System, format_feet, format_with_unit

if TYPE_CHECKING:
    from foamwright.jobs.check import Checked
    from foamwright.lay.survey import Survey
    from foamwright.planning.plan import Plan


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Return aligned columns: the first to the left, the others to the right."""
    whole = [tuple(heads), *(tuple(row) for row in rows)]
    widths = [max(len(row[i]) for row in whole) for i in range(len(heads))]
    lines = []
    for row in whole:
        first = row[0].ljust(widths[0])
        rest = [cell.rjust(width) for cell, width in zip(row[1:], widths[1:], strict=True)]
        lines.append("  ".join([first, *rest]).rstrip())
    lines.insert(1, "  ".join("-" * width for width in widths))
    return lines


def finding_lines(findings: Iterable[Finding]) -> list[str]:
    """Return findings as two lines each: what and where, then the remedy."""
    lines = []
    for finding in findings:
        lines.append(f"{finding.severity.value} [{finding.code}] {finding.where}: {finding.sentence}")
        lines.append(f"    {finding.remedy}")
    return lines


def length_text(metres: float, system: System) -> str:
    """Return a board's length: feet and inches, or millimetres."""
    return format_feet(metres) if system is System.INCH else format_with_unit(metres, system)


def fine_text(metres: float, system: System) -> str:
    """Return a small length finer than a tape's marks: ``0.063 in``, or ``1.6 mm``."""
    return f"{metres / INCH:.3f} in" if system is System.INCH else f"{metres * 1000:.2f} mm"


def signed_fine(metres: float, system: System) -> str:
    """Return `fine_text` with its sign, plus or minus."""
    return f"{'-' if metres < 0.0 else '+'}{fine_text(abs(metres), system)}"


def pick_lines(survey: Survey, system: System) -> list[str]:
    """Return the survey as a table, best first, what it is ranked by, and why blanks fail."""
    from foamwright.lay.report import why_lines

    rows = []
    for choice in survey.choices:
        if choice.fits:
            lay = choice.placed
            rows.append(
                (
                    choice.id,
                    f"{choice.work_min:.0f}",
                    f"{choice.foam_off.planed:.1f}",
                    format_with_unit(choice.wasted, system, 2),
                    format_with_unit(lay.slide, system),
                    f"{choice.numbers.price:.0f} {choice.numbers.currency}",
                    f"{choice.cost:.0f}",
                    str(choice.numbers.on_hand),
                )
            )
    lines = table(
        (
            "blank",
            "minutes",
            "litres off",
            "length wasted",
            "tail in from blank's tail",
            "price",
            "with labour",
            "on hand",
        ),
        rows,
    )
    lines.append(RANKED[survey.order])
    if survey.best is not None and (minded := why_lines(survey.best, system)):
        lines.extend(["", *(f"{survey.best.id}: {sentence}" for sentence in minded)])
    failed = [c for c in survey.choices if not c.fits]
    for choice in failed:
        lines.extend(
            ["", f"{choice.id} does not take this board:", *(f"  {w}" for w in why_lines(choice, system))]
        )
    return lines


RANKED = {
    "cost": "Ranked by money: the blank's price and the work on it at the bay's rate.",
    "minutes": "Ranked by minutes of work.",
    "foam": "Ranked by litres planed off.",
}


def plan_lines(plan: Plan, written: Sequence[Path], system: System) -> list[str]:
    """Return what was planned, in short, and where the files are."""
    lay = plan.lay
    lines = [
        f"{plan.board.name}, {length_text(plan.board.length, system)}, from blank {plan.blank.id}: about "
        f"{plan.choice.work_min:.0f} minutes of planing and shaping, "
        f"{plan.choice.foam_off.planed:.1f} litres off, "
        f"{format_with_unit(plan.choice.wasted, system, 2)} of the blank's length wasted.",
        f"Tail tip {format_with_unit(lay.slide, system)} from the blank's tail; the board's level line lies "
        f"{_above(lay.lift, system)} the blank's at the tail and "
        f"{_above(lay.lift + lay.tilt * plan.board.length, system)} it at the nose.",
    ]
    for run in plan.runs:
        strokes = _counted(len(run.strokes), "stroke")
        lines.append(
            f"{run.stage} to the {run.end.value}: {strokes} of the {run.plane.name}, "
            f"{_counted(len(run.foam_down), 'foam-down')}, {_counted(len(run.stops), 'stop')} to measure"
        )
    lines.extend(finding_lines(plan.findings))
    return [*lines, "", *_written_lines(written)]


def _written_lines(written: Sequence[Path]) -> list[str]:
    """Return a line for each folder that was written into: its files where they are few, else how many."""
    folders: dict[Path, list[str]] = {}
    for path in written:
        folders.setdefault(path.parent, []).append(path.name)
    return [
        f"{folder}/: " + (f"{len(names)} files" if len(names) > FEW_FILES else ", ".join(names))
        for folder, names in folders.items()
    ]


FEW_FILES = 10
"""Names that are still read at a glance; a folder of full-size templates holds some 25."""


def _counted(count: int, name: str) -> str:
    return f"{count} {name}{'' if count == 1 else 's'}"


def _above(height: float, system: System) -> str:
    return f"{format_with_unit(abs(height), system)} {'above' if height >= 0.0 else 'below'}"


def check_lines(checked: Checked, system: System) -> list[str]:
    """Return the finished board's numbers and what to look at."""
    numbers = [
        ("length", length_text(checked.length, system)),
        ("width", format_with_unit(checked.width, system)),
        ("thickness", format_with_unit(checked.thickness, system)),
        ("volume", f"{checked.volume * 1000:.1f} l"),
        ("surface", f"{checked.area:.2f} m2"),
    ]
    lines = [f"{checked.name}", *(f"  {name:<10} {value}" for name, value in numbers)]
    return [*lines, *(finding_lines(checked.warnings) or ["Nothing to warn of."])]
