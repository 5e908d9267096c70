"""What a planned run has to say in words."""

from __future__ import annotations

from foamwright.cuts.runs import HollowRegion, Obstacle, RunPlan
from foamwright.findings import Finding, Severity
from foamwright.units import INCH, System, format_length


def find_in_run(plan: RunPlan, system: System = System.INCH) -> tuple[Finding, ...]:
    """Return what a run has to say: where to turn the plane, where run-offs leave too much."""
    return tuple(_hollow_finding(plan, region, system) for region in plan.hollows)


def stretch_words(begin: float, end: float, system: System, fraction: int = 4) -> str:
    """Return a stretch of board as a tape laid along it says it: a fraction of an inch, or mm."""
    if system is System.MM:
        return f"{1000 * begin:.0f} to {1000 * end:.0f} mm"
    return f"{format_length(begin, system, fraction)} to {format_length(end, system, fraction)} in"


def _where(plan: RunPlan, region: HollowRegion, system: System) -> str:
    near, far = plan.target.length - region.end, plan.target.length - region.begin
    target, stretch = plan.target, stretch_words(near, far, system)
    return f"{target.stage}, {target.face.value}, {stretch} from the {target.end.value} tip"


def _hollow_finding(plan: RunPlan, region: HollowRegion, system: System) -> Finding:
    if region.obstacle is Obstacle.STRAIGHT:
        return Finding(
            "run-turn-plane",
            Severity.NOTE,
            _where(plan, region, system),
            None,
            None,
            "1",
            f"The {plan.plane.name} held straight bridges this hollow; "
            f"turned {region.skew_deg:.0f} degrees or more it cuts.",
            f"Turn the plane {_planned_turn(plan):.0f} degrees from the line of the stringer, as the strokes "
            "say, and still push along it.",
        )
    code, sentence, remedy = _TOO_HIGH[region.obstacle]
    return Finding(
        code,
        Severity.WARNING,
        _where(plan, region, system),
        region.left,
        plan.tolerance,
        "m",
        sentence.format(plane=plan.plane.name, left=_amount(region.left, system)),
        remedy,
    )


def _amount(metres: float, system: System) -> str:
    return f"{metres / INCH:.3f} in" if system is System.INCH else f"{1000 * metres:.1f} mm"


def _planned_turn(plan: RunPlan) -> float:
    return max((group.skew_deg for group in plan.strokes), default=0.0)


_TOO_HIGH = {
    Obstacle.HOLLOW: (
        "run-unreachable",
        "No flat {plane} reaches the line here: {left} stays above it after the run-offs.",
        "Finish it with a curved sole or a flexible sanding block.",
    ),
    Obstacle.TIP_FIRST: (
        "run-tip-first",
        "Strokes that run off are done at the tip before this stretch is down: {left} stays above it.",
        "Make the last strokes from mark to mark as listed, lifting the plane off before the tip.",
    ),
}
