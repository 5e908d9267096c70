"""All that the workbench shows for one board, made from its draft, the stock and where it lies."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from sqlalchemy.orm import Session

from foamwright.board.board import Board
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding
from foamwright.jobs.live_kept import Kept
from foamwright.jobs.live_planning import (
    Offer,
    Pair,
    PlanWish,
    choice_in,
    laid_at,
    offer_called,
    plan_at,
    ranked,
    settled_at,
    slides_of,
    solid_blank,
)
from foamwright.jobs.live_removal import removal_at
from foamwright.shop.stock import all_stock
from foamwright.units import format_length
from foamwright.web.planning.ask import Ask, By
from foamwright.web.planning.asked import Asked, slide_problem
from foamwright.web.planning.cross import Close, Cross, close_of, cross_of, section_hands
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.hands import Hand, hands_of
from foamwright.web.planning.laid import LaidView, laid_view
from foamwright.web.planning.lying import Lying
from foamwright.web.planning.maps import MapView, PlainPicture, map_view, plain_picture, surface_numbers
from foamwright.web.planning.noticed import Notice, notices_of
from foamwright.web.planning.places import NEAR, along
from foamwright.web.planning.ranking import Ranking, ranking_of
from foamwright.web.planning.rows import Numeral, Stop
from foamwright.web.planning.stage import Stage, Tick, boxes, spans, ticks
from foamwright.web.planning.strokes import PassList, RunList, pass_lists, run_lists
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class OffScene:
    """What comes off."""

    map: MapView
    picture: PlainPicture
    surface: str


@dataclass(frozen=True, slots=True)
class StrokeScene:
    """The strokes, and what there is to say about the cuts."""

    passes: tuple[PassList, ...]
    runs: tuple[RunList, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class BoardScene:
    """The board on the wall, and the stop in hand on the slip.

    Attributes
    ----------
    draft
        The board as it stands.
    before
        The version that changes are counted from.
    ask
        What is asked for.
    """

    draft: Draft
    before: Draft
    ask: Ask

    @property
    def shown(self) -> Board | None:
        """What is drawn: the board, or the nearest fair one to its numbers."""
        return self.draft.board or self.draft.nearest

    @cached_property
    def ghost(self) -> Board | None:
        """The board before, where it is another one."""
        return self.before.board if self.before.sheet != self.draft.sheet else None

    @cached_property
    def stage(self) -> Stage | None:
        """Where everything stands."""
        return Stage(self.shown, self.ask.frame) if self.shown else None

    @cached_property
    def stop(self) -> Stop:
        """The stop in hand."""
        return self.draft.bench.stop(self.ask.at)

    @cached_property
    def stops(self) -> list[Stop]:
        """Every stop, in order, without their rows."""
        bench = self.draft.bench
        found = [bench.head(key) for key in bench.keys]
        return found if any(one.key == self.stop.key for one in found) else sorted_in(found, self.stop)

    @cached_property
    def number(self) -> int:
        """The stop's place among them, from 1."""
        return 1 + next(n for n, one in enumerate(self.stops) if one.key == self.stop.key)

    @property
    def following(self) -> str:
        """The stop after it."""
        return self.stops[self.number % len(self.stops)].key

    @property
    def previous(self) -> str:
        """The stop before it."""
        return self.stops[self.number - 2].key

    @cached_property
    def hands(self) -> list[Hand]:
        """The instruments on the wall."""
        return hands_of(self.stage, self.draft.bench, self.stop) if self.stage else []

    @cached_property
    def ticks(self) -> list[Tick]:
        """The tape's marks."""
        return ticks(self.stage, self.draft.reader.lengths) if self.stage else []

    @cached_property
    def spans(self) -> list[tuple[str, float, float, float]]:
        """What has a beginning and an end along the board."""
        return spans(self.stage, self.draft.bench) if self.stage else []

    @cached_property
    def boxes(self) -> list[str]:
        """Fin boxes from above."""
        return boxes(self.stage) if self.stage else []

    @cached_property
    def places(self) -> list[tuple[str, float, bool]]:
        """Stations on the wall: key, pixels along, whether in hand."""
        if self.stage is None:
            return []
        return [
            (place, float(self.stage.x(x)), place == self.stop.key) for x, place in self.draft.bench.placed
        ]

    @property
    def plumb(self) -> float | None:
        """Pixels along of the plumb line."""
        x = self.stop.x
        return None if self.stage is None or x is None else float(self.stage.x(x))

    @property
    def reach(self) -> str:
        """How far the plumb line hangs from the nearer tip, or which tip or the middle it is."""
        x, length, reader = self.stop.x or 0.0, self.draft.bench.length, self.draft.reader
        say = reader.words.say
        if min(x, length - x) < NEAR:
            return say("plan.place.tail" if x < NEAR else "plan.place.nose")
        if abs(x - length / 2) < NEAR:
            return say("plan.place.middle")
        return along(reader, min(x, length - x))

    @cached_property
    def cross(self) -> Cross | None:
        """The section at the stop, or in the middle where it has no place."""
        if self.shown is None:
            return None
        x = self.shown.length / 2 if self.stop.x is None else self.stop.x
        return cross_of(self.shown, x, self.ask.slip, 2 if self.ask.twice else 1)

    @cached_property
    def close(self) -> Close | None:
        """Its rail close to."""
        return (
            close_of(self.cross, self.ghost, self.draft.reader.lengths.value == "in") if self.cross else None
        )

    @cached_property
    def cross_hands(self) -> list[Hand]:
        """The instruments on the section."""
        return section_hands(self.cross, self.stop) if self.cross else []

    @property
    def can_have_rail(self) -> bool:
        """Whether the station has no rail of its own yet."""
        return not any(one.name.startswith("rails/") for one in self.stop.numerals)

    def was(self, numeral: Numeral) -> str | None:
        """Return what a number was before, if it was another; an empty text where there was none."""
        old = self.before.bench.numeral(numeral.name)
        text = "" if old is None or old.is_fair else old.text
        now = "" if numeral.is_fair else numeral.text
        return None if text.strip() == now.strip() else text

    def difference(self, numeral: Numeral) -> str:
        """Return by how much a length differs from before, with its sign; empty of what is no length."""
        old = self.before.bench.numeral(numeral.name)
        if old is None or old.value is None or numeral.value is None or numeral.kind != "length":
            return ""
        more = numeral.value - old.value
        reader = self.draft.reader
        return ("+" if more > 0 else "−") + reader.figure(format_length(abs(more), reader.lengths, 32))

    @cached_property
    def notices(self) -> list[Notice]:
        """Findings and problems, each at its stop."""
        return notices_of(self.draft)

    @cached_property
    def changes(self) -> list[tuple[Stop, Numeral, str]]:
        """Every number that is another than before: its stop, the row, what it was."""
        if self.before.sheet == self.draft.sheet:
            return []
        return [
            (stop, one, old)
            for stop in map(self.draft.bench.stop, self.draft.bench.keys)
            for one in stop.numerals
            if (old := self.was(one)) is not None
        ]


def sorted_in(stops: Sequence[Stop], free: Stop) -> list[Stop]:
    """Return the stops with a free place among the stations."""
    at = next((n for n, one in enumerate(stops) if one.x is None or one.x > (free.x or 0.0)), len(stops))
    return [*stops[:at], free, *stops[at:]]


@dataclass(frozen=True)
class BlankScene:
    """The stock ranked, and the board in one blank of it.

    Attributes
    ----------
    draft
        The board.
    offers
        The stock.
    ask
        What is asked for.
    """

    draft: Draft
    offers: Sequence[Offer]
    ask: Ask

    @cached_property
    def ranking(self) -> Ranking | None:
        """The stock, best first."""
        return stock_scene(self.draft, self.offers, self.ask.by)

    @cached_property
    def code(self) -> str:
        """The blank in hand: as asked for, or the first."""
        return self.ask.blank or (self.ranking.best if self.ranking else None) or ""

    @cached_property
    def asked(self) -> Asked:
        """Blank and slide."""
        return Asked(self.code, self.ask.slide)

    @cached_property
    def pair(self) -> Pair | None:
        """Board and blank."""
        return pair_of(self.draft, self.offers, self.asked)

    @property
    def is_unknown(self) -> bool:
        """Whether a blank is asked for that is not in the stock."""
        return bool(self.ask.blank) and offer_called(self.offers, self.ask.blank) is None

    @cached_property
    def lying(self) -> Lying | None:
        """The board in the blank; ``None`` where it cannot even be tried."""
        pair, board = self.pair, self.draft.board
        if pair is None or board is None:
            return None
        best = choice_in(pair)
        least, most = slides_of(best)
        if best.lay is None or most < least:
            return None
        slide = best.lay.slide if self.ask.slide is None else self.ask.slide
        laid = laid_at(best, slide)
        if laid.fits and not self.ask.light:
            laid = settled_at(pair, laid.placed.slide)
        return Lying(board, solid_blank(pair.offer), laid, self.ask.frame, self.ask.by)

    @property
    def best_slide(self) -> float | None:
        """Where the work is least, metres; ``None`` where the board does not fit."""
        best = choice_in(self.pair) if self.pair else None
        return best.placed.slide if best and best.fits else None

    @cached_property
    def laid(self) -> LaidView | None:
        """Its numbers."""
        return laid_view(self.lying.choice, self.draft.reader) if self.lying else None

    @property
    def problem(self) -> Problem | None:
        """Why the board cannot lie where it is asked for; ``None`` if it can."""
        return slide_problem(self.ask.asked, self.lying.range, self.draft.reader) if self.lying else None

    @property
    def written(self) -> str:
        """What stands in the field of the slide."""
        return self.ask.slide_written if self.problem else self.laid.slide if self.laid else ""

    @property
    def wish(self) -> PlanWish:
        """The plan of it."""
        return PlanWish(self.draft.wanted, tuple(self.offers), self.code, self.slide)

    @property
    def slide(self) -> float | None:
        """Where it lies; ``None`` for the best, so that a plan at the best is one and the same."""
        return None if self.ask.slide is None or self.laid is None else self.laid.slide_m

    @cached_property
    def off(self) -> OffScene | None:
        """What comes off; ``None`` where the board does not lie in the blank."""
        return None if self.pair is None or self.lying is None else off_scene(self.pair, self.slide)


def offers_of(session: Session) -> tuple[Offer, ...]:
    """Return the stock that is in use, as it is offered now."""
    return tuple(Offer(row.sheet, row.on_hand) for row in all_stock(session))


def stock_scene(draft: Draft, offers: Sequence[Offer], by: By = By.COST) -> Ranking | None:
    """Return the stock ranked for the board; ``None`` while its numbers cannot stand."""
    if draft.checked is None:
        return None
    return ranking_of(ranked(draft.wanted, offers), draft.reader, by is By.WORK)


def pair_of(draft: Draft, offers: Sequence[Offer], asked: Asked) -> Pair | None:
    """Return board and blank, if there are both and both can be made solid."""
    offer = offer_called(offers, asked.blank)
    if offer is None or draft.board is None:
        return None
    try:
        solid_blank(offer)
    except InputError:
        return None
    return Pair(draft.wanted, offer)


def lay_scene(draft: Draft, offers: Sequence[Offer], asked: Asked) -> Lying | None:
    """Return the board in the blank asked for; ``None`` if it cannot even be tried in it."""
    return BlankScene(draft, offers, Ask(blank=asked.blank, slide=asked.slide)).lying


def off_scene(pair: Pair, slide: float | None) -> OffScene | None:
    """Return what comes off; ``None`` where the board does not lie in the blank."""
    return _OFF((pair, slide))


def stroke_scene(wish: PlanWish, reader: Reader) -> StrokeScene:
    """Return the strokes of a plan.

    Raises
    ------
    NoAnswerError
        The board does not lie in the blank.
    """
    plan = plan_at(wish)
    cuts = tuple(f for f in plan.findings if f.code.startswith(("run-", "grain-")))
    return StrokeScene(pass_lists(plan, reader), run_lists(plan, reader), cuts)


def _off(key: tuple[Pair, float | None]) -> OffScene | None:
    pair, slide = key
    if not settled_at(pair, slide).fits:
        return None
    removal = removal_at(pair, slide)
    drawn = map_view(removal, pair.wanted.system)
    return OffScene(drawn, plain_picture(removal, drawn.most_m), surface_numbers(removal))


_OFF = Kept(_off, 16)
