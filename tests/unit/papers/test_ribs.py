"""Ribs for a hand bow: half a kerf outside the foam that stays, with their cautions on the page."""

import io
import shutil
import subprocess

import ezdxf
import numpy as np
import pytest

from foamwright.demo import demo_path
from foamwright.jobs.wire_asked import WireAsked, asked_wire_job
from foamwright.units import System


@pytest.fixture(scope="module")
def job():
    return asked_wire_job(demo_path("groyne.board.toml"), WireAsked())


@pytest.fixture(scope="module")
def files(job):
    return job.rib_files("a4", System.INCH)


def test_the_wire_on_a_rib_leaves_the_foam_that_is_wanted(job, files):
    """Places of the profile against the part in the file: half a kerf from its nearest stretch."""
    document = ezdxf.read(io.StringIO(files["ribs-cut.dxf"].decode()))
    (part,) = document.modelspace().query("LWPOLYLINE")
    assert part.closed
    ring = np.array(part.get_points("xy"))
    start, stop = ring, np.roll(ring, -1, axis=0)
    half = 500.0 * job.cuts[0].kerf
    x = np.linspace(0.01, job.cut.length - 0.01, 200)
    for heights in (job.cut.bottom(x), job.cut.deck(x)):
        places = np.stack([x, heights], axis=1) * 1000.0
        off, way = places[:, None] - start, stop - start
        share = np.clip(np.sum(off * way, axis=2) / np.sum(way * way, axis=1), 0.0, 1.0)
        nearest = np.linalg.norm(off - share[..., None] * way, axis=2).min(axis=1)
        assert nearest == pytest.approx(half, abs=0.05)
    assert np.ptp(ring[:, 0]) == pytest.approx(1000.0 * job.cut.length + 60.0, abs=3.0)


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler here")
def test_the_page_says_what_can_hurt(files, tmp_path):
    path = tmp_path / "ribs.pdf"
    path.write_bytes(files["ribs-a4.pdf"])
    told = subprocess.run(
        ["pdftotext", str(path), "-"], check=True, capture_output=True, encoding="utf-8"
    ).stdout
    words = " ".join(told.split())
    for said in ("Never cut polyurethane", "two people", "cut the current", "gloves"):
        assert said in words
    assert "never polyurethane" in files["ribs.svg"].decode()
