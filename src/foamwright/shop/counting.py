"""How much there is in a shop."""

from __future__ import annotations

from sqlalchemy import func, select

from foamwright.shop.database import Database
from foamwright.shop.portable import tables_in_order


def rows_by_table(database: Database) -> dict[str, int]:
    """Return how many rows each table has."""
    with database.snapshot() as session:
        return {
            table.name: int(session.scalar(select(func.count()).select_from(table)) or 0)
            for table in tables_in_order()
        }
