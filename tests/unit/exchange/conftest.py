"""A board and a blank with the board laid in it, made once."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.jobs.picking import pick_job, read_job
from foamwright.shape.mesh import mesh_of

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
    """A board's mesh as a scanner gives it: turned, moved, noisy, with holes; millimetres."""

    vertices: np.ndarray
    faces: np.ndarray
    rotation: np.ndarray
    origin: np.ndarray


@pytest.fixture(scope="session")
def posed():
    """Return what makes a scan of a solid: `posed(solid, seed, noise, steps)`."""

    def make(solid, seed, noise=0.0005, steps=(50, 30)):
        dice = np.random.default_rng(seed)
        mesh = mesh_of(solid, *steps)
        middles = mesh.vertices[mesh.faces].mean(axis=1)
        keep = np.ones(len(mesh.faces), dtype=bool)
        for _ in range(6):
            place = middles[dice.integers(len(middles))]
            near_tip = min(place[0], solid.panels[-1] - place[0]) < 0.12
            radius = 0.012 if near_tip else dice.uniform(0.02, 0.06)
            keep &= np.linalg.norm(middles - place, axis=1) > radius
        rotation = Rotation.random(random_state=seed).as_matrix()
        origin = dice.uniform(-3.0, 3.0, 3)
        noisy = mesh.vertices + dice.normal(0.0, noise, mesh.vertices.shape)
        return Posed((noisy @ rotation.T + origin) * 1000.0, mesh.faces[keep], rotation, origin)

    return make
