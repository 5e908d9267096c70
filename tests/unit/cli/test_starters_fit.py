"""The starter rider gets a board of every kind that is offered, and the starter stock has a blank for it."""

import json

import pytest

from foamwright.cli.commands.brief import KINDS
from foamwright.cli.main import main

NOT_FOR_THIS_RIDER = {"child", "foil", "paddle"}
"""A child's board, and two kinds whose blanks are of other sizes."""


@pytest.mark.parametrize("kind", [one for one in KINDS if one not in NOT_FOR_THIS_RIDER])
def test_a_blank_of_the_starter_stock_takes_the_board(kind, tmp_path, capsys):
    rider, board, stock = (str(tmp_path / f"{name}.toml") for name in ("rider", "board", "stock"))
    assert main(["new", "rider", "--out", rider]) == 0
    assert main(["new", "stock", "--out", stock]) == 0
    assert main(["brief", rider, "--kind", kind, "--out", board]) in (0, 1)
    capsys.readouterr()
    assert main(["pick", board, "--stock", stock, "--json"]) == 0
    assert any(choice["fits"] for choice in json.loads(capsys.readouterr().out)["choices"])
