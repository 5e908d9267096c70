"""The job sheet as a whole: every page in order, readable, complete, and the same on every run."""

import io
from dataclasses import replace

import pikepdf
import pytest

from foamwright.blank.numbers import Face
from foamwright.cautions import STEPS
from foamwright.papers.job_base import Job
from foamwright.papers.job_choice import choice_page
from foamwright.papers.job_files import Pack, Prints, plan_files
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_sheet import job_document, step_pages
from foamwright.papers.job_stage import mark_rows
from foamwright.papers.job_strokes import run_pages
from foamwright.papers.job_thickness import thickness_pages
from foamwright.papers.job_words import Figures, figures_of
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.style import Face as Type
from foamwright.papers.template_files import blank_block
from foamwright.papers.tiling import Paper
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System, Unit, parse_length
from tests.plans import demo_plan
from tests.unit.papers.job_pages import document, outside, texts, touching, words_of

PACK_PAPERS = (Paper.A4, Paper.LETTER)

EVERY = [
    pytest.param(name, paper, system, id=f"{name}-{paper.name}-{system.value}")
    for name in ("groyne", "breakwater")
    for paper in PACK_PAPERS
    for system in System
]


def job(name="groyne", system=System.INCH, paper=Paper.A4):
    plan = demo_plan(name)
    return Job(plan, figures_of(plan.bay, system), ground_for(paper))


@pytest.mark.parametrize(("name", "paper", "system"), EVERY)
def test_no_words_touch_others_or_leave_the_page_or_are_cut_short(name, paper, system):
    for sheet in document(name, paper, system).sheets:
        assert touching(sheet) == [], sheet.title
        assert outside(sheet) == [], sheet.title
        assert not [words for words in words_of(sheet) if "…" in words or "?" in words]


@pytest.mark.parametrize(("name", "paper", "system"), EVERY)
def test_figures_are_tall_enough_for_arms_length(name, paper, system):
    strong = [
        text
        for sheet in document(name, paper, system).sheets
        for text in texts(sheet.drawing.items)
        if text.face is Type.FIGURES_STRONG and text.words[0].isdigit() and len(text.words) > 1
    ]
    assert len(strong) > 200
    small = [text.words for text in strong if text.height < 3.4]
    assert len(small) <= 0.03 * len(strong), small


@pytest.mark.parametrize(("name", "paper", "system"), EVERY)
def test_every_sheet_is_numbered_and_names_board_and_blank(name, paper, system):
    sheets = document(name, paper, system).sheets
    for number, sheet in enumerate(sheets, start=1):
        words = words_of(sheet)
        assert f"{number} of {len(sheets)}" in words
        assert demo_plan(name).board.name in words
        assert demo_plan(name).blank.id in words


def test_pages_have_the_paper_s_size_and_lie_landscape():
    for paper in PACK_PAPERS:
        with pikepdf.open(io.BytesIO(pdf_bytes(document("groyne", paper, System.INCH)))) as pdf:
            sizes = {
                tuple(round(float(side) / 72 * 25.4, 1) for side in page.mediabox[2:]) for page in pdf.pages
            }
        assert sizes == {(max(paper.value), min(paper.value))}


def test_the_same_plan_gives_the_same_bytes():
    plan = demo_plan()
    first, second = (
        pdf_bytes(job_document(plan, Paper.A4, System.INCH, blank_block(plan))) for _ in range(2)
    )
    assert first == second


def test_the_order_of_the_work_names_the_sheets_that_follow():
    sheets = document("groyne", Paper.A4, System.INCH).sheets
    titles = [sheet.title for sheet in sheets]
    assert titles[:4] == ["Groyne, 6'4\"", "Order of the work", "Which blank", "Outline"]
    assert titles[-2:] == ["Finish", "Readings"]
    order = words_of(sheets[1])
    rocker = [number for number, title in enumerate(titles, start=1) if title.startswith("Rocker")]
    assert f"{rocker[0]} to {rocker[-1]}" in order


def test_every_stroke_has_its_mark_on_the_page():
    for run in demo_plan().runs:
        page = run_pages(job(), run)
        words = [text.words for one in page for text in texts(one.body.items)]
        say = figures_of(demo_plan().bay, System.INCH)
        for one in run.strokes:
            assert say.start(one.start_from_tip) in words


def test_every_stop_says_what_the_calipers_should_read():
    plan = demo_plan()
    for run in plan.runs:
        words = [text.words for one in run_pages(job(), run) for text in texts(one.body.items)]
        stage = plan.chain.stage(StageName(run.stage))
        tip = float(stage.thickness[-1 if run.end.value == "nose" else 0])
        say = figures_of(plan.bay, System.INCH).at_least
        for stop in run.stops:
            place = stop.places[0]
            assert say(tip + place.expect - run.target[-1]) in words
            assert f"not under {say(tip + place.not_under - run.target[-1])}" in words
        assert sum("easure" in words_ and len(words_) < 70 for words_ in words) >= len(run.stops)


@pytest.mark.parametrize("system", list(System))
def test_marks_are_printed_on_the_safe_side(system):
    unit = {System.INCH: Unit.INCH, System.MM: Unit.MM}[system]
    for stage, face in ((StageName.ROCKER, Face.BOTTOM), (StageName.FOIL, Face.DECK)):
        rows = mark_rows(job(system=system), stage, face)
        for mark, off, thick, line in zip(
            job().marks(stage, face),
            rows["off"].cells,
            rows["thick"].cells,
            rows["before"].cells,
            strict=True,
        ):
            assert off == "skim" or parse_length(off, unit) <= mark.take_off + 1.1e-8
            assert parse_length(thick, unit) >= mark.thickness - 1.1e-8
            height = parse_length(line, unit) - mark.from_blank_level
            assert height >= -1.1e-8 if face is Face.DECK else height <= 1.1e-8


def test_cautions_stand_on_the_sheets_of_their_step():
    pages = step_pages(job())
    # The demo's thickness has no pass and so no sheet; a board that has one is asked for its caution.
    assert pages[Step.THICKNESS] == []
    pages[Step.THICKNESS] = thickness_pages(job())
    for caution in STEPS:
        words = " ".join(text.words for page in pages[Step(caution.step)] for text in texts(page.body.items))
        assert caution.sentence in words


def test_every_step_is_told_why_and_how():
    for step, pages in step_pages(job("breakwater")).items():
        words = " ".join(text.words for page in pages for text in texts(page.body.items))
        for sentence in (HOW[step].why, HOW[step].do, HOW[step].wrong):
            assert set(sentence.split()) <= set(words.split())


def test_a_flat_bottom_has_no_contour_sheet():
    plan = demo_plan()
    scoop = replace(plan.scoop, exact=plan.scoop.exact * 0.0, marks=plan.scoop.marks * 0.0)
    flat = replace(plan, scoop=scoop)
    assert step_pages(Job(flat, Figures(), ground_for(Paper.A4)))[Step.CONTOURS] == []


def test_the_choice_names_every_blank_that_fails_and_why():
    words = " ".join(text.words for text in texts(choice_page(job("breakwater")).body.items))
    failing = [choice.id for choice in demo_plan("breakwater").others if not choice.fits]
    missing = [name for name in failing if name not in words]
    assert len(failing) > 30
    assert missing == []
    assert "Too short by" in words


def test_papers_of_a_plan_for_one_paper():
    plan = demo_plan()
    files = plan_files(plan, Paper.LETTER, System.INCH, Prints(Pack.FULL))
    stems = ("outline", "rocker", "sections", "sticks", "gauges")
    wanted = {
        f"templates/{stem}{end}"
        for stem in stems
        for end in ("-letter.pdf", ".svg", ".dxf", "-cut.svg", "-cut.dxf")
    }
    assert set(files) == {"wall.pdf", "job-sheet.pdf", *wanted}
    assert all(len(content) > (500 if "-cut." in name else 5_000) for name, content in files.items())


def test_the_one_piece_outline_is_as_long_and_half_as_wide_as_the_board():
    import ezdxf
    from ezdxf import bbox

    plan = demo_plan()
    content = plan_files(plan, Paper.A4, System.INCH)["templates/outline.dxf"].decode()
    drawing = ezdxf.read(io.StringIO(content))
    assert not drawing.audit().has_errors
    box = bbox.extents(drawing.modelspace())
    assert box.size.x == pytest.approx(plan.board.length * 1000, abs=0.01)
    assert box.size.y == pytest.approx(20.375 * INCH * 500, abs=0.02)
