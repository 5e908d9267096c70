"""What a planned run has to say in words."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.cuts.runs import End, HollowRegion, Obstacle, RunPlan
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH, System, format_length

WHERE = {
    End.NOSE: ("where.run-nose", "{stage}, {face}, {stretch} from the nose tip"),
    End.TAIL: ("where.run-tail", "{stage}, {face}, {stretch} from the tail tip"),
}
FACES = {Face.DECK: ("face.deck", "deck"), Face.BOTTOM: ("face.bottom", "bottom")}
STAGES = {"rocker": ("stage.rocker", "rocker"), "foil": ("stage.foil", "foil")}


def find_in_run(plan: RunPlan, system: System = System.INCH) -> tuple[Finding, ...]:
    """Return what a run has to say: where to turn the plane, where run-offs leave too much."""
    return tuple(_hollow_finding(plan, region, system) for region in plan.hollows)


def stretch_words(begin: float, end: float, system: System, fraction: int = 4) -> str:
    """Return a stretch of board as a tape laid along it says it: a fraction of an inch, or mm."""
    if system is System.MM:
        return said(*_TO, low=f"{1000 * begin:.0f}", high=f"{1000 * end:.0f} mm")
    low, high = (format_length(at, system, fraction) for at in (begin, end))
    return said(*_TO, low=low, high=f"{high} in")


_TO = ("stretch", "{low} to {high}")


def _where(plan: RunPlan, region: HollowRegion, system: System) -> str:
    near, far = plan.target.length - region.end, plan.target.length - region.begin
    target, stretch = plan.target, stretch_words(near, far, system)
    return said(
        *WHERE[target.end],
        stage=said(*STAGES[target.stage]) if target.stage in STAGES else target.stage,
        face=said(*FACES[target.face]),
        stretch=stretch,
    )


def _hollow_finding(plan: RunPlan, region: HollowRegion, system: System) -> Finding:
    if region.obstacle is Obstacle.STRAIGHT:
        return Finding(
            "run-turn-plane",
            Severity.NOTE,
            _where(plan, region, system),
            None,
            None,
            "1",
            said(
                "run-turn-plane",
                "The {plane} held straight bridges this hollow; turned {degrees} degrees or more it cuts.",
                plane=plan.plane.name,
                degrees=f"{region.skew_deg:.0f}",
            ),
            said(
                "run-turn-plane.remedy",
                "Turn the plane {degrees} degrees from the line of the stringer, as the strokes say, and "
                "still push along it.",
                degrees=f"{_planned_turn(plan):.0f}",
            ),
        )
    code, remedy = _TOO_HIGH[region.obstacle]
    left = _amount(region.left, system)
    return Finding(
        code,
        Severity.WARNING,
        _where(plan, region, system),
        region.left,
        plan.tolerance,
        "m",
        said(*_UNREACHED, plane=plan.plane.name, left=left)
        if region.obstacle is Obstacle.HOLLOW
        else said(*_TIP_FIRST, left=left),
        remedy,
    )


def _amount(metres: float, system: System) -> str:
    return f"{metres / INCH:.3f} in" if system is System.INCH else f"{1000 * metres:.1f} mm"


def _planned_turn(plan: RunPlan) -> float:
    return max((group.skew_deg for group in plan.strokes), default=0.0)


_UNREACHED = (
    "run-unreachable",
    "No flat {plane} reaches the line here: {left} stays above it after the run-offs.",
)
_TIP_FIRST = (
    "run-tip-first",
    "Strokes that run off are done at the tip before this stretch is down: {left} stays above it.",
)
_TOO_HIGH = {
    Obstacle.HOLLOW: (
        "run-unreachable",
        said("run-unreachable.remedy", "Finish it with a curved sole or a flexible sanding block."),
    ),
    Obstacle.TIP_FIRST: (
        "run-tip-first",
        said(
            "run-tip-first.remedy",
            "Make the last strokes from mark to mark as listed, lifting the plane off before the tip.",
        ),
    ),
}
