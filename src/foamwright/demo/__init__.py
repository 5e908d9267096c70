"""The demo's sheets: an invented workshop with its stock, two boards and a rider."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

DEMO_SHEETS = (
    "groyne.board.toml",
    "breakwater.board.toml",
    "harbour.stock.toml",
    "harbour.bay.toml",
    "harbour.order.toml",
    "demo.rider.toml",
)
"""Every sheet of the demo."""


def demo_path(name: str) -> Path:
    """Return the path of a demo sheet, one of `DEMO_SHEETS`, inside the installed package.

    Raises
    ------
    KeyError
        There is no such sheet.
    """
    if name not in DEMO_SHEETS:
        raise KeyError(f"{name} is no demo sheet; there are {', '.join(DEMO_SHEETS)}")
    # Wheels are installed unpacked, so the resource is a file.
    return Path(str(files(__name__) / name))
