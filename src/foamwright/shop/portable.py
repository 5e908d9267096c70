"""Everything in the shop as rows in one zip, the same from every database and for every database.

``manifest.json`` says the form, and for every table how many rows and which digest; ``rows/TABLE.jsonl``
holds one JSON object a line. Keys, passwords, paired devices and codes stay out of it: a copy that lies
about opens no door.
"""

from __future__ import annotations

import hashlib
import json
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import islice
from typing import Any

from sqlalchemy import Connection, Table, select
from sqlalchemy.orm import Session

from foamwright import __version__
from foamwright.shop.about import PRIVATE
from foamwright.shop.forms import head
from foamwright.shop.table_base import Base
from foamwright.shop.tables import About, PairedSession, PairingCode, Submission

FORMAT = "foamwright shop 1"
MANIFEST = "manifest.json"

LEFT_OUT = {PairedSession.__tablename__, PairingCode.__tablename__, Submission.__tablename__}
"""Tables that no export carries: whoever has the file must come in by none of them."""

_FIXED_DATE = (1980, 1, 1, 0, 0, 0)
_CHUNK = 500


def write_rows(session: Session, packed: zipfile.ZipFile, made_at: datetime) -> None:
    """Write every table and the manifest into a zip."""
    told: dict[str, dict[str, object]] = {}
    for table in tables_in_order():
        lines = [json.dumps(row, ensure_ascii=False, sort_keys=True) for row in _rows(session, table)]
        content = "".join(line + "\n" for line in lines).encode()
        add_file(packed, rows_name(table.name), content)
        told[table.name] = {"rows": len(lines), "sha256": hashlib.sha256(content).hexdigest()}
    manifest = {
        "format": FORMAT,
        "form": head(),
        "version": __version__,
        "made_at": made_at.isoformat(),
        "tables": told,
    }
    add_file(packed, MANIFEST, json.dumps(manifest, indent=1).encode())


def add_file(packed: zipfile.ZipFile, name: str, content: bytes) -> None:
    """Add a file to a zip; the same content gives the same bytes, whenever it is packed."""
    entry = zipfile.ZipInfo(name, _FIXED_DATE)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = 0o600 << 16
    packed.writestr(entry, content)


def rows_name(table: str) -> str:
    """Return the name of a table's file in the zip."""
    return f"rows/{table}.jsonl"


def tables_in_order() -> list[Table]:
    """Return the tables that are carried, each after those it points to."""
    return [table for table in Base.metadata.sorted_tables if table.name not in LEFT_OUT]


def insert_rows(connection: Connection, table: Table, rows: Iterator[dict[str, Any]]) -> None:
    """Put a table's rows, moments in UTC, back into a table."""
    naive = connection.dialect.name == "sqlite"
    while some := list(islice(rows, _CHUNK)):
        connection.execute(table.insert(), [_as_stored(row, naive) for row in some])


def _as_stored(row: dict[str, Any], naive: bool) -> dict[str, Any]:
    if not naive:
        return row
    return {k: v.replace(tzinfo=None) if isinstance(v, datetime) else v for k, v in row.items()}


def _rows(session: Session, table: Table) -> Iterator[dict[str, Any]]:
    keys = list(table.primary_key.columns)
    for row in session.execute(select(table).order_by(*keys)):
        values = dict(row._mapping)
        if table.name != About.__tablename__ or values["name"] not in PRIVATE:
            yield {name: _to_json(value) for name, value in values.items()}


def _to_json(value: object) -> object:
    return value.astimezone(UTC).isoformat() if isinstance(value, datetime) else value
