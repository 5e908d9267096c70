"""The three kinds of long curve: hollow with a touching point, domed with one top, and outlines.

No word of the trade beyond that: callers give points and get the fairest curve of the kind, or an
`UnfairError` with the nearest one.
"""

from foamwright.shape.domed import domed
from foamwright.shape.outlines import StretchedCurve, outline
from foamwright.shape.touching import Point, Searched, touching

__all__ = ["Point", "Searched", "StretchedCurve", "domed", "outline", "touching"]
