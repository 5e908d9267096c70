"""What the pages of docs show is true: commands and programs run, and what a page links to is there."""

from __future__ import annotations

import json
import re
import shlex
import shutil
from pathlib import Path

import pytest

import foamwright
from foamwright.cli.main import build_parser, main
from foamwright.jobs.new_sheet import new_sheet

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
PAGES = [DOCS / "tutorial.md", *sorted((DOCS / "howto").glob("*.md"))]


def blocks(page: Path, kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```", page.read_text("utf-8"), flags=re.DOTALL | re.MULTILINE)


def sessions(page: Path) -> list[tuple[str, list[str]]]:
    """Return a page's commands, each with the lines shown under it."""
    found: list[tuple[str, list[str]]] = []
    for line in "".join(blocks(page, "console")).splitlines():
        if line.startswith("$ "):
            found.append((line[2:], []))
        elif line:
            found[-1][1].append(line)
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_the_commands_of_a_page_run(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    # A sheet that a page shows whole stands under the name that its commands use.
    for sheet in blocks(page, "toml"):
        if "[[blank]]" in sheet:
            (tmp_path / "mine.stock.toml").write_text(sheet, encoding="utf-8")
    commands = sessions(page)
    assert commands
    for command, shown in commands:
        assert main(shlex.split(command)[1:]) == 0, command
        out = capsys.readouterr().out
        missing = [line for line in shown if line not in out]
        assert not missing, f"{command} no longer prints {missing}; it prints:\n{out}"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_commands_that_cannot_run_here_are_still_commands(page: Path) -> None:
    # They wait for a scan, a network or a cluster.
    for line in "".join(blocks(page, "text")).splitlines():
        words = shlex.split(line)
        if words and words[0] == "foamwright":
            assert build_parser(only=words[1]).parse_args(words[1:]).command == words[1]


def test_the_fish_has_the_keys_that_its_page_explains() -> None:
    sheet = new_sheet("board", "fish")
    shown = re.findall(
        r'^(tail\w*) = ("?[^"#]+?"?)\s*#', "".join(blocks(DOCS / "howto" / "fish.md", "text")), re.M
    )
    assert shown
    assert [f"{key} = {value}" for key, value in shown if f"{key} = {value}" not in sheet] == []


def test_the_programs_of_the_pages_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    for sheet in (ROOT / "src" / "foamwright" / "demo").glob("*.toml"):
        shutil.copy(sheet, tmp_path)
    monkeypatch.chdir(tmp_path)
    (python,), (proof,) = blocks(DOCS / "python.md", "python"), blocks(DOCS / "formats.md", "python")
    exec(compile(python, "docs/python.md", "exec"), {})
    # The proof knows numpy and the plan, and nothing of foamwright.
    assert "foamwright" not in proof
    exec(compile(proof, "docs/formats.md", "exec"), {})
    assert capsys.readouterr().out.count("never below by counting") == 4


def test_the_proof_notices_a_stroke_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    demo = ROOT / "src" / "foamwright" / "demo"
    job = foamwright.plan(demo / "groyne.board.toml", demo / "harbour.stock.toml")
    (proof,) = blocks(DOCS / "formats.md", "python")
    plan = json.loads(json.dumps(job.as_json(), default=lambda array: array.tolist()))
    run = plan["runs"][0]
    run["strokes"].append(run["strokes"][0])
    monkeypatch.chdir(tmp_path)
    (tmp_path / "groyne").mkdir()
    (tmp_path / "groyne" / "plan.json").write_text(json.dumps(plan), encoding="utf-8")
    with pytest.raises(AssertionError, match=run["end"]):
        exec(compile(proof, "docs/formats.md", "exec"), {})


@pytest.mark.parametrize("page", sorted(DOCS.rglob("*.md")), ids=lambda page: page.stem)
def test_what_a_page_links_to_is_there(page: Path) -> None:
    for target in re.findall(r"\]\((?!http|#)([^)#\s]+)(?:#[^)]*)?\)", page.read_text("utf-8")):
        assert (page.parent / target).exists(), target
