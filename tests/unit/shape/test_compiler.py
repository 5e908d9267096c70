"""Compiled kernels are kept under a name that changes with any of them."""

import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path

from foamwright.shape.kernels import compiler


def digest_in(folder):
    spec = importlib.util.spec_from_file_location("compiler_copy", folder / "compiler.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module._digest()


def test_another_text_of_one_kernel_is_another_folder(tmp_path):
    folder = tmp_path / "kernels"
    shutil.copytree(Path(compiler.__file__).parent, folder, ignore=shutil.ignore_patterns("__pycache__"))
    assert digest_in(folder) == compiler._digest()
    kernel = folder / "line_between.py"
    kernel.write_text(kernel.read_text("utf-8").replace("0.5", "0.6", 1) + "\n", "utf-8")
    assert digest_in(folder) != compiler._digest()


def test_with_no_folder_to_keep_them_kernels_are_compiled_all_the_same(tmp_path):
    package = tmp_path / "kernels"
    package.mkdir()
    # A copy, because numba would else keep beside this very package, which can be written to here.
    shutil.copy(compiler.__file__, package / "compiler.py")
    (package / "__init__.py").touch()
    (package / "adding.py").write_text(
        "from kernels.compiler import compiled\n\n@compiled\ndef add(a, b):\n    return a + b\n", "utf-8"
    )
    # A folder below a file, or in its place, can be made by nobody, not even by root.
    (package / "__pycache__").touch()
    blocked = tmp_path / "file"
    blocked.touch()
    environment = {
        **os.environ,
        "PYTHONPATH": str(tmp_path),
        "NUMBA_CACHE_DIR": str(blocked / "cache"),
        "HOME": str(blocked),
        "XDG_CACHE_HOME": str(blocked),
    }
    code = "from kernels.adding import add; print(add(2, 3))"
    done = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout.strip()) == (0, "5"), done.stderr
