"""What the workbench is asked for: a view, a stop, a blank and a slide, and how large its wall is."""

from __future__ import annotations

from enum import StrEnum

from pydantic import BaseModel, ConfigDict, Field

from foamwright.errors import InputError
from foamwright.shop.texts import LONGEST_SHEET
from foamwright.units import parse_length
from foamwright.web.forms import Form
from foamwright.web.planning.asked import Asked
from foamwright.web.planning.stage import LARGEST_ZOOM, Frame
from foamwright.web.rendering import Reader

FARTHEST = 10.0
"""Metres; no slide that the script asks for is greater."""

LARGEST_WALL = 6000.0
"""Pixels."""


class View(StrEnum):
    """The views of the workbench, in the order of the work."""

    BOARD = "board"
    BLANK = "blank"
    OFF = "off"
    STROKES = "strokes"
    PAPERS = "papers"


class By(StrEnum):
    """What the stock is ranked by."""

    COST = "cost"
    WORK = "work"


class Ask(BaseModel):
    """What the page, or its script, asks for.

    Attributes
    ----------
    sheet
        The board as it stands; empty: as it is stored.
    typed
        Numbers changed by hand, texts by their rows' names.
    moved
        A number moved by so many marks: its row's name and the value it shall have.
    made
        Something added or taken away: ``+bottom/contour/vee``, ``-bottom/contour/0``, ``=18 from tail``.
    view, at
        The view, and the stop in hand.
    blank, slide, slide_written, by
        Which blank (empty: the first), where in it, metres (``None``: best), as written, ranked by what.
    since
        The revision that changes are counted from; 0: the last saved.
    tall, twice
        How many times too high heights are drawn from the side, and across.
    width, height, zoom, centre
        The wall in pixels, and how near one looks at it.
    light
        Whether only the drawing is needed: a hand is still on it.
    whole
        Whether minutes and money are worked out although the stock was not ranked yet.
    """

    model_config = ConfigDict(extra="forbid")
    sheet: str = Field("", max_length=LONGEST_SHEET)
    typed: dict[str, str] = Field({}, max_length=40)
    moved: tuple[str, float] | None = None
    made: str = Field("", max_length=200)
    view: View = View.BOARD
    at: str = Field("centre", max_length=120)
    blank: str = Field("", max_length=200)
    slide: float | None = Field(None, ge=-FARTHEST, le=FARTHEST, allow_inf_nan=False)
    slide_written: str = Field("", max_length=60)
    by: By = By.COST
    since: int = Field(0, ge=0, le=2_147_483_647)
    tall: int = Field(3, ge=1, le=3)
    twice: bool = False
    width: float = Field(829.0, ge=200.0, le=LARGEST_WALL)
    height: float = Field(540.0, ge=120.0, le=LARGEST_WALL)
    slip: float = Field(374.0, ge=200.0, le=1200.0)
    zoom: float = Field(1.0, ge=1.0, le=LARGEST_ZOOM)
    centre: float = Field(0.5, ge=0.0, le=1.0)
    light: bool = False
    whole: bool = False

    @property
    def frame(self) -> Frame:
        """Where the drawing stands."""
        return Frame(self.width, self.height, self.tall, self.zoom, self.centre)

    @property
    def asked(self) -> Asked:
        """Blank and slide."""
        return Asked(self.blank, self.slide, self.slide_written)


def ask_of(query: Form, reader: Reader) -> Ask:
    """Return what an address, or the page's form, asks for; what cannot be read is as usual."""
    text = query.text
    return Ask(
        sheet=text("sheet")[:LONGEST_SHEET],
        view=View(text("view")) if text("view") in set(View) else View.BOARD,
        at=(text("go") or text("at"))[:120] or "centre",
        blank=text("blank")[:200],
        slide=_slide(text("slide"), reader),
        slide_written=text("slide").strip()[:60],
        by=By(text("by")) if text("by") in set(By) else By.COST,
        since=int(text("since")) if text("since").isdigit() and len(text("since")) < 9 else 0,
        tall=int(text("tall")) if text("tall") in ("1", "2", "3") else 3,
        twice=text("twice") == "1",
    )


def _slide(written: str, reader: Reader) -> float | None:
    try:
        metres = parse_length(written.replace(",", "."), reader.unit) if written.strip() else None
    except InputError:
        return None
    return metres if metres is None or abs(metres) <= FARTHEST else None
