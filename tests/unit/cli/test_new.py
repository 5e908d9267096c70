"""Starter sheets work as they stand, and never replace a file."""

import json
import shlex

import pytest

from foamwright.cli.examples import EXAMPLES
from foamwright.cli.main import COMMANDS, build_parser, main
from foamwright.starters import KINDS, starter_text


def test_every_command_has_examples_that_its_parser_takes():
    assert EXAMPLES.keys() == COMMANDS.keys()
    for command, lines in EXAMPLES.items():
        for line in lines:
            words = shlex.split(line)
            assert words[:2] == ["foamwright", command]
            assert build_parser(only=command).parse_args(words[1:]).command == command


@pytest.mark.parametrize("kind", KINDS)
def test_a_starter_is_written_where_nothing_is_and_never_over_something(kind, tmp_path, capsys):
    place = tmp_path / f"my.{kind}.toml"
    assert main(["new", kind, "--out", str(place)]) == 0
    assert place.read_text("utf-8") == starter_text(kind)
    place.write_text("mine", "utf-8")
    assert main(["new", kind, "--out", str(place)]) == 2
    assert place.read_text("utf-8") == "mine"
    assert "stays as it is" in capsys.readouterr().err


def test_the_starters_plan_together(tmp_path, capsys):
    for kind in KINDS:
        assert main(["new", kind, "--out", str(tmp_path / f"{kind}.toml"), "--quiet"]) == 0
    assert capsys.readouterr().out == ""
    board, stock, bay = (str(tmp_path / f"{kind}.toml") for kind in ("board", "stock", "bay"))
    assert main(["check", board, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["warnings"] == []
    assert main(["pick", board, "--stock", stock, "--bay", bay, "--json"]) == 0
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert all(choice["fits"] for choice in choices)
    assert main(["float", board, "--rider", str(tmp_path / "rider.toml"), "--json"]) == 0


def test_only_a_board_has_a_kind(capsys):
    assert main(["new", "bay", "--like", "fish"]) == 2
    assert "Only a board has a kind" in capsys.readouterr().err


def test_a_slip_in_a_command_is_answered_with_the_near_one(capsys):
    with pytest.raises(SystemExit) as left:
        main(["chek", "x"])
    assert left.value.code == 2
    assert "Did you mean check?" in capsys.readouterr().err


def test_problems_are_a_document_with_json(tmp_path, capsys):
    assert main(["check", str(tmp_path / "none.toml"), "--json"]) == 2
    document = json.loads(capsys.readouterr().out)
    assert document["exit_code"] == 2
    assert "does not exist" in document["problems"][0]["what"]
