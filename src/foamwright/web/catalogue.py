"""Every word of the app, by key, in each language: one TOML file a language under ``words``."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from types import MappingProxyType
from typing import Any

from foamwright.findings import Said
from foamwright.shop.told import filled
from foamwright.web.decimals import decimals

ENGLISH = "en"
LANGUAGES = ("en", "de")
PARTS = ("orders",)
"""Files with the words of one part of the app each, one a language."""

SAYINGS = ("findings", "sheets")
"""Files of wordings whose English stands in the rules, one a language."""

NAMES = frozenset({"name", "box", "one", "other", "plane"})
"""Places of findings that hold the name of a thing: no number, whatever signs are in it."""

PLANE = "plane"
"""The place of findings that holds the name of a plane; those of the usual bay have words."""

Words = str | Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The words of one language.

    Attributes
    ----------
    language
        Its code, as in ``lang``.
    words
        Dotted key to words; where a number decides, a table of ``one`` and ``other``.
    """

    language: str
    words: Mapping[str, Words]

    def say(self, key: str, /, **values: object) -> str:
        """Return the words of a key with their places filled; `n` chooses between one and many.

        Raises
        ------
        KeyError
            The catalogue has no such key.
        """
        words = self.words[key]
        if not isinstance(words, str):
            words = words["one" if values["n"] == 1 else "other"]
        return filled(words, {name: str(value) for name, value in values.items()})

    def has(self, key: str) -> bool:
        """Return whether the catalogue has a key."""
        return key in self.words

    def under(self, prefix: str) -> dict[str, Words]:
        """Return the words whose keys stand under a prefix, by the rest of the key: for a page's script."""
        start = prefix + "."
        return {key[len(start) :]: words for key, words in self.words.items() if key.startswith(start)}


@cache
def catalogue_of(language: str) -> Catalogue:
    """Return the words of a language."""
    folder = resources.files("foamwright.web").joinpath("words")
    found: dict[str, Words] = {}
    for name in (f"{language}.toml", *(f"{part}.{language}.toml" for part in PARTS)):
        found.update(_flat("", tomllib.loads(folder.joinpath(name).read_text("utf-8"))))
    return Catalogue(language, found)


@cache
def sayings_of(language: str) -> Mapping[str, str]:
    """Return the wordings of findings and of problems with sheets in a language by key.

    None for English: those stand in the rules.
    """
    if language == ENGLISH:
        return MappingProxyType({})
    return MappingProxyType(
        {key: words for name in SAYINGS for key, words in sayings_in(name, language).items()}
    )


def sayings_in(name: str, language: str) -> Mapping[str, str]:
    """Return the wordings in one of the files of `SAYINGS` by key."""
    text = resources.files("foamwright.web").joinpath("words", f"{name}.{language}.toml").read_text("utf-8")
    return tomllib.loads(text)


def said_in(language: str, text: str) -> str:
    """Return a text in a language, if the rules tell how it was made; else as it is.

    Texts within a text are said in the same language, however deep. Figures of findings get the language's
    decimals; problems with sheets repeat what was written, and tell what to write, so theirs stay.
    """
    wording = sayings_of(language).get(text.key) if isinstance(text, Said) else None
    if wording is None or not isinstance(text, Said):
        return text
    has_figures = text.key in _findings_in(language)

    def told(name: str, value: str) -> str:
        if name == PLANE:
            return str(catalogue_of(language).words.get(f"bench.plane.{value}", value))
        is_figure = has_figures and name not in NAMES and not isinstance(value, Said)
        return decimals(language, value) if is_figure else said_in(language, value)

    return filled(wording, {name: told(name, value) for name, value in text.values.items()})


@cache
def _findings_in(language: str) -> frozenset[str]:
    """Keys of what findings say."""
    return frozenset(sayings_in("findings", language))


def chosen_language(asked: str, header: str) -> str:
    """Return the language a visitor chose, or else the first that the browser names and we speak.

    Parameters
    ----------
    asked
        What the visitor chose; may be anything.
    header
        ``Accept-Language`` as the browser sent it.
    """
    if asked in LANGUAGES:
        return asked
    named = (part.partition(";")[0].strip().partition("-")[0].casefold() for part in header.split(","))
    return next((one for one in named if one in LANGUAGES), ENGLISH)


def _flat(prefix: str, table: Mapping[str, Any]) -> dict[str, Words]:
    found: dict[str, Words] = {}
    for key, value in table.items():
        if isinstance(value, str) or set(value) == {"one", "other"}:
            found[prefix + key] = value
        else:
            found.update(_flat(f"{prefix}{key}.", value))
    return found
