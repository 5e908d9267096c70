"""How far to turn the plane: drawn to scale, seen from above."""

from __future__ import annotations

import math
from dataclasses import dataclass

from foamwright.bay.bay import Plane
from foamwright.papers.dimension import arrowhead
from foamwright.papers.drawing import Arc, Drawing, Text, drawing_of, line, on_paper, shape
from foamwright.papers.drawing_text import Block
from foamwright.papers.job_page import Told, told
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

_HALF_STRINGER = 0.9
_ARC = 9.0
_REACH = 13.0
_SOLE = 27.0


@dataclass(frozen=True, slots=True)
class TurnLine:
    """From here on the plane is turned, or straight again: a row of a list, with its drawing.

    The stringer runs to the right; the plane is pushed along it.
    """

    plane: Plane
    skew_deg: float

    def height(self, width: float) -> float:
        """Return the height it takes."""
        return max(self._words(width).height, self._picture().box().height) + 4.0

    def drawn(self, width: float) -> Drawing:
        """Return the words with the picture at their right, hung from the top left corner."""
        picture = self._picture()
        box = picture.box()
        placed = picture.moved(width - box.right - 1.0, -2.0 - box.top)
        height = self.height(width)
        foot = line([(0.0, -height), (width, -height)], Pen.HATCH)
        return self._words(width).at(0.6, -2.0) + placed + foot

    def _words(self, width: float) -> Block:
        degrees = f"{self.skew_deg:.0f}°"
        return told(
            Told(
                f"Turned {degrees}",
                "Hold it as drawn, seen from above, and push along the stringer all the same. "
                "Held straight it bridges the hollow.",
            ),
            width - self._picture().box().width - 4.0,
        )

    def _picture(self) -> Drawing:
        return _picture(self.plane, math.radians(self.skew_deg))


def _picture(plane: Plane, angle: float) -> Drawing:
    scale = _SOLE / (plane.sole * 1000.0)
    ahead, behind = plane.mouth * 1000.0 * scale, (plane.sole - plane.mouth) * 1000.0 * scale
    half = plane.width * 500.0 * scale
    body = [(-behind, -half), (ahead, -half), (ahead, half), (-behind, half)]
    mouth = line([(0.0, -0.75 * half), (0.0, 0.75 * half)], Pen.OUTLINE)
    sole = shape(body, Pen.OUTLINE, Tone.PAPER) + mouth
    stringer = [line([(-_REACH, y), (_REACH, y)], Pen.CUT) for y in (-_HALF_STRINGER, _HALF_STRINGER)]
    push = line([(3.0, -4.5), (_REACH, -4.5)], Pen.CUT) + arrowhead((_REACH, -4.5), 0.0)
    name = Text((_REACH - 1.0, -6.0), "push", Lettering.LABEL, Face.LABEL, Anchor.TOP_RIGHT)
    return drawing_of(
        [
            *stringer,
            sole.turned(angle),
            line([(0.0, 0.0), (_ARC + 2.0, 0.0)], Pen.LEVEL),
            Drawing((Arc((0.0, 0.0), _ARC, Pen.DIMENSION, 0.0, angle), name)),
            _degrees(angle),
            push,
        ]
    )


def _degrees(angle: float) -> Drawing:
    reach = _ARC + 1.0
    at = (reach * math.cos(angle / 3) + 1.0, reach * math.sin(angle / 3) + 0.5)
    words = f"{math.degrees(angle):.0f}°"
    return on_paper(Text(at, words, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.MIDDLE_LEFT), 0.3)
