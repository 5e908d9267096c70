"""Learning from jobs at the bench, and the bay sheet that carries it into the next plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_sheet, read_bay
from foamwright.bench.learning import Learned, learn, learned_bay
from foamwright.bench.store import FolderStore
from foamwright.errors import InputError, Problem
from foamwright.files import write_atomically
from foamwright.jobs.job_sheets import BAY, refuse_job_file, refuse_other_sheet, refuse_own_sheets
from foamwright.units import Unit


def learn_from(folders: Sequence[Path], bay: Path | None) -> tuple[Bay, Learned]:
    """Return the bay with what jobs taught in it, and the figures with their uncertainty.

    Parameters
    ----------
    folders
        Jobs.
    bay
        The bay sheet to start from; without one, the one that the jobs were planned in.

    Raises
    ------
    InputError
        A folder is no job, the bay sheet cannot stand, or none is given and the jobs' own differ.
    """
    own = _own_bay(folders) if bay is None else read_bay(bay)
    stores = [FolderStore(folder) for folder in folders]
    learned = learn([(store.plan(), store.entries()) for store in stores], own)
    return learned_bay(own, learned), learned


def _own_bay(folders: Sequence[Path]) -> Bay:
    bays = {sheet: read_bay(sheet) for sheet in (folder / BAY for folder in folders) if sheet.is_file()}
    first = next(iter(bays.values()), Bay())
    other = next((sheet for sheet, bay in bays.items() if bay != first), None)
    if other is not None:
        raise InputError(
            Problem(
                "--bay",
                f"The jobs were planned in different bays: {other} is not {next(iter(bays))}.",
                "Say which one to start from, or learn from the jobs of one bay at a time.",
            )
        )
    return first


def learned_sheet(bay: Bay, learned: Learned, unit: Unit) -> str:
    """Return the bay sheet, with what was learned and how well it is known in its first lines."""
    lines = ["# Learned from measured and timed jobs; standard errors after the sign."]
    for name, chip in learned.chips.items():
        lines.append(
            f"# {name}: takes {chip.mean:.2f} ± {chip.error:.2f} of the chip set ({chip.count} run-offs); "
            "chips below are what it takes."
        )
    if learned.stringer.count:
        for words, one in (("m2 of stringer", learned.stringer), ("m3 of foam", learned.foam)):
            lines.append(f"# {one.mean:.0f} ± {one.error:.0f} minutes per {words} ({_stages(one.count)})")
    return "\n".join([*lines, bay_sheet(bay, unit)])


def _stages(count: int) -> str:
    return f"{count} timed stage{'' if count == 1 else 's'}"


def write_learned(bay: Bay, learned: Learned, path: Path, unit: Unit, read: Path | None = None) -> None:
    """Write the bay sheet whole, or leave what was there; never over the sheet `read` that it starts from.

    Raises
    ------
    InputError
        A sheet or another file that is no bay sheet would be lost, or the place cannot be written to.
    """
    refuse_job_file(path)
    refuse_own_sheets([path], [read])
    refuse_other_sheet(path, "BaySheet")
    write_atomically(path, learned_sheet(bay, learned, unit).encode())
