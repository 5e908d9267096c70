"""Pages: Jinja2 templates, the visitor's words and units, and nothing literal in between."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse, RedirectResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, Template, select_autoescape
from markupsafe import Markup, escape

from foamwright.bench.question_words import QUESTIONS
from foamwright.errors import Problem
from foamwright.findings import said_before
from foamwright.shop.notes import LONGEST as LONGEST_BENCH_NOTE
from foamwright.shop.texts import LONGEST_NOTE, LONGEST_TITLE
from foamwright.shop.told import Told, filled
from foamwright.units import System, Unit, format_feet, format_with_unit
from foamwright.web.catalogue import Catalogue, catalogue_of, chosen_language, said_in
from foamwright.web.decimals import decimals, point_of
from foamwright.web.statics import static_url

LANGUAGE_COOKIE = "foamwright-language"
LENGTHS_COOKIE = "foamwright-lengths"

_FRACTION = re.compile(r"(?<![0-9/.])([0-9]{1,3} )?([0-9]{1,3})/(2|4|8|16|32|64|128)(?![0-9/.])")
"""A fraction of an inch with its whole inches; 60/40 of a rail and 3/2 of a suit are none."""


_FIELD = re.compile(r"[a-z][a-z0-9_]*|--[a-z-]+")
"""What a problem names a field, a part of an address or an option of the command line by."""

AT_THE_HOST = "host"
"""Who did what was done at the shop's own machine, as history keeps it."""

MEASURED = frozenset({"reading-beyond", "station-below", "station-beyond"})
"""Problems that tell figures; the others repeat a text, or say what a field takes, which is no comma."""


def long_length(metres: float, system: System) -> str:
    """Return the length of a board or blank in plain figures: feet and inches, or millimetres."""
    return format_feet(metres) if system is System.INCH else format_with_unit(metres, System.MM)


@dataclass(frozen=True, slots=True)
class Reader:
    """How a visitor reads: the words of a language, lengths in inches or millimetres."""

    words: Catalogue
    lengths: System

    def length(self, metres: float) -> str:
        """Return a length with its unit."""
        return self.figure(format_with_unit(metres, self.lengths))

    def long_length(self, metres: float) -> str:
        """Return the length of a board or blank: feet and inches, or millimetres."""
        return self.figure(long_length(metres, self.lengths))

    def figure(self, text: str) -> str:
        """Return a figure, or words with figures in them, with its decimals as the visitor writes them."""
        return decimals(self.words.language, text)

    @property
    def point(self) -> str:
        """What stands before decimals."""
        return point_of(self.words.language)

    @property
    def unit(self) -> Unit:
        """The unit a bare number is written in."""
        return Unit.INCH if self.lengths is System.INCH else Unit.MM

    def said(self, text: str) -> str:
        """Return what a finding says, in the visitor's language."""
        return said_in(self.words.language, text)

    def reason(self, kept: str) -> str:
        """Return why a reading is questioned, in the visitor's language: it is kept in English."""
        return self.said(said_before(kept, QUESTIONS))

    def who(self, name: str) -> str:
        """Return who did something, as history keeps it: the shop's own machine in the visitor's words."""
        return self.words.say("role.desk") if name == AT_THE_HOST else name

    def place(self, where: str) -> str:
        """Return where a problem is, as a page tells it: no name of a field that only programs know."""
        if self.words.has(f"place.{where}"):
            return self.words.say(f"place.{where}")
        return "" if _FIELD.fullmatch(where) else where

    def problem(self, problem: Problem) -> Problem:
        """Return a problem in the visitor's language, where the catalogue or the rules have it."""
        where = self.said(problem.where)
        if isinstance(problem, Told) and self.words.has(f"problem.{problem.key}.what"):
            tell = self.figure if problem.key in MEASURED else self.said
            values = {name: tell(value) for name, value in problem.values}
            if values.get("who") == AT_THE_HOST:
                values["who"] = self.words.say("who.by-host")
            what, remedy = (
                str(self.words.words[f"problem.{problem.key}.{part}"]) for part in ("what", "remedy")
            )
            return Problem(where, filled(what, values), filled(remedy, values))
        return Problem(where, self.said(problem.what), self.said(problem.remedy))


@dataclass(frozen=True, slots=True)
class Typed:
    """What a person typed into a form that could not be taken, and why: shown again, nothing cleared."""

    fields: Mapping[str, str] = field(default_factory=dict)
    problems: Sequence[Problem] = ()

    @property
    def is_stale(self) -> bool:
        """Whether what it began from was changed meanwhile."""
        return any(problem.where == "revision" for problem in self.problems)

    def revision(self, current: int) -> str:
        """Return the revision that the form carries: ours again, unless the person has seen the newer one."""
        return str(current) if self.is_stale else self.value("revision", current)

    def value(self, name: str, otherwise: object = "") -> str:
        """Return what a field shows."""
        return self.fields.get(name, "" if otherwise is None else str(otherwise))

    def at(self, *names: str) -> list[Problem]:
        """Return the problems of a field, by any of its names."""
        return [problem for problem in self.problems if problem.where in names]

    def elsewhere(self, *names: str) -> list[Problem]:
        """Return the problems that belong to none of the fields."""
        return [problem for problem in self.problems if problem.where not in names]


NOTHING_TYPED = Typed()

LONGEST = {"title": LONGEST_TITLE, "note": LONGEST_NOTE, "bench_note": LONGEST_BENCH_NOTE}
"""Characters that the fields of pages take: as many as the shop does."""


@dataclass(frozen=True, eq=False)
class Templates:
    """The templates, and how a page is made from one."""

    environment: Environment = field(default_factory=lambda: _environment())

    def page(self, request: Request, name: str, status: int, **values: Any) -> HTMLResponse:
        """Return a page.

        Parameters
        ----------
        request
            What is answered.
        name
            The template, without its ending.
        status
            Of the answer.
        values
            What the template uses; `visitor` among them.
        """
        return HTMLResponse(self._template(name).render(_shared(request), **values), status)

    def _template(self, name: str) -> Template:
        return self.environment.get_template(f"{name}.html")


def _shared(request: Request) -> dict[str, object]:
    """Return what every template uses."""
    reader = reader_of(request)
    said = request.query_params.get("said", "")
    return {
        "reader": reader,
        "t": reader.words.say,
        "path": request.url.path,
        "query": request.query_params,
        "said": f"said.{said}" if reader.words.has(f"said.{said}") else "",
    }


def reader_of(request: Request) -> Reader:
    """Return how the visitor reads: as chosen, or as the browser says."""
    cookies, header = request.cookies, request.headers.get("accept-language", "")
    language = chosen_language(cookies.get(LANGUAGE_COOKIE, ""), header)
    lengths = System.MM if cookies.get(LENGTHS_COOKIE) == System.MM else System.INCH
    return Reader(catalogue_of(language), lengths)


def see_other(location: str, said: str = "") -> RedirectResponse:
    """Return the answer that sends a browser on after a form was done; `said` is shown there once."""
    path, mark, fragment = location.partition("#")
    joined = "&" if "?" in path else "?"
    return RedirectResponse(path + (f"{joined}said={said}" if said else "") + mark + fragment, 303)


def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("foamwright.web", "templates"),
        autoescape=select_autoescape(default=True, default_for_string=True),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    filters: dict[str, Callable[..., object]] = {"moment": _moment, "money": _money, "fractions": fractions}
    environment.filters.update(filters)
    environment.globals["static"] = static_url
    environment.globals["nothing_typed"] = NOTHING_TYPED
    environment.globals["longest"] = LONGEST
    return environment


_BUILT = Markup(
    '<span class="fraction">{}<span class="over"><sup>{}</sup><i>/</i><sub>{}</sub></span></span>'
)


def fractions(text: str) -> Markup:
    """Return a text with its fractions built: ``2 13/16`` as a 2 and a small 13 over a 16, in one piece.

    Whoever reads the text aloud, or copies it, has it as it is written.
    """
    found, at, written = Markup(""), 0, str(text)
    for one in _FRACTION.finditer(written):
        whole, upper, lower = one.groups()
        if int(upper) >= int(lower):
            continue
        before = Markup("{}<i> </i>").format(whole.strip()) if whole else ""
        found += escape(written[at : one.start()]) + _BUILT.format(before, upper, lower)
        at = one.end()
    return found + escape(written[at:])


def _moment(moment: datetime) -> str:
    return f"{moment.astimezone():%Y-%m-%d %H:%M}"


def _money(price: float) -> str:
    return f"{price:.2f}".removesuffix(".00")
