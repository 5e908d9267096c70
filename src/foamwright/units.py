"""Lengths as people write and read them; the only place that parses or prints fractions."""

from __future__ import annotations

INCH = 0.0254
"""Metres in an inch, exact."""
