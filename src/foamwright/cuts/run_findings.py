"""What a planned run has to say in words."""

from __future__ import annotations

from dataclasses import replace

from foamwright.cuts.runs import HollowRegion, Obstacle, RunPlan
from foamwright.findings import Finding, Severity
from foamwright.units import INCH


def with_findings(plan: RunPlan) -> RunPlan:
    """Return the plan with its findings: where to turn the plane, where run-offs leave too much."""
    return replace(plan, findings=tuple(_hollow_finding(plan, region) for region in plan.hollows))


def _where(plan: RunPlan, region: HollowRegion) -> str:
    near = (plan.target.length - region.end) / INCH
    far = (plan.target.length - region.begin) / INCH
    target = plan.target
    return f"{target.stage}, {target.face.value}, {near:.1f} to {far:.1f} in from the {target.end.value} tip"


def _hollow_finding(plan: RunPlan, region: HollowRegion) -> Finding:
    if region.obstacle is Obstacle.STRAIGHT:
        return Finding(
            "run-turn-plane",
            Severity.NOTE,
            _where(plan, region),
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
        _where(plan, region),
        region.left,
        plan.tolerance,
        "m",
        sentence.format(plane=plan.plane.name, left=region.left / INCH),
        remedy,
    )


def _planned_turn(plan: RunPlan) -> float:
    return max((group.skew_deg for group in plan.strokes), default=0.0)


_TOO_HIGH = {
    Obstacle.HOLLOW: (
        "run-unreachable",
        "No flat {plane} reaches the line here: {left:.3f} in stays above it after the run-offs.",
        "Finish it with a curved sole or a flexible sanding block.",
    ),
    Obstacle.TIP_FIRST: (
        "run-tip-first",
        "Strokes that run off are done at the tip before this stretch is down: {left:.3f} in stays above it.",
        "Make the last strokes from mark to mark as listed, lifting the plane off before the tip.",
    ),
}
