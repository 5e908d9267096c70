"""The days at which orders are due, as an iCalendar file (RFC 5545): one all-day event an order."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from foamwright.shop.days import days_after
from foamwright.shop.order_round import Waiting

_LINE = 75
"""Octets of a line, RFC 5545 section 3.1."""


def calendar_file(orders: Iterable[Waiting], now: datetime) -> bytes:
    """Return the calendar: lines end in CR LF, long ones are folded, as RFC 5545 asks."""
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//foamwright//orders//EN", "CALSCALE:GREGORIAN"]
    for waiting in orders:
        lines += _event(waiting, now)
    lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(waiting: Waiting, now: datetime) -> list[str]:
    order = waiting.order
    name = f"{order.title} · {waiting.who}" if waiting.who else order.title
    return [
        "BEGIN:VEVENT",
        f"UID:order-{order.id}@foamwright",
        f"DTSTAMP:{now:%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{order.due_on.replace('-', '')}",
        f"DTEND;VALUE=DATE:{days_after(order.due_on, 1).replace('-', '')}",
        f"SUMMARY:{_escaped(name)}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _escaped(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
    return escaped.replace("\n", "\\n")


def _folded(line: str) -> bytes:
    """Return a line broken so that no part is longer than `_LINE` octets and no letter is cut."""
    parts: list[bytes] = []
    part = b""
    for letter in line:
        raw = letter.encode()
        # What goes on begins with a space, which counts.
        if len(part) + len(raw) > _LINE - (1 if parts else 0):
            parts.append(part)
            part = b""
        part += raw
    parts.append(part)
    return b"\r\n ".join(parts) + b"\r\n"
