"""``foamwright finish``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.finish.finished import Finished
    from foamwright.jobs.finish import FinishJob
    from foamwright.units import System

HELP = "fins, laminate, mass, materials, price"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet, for the price of labour")
    parser.add_argument(
        "--materials", type=Path, metavar="MATERIALS", help="materials sheet (default: usual materials)"
    )
    parser.add_argument(
        "--stock",
        type=Path,
        metavar="STOCK",
        help="stock sheet: the blank decides foam, stringer, resin, hours",
    )
    parser.add_argument(
        "--blank", metavar="ID", help="finish it from this blank of the stock, not the best one"
    )
    parser.add_argument("--blank-price", metavar="PRICE", help="what the blank costs")
    parser.add_argument("--rider", type=Path, metavar="RIDER", help="rider sheet, for the page of the water")
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="paper of the printed pages")
    parser.add_argument("--out", type=Path, metavar="DIR", help="folder for finish.json and the pages")


def run(args: argparse.Namespace) -> int:
    """Finish a board: what sits in it, what goes on it, what it weighs and costs; 1 if it cannot be."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.finish import FinishOrder, finish_job

    system = system_of(args)
    order = FinishOrder(
        args.board,
        args.bay,
        args.materials,
        args.blank_price,
        water=args.rider,
        stock=args.stock,
        blank=args.blank,
    )
    job = finish_job(order, system)
    written = [] if args.out is None else _written(args, job, system)
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join([*_lines(job, system), *written]))
    return int(job.answer_is_no)


def _written(args: argparse.Namespace, job: FinishJob, system: System) -> list[str]:
    """Write the papers and return their names."""
    from foamwright.cli.show import tell_of_letters
    from foamwright.jobs.finish import after_files
    from foamwright.jobs.job_sheets import write_results
    from foamwright.jobs.water import FloatWish, float_of

    wish = FloatWish(board_mass=job.finished.mass.total)
    afloat = None if job.who is None else float_of(job.finished.board, job.who, wish, system)
    files = after_files(job, afloat, args.paper, system)
    write_results(args.out, files, [args.board, args.bay, args.materials, args.rider, args.stock])
    tell_of_letters([job.finished.board.name, *(() if job.who is None else (job.who.name,))])
    return [str(args.out / name) for name in files]


def _made_of(finished: Finished) -> str:
    """Say what it is cut from; a board without a blank is reckoned in the materials' foam, and told so."""
    foam, wood, blank = finished.materials.foam.name, finished.materials.wood, finished.blank
    spine = "no stringer" if wood.width == 0.0 else f"a stringer of {wood.name}"
    if blank is None:
        return f"No blank chosen (--stock): reckoned in {foam} with {spine}."
    return f"From blank {blank.id}: {foam} with {spine}, {finished.materials.resin.name} resin."


def _lines(job: FinishJob, system: System) -> list[str]:
    from foamwright.cli.tables import finding_lines, fine_text, table
    from foamwright.finish.box_figures import foam_figure, mark_figure, need_figure

    finished = job.finished
    mass, price, bent = finished.mass, finished.price, finished.bent
    boxes = [
        (
            fit.fin.name,
            f"{mark_figure(fit.fin.x, system)} {system}",
            f"{mark_figure(abs(fit.fin.y), system)} {system}",
            f"{foam_figure(fit, system)} {system}",
            f"{need_figure(fit.fin.cover, system)} {system}",
        )
        for fit in finished.boxes
    ]
    parts = [(p.name, f"{1000 * p.mass:.0f} g", f"{1000 * p.scatter:.0f} g") for p in mass.parts]
    lines = [(line.name, f"{line.quantity:.2f} {line.unit}", f"{line.cost:.2f}") for line in finished.lines]
    return [
        f"{finished.board.name}: {mass.total:.2f} kg finished, give or take {mass.scatter:.2f}",
        _made_of(finished),
        "",
        *(table(("fin box", "from tail", "from stringer", "foam above", "needed"), boxes) if boxes else []),
        "",
        *table(("mass", "", "scatter"), parts),
        "",
        *table(("material", "quantity", price.currency), lines),
        "",
        f"foam {price.foam:.2f}, materials {price.materials:.2f}, labour {price.labour:.2f} "
        f"({price.hours.total:.1f} h), together {price.total:.2f} {price.currency}",
        f"under the worked load it bends by {fine_text(bent.deflection, system)}, "
        f"{fine_text(bent.by_shear, system)} of it by shear",
        "",
        *finding_lines(job.findings),
        *(f"caution, {c.step}: {c.sentence}" for c in finished.cautions),
    ]
