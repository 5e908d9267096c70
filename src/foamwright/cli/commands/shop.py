"""``foamwright shop``: the app's database, and its orders, papers and purchases, from the command line."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.shop.database import Database


FILES = ("backup", "restore", "check", "export")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare what the command takes."""
    from foamwright.cli.shop_acts import ACTS

    acts = "; ".join(f"{name} {act.takes}".strip() for name, act in ACTS.items())
    parser.add_argument("act", choices=(*FILES, *ACTS), help="what to do", metavar="ACT")
    parser.add_argument(
        "words",
        metavar="WORD",
        nargs="*",
        help=f"what it is done with: backup FILE; restore FILE; check; export FILE; {acts}",
    )
    parser.add_argument(
        "--database", metavar="URL", help="postgresql://… instead of the file in your data folder"
    )
    parser.add_argument(
        "--replace", action="store_true", help="let a restore take the place of what is there"
    )
    parser.add_argument("--language", choices=("en", "de"), default="en", help="of papers and their words")


def run(args: argparse.Namespace) -> int:
    """Do it, and tell what was done."""
    from foamwright.errors import InputError, Problem

    if args.act not in FILES:
        from foamwright.cli.shop_acts import act_on_shop

        with _open(args) as database:
            return act_on_shop(args, database)
    needed = 0 if args.act == "check" else 1
    if len(args.words) != needed:
        what = f"{args.act} needs a file." if needed else "check takes nothing more."
        raise InputError(
            Problem("FILE", what, f"Write: foamwright shop {args.act}{' FILE' if needed else ''}")
        )
    args.file = Path(args.words[0]) if needed else None
    done = {"backup": _backup, "restore": _restore, "check": _check, "export": _export}[args.act](args)
    _tell(args, done)
    return 0


def _backup(args: argparse.Namespace) -> dict[str, object]:
    from foamwright.shop.exporting import back_up

    with _open(args) as database:
        back_up(database, args.file)
    return {"done": "backup", "file": str(args.file), "bytes": args.file.stat().st_size}


def _export(args: argparse.Namespace) -> dict[str, object]:
    from foamwright.shop.exporting import export_file

    with _open(args) as database:
        export_file(database, args.file)
    return {"done": "export", "file": str(args.file), "bytes": args.file.stat().st_size}


def _restore(args: argparse.Namespace) -> dict[str, object]:
    from foamwright.shop.places import data_folder
    from foamwright.shop.restoring import Existing, restore

    existing = Existing.GIVE_WAY if args.replace else Existing.STAY
    kept = restore(args.file, _url(args), data_folder() / "kept", existing)
    return {"done": "restore", "file": str(args.file), "kept": None if kept is None else str(kept)}


def _check(args: argparse.Namespace) -> dict[str, object]:
    from foamwright.shop.counting import rows_by_table
    from foamwright.shop.schema import require_own_schema

    with _open(args) as database:
        require_own_schema(database.engine)
        return {"done": "check", "database": _shown(_url(args)), "rows": rows_by_table(database)}


def _open(args: argparse.Namespace) -> closing[Database]:
    from foamwright.shop.opening import open_database, require_there

    require_there(_url(args))
    return closing(open_database(_url(args)))


def _url(args: argparse.Namespace) -> str:
    from foamwright.shop.places import data_folder, usual_url

    return str(args.database or usual_url(data_folder()))


def _shown(url: str) -> str:
    from sqlalchemy import make_url

    return make_url(url).render_as_string(hide_password=True)


def _tell(args: argparse.Namespace, done: dict[str, object]) -> None:
    from foamwright.cli.show import print_json

    if args.json:
        print_json(done)
        return
    lines = {
        "backup": "Backed up to {file}.",
        "export": "Everything is in {file}.",
        "restore": "Restored from {file}.",
        "check": "{database} is whole.",
    }
    print(lines[str(done["done"])].format(**done))
    if done.get("kept"):
        print(f"What was there is kept in {done['kept']}.")
    rows = done.get("rows")
    if isinstance(rows, dict):
        print("\n".join(f"{count:8d} {table}" for table, count in rows.items()))
