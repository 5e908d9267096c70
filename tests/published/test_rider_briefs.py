"""35 riders' briefs with the ranges that a shaper would sign, through the command and its JSON.

Source: rider_briefs.json, common practice, no source; written by somebody else than the law. Its own words
say what is compared: verdict, kind, sizes, tips, rocker, fins, ideas that must be said, and relations.
"""

import json
from pathlib import Path

import pytest

from foamwright.board.board import board_of
from foamwright.board.checks import check_board
from foamwright.board.sheet import board_from_text
from foamwright.cli.main import main
from foamwright.shape.solid import volume

DATA = json.loads((Path(__file__).parent / "data" / "rider_briefs.json").read_text("utf-8"))
INCH = 0.0254
ANSWERED: dict[int, dict] = {}


def sheet_of(brief):
    who = brief["rider"]
    return (
        f'mass = "{who["mass_kg"]} kg"\nstature = "{who["stature_cm"]} cm"\nage = "{who["age_group"]}"\n'
        f'experience = "{who["experience"]}"\nwater = "sea, {brief["water"]["temperature_c"]} C"\n'
        f'suit = "{brief["water"]["suit"]}"\n'
    )


def answered(brief, tmp_path, capsys):
    path = tmp_path / "rider.toml"
    path.write_text(sheet_of(brief), "utf-8")
    words = ["brief", str(path), "--waves", brief["waves"], "--json"]
    if brief["asked"] is not None:
        words += ["--kind", brief["asked"]]
    code = main(words)
    return code, json.loads(capsys.readouterr().out)


def within(document, accept):
    """Return the numbers that lie outside a range."""
    found = {
        "length_in": document["length_m"] / INCH,
        "width_in": document["width_m"] / INCH,
        "thickness_in": document["thickness_m"] / INCH,
        "volume_l": document["volume_l"],
        "nose_rocker_in": document["nose_rocker_m"] / INCH,
        "tail_rocker_in": document["tail_rocker_m"] / INCH,
        "nose_tip_in": document["nose_tip_m"] / INCH,
        "tail_tip_in": document["tail_tip_m"] / INCH,
    }
    wrong = [
        (key, value, accept[key])
        for key, value in found.items()
        if not accept[key][0] - 1e-9 <= value <= accept[key][1] + 1e-9
    ]
    return wrong + ([document["fins"]] if document["fins"] not in accept["fins"] else [])


@pytest.mark.parametrize("brief", DATA["briefs"], ids=lambda brief: str(brief["id"]))
def test_a_shaper_would_sign(brief, tmp_path, capsys):
    code, document = answered(brief, tmp_path, capsys)
    ANSWERED[brief["id"]] = document
    verdict = document["verdict"]
    assert verdict in brief["verdict"] or (verdict == "note" and "ok" in brief["verdict"])
    assert code == (1 if verdict in ("warn", "refuse") else 0)
    for idea in brief["must_mention"]:
        assert any(word in document["reason"] for word in idea.split(" or "))
    if verdict == "refuse":
        assert document["sheet"] is None
        return
    accepted = [one for one in brief["accept"] if one["kind"] == document["kind"]]
    accepted += [one for one in brief["accept"] if document["kind"] in DATA["aliases"].get(one["kind"], [])]
    assert accepted
    assert any(within(document, one) == [] for one in accepted), [within(document, one) for one in accepted]
    board = board_of(board_from_text(document["sheet"], "brief"))
    assert check_board(board) == ()
    assert 1e3 * volume(board) == pytest.approx(document["target_l"], abs=0.05)


@pytest.mark.parametrize("relation", DATA["relations"], ids=lambda one: one["what"])
def test_relations_between_briefs(relation, tmp_path, capsys):
    briefs = {brief["id"]: brief for brief in DATA["briefs"]}
    small, large = (
        ANSWERED.get(relation[end]) or answered(briefs[relation[end]], tmp_path, capsys)[1]
        for end in ("smaller", "larger")
    )
    assert relation["least"] <= large[relation["of"]] - small[relation["of"]] <= relation["most"]
