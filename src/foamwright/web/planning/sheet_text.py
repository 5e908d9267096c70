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
_VALUE = r'(?:"(?:[^"\\\n]|\\.)*"|\'[^\'\n]*\'|\{[^{}\n]*\}|\[[^\[\]\n]*\]|[^,\]}\n#]*?)(?=\s*(?:[,}#\n]|$))'
_BARE = re.compile(r"[A-Za-z0-9_-]+")

Tree = dict[str, Any]
Changes = Mapping[Path, Any]
"""Values by key; ``None`` takes the key away."""


def changed_text(text: str, changes: Mapping[Path, str]) -> str:
    """Return a sheet's text with some values changed.

    Parameters
    ----------
    text
        Sound TOML.
    changes
        What is written at each key; an empty text takes the key away. A key that is not there is added.
    """
    tree = tomllib.loads(text)
    values = _values(tree, changes)
    wanted = _changed_tree(tree, values)
    for path, value in values.items():
        text = _changed_line(text, path, value)
    try:
        if tomllib.loads(text) == wanted:
            return text
    except tomllib.TOMLDecodeError:
        pass
    return written_anew(wanted)


def with_entry(text: str, way: tuple[str, ...], values: Mapping[str, Any]) -> str:
    """Return a sheet's text with one more ``[[table.entry]]`` at its end."""
    name = ".".join(_key(key) for key in way)
    lines = [f"{_key(key)} = {toml_value(value)}" for key, value in values.items()]
    return text.rstrip("\n") + "\n\n" + "\n".join([f"[[{name}]]", *lines]) + "\n"


def without_entry(text: str, path: Path) -> str:
    """Return a sheet's text without one entry of a list of tables."""
    tree = tomllib.loads(text)
    wanted = deepcopy(tree)
    holder = value_at(wanted, path[:-1])
    if not isinstance(holder, list) or not isinstance(path[-1], int) or path[-1] >= len(holder):
        return text
    del holder[path[-1]]
    if not holder:
        value_at(wanted, path[:-2]).pop(path[-2])
    lines = text.split("\n")
    at = parse_document(text, "").lines.get(path, 0) - 1
    if at >= 0 and lines[at].lstrip().startswith("[["):
        end = next((n for n in range(at + 1, len(lines)) if lines[n].lstrip().startswith("[")), len(lines))
        cut = "\n".join([*lines[:at], *lines[end:]])
        if tomllib.loads(cut) == wanted:
            return cut
    return written_anew(wanted)


def value_at(tree: Mapping[str, Any], path: Path) -> Any:
    """Return what stands at a key, or ``None``."""
    node: Any = tree
    for part in path:
        if isinstance(node, list) and isinstance(part, int):
            node = node[part] if part < len(node) else None
        else:
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


def _values(tree: Tree, changes: Mapping[Path, str]) -> Changes:
    """The values to write; one member of a list of plain values becomes the whole list."""
    values: dict[Path, Any] = {}
    for path, written in changes.items():
        value = read(written) if written.strip() else None
        if isinstance(path[-1], int):
            line = list(values.get(path[:-1]) or value_at(tree, path[:-1]) or [])
            line[path[-1] : path[-1] + 1] = [] if value is None else [value]
            values[path[:-1]] = line
        else:
            values[path] = value
    return values


def _changed_tree(tree: Tree, changes: Changes) -> Tree:
    tree = deepcopy(tree)
    for path, value in changes.items():
        node: Any = tree
        for part in path[:-1]:
            node = node[part] if isinstance(part, int) else node.setdefault(part, {})
            if not isinstance(node, dict | list):
                break
        else:
            if value is None:
                node.pop(path[-1], None)
            else:
                node[path[-1]] = value
    return tree


def _changed_line(text: str, path: Path, value: Any) -> str:
    """The text with one value changed on its line; as it was where the pattern does not find it."""
    try:
        lines_of = parse_document(text, "").lines
    except InputError:
        return text
    lines = text.split("\n")
    if path not in lines_of:
        return _added(lines, lines_of, path, value)
    at = lines_of[path] - 1
    before, line = _split_line(lines[at], path)
    pattern = re.compile(rf"({_key_pattern(str(path[-1]))}\s*=\s*)({_VALUE})")
    if value is None:
        if pattern.match(line) and not before:
            del lines[at]
        else:
            lines[at] = before + re.sub(rf",?\s*{pattern.pattern}", "", line, count=1)
        return "\n".join(lines)
    lines[at] = before + pattern.sub(lambda found: found[1] + toml_value(value), line, count=1)
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


def _added(lines: list[str], lines_of: Mapping[Path, int], path: Path, value: Any) -> str:
    """The text with a new key: at the end of its table, in its inline table's braces, or in a new table."""
    if value is None:
        return "\n".join(lines)
    new = f"{_key(str(path[-1]))} = {toml_value(value)}"
    parent = path[:-1]
    if parent in lines_of and "{" in lines[lines_of[parent] - 1]:
        at = lines_of[parent] - 1
        before, rest = _split_line(lines[at], path)
        lines[at] = before + re.sub(r"\s*\}", lambda _: f", {new} }}", rest, count=1)
        return "\n".join(lines)
    if len(path) == 3 and parent not in lines_of:
        new, parent = f"{_key(str(path[1]))} = {{ {new} }}", path[:1]
    inside = [
        line for key, line in lines_of.items() if parent == key[: len(parent)] and _is_near(key, parent)
    ]
    if inside:
        lines.insert(max(inside), new)
    elif len(parent) == 1:
        lines[len(lines) - 1 :] = ["", f"[{_key(str(parent[0]))}]", new, ""]
    return "\n".join(lines)


def _is_near(key: Path, parent: Path) -> bool:
    """Whether a key stands in the very table, not in a table or an entry of its own further on."""
    return not any(isinstance(part, int) for part in key[len(parent) :]) and len(key) <= len(parent) + 2
