"""What every table of the shop shares: one set of names, moments in UTC, texts with a fixed list of words."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any, ClassVar

from sqlalchemy import JSON, CheckConstraint, MetaData
from sqlalchemy.orm import DeclarativeBase

from foamwright.shop.moments import Moment

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}


class Base(DeclarativeBase):
    """What every table shares."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {datetime: Moment(), dict[str, Any]: JSON()}


def one_of(column: str, words: Iterable[str]) -> CheckConstraint:
    """Return the constraint that a column holds one of some words (members of a `StrEnum`)."""
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=column)
