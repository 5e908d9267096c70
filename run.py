#!/usr/bin/env python3
"""Run foamwright from a checkout with nothing but Python: ``python run.py demo``, ``python run.py serve``.

For people without ``make``, on any system: makes ``.venv`` beside this file at the first run, installs the
checkout into it, and passes every word on to the ``foamwright`` command.
"""

import os
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
ENVIRONMENT = ROOT / ".venv"
OLDEST = (3, 11)


def main() -> int:
    """Install if need be, then run the command; returns its exit code."""
    if sys.version_info < OLDEST:
        print(f"foamwright needs Python {OLDEST[0]}.{OLDEST[1]} or newer; this is {sys.version.split()[0]}.")
        return 2
    folder = ENVIRONMENT / ("Scripts" if os.name == "nt" else "bin")
    python = folder / ("python.exe" if os.name == "nt" else "python")
    look = [python, "-c", "import foamwright"]
    if not python.exists() or subprocess.run(look, capture_output=True).returncode != 0:
        print("Installing into .venv: once, a minute or two ...", file=sys.stderr)
        if not python.exists():
            venv.create(ENVIRONMENT, with_pip=True)
        install = [python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "-e", str(ROOT)]
        if (code := subprocess.run(install).returncode) != 0:
            print("The libraries could not be installed; what pip says stands above.", file=sys.stderr)
            return code
    return subprocess.run([python, "-m", "foamwright", *sys.argv[1:]]).returncode


if __name__ == "__main__":
    sys.exit(main())
