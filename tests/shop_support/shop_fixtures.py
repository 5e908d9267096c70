"""Fixtures shared by the tests of the shop and of the app: every test on SQLite and on PostgreSQL."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from postgres import NoPostgresError, Postgres

from foamwright.shop.database import Actor, Database
from foamwright.shop.opening import open_database

EXAMPLES = Path(__file__).parents[2] / "examples"
TEACHER = Actor("teacher")


@dataclass
class TestClock:
    """A clock that goes only when told to."""

    __test__ = False
    moment: datetime = field(default_factory=lambda: datetime(2026, 3, 2, 9, 0, tzinfo=UTC))

    def __call__(self) -> datetime:
        return self.moment

    def pass_by(self, **amount: float) -> None:
        self.moment += timedelta(**amount)


@pytest.fixture(scope="session")
def postgres() -> Iterator[Postgres]:
    try:
        server = Postgres()
    except NoPostgresError as why:
        pytest.skip(f"left out: {why}")
    open_database(server.create("form")).close()
    yield server
    server.stop()


@pytest.fixture(scope="session")
def sqlite_form(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("form") / "form.sqlite"
    open_database(f"sqlite:///{path}").close()
    return path


@pytest.fixture(params=["sqlite", "postgres"])
def database_url(request: pytest.FixtureRequest, tmp_path: Path, sqlite_form: Path) -> str:
    """The address of a new database of our form."""
    if request.param == "postgres":
        return str(request.getfixturevalue("postgres").fresh("form"))
    shutil.copy(sqlite_form, tmp_path / "shop.sqlite")
    return f"sqlite:///{tmp_path / 'shop.sqlite'}"


@pytest.fixture
def sqlite_url(tmp_path: Path, sqlite_form: Path) -> str:
    shutil.copy(sqlite_form, tmp_path / "shop.sqlite")
    return f"sqlite:///{tmp_path / 'shop.sqlite'}"


@pytest.fixture
def clock() -> TestClock:
    return TestClock()


@pytest.fixture
def open_shop(clock: TestClock) -> Iterator[Callable[[str], Database]]:
    opened: list[Database] = []

    def open_one(url: str) -> Database:
        opened.append(open_database(url, clock))
        return opened[-1]

    yield open_one
    for one in opened:
        one.close()


@pytest.fixture
def database(database_url: str, open_shop: Callable[[str], Database]) -> Database:
    return open_shop(database_url)


@pytest.fixture(scope="session")
def board_sheet_text() -> str:
    return (EXAMPLES / "groyne-6-4.board.toml").read_text()


@pytest.fixture(scope="session")
def stock_sheet_text() -> str:
    return (EXAMPLES / "two-yards.stock.toml").read_text()
