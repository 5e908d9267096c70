"""An invented board of closed curves for trying the papers: superellipse outline, parabolic rocker."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from foamwright.papers.templates import (
    SectionShape,
    StationName,
    TemplateShapes,
    Wording,
    outline_template,
)
from foamwright.papers.titleblock import TitleBlock

INCH = 0.0254
LENGTH = 76 * INCH
HALF = 10.125 * INCH
NOTCH = 3.0 * INCH


def half_width(x):
    """A superellipse, fuller at the tail, widest at 46 % of the length; ends in a 2 in wide tail tip."""
    middle = 0.46 * LENGTH
    share = np.where(x < middle, (middle - x) / (1.12 * middle), np.abs(x - middle) / (LENGTH - middle))
    share = np.abs(share)
    return HALF * np.clip(1.0 - share**2.2, 0.0, 1.0) ** (1 / 1.9)


def _rocker(x):
    apex = 0.45 * LENGTH
    nose, tail = 5.25 * INCH, 2.25 * INCH
    aft, forward = np.maximum(apex - x, 0.0) / apex, np.maximum(x - apex, 0.0) / (LENGTH - apex)
    return tail * aft**2.3 + nose * forward**2.6


def _thickness(x):
    share = np.abs(x / LENGTH - 0.5) * 2
    return 0.55 * INCH + (2.625 - 0.55) * INCH * (1 - share**2.4)


def _section(x):
    half, low, thick = half_width(x), _rocker(x), _thickness(x)
    t = np.linspace(-np.pi / 2, np.pi / 2, 401)
    apex = low + 0.4 * thick
    rise = np.where(t < 0, apex - low, low + thick - apex)
    y = half * np.abs(np.cos(t)) ** (2 / 2.6)
    z = apex + rise * np.sign(np.sin(t)) * np.abs(np.sin(t)) ** (2 / 2.6)
    y[[0, -1]] = 0.0
    return np.column_stack((y, z))


def stations():
    inches = [(0, "tail"), (3, "3 from tail"), (6, "6 from tail"), (12, "12 from tail"), (24, "24 from tail")]
    inches += [(38, "centre"), (52, "24 from nose"), (64, "12 from nose"), (70, "6 from nose")]
    inches += [(73, "3 from nose"), (76, "nose")]
    return tuple(StationName(x * INCH, name) for x, name in inches)


def trial_board():
    """A swallow tail: the outline starts in the notch, runs out to the tail tip, then along the rail."""
    u = np.linspace(0.0, np.pi, 4001)
    x = LENGTH * (1 - np.cos(u)) / 2
    rail = np.column_stack((x, half_width(x)))
    outline = np.vstack(([[NOTCH, 0.0]], rail))
    along = np.linspace(0.0, LENGTH, 2001)
    bottom = np.column_stack((along, _rocker(along)))
    deck = np.column_stack((along, _rocker(along) + _thickness(along)))
    sections = tuple(
        SectionShape(station, _section(station.x)) for station in stations() if 0 < station.x < LENGTH
    )
    return TemplateShapes("Groyne trial 6'4\"", LENGTH, outline, bottom, deck, stations(), sections)


@pytest.fixture(scope="session")
def numbers():
    """The closed forms and constants the invented board is made of."""
    return SimpleNamespace(inch=INCH, length=LENGTH, half=HALF, notch=NOTCH, half_width=half_width)


@pytest.fixture(scope="session")
def board():
    return trial_board()


@pytest.fixture(scope="session")
def block():
    return TitleBlock("", job="Trial job 7", blank="6'7\" white EPS", date="25 November 2026")


@pytest.fixture(scope="session")
def outline(board, block):
    return outline_template(board, block, Wording())
