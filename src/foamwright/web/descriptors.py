"""How many connections this machine lets the app keep, and how they are shared out among its ports."""

from __future__ import annotations

import sys
from dataclasses import dataclass

from foamwright.web.gate import Patience

WANTED = 4096
"""Descriptors that the app asks the system for."""

OWN = 300
"""Descriptors that are kept back from every port: the database (48 connections at most, three files each),
papers, what Python opens."""

USUAL = 1024
"""Where the system tells no limit (Windows has none of this kind)."""

HOST, LAN, DOOR = 256, 1000, 200
"""Connections of each port, where there are descriptors enough."""

EACH = 256
"""Connections of one address to the network's port: a classroom behind one address still comes in."""

DOOR_EACH = 32


@dataclass(frozen=True, slots=True)
class Shares:
    """What each port may keep."""

    host: Patience
    lan: Patience
    door: Patience


def shares() -> Shares:
    """Return what each port may keep, once the system was asked for as many descriptors as are wanted.

    The host's own share and what the app itself needs are taken off first, so that nobody on the network can
    use them up.
    """
    limit = _raised()
    host = min(HOST, limit // 8)
    left = max(limit - host - min(OWN, limit // 2), 16)
    lan, door = min(LAN, left * 4 // 5), min(DOOR, left // 5)
    return Shares(Patience(host, host), Patience(lan, min(EACH, lan)), Patience(door, min(DOOR_EACH, door)))


def _raised() -> int:
    if sys.platform == "win32":
        return USUAL
    import resource

    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if soft == resource.RLIM_INFINITY:
        return WANTED
    wanted = WANTED if hard == resource.RLIM_INFINITY else min(WANTED, hard)
    if soft < wanted:
        try:
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
        except (OSError, ValueError):
            # macOS allows less than it says.
            return soft
    return max(soft, wanted)
