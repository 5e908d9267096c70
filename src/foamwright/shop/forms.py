"""The form of a database: which one it has, and stepping up to ours (Alembic)."""

from __future__ import annotations

from functools import cache
from typing import Any

from sqlalchemy import Connection, inspect, text

from foamwright import __version__
from foamwright.shop.told import UnfitError, told

VERSION_KEY = "version"


def head() -> str:
    """Return the name of our newest form."""
    return str(_scripts().get_current_head())


def known_forms() -> tuple[str, ...]:
    """Return every form that we know, oldest first."""
    return tuple(reversed([script.revision for script in _scripts().walk_revisions()]))


def form_of(connection: Connection) -> str | None:
    """Return the form of a database; ``None`` if it is empty.

    Raises
    ------
    UnfitError
        It holds tables that are not ours.
    """
    tables = set(inspect(connection).get_table_names())
    if "alembic_version" not in tables or not tables & {"about", "history"}:
        if tables - {"alembic_version"}:
            raise UnfitError(told("database", "database-foreign", path=_name(connection)))
        return None
    found = connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    return None if found is None else str(found)


def require_known(connection: Connection, form: str) -> None:
    """Refuse a database of a form that a newer foamwright made.

    Raises
    ------
    UnfitError
        Its form is not among ours; names the version that wrote it.
    """
    if form in known_forms():
        return
    version = connection.execute(
        text("SELECT value FROM about WHERE name = :name"), {"name": VERSION_KEY}
    ).scalar()
    problem = told("database", "database-newer", version=version or "?", revision=form, ours=__version__)
    raise UnfitError(problem)


def step_up(connection: Connection, target: str = "head") -> None:
    """Bring a database to a form (ours, if none is named), within the connection's transaction."""
    from alembic import command

    config = _config()
    config.attributes["connection"] = connection
    command.upgrade(config, target)


def write_version(connection: Connection) -> None:
    """Write down which foamwright last opened the database."""
    values = {"name": VERSION_KEY, "value": __version__}
    connection.execute(text("DELETE FROM about WHERE name = :name"), {"name": VERSION_KEY})
    connection.execute(text("INSERT INTO about (name, value) VALUES (:name, :value)"), values)


def _name(connection: Connection) -> str:
    return str(connection.engine.url.database)


def _config() -> Any:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "foamwright.shop:migrations")
    return config


@cache
def _scripts() -> Any:
    from alembic.script import ScriptDirectory

    return ScriptDirectory.from_config(_config())
