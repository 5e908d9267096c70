"""``foamwright serve``: the app in a browser."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.web.serving import Addresses


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare what the command takes."""
    parser.add_argument("--port", type=_port, default=8420, help="port on this machine (8420; 0 for any)")
    parser.add_argument("--no-browser", action="store_true", help="do not open a browser")
    parser.add_argument("--lan", action="store_true", help="serve the local network too, over https")
    parser.add_argument(
        "--database", metavar="URL", help="postgresql://… instead of the file in your data folder"
    )


def run(args: argparse.Namespace) -> int:
    """Serve until stopped."""
    from foamwright.shop.opening import open_database
    from foamwright.shop.places import data_folder, usual_url
    from foamwright.web.serving import Browser, Wish, serve
    from foamwright.web.settings import Reach

    folder = data_folder()
    database = open_database(args.database or usual_url(folder))
    wish = Wish(
        port=args.port,
        reach=Reach.LAN if args.lan else Reach.LOCAL,
        browser=Browser.STAY if args.no_browser else Browser.OPEN,
        folder=folder / "lan",
    )
    try:
        serve(database, wish, lambda addresses: _tell(args, addresses))
    finally:
        database.close()
    return 0


def _tell(args: argparse.Namespace, addresses: Addresses) -> None:
    if args.json:
        from foamwright.cli.show import print_json

        print_json({"host": addresses.host, "lan": addresses.lan, "door": addresses.door})
    else:
        print("\n".join(_lines(addresses)))
    sys.stdout.flush()


def _lines(addresses: Addresses) -> Iterator[str]:
    yield f"On this machine:   {addresses.host}"
    if addresses.lan:
        yield f"On the network:    {addresses.lan}   (pair each device with a code from the page Access)"
        yield f"New devices first: {addresses.door}/trust"
    yield "Stop with Ctrl-C."


def _port(written: str) -> int:
    port = int(written)
    if not 0 <= port <= 65_000:
        raise argparse.ArgumentTypeError("a port lies between 0 and 65000")
    return port
