"""``python -m foamwright``."""

from foamwright.cli.main import run

run()
