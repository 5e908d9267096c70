"""Papers made in a second process while the first plans and writes the job sheet.

Half the time of a whole ``foamwright plan`` goes into loading libraries and drawing pages; templates and
the pages of what comes after the foam need nothing of the plan but the finished board, so a second core can
take them. Where no second process can be had, or it is lost, the same functions run here: the bytes are
the same.
"""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from importlib import import_module
from typing import IO, TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from foamwright.papers.templates import TemplateShapes, Wording
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock

TEMPLATES = "templates"
"""The folder they go to."""

LIBRARIES = ("foamwright.papers.templates", "reportlab.pdfgen.canvas", "ezdxf", "fontTools.subset")
"""What takes its time to load, whatever is wanted."""

LOST = (OSError, ValueError, EOFError, pickle.UnpicklingError)
"""What reading from, or writing to, a process that is gone raises."""


class Wanted(Protocol):
    """Papers that can be made from what this holds alone."""

    def files(self) -> dict[str, bytes]:
        """Return them, file name to bytes."""
        ...


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

    def begin(self, wanted: Sequence[Wanted]) -> None:
        """Send what is wanted."""
        pickle.dump(tuple(wanted), self.asking)
        self.asking.flush()

    def take(self) -> dict[str, bytes]:
        """Wait for the files asked for last."""
        files: dict[str, bytes] = pickle.load(self.answering)
        return files


@contextmanager
def second_process(libraries: Sequence[str] = ()) -> Iterator[Helper | None]:
    """Give a process that is loading the drawing libraries meanwhile; ``None`` where there can be none.

    Parameters
    ----------
    libraries
        Modules that it loads besides.
    """
    # -P: nothing in the folder where the person works takes the place of a library.
    words = [sys.executable, "-P", "-m", "foamwright.papers.aside", *libraries]
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


def begun(wanted: Sequence[Wanted], helper: Helper | None) -> Callable[[], dict[str, bytes]]:
    """Have the helper begin, and return what waits for its files; without one they are made when called."""
    if helper is None:
        return lambda: _made(wanted)
    try:
        helper.begin(wanted)
    except LOST:
        return lambda: _made(wanted)
    return lambda: _taken(wanted, helper)


def _taken(wanted: Sequence[Wanted], helper: Helper) -> dict[str, bytes]:
    try:
        return helper.take()
    except LOST:
        # What is wrong with the wish itself is told by the process that a person sees.
        return _made(wanted)


def _made(wanted: Sequence[Wanted]) -> dict[str, bytes]:
    return {name: content for one in wanted for name, content in one.files().items()}


def serve(libraries: Sequence[str], asked: IO[bytes], answers: IO[bytes]) -> None:
    """Make what is asked for until nobody asks any more."""
    for name in (*LIBRARIES, *libraries):
        import_module(name)
    while True:
        try:
            wanted: Sequence[Wanted] = pickle.load(asked)
        except EOFError:
            return
        pickle.dump(_made(wanted), answers)
        answers.flush()


if __name__ == "__main__":
    # A person's Ctrl-C stops the first process, which then ends this one.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    own = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    serve(sys.argv[1:], sys.stdin.buffer, own)
