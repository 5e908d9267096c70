"""A reading is corrected by its number alone; both stay in the history, and only the new one counts."""

import json

import pytest

from foamwright.cli.main import main
from foamwright.demo import demo_path


@pytest.fixture
def job(tmp_path, capsys):
    board, stock = (str(demo_path(name)) for name in ("groyne.board.toml", "harbour.stock.toml"))
    folder = str(tmp_path / "job")
    assert main(["plan", board, "--stock", stock, "--out", folder]) == 0
    assert (
        main(
            [
                "read",
                folder,
                "--stage",
                "outline",
                "--station",
                "centre",
                "--what",
                "width",
                "--value",
                "20 1/2",
            ]
        )
        == 0
    )
    capsys.readouterr()
    return folder


def history(job):
    with open(f"{job}/history.jsonl") as lines:
        return [json.loads(line) for line in lines]


def test_a_value_alone_keeps_place_and_tool(job, capsys):
    assert main(["read", job, "--correct", "1", "--value", "20 9/16"]) == 0
    first, second = history(job)
    assert (second["kind"], second["of"]) == ("correction", 1)
    assert second["value_m"] == pytest.approx((20 + 9 / 16) * 0.0254)
    for key in ("stage", "station_m", "tool"):
        assert first[key] == second[key]
    assert "20 9/16 in: accepted" in capsys.readouterr().out


def test_only_the_correction_counts(job, capsys):
    def left():
        main(["advise", job, "--json"])
        return json.loads(capsys.readouterr().out)["left"]

    wrong = left()
    main(["read", job, "--correct", "1", "--value", "20 7/8"])
    capsys.readouterr()
    assert left() != wrong


@pytest.mark.parametrize(
    ("number", "said"), [("2", "Readings that count: 1"), ("-4", "Readings that count: 1")]
)
def test_a_number_that_is_no_reading_is_told_and_nothing_is_written(job, capsys, number, said):
    assert main(["read", job, f"--correct={number}", "--value", "20"]) == 2
    assert said in capsys.readouterr().err
    assert len(history(job)) == 1


def test_a_good_reading_is_good_although_the_board_is_too_deep_elsewhere(job, capsys):
    where = ["read", job, "--stage", "outline", "--what", "width"]
    # Twice the same is believed: the edge is past its line at the centre.
    for _ in range(2):
        code = main([*where, "--station", "centre", "--value", "19"])
    assert code == 1
    capsys.readouterr()
    main(["advise", job, "--json"])
    assert {one["station_m"] for one in json.loads(capsys.readouterr().out)["too_deep"]}
    assert main([*where, "--station", "12 from tail", "--value", "14 15/16"]) == 0
    assert main(["advise", job]) == 1
