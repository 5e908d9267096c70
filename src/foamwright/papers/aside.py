"""The full-size templates made in a second process while the first plans and writes the job sheet.

Half the time of a whole ``foamwright plan`` goes into loading libraries and drawing pages; templates need
nothing of the plan but the finished board's shapes, so a second core can take them. Where no second process
can be had, or it is lost, the same functions run here: the bytes are the same.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib import import_module
from multiprocessing import get_context
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.papers.templates import TemplateShapes, Wording
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock

TEMPLATES = "templates"
"""The folder they go to."""

LIBRARIES = ("foamwright.papers.templates", "reportlab.pdfgen.canvas", "ezdxf", "fontTools.subset")
"""What takes its time to load."""


@contextmanager
def second_process() -> Iterator[Executor | None]:
    """Give a process that is loading the drawing libraries meanwhile; ``None`` where there can be none."""
    try:
        pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"), initializer=_left_alone)
        pool.submit(_loaded)
    except (OSError, ImportError, NotImplementedError):
        yield None
        return
    with pool:
        yield pool


@dataclass(frozen=True)
class TemplatesWanted:
    """What the templates of one board are made from.

    Attributes
    ----------
    shapes
        The finished board, SI.
    block
        Whose it is.
    wording
        How lengths are written.
    paper
        What the tiled pages are printed on.
    """

    shapes: TemplateShapes
    block: TitleBlock
    wording: Wording
    paper: Paper

    def files(self) -> dict[str, bytes]:
        """Return every template tiled, and in one piece as SVG and DXF; file name to bytes."""
        from foamwright.papers.templates import files_of, outline_template, rocker_template, section_template

        made: dict[str, bytes] = {}
        for make in (outline_template, rocker_template, section_template):
            template = make(self.shapes, self.block, self.wording)
            chosen = replace(template, pages={self.paper: template.pages[self.paper]})
            made |= {f"{TEMPLATES}/{name}": content for name, content in files_of(chosen).items()}
        return made


def begun(wanted: TemplatesWanted, helper: Executor | None) -> Callable[[], dict[str, bytes]]:
    """Have the helper begin, and return what waits for its files; without one they are made when called."""
    try:
        coming = helper.submit(wanted.files) if helper is not None else None
    except BrokenProcessPool:
        coming = None
    return lambda: _taken(wanted, coming)


def _taken(wanted: TemplatesWanted, coming: Future[dict[str, bytes]] | None) -> dict[str, bytes]:
    try:
        return coming.result() if coming is not None else wanted.files()
    except BrokenProcessPool:
        return wanted.files()


def _left_alone() -> None:
    # A person's Ctrl-C stops the first process; it tells this one by closing the pool.
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _loaded() -> None:
    for name in LIBRARIES:
        import_module(name)
