"""Work against slide: what the survey found at every slide it tried."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.lay.profiles import Floats
from foamwright.shape.kernels import sliding_fit as columns
from foamwright.shape.kernels.line_between import FITS


@dataclass(frozen=True, eq=False)
class SlideCurve:
    """Every slide tried in one blank, rising; (S,) each.

    Attributes
    ----------
    slide
        Metres.
    fits
        Whether a lay exists there.
    work_min
        Work of the best lay there, minutes; NaN where none fits.
    clearance
        Foam to spare over all that must come off, metres: how much thinner the blank could be. Negative:
        how much is missing. NaN where the outline does not fit.
    margin
        How far the outline stays inside beyond the saw's margin, metres.
    """

    slide: Floats
    fits: NDArray[np.bool_]
    work_min: Floats
    clearance: Floats
    margin: Floats

    def as_json(self) -> dict[str, object]:
        """Return plain values; ``None`` stands for what does not exist."""
        return {
            "slide_m": self.slide.tolist(),
            "fits": self.fits.tolist(),
            "work_min": _plain(self.work_min),
            "clearance_m": _plain(self.clearance),
            "outline_margin_m": self.margin.tolist(),
        }


def curve_of(grid: Floats) -> SlideCurve:
    """Return the curve that the kernel's results (S, 7) hold."""
    fits = np.equal(grid[:, columns.STATUS], FITS)
    return SlideCurve(
        slide=grid[:, columns.SLIDE],
        fits=fits,
        work_min=np.where(fits, grid[:, columns.COST], np.nan),
        clearance=grid[:, columns.GAP],
        margin=grid[:, columns.MARGIN],
    )


def _plain(values: Floats) -> list[float | None]:
    return [float(v) if np.isfinite(v) else None for v in values]
