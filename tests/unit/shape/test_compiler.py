"""Compiled kernels are kept under a name that changes with any of them."""

import importlib.util
import shutil
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
