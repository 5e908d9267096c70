"""A TOML file as a plain tree that knows the line of every key."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from foamwright.errors import InputError, Problem
from foamwright.findings import listed, said
from foamwright.sheets.files import STANDARD_INPUT, read_text
from foamwright.sheets.locate import Path, lines_of_keys
from foamwright.sheets.toml_words import reason_of

_PLACE = re.compile(r"\(at (?:line (\d+), column (\d+)|end of document)\)")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_DEEPEST = 12
_UNQUOTED = re.compile(r"=\s*[0-9.]+\s*(?:['’′\"”″]|[0-9 -]*[0-9]+/[0-9]|(?:in|mm|cm|ft|m)\b|[½¼¾⅛⅜⅝⅞])")


@dataclass(frozen=True, slots=True)
class Document:
    """What stands in a sheet.

    Attributes
    ----------
    name
        Name of the file, for messages.
    tree
        Tables as dicts, arrays as lists, values as TOML has them.
    lines
        Line of every key, counted from 1.
    """

    name: str
    tree: Mapping[str, Any]
    lines: Mapping[Path, int]

    def line(self, path: Path) -> int:
        """Return the line of a key, or of the nearest table around it that stands in the file."""
        return next((self.lines[path[:n]] for n in range(len(path), 0, -1) if path[:n] in self.lines), 1)

    def where(self, path: Path) -> str:
        """Return a place in words: ``groyne.board.toml, line 12, [rocker] nose``."""
        line = said("sheet.line", "line {line}", line=str(self.line(path)))
        return listed(*filter(None, (self.name, line, self._place(path))))

    def _place(self, path: Path) -> str:
        table, key = (path, None) if self._is_table(path) else (path[:-1], path[-1:])
        inside = f"[{_table_name(table)}]" if table else ""
        return " ".join(filter(None, (inside, _key_name(key[0]) if key else "")))

    def _is_table(self, path: Path) -> bool:
        node: Any = self.tree
        for part in path:
            node = _step(node, part)
        return isinstance(node, dict) or (bool(path) and isinstance(path[-1], int))


_PIPED = said("sheet.file.piped", "standard input")


def read_document(path: str | os.PathLike[str]) -> Document:
    """Return the document in a file.

    Raises
    ------
    InputError
        The file cannot be read, or is not TOML.
    """
    name = FilePath(path).name
    return parse_document(read_text(path), _PIPED if str(path) == STANDARD_INPUT else name)


def parse_document(text: str, name: str) -> Document:
    """Return the document in a text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        The text is not TOML; the problem names line and column.
    """
    try:
        tree = tomllib.loads(text)
        lines = lines_of_keys(text)
    except tomllib.TOMLDecodeError as why:
        raise InputError(_malformed(text, name, str(why))) from None
    except RecursionError:
        raise InputError(_too_deep(name)) from None
    except ValueError:
        # tomllib lets Python's own limit on the digits of an integer through.
        raise InputError(
            Problem(
                name,
                said("sheet.digits", "It holds a number of thousands of digits."),
                said("sheet.digits.remedy", "Check the numbers."),
            )
        ) from None
    if max(map(len, lines), default=0) > _DEEPEST:
        raise InputError(_too_deep(name))
    return Document(name, tree, lines)


def _too_deep(name: str) -> Problem:
    return Problem(
        name,
        said("sheet.too-deep", "Its brackets are nested too deep."),
        said("sheet.too-deep.remedy", "A sheet has tables, and tables in them; no more."),
    )


def _malformed(text: str, name: str, why: str) -> Problem:
    place, reason = _PLACE.search(why), _PLACE.sub("", why).strip()
    lines = text.split("\n")
    row, column = (int(place[1]), int(place[2])) if place and place[1] else (len(lines), len(lines[-1]) + 1)
    shown = lines[row - 1].strip()[:60] if row <= len(lines) else ""
    where = said("sheet.line-column", "line {line}, column {column}", line=str(row), column=str(column))
    what = said(
        "sheet.not-toml", "This is not TOML: {reason}, in “{shown}”.", reason=reason_of(reason), shown=shown
    )
    return Problem(listed(name, where), what, _toml_remedy(shown, why))


def _toml_remedy(line: str, why: str) -> str:
    if "overwrite" in why or "twice" in why:
        return said("sheet.toml.twice", "The same key stands twice; take one away.")
    if _UNQUOTED.search(line):
        return said(
            "sheet.toml.quotes",
            'Feet, fractions and units stand in quotes: "6\'4\\"", "2 3/4" or "70 mm".',
        )
    if " " in line.partition("=")[0].strip() and "=" in line and not line.startswith(('"', "'")):
        return said(
            "sheet.toml.key-quotes", 'A key of more than one word stands in quotes: "12 from nose" = 2.'
        )
    if "(at end of document)" in why:
        return said(
            "sheet.toml.open", "Something is left open: a quote, a bracket, or a key without its value."
        )
    return said("sheet.toml.line", 'A line is key = value, a [table] or a # note; texts stand in "quotes".')


def _step(node: Any, part: str | int) -> Any:
    if isinstance(node, dict):
        return node.get(part)
    return node[part] if isinstance(node, list) and isinstance(part, int) and part < len(node) else None


def _table_name(path: Path) -> str:
    """``blank 2, rocker`` for the rocker of the second [[blank]]."""
    names: list[str] = []
    for part in path:
        if isinstance(part, int) and names:
            names[-1] += f" {part + 1}"
        else:
            names.append(_key_name(part))
    return ", ".join(names)


def _key_name(key: str | int) -> str:
    text = str(key)
    return text if _BARE_KEY.fullmatch(text) else f'"{text[:60]}"'
