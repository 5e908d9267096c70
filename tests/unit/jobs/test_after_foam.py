"""What comes after the foam, as part of a plan: the pages there are, and every problem of both sheets."""

import io

import pypdf
import pytest

from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.after_foam import AfterSheets, after_files_of, read_after
from foamwright.units import System
from tests.plans import demo_plan


def titles(files):
    return [
        page.extract_text().splitlines()[0]
        for page in pypdf.PdfReader(io.BytesIO(files["after-the-foam.pdf"])).pages
    ]


def test_the_page_of_the_water_is_there_with_a_rider_only():
    plan = demo_plan()
    alone = after_files_of(plan, AfterSheets(), "a4", System.INCH)
    ridden = after_files_of(plan, read_after(demo_path("demo.rider.toml"), None), "a4", System.INCH)
    assert titles(alone) == ["Fin boxes", "Glassing"]
    assert titles(ridden) == ["Fin boxes", "Glassing", "In the water"]


def test_both_sheets_say_all_that_is_wrong(tmp_path):
    rider, materials = tmp_path / "r.toml", tmp_path / "m.toml"
    rider.write_text('name = "x"\nmass = "5 kg"\n', "utf-8")
    materials.write_text("share = 3\n", "utf-8")
    with pytest.raises(InputError) as caught:
        read_after(rider, materials)
    places = " ".join(problem.where for problem in caught.value.problems)
    assert "r.toml" in places
    assert "m.toml" in places
