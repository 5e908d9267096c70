"""Every word stands in the catalogues, in both languages, and in no template."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from jinja2 import nodes

import foamwright.web
from foamwright.shop.kinds import Event, JobState, Measured, ReadingState, Role
from foamwright.shop.told_words import ENGLISH
from foamwright.web.catalogue import LANGUAGES, catalogue_of, chosen_language
from foamwright.web.rendering import Templates, fractions

TEMPLATES = sorted((Path(foamwright.web.__file__).parent / "templates").glob("*.html"))
PLACE = re.compile(r"\{(\w+)\}")
BUILT = '<span class="over"><sup>{}</sup><i>/</i><sub>{}</sub></span>'


def forms(words):
    return [words] if isinstance(words, str) else list(words.values())


def test_both_catalogues_have_the_same_keys():
    first, *others = (set(catalogue_of(language).words) for language in LANGUAGES)
    for other in others:
        assert first ^ other == set()


def test_translations_fill_the_same_places():
    english = catalogue_of("en").words
    for language in LANGUAGES[1:]:
        for key, words in catalogue_of(language).words.items():
            ours = {p for form in forms(english[key]) for p in PLACE.findall(form)}
            theirs = {p for form in forms(words) for p in PLACE.findall(form)}
            assert ours - {"n"} == theirs - {"n"}, (language, key)


def has_letters(words):
    return any(re.search(r"[^\W\d_]", PLACE.sub("", form)) for form in forms(words))


def test_nothing_was_left_in_english():
    english, german = catalogue_of("en").words, catalogue_of("de").words
    same = {key for key in english if english[key] == german[key] and has_letters(english[key])}
    # Names, signs and words that both languages share.
    assert same == {
        "language.en", "language.de", "unit.kg", "unit.l", "people.name", "blank.station", "job.station",
        "pair.code",
        "access.bench-label", "trust.file", "plan.number.name", "plan.number.outline-tail_form",
        "plan.number.rocker", "plan.stop.outline-wing", "plan.papers.in",
    }  # fmt: skip


def test_the_shops_problems_are_in_the_catalogue_word_for_word():
    catalogue = catalogue_of("en")
    for key, (what, remedy) in ENGLISH.items():
        assert catalogue.words[f"problem.{key}.what"] == what
        assert catalogue.words[f"problem.{key}.remedy"] == remedy


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_kind_that_a_page_names_has_words(language):
    catalogue = catalogue_of(language)
    kinds = {"event": Event, "state": JobState, "measured": Measured, "reading": ReadingState, "role": Role}
    for prefix, kind in kinds.items():
        for one in kind:
            assert catalogue.has(f"{prefix}.{one.value}")


class Literal(HTMLParser):
    """Collects the words that stand in a template itself."""

    SPOKEN = frozenset({"title", "alt", "placeholder", "aria-label", "aria-description"})

    def __init__(self):
        super().__init__()
        self.words = []

    def handle_data(self, data):
        said = data.replace("· foamwright", "").strip()
        if re.search(r"[^\W\d_]", said):
            self.words.append(said)

    def handle_starttag(self, tag, attributes):
        for name, value in attributes:
            if name in self.SPOKEN and re.search(r"[^\W\d_]", value or ""):
                self.words.append(f"{name}={value}")


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_no_template_has_words_of_its_own(template):
    text = re.sub(r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}", "", template.read_text(), flags=re.DOTALL)
    reader = Literal()
    reader.feed(text)
    assert reader.words == []


def test_the_search_for_words_finds_some():
    reader = Literal()
    reader.feed('<p>Hello <b title="there">·</b></p>')
    assert reader.words == ["Hello", "title=there"]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_every_key_that_a_template_says_is_in_the_catalogue(template):
    catalogue = catalogue_of("en")
    tree = Templates().environment.parse(template.read_text())
    for call in tree.find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name == "t":
            for key in keys_of(call.args[0]):
                assert catalogue.has(key), (template.name, key)


def keys_of(node):
    """The keys an argument can be, where the template itself says them."""
    if isinstance(node, nodes.Const):
        return [node.value]
    if isinstance(node, nodes.CondExpr):
        return [*keys_of(node.expr1), *keys_of(node.expr2)]
    return []


@pytest.mark.parametrize(
    ("asked", "header", "language"),
    [
        ("", "", "en"),
        ("de", "en", "de"),
        ("xx", "de-AT,de;q=0.9", "de"),
        ("", "fr-FR, de;q=0.8, en;q=0.7", "de"),
        ("../en", "klingon", "en"),
    ],
)
def test_the_language_is_the_chosen_one_or_the_browsers(asked, header, language):
    assert chosen_language(asked, header) == language


def test_a_value_is_never_read_as_a_place():
    assert catalogue_of("en").say("problem.no-number.what", written="{most}") == "“{most}” is not a number."


@pytest.mark.parametrize(
    ("text", "markup"),
    [
        ("2 13/16 in", f'<span class="fraction">2<i> </i>{BUILT.format(13, 16)}</span> in'),
        ("<1/2>", f'&lt;<span class="fraction">{BUILT.format(1, 2)}</span>&gt;'),
        ("69.9 mm", "69.9 mm"),
        ("60/40 and 3/2 mm", "60/40 and 3/2 mm"),
    ],
)
def test_fractions_are_set_as_fractions(text, markup):
    assert fractions(text) == markup


def test_why_a_reading_is_questioned_is_said_in_the_readers_language():
    """It is kept in English; what a person gave as the reason to set one aside stands as it was written."""
    for template in TEMPLATES:
        for line in template.read_text().splitlines():
            said = "reader.reason(reading.reason)" in line or 'reading.state == "set aside"' in line
            assert "reading.reason" not in line or said, (template.name, line)


def test_findings_are_said_in_the_readers_language_wherever_they_are_shown():
    """A template never shows a finding's text past the reader."""
    for template in TEMPLATES:
        for name in ("sentence", "remedy", "where"):
            shown = re.findall(rf"(?<!reader\.said\()finding\.{name}\b", template.read_text())
            assert shown == [], (template.name, name)
