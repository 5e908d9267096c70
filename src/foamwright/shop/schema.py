"""Whether a database is built as ours are: its tables, columns, indexes and triggers, and no others."""

from __future__ import annotations

from sqlalchemy import Connection, Engine, create_engine, inspect, text

from foamwright.shop.engines import is_sqlite
from foamwright.shop.forms import step_up
from foamwright.shop.told import UnfitError, told

Parts = dict[tuple[str, str], str]
"""What a database is built of: (kind, name) to how it was made."""

_APART = "foamwright_check"
"""Schema that PostgreSQL builds ours in to compare with; it is never committed."""


def require_own_schema(engine: Engine) -> None:
    """Refuse a database of our form to which something was added, or from which something was taken.

    A trigger of somebody else's could let readings vanish that were acknowledged.

    Raises
    ------
    UnfitError
        Names what is not as we make it.
    """
    found, ours = _sqlite(engine) if is_sqlite(engine) else _postgres(engine)
    wrong = sorted(
        f"{kind} {name} {_how(found, ours, (kind, name))}"
        for kind, name in found.keys() | ours.keys()
        if found.get((kind, name)) != ours.get((kind, name))
    )
    if wrong:
        raise UnfitError(told("database", "database-altered", what="; ".join(wrong[:5])))


def _how(found: Parts, ours: Parts, key: tuple[str, str]) -> str:
    if key not in ours:
        return "is not ours"
    return "is missing" if key not in found else "is another"


def _sqlite(engine: Engine) -> tuple[Parts, Parts]:
    fresh = create_engine("sqlite://")
    try:
        with fresh.begin() as connection:
            step_up(connection)
            ours = _sqlite_parts(connection)
    finally:
        fresh.dispose()
    with engine.connect() as connection:
        return _sqlite_parts(connection), ours


def _sqlite_parts(connection: Connection) -> Parts:
    # What SQLite makes for itself (counters, the indexes of unique columns, statistics) begins so.
    made = connection.execute(text("SELECT type, name, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite%'"))
    return {(str(kind), str(name)): " ".join(str(sql).split()) for kind, name, sql in made}


def _postgres(engine: Engine) -> tuple[Parts, Parts]:
    with engine.connect() as connection:
        found = _postgres_parts(connection, "public")
        # Ours is built beside it, looked at, and taken back: nothing of this is ever stored.
        connection.execute(text(f"CREATE SCHEMA {_APART}"))
        connection.execute(text(f"SET LOCAL search_path TO {_APART}"))
        step_up(connection)
        ours = _postgres_parts(connection, _APART)
        connection.rollback()
    return found, ours


def _postgres_parts(connection: Connection, schema: str) -> Parts:
    looked = inspect(connection)
    parts: Parts = {
        ("table", name): ", ".join(
            sorted(
                f"{c['name']} {c['type']} {c['nullable']}" for c in looked.get_columns(name, schema=schema)
            )
        )
        for name in looked.get_table_names(schema=schema)
    }
    for kind, question in _POSTGRES_MADE:
        rows = connection.execute(text(question), {"schema": schema})
        parts |= {(kind, name): str(made).replace(f"{schema}.", "") for name, made in rows}
    return parts


_POSTGRES_MADE = (
    (
        "trigger",
        "SELECT c.relname || '.' || t.tgname, pg_get_triggerdef(t.oid) FROM pg_trigger t JOIN pg_class c ON "
        "c.oid = t.tgrelid JOIN pg_namespace n ON n.oid = c.relnamespace WHERE NOT t.tgisinternal AND "
        "n.nspname = :schema",
    ),
    (
        "rule",
        "SELECT tablename || '.' || rulename, definition FROM pg_rules WHERE schemaname = :schema",
    ),
    (
        "function",
        "SELECT p.proname, p.prosrc FROM pg_proc p JOIN pg_namespace n ON n.oid = p.pronamespace WHERE "
        "n.nspname = :schema",
    ),
)
