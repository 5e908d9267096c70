"""A PostgreSQL of our own for tests: in a temporary folder, on a socket in it, as another user than root."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from pathlib import Path

from sqlalchemy import create_engine, text


class NoPostgresError(Exception):
    """Why there is none."""


def programs() -> Path:
    """The folder of initdb and pg_ctl."""
    on_path = shutil.which("initdb")
    folders = sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), key=lambda p: float(p.parent.name), reverse=True
    )
    for folder in [*folders, *([Path(on_path).parent] if on_path else [])]:
        if (folder / "initdb").exists() and (folder / "pg_ctl").exists():
            return folder
    raise NoPostgresError("PostgreSQL is not installed: apt-get install postgresql")


def other_user() -> pwd.struct_passwd | None:
    """The user to run as: PostgreSQL refuses root."""
    if os.geteuid() != 0:
        return None
    for name in ("postgres", "nobody"):
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    raise NoPostgresError("there is no user but root to run PostgreSQL as")


class Postgres:
    """One running server; every test gets a database of its own, copied from one of our form."""

    def __init__(self, fsync: str = "off") -> None:
        self.programs, self.user = programs(), other_user()
        self.folder = Path(tempfile.mkdtemp(prefix="fw-pg-", dir="/tmp"))
        self.count = 0
        if self.user:
            os.chown(self.folder, self.user.pw_uid, self.user.pw_gid)
        try:
            self._run(
                "initdb",
                "-D",
                str(self.folder / "data"),
                "-U",
                "shop",
                "-A",
                "trust",
                "-E",
                "UTF8",
                "-N",
                "--locale=C.UTF-8",
            )
            said = (
                "listen_addresses=''",
                f"unix_socket_directories={self.folder}",
                f"fsync={fsync}",
                "max_connections=120",
            )
            options = " ".join(f"-c {one}" for one in said)
            self._run(
                "pg_ctl",
                "-D",
                str(self.folder / "data"),
                "-w",
                "-l",
                str(self.folder / "log"),
                "-o",
                options,
                "start",
            )
        except BaseException:
            shutil.rmtree(self.folder, ignore_errors=True)
            raise

    def _run(self, program: str, *arguments: str) -> None:
        as_user = (
            {"user": self.user.pw_uid, "group": self.user.pw_gid, "extra_groups": []} if self.user else {}
        )
        done = subprocess.run(
            [str(self.programs / program), *arguments],
            cwd=self.folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            timeout=120,
            check=False,
            **as_user,
        )
        if done.returncode:
            raise NoPostgresError(f"{program} failed: {done.stdout[-500:]}")

    def url(self, name: str) -> str:
        return f"postgresql://shop@/{name}?host={self.folder}"

    def create(self, name: str, template: str = "template1") -> str:
        engine = create_engine(
            self.url("postgres").replace("postgresql:", "postgresql+psycopg:"), isolation_level="AUTOCOMMIT"
        )
        try:
            with engine.connect() as connection:
                connection.execute(text(f'CREATE DATABASE "{name}" TEMPLATE "{template}"'))
        finally:
            engine.dispose()
        return self.url(name)

    def fresh(self, template: str) -> str:
        self.count += 1
        return self.create(f"test_{self.count}", template)

    def stop(self) -> None:
        try:
            self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "immediate", "-w", "stop")
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)
