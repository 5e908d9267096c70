"""Commented sheets to start from, one a kind; each works as it stands (``foamwright new KIND``)."""

from __future__ import annotations

from importlib.resources import files

from foamwright.demo import demo_path

KINDS = ("board", "stock", "bay", "rider", "order", "machine")
"""Every kind of sheet that can be started."""

OF_THE_DEMO = {"board": "groyne.board.toml", "bay": "harbour.bay.toml"}
"""Kinds whose starter is a sheet of the demo."""


def starter_text(kind: str) -> str:
    """Return the starter sheet of a kind, one of `KINDS`, as TOML text.

    Raises
    ------
    KeyError
        There is no such kind.
    """
    if kind not in KINDS:
        raise KeyError(f"no starter for {kind}; there are {', '.join(KINDS)}")
    if kind in OF_THE_DEMO:
        return demo_path(OF_THE_DEMO[kind]).read_text("utf-8")
    return (files(__name__) / f"{kind}.toml").read_text("utf-8")
