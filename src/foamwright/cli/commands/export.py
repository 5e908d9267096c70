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
        help="file to write; its ending names the format: .step .stl .3mf .obj .dxf .svg .csv .xlsx",
    )
    parser.add_argument(
        "--what",
        default="board",
        metavar="WHAT",
        help="board, foam (without the stringer), blank (with the board inside), sections, or a stage",
    )
    parser.add_argument("--stock", type=Path, metavar="STOCK", help="stock sheet, for foam, blank and stages")
    parser.add_argument("--blank", metavar="ID", help="blank of the stock (default: the best)")
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet (default: a usual bay)")
    parser.add_argument("--stringer", metavar="WIDTH", help="width of the stringer where there is no stock")
    parser.add_argument("--at", metavar="STATION", help="with --what sections: only the section there")
    parser.add_argument(
        "--tolerance",
        metavar="LENGTH",
        help="STL, 3MF, OBJ: triangles nowhere farther from the body than this",
    )
    parser.add_argument("--scale", metavar="1:N", help="STL, 3MF, OBJ: a model of this scale")
    parser.add_argument(
        "--bed", metavar="LENGTH", help="STL, 3MF, OBJ: saw the model to pieces with keys that fit this bed"
    )
    parser.add_argument(
        "--date", metavar="DAY", help="STEP, 3MF: the file's day (default: SOURCE_DATE_EPOCH, else none)"
    )
    parser.add_argument("--pockets", action="store_true", help="STEP: fin boxes cut out as pockets")
    parser.add_argument("--r12", action="store_true", help="DXF of release 12, for the oldest machines")
    parser.add_argument("--paths", action="store_true", help="SVG with letters as outlines")
    parser.add_argument("--comma", action="store_true", help="CSV with semicolons, and commas in decimals")


def run(args: argparse.Namespace) -> int:
    """Write a board, its foam, a blank or a stage for other tools."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.export import ExportOrder, write_export
    from foamwright.jobs.export_asked import ExportWords

    words = ExportWords(
        args.tolerance,
        args.scale,
        args.bed,
        args.date,
        args.r12,
        args.paths,
        args.comma,
        args.at,
        args.pockets,
    )
    order = ExportOrder(args.what, args.stock, args.blank, args.bay, args.stringer, system_of(args), words)
    count = write_export(args.board, args.to, order)
    if args.json:
        print_json({"file": str(args.to), "what": args.what, "bytes": count})
    else:
        print(f"{args.to}: {args.what}, {count:,} bytes")
    return 0
