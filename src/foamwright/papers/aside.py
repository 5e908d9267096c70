"""The full-size templates made in a second process while the first plans and writes the job sheet.

Half the time of a whole ``foamwright plan`` goes into loading libraries and drawing pages; templates need
nothing of the plan but the finished board's shapes, so a second core can take them. Where no second process
can be had, or it is lost, the same functions run here: the bytes are the same.
"""

from __future__ import annotations

import gc
import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from importlib import import_module
from typing import IO, TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.papers.templates import TemplateShapes, Wording
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock

TEMPLATES = "templates"
"""The folder they go to."""

LIBRARIES = ("foamwright.papers.templates", "reportlab.pdfgen.canvas", "ezdxf", "fontTools.subset")
"""What takes its time to load."""

LOST = (OSError, ValueError, EOFError, pickle.UnpicklingError)
"""What reading from, or writing to, a process that is gone raises."""


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


@dataclass(frozen=True)
class Helper:
    """A process that makes papers: it is asked on its `asking` and answers on its `answering`."""

    asking: IO[bytes]
    answering: IO[bytes]

    def begin(self, wanted: TemplatesWanted) -> None:
        """Send what is wanted."""
        pickle.dump(wanted, self.asking)
        self.asking.flush()

    def take(self) -> dict[str, bytes]:
        """Wait for the files asked for last."""
        files: dict[str, bytes] = pickle.load(self.answering)
        return files


@contextmanager
def second_process() -> Iterator[Helper | None]:
    """Give a process that is loading the drawing libraries meanwhile; ``None`` where there can be none."""
    # -P: nothing in the folder where the person works takes the place of a library.
    words = [sys.executable, "-P", "-m", "foamwright.papers.aside"]
    try:
        process = subprocess.Popen(
            words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
        )
    except OSError:
        yield None
        return
    assert process.stdin is not None
    assert process.stdout is not None
    try:
        yield Helper(process.stdin, process.stdout)
    finally:
        process.kill()
        with suppress(OSError):
            process.communicate()


def begun(wanted: TemplatesWanted, helper: Helper | None) -> Callable[[], dict[str, bytes]]:
    """Have the helper begin, and return what waits for its files; without one they are made when called."""
    if helper is None:
        return wanted.files
    try:
        helper.begin(wanted)
    except LOST:
        return wanted.files
    return lambda: _taken(wanted, helper)


def _taken(wanted: TemplatesWanted, helper: Helper) -> dict[str, bytes]:
    try:
        return helper.take()
    except LOST:
        return wanted.files()


def serve(asked: IO[bytes], answers: IO[bytes]) -> None:
    """Make what is asked for until nobody asks any more."""
    for name in LIBRARIES:
        import_module(name)
    while True:
        try:
            wanted: TemplatesWanted = pickle.load(asked)
        except EOFError:
            return
        pickle.dump(wanted.files(), answers)
        answers.flush()


if __name__ == "__main__":
    # A person's Ctrl-C stops the first process, which then ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.set_threshold(100_000, 50, 100)
    own = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    serve(sys.stdin.buffer, own)
