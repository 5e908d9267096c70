"""What comes after the foam, as part of a plan: the pages there are, and every problem of both sheets."""

import io
import json

import pypdf
import pytest

from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs.after_foam import AfterSheets, after_files_of, read_after
from foamwright.jobs.finish import FinishOrder, finish_job
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


def test_a_plan_writes_what_finish_says_of_its_blank():
    plan = demo_plan()
    written = json.loads(after_files_of(plan, AfterSheets(), "a4", System.INCH)["finish.json"])
    order = FinishOrder(
        demo_path("groyne.board.toml"),
        bay=demo_path("harbour.bay.toml"),
        stock=demo_path("harbour.stock.toml"),
        blank=plan.blank.id,
    )
    document = json.loads(json.dumps(finish_job(order, System.INCH).as_json()))
    assert written == document
    assert written["blank"] == plan.blank.id
    assert written["foam"]["density_kg_m3"] == plan.blank.numbers.foam.density
    assert written["price"]["hours_parts"]["shaping"] == pytest.approx(plan.choice.work_min / 60 + 1.25)


def test_a_blank_without_its_stock_is_asked_for():
    with pytest.raises(InputError, match="Give --stock too"):
        finish_job(FinishOrder(demo_path("groyne.board.toml"), blank="Q"), System.INCH)
