"""The report of a stocking study: JSON, CSV tables, the kept blanks as a stock sheet, PDF and HTML."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

import numpy as np

from foamwright.blank.sheet import stock_sheet
from foamwright.documents import json_bytes
from foamwright.jobs.stocking import StockingJob
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.stocking import Figures, stocking_document
from foamwright.papers.stocking_page import stocking_page
from foamwright.papers.stocking_plots import KeptBlank
from foamwright.stocking.choosing import Chosen
from foamwright.stocking.laying import FATE, FITTED, NARROW, NO_ROOM, SHORT
from foamwright.stocking.roles import TO_ORDER, Role, blank_for
from foamwright.units import System, Unit, format_feet

HEADS = ("blank", "boards", "share", "lengths", "mostly", "minutes", "litres wasted", "without it", "price")


def stocking_json(job: StockingJob) -> dict[str, object]:
    """Return the study as plain values; money in the bay's currency, over all expected boards."""
    chosen, order = job.chosen, job.order
    return {
        "keep": [_role_json(job, role) for role in job.roles],
        "cost": chosen.cost,
        "bound": chosen.bound,
        "gap": chosen.gap,
        "currency": job.currency,
        "boards": len(job.study.demand),
        "candidates": len(job.study.blanks),
        "seed": None if order.sources.given else order.seed,
        "slides": job.lays.slides,
        "service": {
            "from_kept": job.service.kept,
            "dear": job.service.dear,
            "in_no_kept": job.service.none_kept,
            "in_no_candidate": job.service.none_at_all,
        },
        "all_to_order_cost": job.to_order,
        "curve": [_point_json(one) for one in job.curve],
        "assumptions": list(job.said()),
        "lays": job.lays.store.folder.name,
        "study": job.study.key,
    }


def _role_json(job: StockingJob, role: Role) -> dict[str, object]:
    blank = job.blank(role.place)
    return {
        "blank": blank.id,
        "candidate": role.place,
        "length_m": blank.length,
        "thickness_m": max(mark.value for mark in blank.thickness),
        "width_m": blank.wide or blank.outline[0].value,
        "nose_rocker_m": blank.rocker[-1].value,
        "tail_rocker_m": blank.rocker[0].value,
        "price": blank.price,
        "boards": role.boards,
        "share": role.share,
        "kinds": dict(role.kinds),
        "shortest_m": role.shortest,
        "longest_m": role.longest,
        "work_min": role.work,
        "waste_l": role.waste,
        "dropping_costs": role.dropping,
    }


def _point_json(one: Chosen) -> dict[str, object]:
    return {"keep": len(one.kept), "cost": one.cost, "bound": one.bound, "gap": one.gap}


def stocking_files(job: StockingJob, system: System) -> dict[str, bytes]:
    """Return every file of the report by its name."""
    figures = figures_of(job, system)
    unit = Unit.INCH if system is System.INCH else Unit.MM
    kept = [job.blank(role.place) for role in job.roles]
    return {
        "stocking.json": json_bytes(stocking_json(job)),
        "stocking.pdf": pdf_bytes(stocking_document(figures)),
        "stocking.html": stocking_page(figures),
        "kept.stock.toml": stock_sheet(kept, unit).encode(),
        "candidates.csv": _csv(_candidate_rows(job)),
        "boards.csv": _csv(_board_rows(job)),
        "costs.npy": _npy(job),
    }


def _npy(job: StockingJob) -> bytes:
    """Return what each board costs from each candidate (NaN: does not fit), then from one made to order."""
    stream = io.BytesIO()
    np.save(stream, np.column_stack([job.costs.blank, job.costs.order]), allow_pickle=False)
    return stream.getvalue()


def _csv(rows: Iterable[Sequence[object]]) -> bytes:
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\n").writerows(rows)
    return stream.getvalue().encode()


def _candidate_rows(job: StockingJob) -> Iterable[Sequence[object]]:
    yield ("blank", "length_m", "thickness_m", "width_m", "nose_rocker_m", "tail_rocker_m", "price",
           "foam_l", "fits_share", "kept")  # fmt: skip
    fits = np.isfinite(job.costs.blank).mean(axis=0)
    for place, blank in enumerate(job.study.blanks):
        yield (
            blank.id, blank.length, max(mark.value for mark in blank.thickness),
            blank.wide or blank.outline[0].value, blank.rocker[-1].value, blank.rocker[0].value, blank.price,
            1000.0 * job.lays.blank_foam[place], fits[place], int(place in job.chosen.kept),
        )  # fmt: skip


def _board_rows(job: StockingJob) -> Iterable[Sequence[object]]:
    yield "board", "kind", "length_m", "width_m", "thickness_m", "volume_l", "weight", "made_from", "cost"
    made_from = blank_for(job.costs, job.chosen.kept).tolist()
    for n, (one, place) in enumerate(zip(job.study.demand, made_from, strict=True)):
        to_order = place == TO_ORDER
        cost = job.costs.order[n] if to_order else job.costs.blank[n, place]
        board = one.board
        yield (
            board.name, one.kind, board.length, board.wide, board.thickest, 1000.0 * job.lays.board_foam[n],
            one.weight, "made to order" if to_order else job.blank(place).id, cost,
        )  # fmt: skip


def summary(job: StockingJob) -> list[str]:
    """Return the answer in a few sentences."""
    chosen, service = job.chosen, job.service
    boards = float(job.costs.weight.sum())
    kept = len(chosen.kept)
    return [
        f"Keep {kept} of {len(job.study.blanks)} blanks for {len(job.study.demand)} expected boards: "
        f"{chosen.cost / boards:.2f} {job.currency} a board with the work on it, "
        f"{job.to_order / boards:.2f} if every blank were made to order.",
        f"Proved: no other {kept} of these candidates are more than {100.0 * chosen.gap:.3f} % cheaper.",
        f"{service.kept:.1%} of the boards are made from a kept blank; {service.dear:.1%} would fit one, but "
        f"one made to order costs less; {service.none_kept:.1%} fit another candidate only; "
        f"{service.none_at_all:.1%} fit none.",
    ]


def role_cells(job: StockingJob, role: Role, system: System) -> tuple[str, ...]:
    """Return a kept blank's row under `HEADS`."""
    blank = job.blank(role.place)
    return (
        blank.id,
        f"{role.boards:g}",
        f"{role.share:.1%}",
        _lengths(role, system) if role.boards else "none",
        next(iter(role.kinds), ""),
        f"{role.work:.0f}",
        f"{role.waste:.0f}",
        f"{role.dropping:+.0f}",
        f"{blank.price:.0f}",
    )


def _lengths(role: Role, system: System) -> str:
    """From the shortest board to the longest: feet and inches, or whole millimetres."""
    if system is System.INCH:
        return f"{format_feet(role.shortest)} to {format_feet(role.longest)}"
    return f"{1000.0 * role.shortest:.0f} to {1000.0 * role.longest:.0f} mm"


def figures_of(job: StockingJob, system: System) -> Figures:
    """Return what the report shows, as plain numbers and words."""
    boards = float(job.costs.weight.sum())
    made_from = blank_for(job.costs, job.chosen.kept)
    lengths = np.array([one.board.length for one in job.study.demand])
    blanks = [
        KeptBlank(
            job.blank(role.place).id,
            job.blank(role.place).length,
            tuple(np.sort(lengths[made_from == role.place]).tolist()),
        )
        for role in job.roles
    ]
    return Figures(
        title=f"Which {len(job.chosen.kept)} blanks to keep",
        summary=tuple(summary(job)),
        heads=HEADS,
        rows=tuple(role_cells(job, role, system) for role in job.roles),
        keep=len(job.chosen.kept),
        curve=tuple((len(one.kept), one.cost / boards, one.bound / boards) for one in job.curve),
        blanks=tuple(blanks),
        unserved=tuple(np.sort(lengths[made_from == TO_ORDER]).tolist()),
        currency=job.currency,
        metric=system is System.MM,
        fates=_fates(job),
        said=job.said(),
    )


def _fates(job: StockingJob) -> tuple[tuple[str, str], ...]:
    """Return what became of all lays, in words."""
    counts = dict.fromkeys((FITTED, SHORT, NARROW, NO_ROOM), 0)
    for span in job.study.spans:
        laid = job.lays.store.kept(span)
        if laid is not None:
            for fate in counts:
                counts[fate] += int(np.count_nonzero(laid.cells[:, :, FATE] == fate))
    words = {
        FITTED: "the board lies in the blank",
        SHORT: "the blank is too short",
        NARROW: "the outline does not fit",
        NO_ROOM: "the foam does not hold it",
    }
    return tuple((words[fate], f"{count}") for fate, count in counts.items())
