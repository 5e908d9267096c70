"""The full-size templates of a board as something that can be asked for: of this process or a second one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.board.board import Board
    from foamwright.papers.templates import Wording
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock
    from foamwright.stages.marks import RackStation

TEMPLATES = "templates"
"""The folder they go to."""


@dataclass(frozen=True)
class TemplatesWanted:
    """What the templates of one board are made from.

    Attributes
    ----------
    board, stations
        The finished board, and where a tape finds its stations.
    block
        Whose it is.
    wording
        How lengths are written.
    paper
        What the tiled pages are printed on.
    """

    board: Board
    stations: tuple[RackStation, ...]
    block: TitleBlock
    wording: Wording
    paper: Paper

    def files(self) -> dict[str, bytes]:
        """Return every template tiled, and in one piece as SVG and DXF; file name to bytes."""
        from foamwright.papers.plan_shapes import shapes_of
        from foamwright.papers.templates import files_of, outline_template, rocker_template, section_template

        shapes = shapes_of(self.board, self.stations)
        made: dict[str, bytes] = {}
        for make in (outline_template, rocker_template, section_template):
            template = make(shapes, self.block, self.wording)
            chosen = replace(template, pages={self.paper: template.pages[self.paper]})
            made |= {f"{TEMPLATES}/{name}": content for name, content in files_of(chosen).items()}
        return made
