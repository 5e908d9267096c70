"""What one run of the app is told."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from foamwright.jobs.shop_judging import judge_at_bench
from foamwright.shop.database import Database
from foamwright.shop.readings import Judge

LOOPBACK_NAMES = frozenset({"127.0.0.1", "localhost", "::1"})


class Reach(StrEnum):
    """Whom the app serves: this machine alone, or the local network too."""

    LOCAL = "local"
    LAN = "lan"


@dataclass(frozen=True, slots=True)
class Limits:
    """How much may be sent at once, bytes, and how many live streams there are, in all and by one device."""

    body: int = 1_000_000
    upload: int = 5_000_000
    streams: int = 200
    streams_each: int = 8


@dataclass(frozen=True, eq=False)
class Settings:
    """One run of the app.

    Attributes
    ----------
    database
        The shop's, open.
    reach
        This machine alone, or the local network.
    names
        Names and addresses, besides this machine's own, by which a request may call the app.
    address
        Where other devices find it (``https://192.168.1.20:8443``); empty when nobody else can.
    authority
        Our certificate authority as PEM, for devices to trust; empty without one.
    judge
        What is thought of a reading.
    limits
        How much may be sent.
    """

    database: Database
    reach: Reach = Reach.LOCAL
    names: frozenset[str] = frozenset()
    address: str = ""
    authority: bytes = b""
    judge: Judge = judge_at_bench
    limits: Limits = field(default_factory=Limits)
