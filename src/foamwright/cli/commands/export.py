"""``foamwright export``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument(
        "--to",
        type=Path,
        required=True,
        metavar="FILE",
        help="file to write; its ending names the format: .step .stl .3mf .obj .dxf .svg .csv",
    )
    parser.add_argument(
        "--what",
        default="board",
        metavar="WHAT",
        help="board, foam (without the stringer), blank (with the board inside), or a stage by its name",
    )
    parser.add_argument("--stock", type=Path, metavar="STOCK", help="stock sheet, for foam, blank and stages")
    parser.add_argument("--blank", metavar="ID", help="blank of the stock (default: the best)")
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet (default: a usual bay)")
    parser.add_argument("--stringer", metavar="WIDTH", help="width of the stringer where there is no stock")


def run(args: argparse.Namespace) -> int:
    """Write a board, its foam, a blank or a stage for other tools."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.export import ExportOrder, write_export

    order = ExportOrder(args.what, args.stock, args.blank, args.bay, args.stringer, system_of(args))
    count = write_export(args.board, args.to, order)
    if args.json:
        print_json({"file": str(args.to), "what": args.what, "bytes": count})
    else:
        print(f"{args.to}: {args.what}, {count:,} bytes")
    return 0
