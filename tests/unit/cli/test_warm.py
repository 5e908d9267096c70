"""``foamwright warm`` compiles every loop, and only old loops of ours are removed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from foamwright.shape.kernels import compiler

LOOK = """
import importlib, pkgutil, re
from pathlib import Path
import foamwright
import foamwright.shape.kernels as kernels
from foamwright.cli.main import main

assert main(["warm", "--json"]) == 0
inside = Path(kernels.__file__).parent
package = Path(foamwright.__file__).parent
texts = [p.read_text("utf-8") for p in package.rglob("*.py") if inside not in p.parents]
for module in pkgutil.iter_modules(kernels.__path__):
    users = "".join(text for text in texts if re.search(rf"kernels(\\.| import ){module.name}\\b", text))
    for name, value in vars(importlib.import_module(f"foamwright.shape.kernels.{module.name}")).items():
        called = hasattr(value, "py_func") and re.search(rf"\\b{name}\\(", users)
        if called:
            print("COMPILED" if value.signatures else "NOT REACHED", module.name, name)
"""


RARE = {"best_above", "stroke_known"}
"""Reached by orders whose first piles are not the best, and by strokes that were counted: a second each."""


def test_warm_reaches_every_compiled_loop_that_is_called():
    env = {**os.environ, "FOAMWRIGHT_QUIET": "1"}
    done = subprocess.run([sys.executable, "-c", LOOK], capture_output=True, text=True, env=env)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("\nCOMPILED") > 15, done.stdout
    missed = {line.split()[-1] for line in done.stdout.splitlines() if line.startswith("NOT REACHED")}
    assert missed <= RARE, done.stdout


@pytest.fixture
def caches(tmp_path, monkeypatch):
    for number in range(6):
        folder = tmp_path / f"kernels-{number}"
        folder.mkdir()
        (folder / "loop.nbi").write_bytes(b"x")
        os.utime(folder, (1000 + number, 1000 + number))
    (tmp_path / "papers").mkdir()
    monkeypatch.setattr(compiler, "cache_folder", lambda: tmp_path / "kernels-0")
    return tmp_path


def test_the_newest_and_our_own_stay(caches):
    assert compiler.prune_caches() == 3
    assert sorted(p.name for p in Path(caches).iterdir()) == ["kernels-0", "kernels-4", "kernels-5", "papers"]
    assert compiler.prune_caches() == 0


def test_a_cache_that_is_not_ours_is_left_alone(caches, monkeypatch):
    monkeypatch.setattr(compiler, "cache_folder", lambda: caches / "papers")
    assert compiler.prune_caches() == 0
