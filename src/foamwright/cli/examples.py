"""Worked examples of every command, shown by its ``--help``; a test parses each of them."""

from __future__ import annotations

EXAMPLES: dict[str, tuple[str, ...]] = {
    "demo": ("foamwright demo", "foamwright demo --out papers --paper letter"),
    "new": ("foamwright new board --out my.board.toml", "foamwright new stock --out my.stock.toml"),
    "check": (
        "foamwright check my.board.toml",
        "foamwright check my.board.toml --open",
        "foamwright check *.board.toml --units mm",
    ),
    "pick": (
        "foamwright pick my.board.toml --stock my.stock.toml",
        "foamwright pick my.board.toml --stock my.stock.toml --bay my.bay.toml --json",
    ),
    "plan": (
        "foamwright plan my.board.toml --stock my.stock.toml --out job",
        'foamwright plan my.board.toml --stock my.stock.toml --blank "square 6-8, 2 3/4" --out job',
        "foamwright plan my.board.toml --stock my.stock.toml --date 2026-05-31 --out job",
    ),
    "read": (
        'foamwright read job --stage rocker --station "12 from nose" --what rocker --value "1 7/8"',
        'foamwright read job --correct 7 --value "1 15/16"',
    ),
    "advise": ("foamwright advise job", "foamwright advise job --json"),
    "rescue": ("foamwright rescue job", "foamwright rescue job --out rescued"),
    "learn": ("foamwright learn job-1 job-2",),
    "trial": (
        "foamwright trial --shapers 100 --seed 7",
        "foamwright trial --shapers 100 --shaper steadier --mechanics full --json",
        "foamwright trial --shapers 100 --flow papers --missed 0.05",
    ),
    "brief": (
        "foamwright brief my.rider.toml",
        'foamwright brief my.rider.toml --kind "long board" --waves small --out my.board.toml',
    ),
    "float": ("foamwright float my.board.toml --rider my.rider.toml",),
    "finish": ("foamwright finish my.board.toml",),
    "wire": (
        "foamwright wire my.board.toml --machine my.machine.toml --out wire",
        "foamwright wire my.board.toml --ribs a4 --out ribs",
    ),
    "nest": ("foamwright nest my.order.toml --out nest",),
    "export": (
        "foamwright export my.board.toml --to my-board.stl",
        'foamwright export my.board.toml --to model.3mf --scale 1:5 --bed "200 mm" --tolerance "0.05 mm"',
        'foamwright export my.board.toml --to section.dxf --what sections --at "12 from tail"',
        "foamwright export my.board.toml --to stations.xlsx --units mm",
    ),
    "measure": ("foamwright measure scan.stl --unit mm --out scanned",),
    "serve": ("foamwright serve", "foamwright serve --lan --no-browser"),
    "shop": ("foamwright shop backup shop.backup", "foamwright shop check"),
    "warm": ("foamwright warm",),
    "stocking": ("foamwright stocking --boards 200 --candidates 50 --keep 8 --out study",),
}
"""Command to its examples."""


def examples_of(command: str) -> str:
    """Return the examples of a command as the last lines of its help."""
    lines = EXAMPLES.get(command, ())
    return "" if not lines else "\n".join(("examples:", *(f"  {line}" for line in lines)))
