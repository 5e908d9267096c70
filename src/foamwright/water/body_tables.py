"""What the rider's body is built from: one table of segments, breadths and depths, lungs.

Segments, all from de Leva P (1996) "Adjustments to Zatsiorsky-Seluyanov's segment inertia parameters",
J Biomech 29(9):1223-1230, table 4, so that every fraction belongs to the cuts it was measured with (other
tables cut the thigh elsewhere and may not be mixed in): mass fractions and centres as transcribed in the
public repository BMClab/BMC (data/BSPmale_ZdeLeva.txt, BSPfemale_ZdeLeva.txt), lengths as in
pyomeca/biobuddy (characteristics/de_leva.py).

Breadths and depths from the ANSUR II survey (US Army 2012, public; 4,082 men and 1,986 women), as the
mean over persons of breadth / sqrt(mass / (1000 kg/m3 * stature)); computed from the public file.

Lung volumes: Quanjer et al. (1993) "Lung volumes and forced ventilatory flows", Eur Respir J 6 Suppl
16:5-40 (ECSC), as transcribed in the public function getQuanjerPred.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Build(StrEnum):
    """Whose table the body is built from; `BETWEEN` is the mean of both, and the default: nobody asks."""

    MALE = "male"
    FEMALE = "female"
    BETWEEN = "between"


class Part(StrEnum):
    """A part of the body."""

    HEAD = "head"
    TRUNK = "trunk"
    UPPER_ARM = "upper arm"
    FOREARM = "forearm"
    HAND = "hand"
    THIGH = "thigh"
    SHANK = "shank"
    FOOT = "foot"


PAIRED = (Part.UPPER_ARM, Part.FOREARM, Part.HAND, Part.THIGH, Part.SHANK, Part.FOOT)


@dataclass(frozen=True, slots=True)
class SegmentRow:
    """One row: share of the mass, share of the stature, centre of mass from the upper end."""

    mass: float
    length: float
    centre: float


@dataclass(frozen=True, slots=True)
class Girth:
    """Breadth and depth of the trunk at chest, waist and hip, and the breadth across the shoulders.

    All as factors of ``sqrt(mass / (1000 * stature))``, except `shoulders`, a share of the stature.
    """

    chest: tuple[float, float]
    waist: tuple[float, float]
    hip: tuple[float, float]
    shoulders: float


@dataclass(frozen=True, slots=True)
class LungRow:
    """Litres ``a*stature + b*age + c`` of total capacity, resting capacity and residual volume."""

    full: tuple[float, float, float]
    resting: tuple[float, float, float]
    empty: tuple[float, float, float]


_MALE, _FEMALE = 1.741, 1.735
"""Mean statures of the samples that the lengths belong to, metres."""

SEGMENTS = {
    Build.MALE: {
        Part.HEAD: SegmentRow(0.0694, 0.2429 / _MALE, 0.5002),
        Part.TRUNK: SegmentRow(0.4346, 0.6033 / _MALE, 0.5138),
        Part.UPPER_ARM: SegmentRow(0.0271, 0.2817 / _MALE, 0.5772),
        Part.FOREARM: SegmentRow(0.0162, 0.2689 / _MALE, 0.4574),
        Part.HAND: SegmentRow(0.0061, 0.1879 / _MALE, 0.3624),
        Part.THIGH: SegmentRow(0.1416, 0.4222 / _MALE, 0.4095),
        Part.SHANK: SegmentRow(0.0433, 0.4340 / _MALE, 0.4459),
        Part.FOOT: SegmentRow(0.0137, 0.2581 / _MALE, 0.4415),
    },
    Build.FEMALE: {
        Part.HEAD: SegmentRow(0.0668, 0.2437 / _FEMALE, 0.4841),
        Part.TRUNK: SegmentRow(0.4257, 0.6148 / _FEMALE, 0.4964),
        Part.UPPER_ARM: SegmentRow(0.0255, 0.2751 / _FEMALE, 0.5754),
        Part.FOREARM: SegmentRow(0.0138, 0.2643 / _FEMALE, 0.4559),
        Part.HAND: SegmentRow(0.0056, 0.1701 / _FEMALE, 0.3427),
        Part.THIGH: SegmentRow(0.1478, 0.3685 / _FEMALE, 0.3612),
        Part.SHANK: SegmentRow(0.0481, 0.4323 / _FEMALE, 0.4416),
        Part.FOOT: SegmentRow(0.0129, 0.2283 / _FEMALE, 0.4014),
    },
}
"""Published rows; the female fractions add up to 0.9999, so every set is normalised before use."""

GIRTHS = {
    Build.MALE: Girth((1.3195, 1.1531), (1.4825, 1.0772), (1.5745, 1.1162), 0.2368),
    Build.FEMALE: Girth((1.3272, 1.2154), (1.4733, 1.0443), (1.7419, 1.1443), 0.2244),
}

LUNGS = {
    Build.MALE: LungRow((7.99, 0.0, -7.08), (2.34, 0.009, -1.09), (1.31, 0.022, -1.23)),
    Build.FEMALE: LungRow((6.60, 0.0, -5.79), (2.24, 0.001, -1.00), (1.81, 0.016, -2.00)),
}

TISSUE_DENSITY = 1055.574
"""kg/m3 of the body without the air in its lungs.

Mean of 252 men weighed under water, sd 19 (Johnson 1996, J Stat Educ 4(1); the `fat` data of the public
faraway package). Women and the untrained are lighter; it is an argument everywhere.
"""

SITTING_HEIGHT = 0.5246
"""Share of the stature, mean of the ANSUR II ratios of men (0.5231) and women (0.5262)."""
