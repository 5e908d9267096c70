"""What comes after the foam, as pages: fin boxes, glassing, and the board in the water."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from foamwright.finish.finished import Finished
from foamwright.papers.drawing import Document
from foamwright.papers.job_page import Ground, Headed, ground_for
from foamwright.papers.job_words import Figures
from foamwright.papers.pages_fins import fin_page
from foamwright.papers.pages_materials import materials_page
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock

if TYPE_CHECKING:
    from foamwright.papers.pages_water import WaterWords
    from foamwright.water.afloat import Afloat


@dataclass(frozen=True, eq=False)
class After:
    """A finished board, and, where a rider is known, the two in the water."""

    finished: Finished
    afloat: Afloat | None = None
    words: WaterWords | None = None


def after_document(after: After, paper: Paper, figures: Figures, block: TitleBlock) -> Document:
    """Return the pages of what comes after the foam.

    Parameters
    ----------
    after
        What to show.
    paper
        What it is printed on, landscape.
    figures
        How lengths are said.
    block
        Whose it is; each sheet adds its name, scale and number.
    """
    ground = ground_for(paper)
    pages = after_pages(after, figures, ground)
    sheets = tuple(ground.sheet(page, block, n, len(pages)) for n, page in enumerate(pages, start=1))
    return Document(f"{after.finished.board.name}: after the foam", sheets, "Fins, glassing, water")


def after_pages(after: After, figures: Figures, ground: Ground) -> list[Headed]:
    """Return the pages, before they are numbered: fins where there are boxes, glassing, water where known."""
    fins = [fin_page(after.finished, figures, ground)] if after.finished.boxes else []
    water = []
    if after.afloat is not None and after.words is not None:
        # Water loads much; most papers are made without a rider.
        from foamwright.papers.pages_water import water_page

        water = [water_page(after.afloat, after.words, figures, ground)]
    return [*fins, materials_page(after.finished, figures, ground), *water]
