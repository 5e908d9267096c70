"""docs/findings.md explains every code that the program can give, and no other."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = ROOT / "src" / "foamwright"
CODE = re.compile(r"[a-z]+(-[a-z]+)+")
ELSEWHERE = {"lay/reasons.py": ("lay/failure.py",)}
"""Modules whose computed codes stand in another module."""


def constants(tree: ast.AST) -> set[str]:
    nodes = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return {n.value for n in nodes if isinstance(n.value, str) and CODE.fullmatch(n.value)}


def first_arguments(tree: ast.AST) -> list[ast.expr]:
    calls = [n for n in ast.walk(tree) if isinstance(n, ast.Call) and getattr(n.func, "id", "") == "Finding"]
    return [c.args[0] if c.args else next(k.value for k in c.keywords if k.arg == "code") for c in calls]


def codes_of(path: Path) -> set[str]:
    """Codes of a module's findings; where one is computed, every constant that looks like a code."""
    tree = ast.parse(path.read_text("utf-8"))
    codes: set[str] = set()
    for argument in first_arguments(tree):
        plain = isinstance(argument, ast.Constant | ast.IfExp)
        codes |= constants(argument) if plain else constants(tree) | _elsewhere(path)
    return codes


def _elsewhere(path: Path) -> set[str]:
    names = ELSEWHERE.get(path.relative_to(SOURCES).as_posix(), ())
    return {code for name in names for code in constants(ast.parse((SOURCES / name).read_text("utf-8")))}


def used() -> set[str]:
    return set().union(*(codes_of(path) for path in sorted(SOURCES.rglob("*.py"))))


def documented() -> list[str]:
    text = (ROOT / "docs" / "findings.md").read_text("utf-8")
    return re.findall(r"^\| `([a-z-]+)` \|", text, re.MULTILINE)


def test_every_code_is_documented_once() -> None:
    assert sorted(used() - set(documented())) == []
    assert len(documented()) == len(set(documented()))


def test_no_documented_code_is_gone() -> None:
    assert sorted(set(documented()) - used()) == []


@pytest.mark.parametrize("code", ["tip-thin", "wide-forward", "lay-too-short", "run-unreachable"])
def test_the_scan_sees_plain_chosen_and_computed_codes(code: str) -> None:
    assert code in used()
