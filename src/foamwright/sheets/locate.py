"""On which line each key of a TOML text stands; tomllib reads the values but does not say.

The text has been read by tomllib before, so it is sound TOML, and this only has to walk over it: headers,
dotted and quoted keys, inline tables, arrays, and strings of all four kinds.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left

Path = tuple[str | int, ...]
"""Way to a value: keys, and places in arrays counted from 0."""

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SEPARATORS = re.compile(r"(?:[ \t\r\n,]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_KEY = re.compile(r'"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|[^\s.=\]]+')
# Up to two more quotes may stand right before the closing three.
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})|\'\'\'.*?\'\'\'(?:\'{0,2})|"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'', re.DOTALL
)
_PLAIN_VALUE = re.compile(r"[^,\]}\n#]*")


def lines_of_keys(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every key, table header and array item of a sound TOML text."""
    walk = _Walk(text)
    walk.document()
    return walk.lines


class _Walk:
    """Where the walk stands in the text, and what it has passed."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._line_ends = [match.start() for match in re.finditer("\n", text)]
        self._entries: dict[Path, int] = {}

    def document(self) -> None:
        table: Path = ()
        while self._skip(_BLANK) < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)

    def _skip(self, pattern: re.Pattern[str]) -> int:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else len(self.text)
        return self.at

    def _note(self, path: Path, start: int) -> None:
        self.lines.setdefault(path, 1 + bisect_left(self._line_ends, start))

    def _header(self) -> Path:
        start, double = self.at, self.text.startswith("[[", self.at)
        self.at += 2 if double else 1
        *outer, last = self._keys()
        path: Path = ()
        for key in outer:
            path = self._latest((*path, key))
            self._note(path, start)
        path = (*path, last)
        self._note(path, start)
        path = self._next_entry(path) if double else path
        self._note(path, start)
        self.at += 2 if double else 1
        return path

    def _latest(self, path: Path) -> Path:
        """The path into the newest entry, where `path` is an array of tables."""
        return (*path, self._entries[path]) if path in self._entries else path

    def _next_entry(self, path: Path) -> Path:
        self._entries[path] = self._entries.get(path, -1) + 1
        return (*path, self._entries[path])

    def _keys(self) -> list[str]:
        keys = []
        while True:
            self._skip(_SPACE)
            start = self.at
            self._skip(_KEY)
            keys.append(_plain_key(self.text[start : self.at]))
            self._skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return keys
            self.at += 1

    def _pair(self, table: Path) -> None:
        start, path = self.at, table
        for key in self._keys():
            path = (*path, key)
            self._note(path, start)
        self.at += 1
        self._skip(_SPACE)
        self._value(path)

    def _value(self, path: Path) -> None:
        opening = self.text[self.at : self.at + 1]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        else:
            self._skip(_STRING if opening in {'"', "'"} else _PLAIN_VALUE)

    def _array(self, path: Path) -> None:
        self.at += 1
        count = 0
        while self._skip(_SEPARATORS) < len(self.text) and self.text[self.at] != "]":
            self._note((*path, count), self.at)
            self._value((*path, count))
            count += 1
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        while self._skip(_SEPARATORS) < len(self.text) and self.text[self.at] != "}":
            self._pair(path)
        self.at += 1


def _plain_key(token: str) -> str:
    return next(iter(tomllib.loads(f"{token} = 0"))) if token[:1] in {'"', "'"} else token
