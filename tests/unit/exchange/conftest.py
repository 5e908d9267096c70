"""A board, a blank with the board laid in it, and scans of boards, made once."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.exchange.mesh_files import surface_of
from foamwright.exchange.scan_files import scan_of
from foamwright.jobs.picking import pick_job, read_job
from foamwright.units import Unit
from tests.scans import TORN, pose, scanned

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"


@pytest.fixture(scope="session")
def board():
    return board_of(read_board(DEMO / "groyne.board.toml"))


@pytest.fixture(scope="session")
def laid(board):
    """A blank, and where the board lies in it."""
    job = read_job(DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml", None)
    best = pick_job(job).best
    blank = next(blank for blank in job.blanks if blank.id == best.id)
    return blank_of(blank.numbers), best.placed


@dataclass(frozen=True)
class Posed:
    """A body's mesh as a scanner gives it, millimetres, and how it was turned and moved there."""

    vertices: np.ndarray
    faces: np.ndarray
    rotation: np.ndarray
    origin: np.ndarray

    @property
    def scan(self):
        return scan_of(self.vertices, self.faces, Unit.MM, "scan")

    @property
    def level(self):
        """The vertices as they lay before, metres."""
        return (self.vertices - self.origin) @ self.rotation / 1000.0

    def lying(self, level):
        """The same mesh with other vertices, told where they lay before, metres."""
        return Posed(1000.0 * level @ self.rotation.T + self.origin, self.faces, self.rotation, self.origin)


@pytest.fixture(scope="session")
def posed():
    """Return what makes a scan of a body: `posed(body, seed, torn, steps)`."""

    def make(body, seed, torn=TORN, steps=(28, 18)):
        surface = scanned(surface_of(body, *steps), seed, torn)
        return Posed(surface.vertices, surface.faces, *pose(seed))

    return make
