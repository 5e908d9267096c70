"""Numbers fixed in a brief: what no board sheet takes is refused in its words, with everything else wrong."""

from pathlib import Path

import pytest

from foamwright.brief.drafting import Number
from foamwright.errors import InputError
from foamwright.jobs.brief import BriefOrder, brief_job
from foamwright.units import System

RIDER = Path(__file__).parents[3] / "src/foamwright/demo/demo.rider.toml"
LENGTHS = [str(number) for number in Number if number is not Number.VOLUME]


def told(order, rider=RIDER):
    with pytest.raises(InputError) as caught:
        brief_job(rider, order, System.INCH)
    return [str(problem) for problem in caught.value.problems]


@pytest.mark.parametrize("value", ["-4", "40 ft"])
@pytest.mark.parametrize("name", LENGTHS)
def test_a_length_that_no_board_sheet_takes_is_not_possible(name, value):
    (said,) = told(BriefOrder(fixes=(f"{name}={value}",)))
    assert said.startswith(f"--fix {name}: “{value}” is not possible.")
    assert " is from " in said


@pytest.mark.parametrize("name", ["length", "wide", "thickest"])
def test_a_board_of_no_size_is_not_possible(name):
    (said,) = told(BriefOrder(fixes=(f"{name}=0",)))
    assert said.startswith(f"--fix {name}: “0” is not possible.")


def test_every_wrong_fix_is_told_together_with_the_sheets(tmp_path):
    empty = tmp_path / "empty.toml"
    empty.write_text("", "utf-8")
    fixes = ("length=-4", "wide=0", "volume=x", "depth=3")
    said = told(BriefOrder(fixes=fixes, like=empty), tmp_path / "nobody.toml")
    assert [one.split(":")[0] for one in said[:4]] == ["--fix length", "--fix wide", "--fix volume", "--fix"]
    assert any("nobody.toml" in one and "does not exist" in one for one in said)
    assert any("empty.toml" in one and "empty" in one for one in said)


@pytest.mark.parametrize(("kind", "block"), [("gun", "5"), ("performance", "0")])
def test_a_block_that_the_kind_has_not_is_answered_with_what_a_brief_can_be_told(kind, block):
    from foamwright.brief.kinds import Kind

    (said,) = told(BriefOrder(Kind(kind), fixes=(f"tail block={block}",)))
    assert said.startswith("--fix tail block: A ")
    assert said.endswith("Choose another --kind, or leave the tail block free.")
