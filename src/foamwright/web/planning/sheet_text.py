"""Changing numbers in a sheet's text where they stand, so that notes, order and spacing stay the person's.

A change is made by pattern on the key's own line and then proved by reading the text again; a sheet that is
laid out in a way the pattern does not know is written anew, with the same keys in the same order.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from typing import Any

from foamwright.errors import InputError
from foamwright.sheets.document import parse_document
from foamwright.sheets.locate import Path

_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?")
_VALUE = r'(?:"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|\{[^{}\n]*\}|[^,\]}\n#]*?)(?=\s*(?:[,}#\n]|$))'
_BARE = re.compile(r"[A-Za-z0-9_-]+")

Tree = dict[str, Any]


def changed_text(text: str, changes: Mapping[tuple[str, ...], str]) -> str:
    """Return a sheet's text with some values changed.

    Parameters
    ----------
    text
        Sound TOML.
    changes
        What is written at each key; an empty text takes the key away. A key that is not there is added.
    """
    wanted = _changed_tree(tomllib.loads(text), changes)
    for path, written in changes.items():
        text = _changed_line(text, path, written)
    try:
        if tomllib.loads(text) == wanted:
            return text
    except tomllib.TOMLDecodeError:
        pass
    return written_anew(wanted)


def value_at(tree: Mapping[str, Any], path: Path) -> Any:
    """Return what stands at a key, or ``None``."""
    node: Any = tree
    for part in path:
        node = node.get(part) if isinstance(node, dict) else None
    return node


def shown(value: Any) -> str:
    """Return a value as it stands in a field."""
    return value if isinstance(value, str) else "" if value is None else f"{value}"


def read(written: str) -> str | int | float:
    """Return the value that a field's text stands for: a plain number, or the words."""
    plain = written.strip()
    if not _NUMBER.fullmatch(plain):
        return plain
    return float(plain) if "." in plain else int(plain)


def toml_value(value: Any) -> str:
    """Return a value as TOML writes it."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(key)} = {toml_value(inner)}" for key, inner in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(inner) for inner in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return f"{value}"
    # A JSON text is a TOML text too; DEL alone is told apart.
    return json.dumps(str(value), ensure_ascii=False).replace("\x7f", "\\u007F")


def written_anew(tree: Mapping[str, Any]) -> str:
    """Return a tree as TOML: plain keys first, then a table each."""
    plain = [f"{_key(key)} = {toml_value(value)}" for key, value in tree.items() if not _is_table(value)]
    tables = [(key, value) for key, value in tree.items() if isinstance(value, dict)]
    lines = ["\n".join(plain)]
    for name, table in tables:
        inner = [f"{_key(key)} = {toml_value(value)}" for key, value in table.items()]
        lines.append("\n".join([f"[{_key(name)}]", *inner]))
    return "\n\n".join(lines) + "\n"


def _is_table(value: Any) -> bool:
    return isinstance(value, dict)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else toml_value(key)


def _changed_tree(tree: Tree, changes: Mapping[tuple[str, ...], str]) -> Tree:
    tree = deepcopy(tree)
    for path, written in changes.items():
        node: Any = tree
        for part in path[:-1]:
            node = node.setdefault(part, {})
            if not isinstance(node, dict):
                break
        else:
            if written.strip():
                node[path[-1]] = read(written)
            else:
                node.pop(path[-1], None)
    return tree


def _changed_line(text: str, path: Path, written: str) -> str:
    """The text with one value changed on its line; as it was where the pattern does not find it."""
    try:
        lines_of = parse_document(text, "").lines
    except InputError:
        return text
    lines = text.split("\n")
    if path not in lines_of:
        return _added(lines, lines_of, path, written)
    at = lines_of[path] - 1
    before, line = _split_line(lines[at], path)
    pattern = re.compile(rf"({_key_pattern(str(path[-1]))}\s*=\s*)({_VALUE})")
    if not written.strip():
        if pattern.match(line) and not before:
            del lines[at]
        else:
            lines[at] = before + re.sub(rf",?\s*{pattern.pattern}", "", line, count=1)
        return "\n".join(lines)
    value = toml_value(read(written))
    lines[at] = before + pattern.sub(lambda found: found[1] + value, line, count=1)
    return "\n".join(lines)


def _split_line(line: str, path: Path) -> tuple[str, str]:
    """What stands before the table that a key of an inline table is in, and the rest."""
    if len(path) < 3:
        return "", line
    outer = re.match(rf"\s*{_key_pattern(str(path[-2]))}\s*=\s*\{{\s*", line)
    return (outer[0], line[outer.end() :]) if outer else ("", line)


def _key_pattern(key: str) -> str:
    quoted = re.escape(toml_value(key))
    bare = rf"|(?<![\w\"'-]){re.escape(key)}" if _BARE.fullmatch(key) else ""
    return f"(?:{quoted}|'{re.escape(key)}'{bare})"


def _added(lines: list[str], lines_of: Mapping[Path, int], path: Path, written: str) -> str:
    """The text with a new key: at the end of its table, or in the braces of its inline table."""
    if not written.strip():
        return "\n".join(lines)
    new = f"{_key(str(path[-1]))} = {toml_value(read(written))}"
    if len(path) == 3 and path[:2] in lines_of:
        at = lines_of[path[:2]] - 1
        before, rest = _split_line(lines[at], path)
        lines[at] = before + re.sub(r"\s*\}", f", {new} }}", rest, count=1)
        return "\n".join(lines)
    if len(path) == 3:
        new = f"{_key(str(path[1]))} = {{ {new} }}"
    inside = [line for key, line in lines_of.items() if key[:1] == path[:1] and len(path) > 1]
    if not inside:
        return "\n".join(lines)
    lines.insert(max(inside), new)
    return "\n".join(lines)
