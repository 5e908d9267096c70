"""The materials page: what to cut, what to have at hand, what it weighs, how it bends.

What it costs stands on no sheet that a pupil or a customer sees.
"""

from __future__ import annotations

from foamwright.finish.finished import Finished
from foamwright.finish.sandwich import SPAN
from foamwright.papers.drawing import Drawing, drawing_of
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import Block, paragraph, stacked
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_page import BODY_HEAD, BODY_TEXT, Ground, Headed
from foamwright.papers.job_words import Figures
from foamwright.units import INCH, System, format_with_unit

_STYLE = TableStyle(row_height=5.2)
_GAP = 8.0


def materials_page(finished: Finished, figures: Figures, ground: Ground) -> Headed:
    """Return the page of cloth, resin and mass of a board."""
    body = ground.body
    wide = (body.width - _GAP) / 2.0
    cautions = [c for c in finished.cautions if c.step in ("glassing", "sanding", "all")]
    strip = caution_strip(cautions, body.width)
    left = stacked([_cut_list(finished, figures, wide), _mass(finished, wide)], 4.0)
    right = stacked([_shopping(finished, wide), _bending(finished, figures, wide)], 4.0)
    return Headed(
        title="Glassing",
        purpose="Cut and weigh this before you mix anything.",
        body=_laid(left, right, strip, ground),
        scale="none",
        refers_to="Areas of the finished core itself.",
    )


def _laid(left: Block, right: Block, strip: Block, ground: Ground) -> Drawing:
    body = ground.body
    middle = body.left + (body.width + _GAP) / 2.0
    return drawing_of(
        [
            left.at(body.left, body.top - 1.0),
            right.at(middle, body.top - 1.0),
            strip.at(body.left, body.bottom + strip.height),
        ]
    )


def _under(heading: str, block: Block, width: float) -> Block:
    return stacked([paragraph(heading, width, BODY_HEAD), block], 1.0)


def _cut_list(finished: Finished, figures: Figures, width: float) -> Block:
    unit = "m" if figures.system is System.MM else "in"
    columns = [
        Column("face", 18.0, Aligned.WORDS),
        Column("cloth", 34.0, Aligned.WORDS),
        Column(f"cut, {unit}", 20.0),
        Column("strips", 14.0),
        Column("cloth, g", 18.0),
        Column("resin, g", 18.0),
    ]
    rows = [
        (
            ply.face.value,
            ply.cloth.name,
            f"{ply.cut_length:.2f}" if figures.system is System.MM else figures.width(ply.cut_length),
            f"{ply.strips}",
            f"{1000 * ply.fibre:.0f}",
            f"{1000 * ply.resin:.0f}",
        )
        for ply in finished.plies
    ]
    return _under("Cloth, in the order it is laid", table(columns, rows, _STYLE), width)


def _mass(finished: Finished, width: float) -> Block:
    columns = [Column("part", 52.0, Aligned.WORDS), Column("g", 20.0), Column("give or take, g", 26.0)]
    mass = finished.mass
    named = {"foam": f"foam, {finished.materials.foam.name}"}
    rows = [
        (named.get(p.name, p.name), f"{1000 * p.mass:.0f}", f"{1000 * p.scatter:.0f}") for p in mass.parts
    ]
    rows.append(("finished, without fins", f"{1000 * mass.total:.0f}", f"{1000 * mass.scatter:.0f}"))
    return _under("What it weighs", table(columns, rows, _STYLE), width)


def _shopping(finished: Finished, width: float) -> Block:
    columns = [
        Column("have at hand", 46.0, Aligned.WORDS),
        Column("quantity", 20.0),
        Column("", 26.0, Aligned.WORDS),
        Column("have", 12.0, Aligned.WRITE),
    ]
    rows = [(line.name, _quantity(line.quantity), line.unit, "") for line in finished.lines]
    return _under("What to have at hand", table(columns, rows, _STYLE), width)


def _bending(finished: Finished, figures: Figures, width: float) -> Block:
    bent = finished.bent
    words = (
        f"On supports {_apart(figures.system)} apart, three times a rider's weight in the middle bends it by "
        f"{_bend(bent.deflection, figures.system)}, of which {_bend(bent.by_shear, figures.system)} are the "
        "core giving way. "
        "Textbook figures of a straight sandwich beam; nothing about dents or fatigue."
    )
    return _under("How it bends", paragraph(words, width, BODY_TEXT), width)


def _apart(system: System) -> str:
    """The worked span is a metre, so inches are rounded."""
    return f"{SPAN:g} m" if system is System.MM else f"{SPAN / INCH:.0f} in"


def _bend(metres: float, system: System) -> str:
    """Whole millimetres, or the nearest 1/16 in: the beam is known no better."""
    return f"{1000 * metres:.0f} mm" if system is System.MM else format_with_unit(metres, system)


def _quantity(value: float) -> str:
    """Whole pieces as such; what is measured to a hundredth."""
    return f"{value:.0f}" if value == round(value) else f"{value:.2f}"
