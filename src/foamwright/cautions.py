"""Cautions: the usual words where the work can hurt someone, kept in one place and said next to the step.

They are reminders in general words, not safety data: local codes, the product's data sheet and licensed
practice come first, and every document says so.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution: `code` is stable, `step` names the work it stands next to."""

    code: str
    step: str
    sentence: str

    def as_json(self) -> dict[str, str]:
        """Return the caution as plain values."""
        return {"code": self.code, "step": self.step, "sentence": self.sentence}


DEFER = Caution(
    "defer",
    "all",
    "These are reminders, not rules: local codes, the maker's instructions and each product's data sheet "
    "come first.",
)

DUST = Caution(
    "dust",
    "all",
    "Foam and wood dust harm lungs and eyes: wear a fitted respirator and glasses, run extraction, and clean "
    "with a vacuum, not a broom.",
)

POLYURETHANE = Caution(
    "polyurethane",
    "all",
    "Polyurethane foam: keep its dust off skin and out of lungs, and never heat or burn it; hot or burning "
    "polyurethane gives off isocyanates and other poisons.",
)

STEPS: tuple[Caution, ...] = (
    Caution(
        "saw",
        "outline",
        "Clamp or weigh the blank down and keep the free hand behind the saw; support the offcut so that the "
        "blade does not bind.",
    ),
    Caution(
        "blade",
        "thickness",
        "Plane irons cut hands: lay the plane on its side, carry it by the body, and clear shavings with a "
        "stick, not a finger.",
    ),
    Caution(
        "power-planer",
        "thickness",
        "If a power planer is used instead: cord over the shoulder, both hands on it, ears and eyes "
        "protected, plug out before touching the cutter. It takes far more in a pass than a hand plane.",
    ),
    Caution(
        "run-off",
        "rocker",
        "A run-off ends in the air: stand so that the plane cannot swing into your knee or a neighbour, and "
        "keep the other hand away from the tip.",
    ),
    Caution(
        "run-off",
        "foil",
        "A run-off ends in the air: stand so that the plane cannot swing into your knee or a neighbour, and "
        "keep the other hand away from the tip.",
    ),
    Caution(
        "sanding",
        "contours",
        "Sanding blocks make the finest dust of the job: respirator on before the first stroke, and keep it "
        "on until the dust has settled.",
    ),
    Caution(
        "edges",
        "rails",
        "Fresh band edges are sharp and the board is light: do not catch a falling board by its rail.",
    ),
)


def cautions_for(step: str, *, polyurethane: bool) -> tuple[Caution, ...]:
    """Return the cautions to print next to a step, most particular first.

    Parameters
    ----------
    step
        Name of the stage (``"rocker"``).
    polyurethane
        Whether the foam is polyurethane.
    """
    particular = tuple(c for c in STEPS if c.step == step)
    return (*particular, *((POLYURETHANE,) if polyurethane else ()), DUST)


def all_cautions(*, polyurethane: bool) -> tuple[Caution, ...]:
    """Return every caution of a job once, general ones first."""
    general = (DEFER, DUST, POLYURETHANE) if polyurethane else (DEFER, DUST)
    return (*general, *STEPS)
