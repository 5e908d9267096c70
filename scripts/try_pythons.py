"""Install the wheel into fresh environments of every Python that is here, plan the demo twice, compare.

Run by ``make pythons``. For each interpreter: how much is installed, how long the first plan takes (it
compiles the inner loops), how long the second, and by how much the numbers of ``plan.json`` differ from those
of the oldest Python. Wall-clock figures are told, never asserted.
"""

from __future__ import annotations

import json
import math
import os
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "examples"
VERSIONS = ("3.11", "3.12", "3.13", "3.14")
TOLERANCE = 1e-9
"""Relative, and metres where a number is near nothing: a millionth of what a plane takes.

Python 3.12 began to sum floats with compensation, so the last bits differ."""


def interpreters() -> dict[str, Path]:
    """Return the Pythons on the path and of pyenv, by version."""
    found: dict[str, Path] = {}
    for version in VERSIONS:
        places = sorted(Path.home().glob(f".pyenv/versions/{version}.*/bin/python"))
        named = shutil.which(f"python{version}")
        for place in [*places, *([Path(named)] if named else [])]:
            if (
                version not in found
                and subprocess.run([place, "-c", "import venv"], check=False).returncode == 0
            ):
                found[version] = place
    return found


def size_mb(folder: Path) -> float:
    """Return the megabytes (10^6 bytes) of all files below a folder."""
    return sum(path.lstat().st_size for path in folder.rglob("*") if path.is_file()) / 1e6


def difference(one: object, other: object) -> float:
    """Return the largest difference of two documents' numbers; infinite where words or shape differ."""
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, (int, float)):
        if isinstance(one, dict) and isinstance(other, dict) and one.keys() == other.keys():
            return max((difference(one[key], other[key]) for key in one), default=0.0)
        if isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
            return max((difference(a, b) for a, b in zip(one, other, strict=True)), default=0.0)
        return 0.0 if one == other else math.inf
    if not isinstance(other, (int, float)):
        return math.inf
    return abs(one - other) / max(abs(one), abs(other), 1.0)


def planned(python: Path, work: Path, out: str) -> tuple[float, dict[str, object], bytes]:
    """Plan the first example; return the seconds, the plan and the wall pack."""
    env = {**os.environ, "XDG_CACHE_HOME": str(work / "cache"), "FOAMWRIGHT_QUIET": "1"}
    line = ["-m", "foamwright", "plan", EXAMPLES / "groyne-6-4.board.toml"]
    line += ["--stock", EXAMPLES / "two-yards.stock.toml", "--out", work / out]
    began = time.perf_counter()
    subprocess.run([python, *line], check=True, env=env, stdout=subprocess.DEVNULL)
    took = time.perf_counter() - began
    written = work / out
    return took, json.loads((written / "plan.json").read_text("utf-8")), (written / "wall.pdf").read_bytes()


def main() -> int:
    """Print a line for each Python; 1 if numbers differ beyond the tolerance, or the wall pack at all."""
    wheel = next((ROOT / "dist").glob("*.whl"))
    reference: tuple[dict[str, object], bytes] | None = None
    worst = 0.0
    print("| Python | installed, MB | of them compiled by pip, MB | first plan, s | second, s | differs by |")
    print("| --- | ---: | ---: | ---: | ---: | ---: |")
    for version, python in interpreters().items():
        with tempfile.TemporaryDirectory() as folder:
            work = Path(folder)
            subprocess.run([python, "-m", "venv", work / "env"], check=True)
            own = work / "env" / "bin" / "python"
            site = next((work / "env" / "lib").glob("python*/site-packages"))
            bare = size_mb(site)
            pip = [own, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", wheel]
            subprocess.run(pip, check=True, stderr=subprocess.DEVNULL)
            bytecode = sum(p.stat().st_size for p in site.rglob("*.pyc")) / 1e6
            installed = size_mb(site) - bare
            first, plan, wall = planned(own, work, "first")
            second, _, _ = planned(own, work, "second")
            reference = reference or (plan, wall)
            off = difference(reference[0], plan) if wall == reference[1] else math.inf
            worst = max(worst, off)
            print(
                f"| {version} | {installed:.0f} | {bytecode:.0f} | {first:.1f} | {second:.1f} | {off:.1e} |",
                flush=True,
            )
    return 0 if worst <= TOLERANCE else 1


if __name__ == "__main__":
    sys.exit(main())
