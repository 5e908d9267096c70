"""Where the shop keeps its things: one folder of the user's own."""

from __future__ import annotations

import os
from pathlib import Path

DATABASE_NAME = "shop.sqlite"


def data_folder() -> Path:
    """Return the folder of the shop's data: ``FOAMWRIGHT_DATA``, or the user's own data folder."""
    named = os.environ.get("FOAMWRIGHT_DATA", "")
    if named:
        return Path(named).expanduser().absolute()
    from platformdirs import user_data_path

    return user_data_path("foamwright", appauthor=False)


def usual_url(folder: Path) -> str:
    """Return the address of the database that is used when none is named."""
    from sqlalchemy import URL

    return URL.create("sqlite", database=str(folder / DATABASE_NAME)).render_as_string()
