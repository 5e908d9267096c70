"""Scans of boards that never were on a scanner: exported meshes turned, moved, noisy and torn."""

from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial.transform import Rotation

from foamwright.exchange.mesh_files import Surface


@dataclass(frozen=True)
class Torn:
    """Noise in each direction, and holes: how many, their radii, the radius near a tip; millimetres."""

    noise: float
    holes: int
    radii: tuple[float, float] = (20.0, 60.0)
    near_tip: float = 12.0


TORN = Torn(0.5, 6)
"""What the issue asks for."""


def pose(seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Return a rotation and an origin (millimetres): anything."""
    dice = np.random.default_rng([seed, 5])
    return Rotation.random(random_state=seed).as_matrix(), dice.uniform(-3000.0, 3000.0, 3)


def scanned(surface: Surface, seed: int, torn: Torn) -> Surface:
    """Return the surface as a scanner gives it."""
    dice = np.random.default_rng([seed, 6])
    middles = surface.vertices[surface.faces].mean(axis=1)
    length = np.ptp(middles[:, 0])
    keep = np.ones(len(surface.faces), dtype=bool)
    for _ in range(torn.holes):
        place = middles[dice.integers(len(middles))]
        inward = min(place[0] - middles[:, 0].min(), middles[:, 0].min() + length - place[0])
        radius = torn.near_tip if inward < 120.0 else dice.uniform(*torn.radii)
        keep &= np.linalg.norm(middles - place, axis=1) > radius
    noisy = surface.vertices + dice.normal(0.0, torn.noise, surface.vertices.shape)
    rotation, origin = pose(seed)
    return replace(surface, vertices=noisy @ rotation.T + origin, faces=surface.faces[keep])


def ply_bytes(surface: Surface) -> bytes:
    """Return a binary PLY."""
    head = (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {len(surface.vertices)}\nproperty float x\n"
        f"property float y\nproperty float z\nelement face {len(surface.faces)}\n"
        "property list uchar int vertex_indices\nend_header\n"
    )
    faces = np.zeros(len(surface.faces), dtype=[("count", "u1"), ("corners", "<i4", (3,))])
    faces["count"], faces["corners"] = 3, surface.faces
    return head.encode() + surface.vertices.astype("<f4").tobytes() + faces.tobytes()
