"""Words with a fixed list of meanings in orders, bills and courses."""

from __future__ import annotations

from enum import StrEnum


class OrderState(StrEnum):
    """Where an order stands, in the order in which it goes round."""

    ASKED = "asked"
    QUOTED = "quoted"
    AGREED = "agreed"
    ON_THE_RACK = "on the rack"
    GLASSED = "glassed"
    READY = "ready"
    HANDED_OVER = "handed over"
    PUT_AWAY = "put away"

    @property
    def place(self) -> int:
        """Its place in the round, from 0."""
        return list(OrderState).index(self)


OPEN_STATES = tuple(list(OrderState)[:6])
"""States in which somebody still waits for a board."""

HOLDING = tuple(list(OrderState)[2:6])
"""States in which an order holds what it needs of the stock."""


class BillKind(StrEnum):
    """What is given out under a number of its own row."""

    QUOTE = "quote"
    INVOICE = "invoice"


class Shown(StrEnum):
    """Whether a pupil can do something: shown, with help, not yet."""

    SHOWN = "shown"
    WITH_HELP = "with help"
    NOT_YET = "not yet"


class Grant(StrEnum):
    """What the owner can give teachers to see."""

    MONEY = "money"
    CONTACTS = "contacts"
