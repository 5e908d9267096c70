"""`foamwright serve` and `foamwright shop` as programs: they start, answer, stop, and say what is wrong."""

from __future__ import annotations

import json
import os
import signal
import socket
import ssl
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest
from running import LAUNCH, Running

from foamwright.web.serving import GRACE_SECONDS


def ran(folder, *words):
    env = {**os.environ, "FOAMWRIGHT_DATA": str(folder)}
    return subprocess.run(
        [sys.executable, str(LAUNCH), *words],
        capture_output=True,
        text=True,
        env=env,
        timeout=120,
        check=False,
    )


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "data"


def get(url, context=None):
    with urllib.request.urlopen(url, timeout=10, context=context) as answer:
        return answer.read()


@pytest.mark.parametrize("sign", [signal.SIGINT, signal.SIGTERM])
def test_it_stops_at_once_even_with_a_live_page_open(folder, sign):
    with Running(folder, "--port", "0") as app:
        assert app.host.startswith("http://127.0.0.1:")
        assert (app.where["lan"], app.where["door"]) == ("", "")
        assert get(app.host + "/health") == b"ok\n"
        with urllib.request.urlopen(app.host + "/api/live", timeout=10) as stream:
            assert stream.readline() == b"retry: 2000\n"
            begun = time.monotonic()
            assert app.stop(sign) == (0, "")
            watched = time.monotonic() - begun
    with Running(folder, "--port", "0") as app:
        begun = time.monotonic()
        assert app.stop(sign) == (0, "")
        # Waiting for the page would add the whole grace; a busy machine is as slow at both.
        assert watched - (time.monotonic() - begun) < 0.8 * GRACE_SECONDS


def test_it_is_on_this_machine_only(folder):
    with (
        Running(folder, "--port", "0") as app,
        socket.socket(socket.AF_INET6) as other,
        pytest.raises(OSError, match=r"refused|assign"),
    ):
        other.connect(("::1", app.port))


def test_on_the_network_it_speaks_https_with_its_own_authority(folder):
    with Running(folder, "--port", "0", "--lan") as app:
        trusting = ssl.create_default_context(cafile=str(folder / "lan" / "authority.crt"))
        port = app.where["lan"].rpartition(":")[2]
        assert get(f"https://localhost:{port}/health", trusting) == b"ok\n"
        with pytest.raises(OSError, match="CERTIFICATE_VERIFY_FAILED"):
            get(f"https://localhost:{port}/health", ssl.create_default_context())
        door = app.where["door"].rpartition(":")[2]
        assert b"BEGIN CERTIFICATE" in get(f"http://localhost:{door}/authority.crt")
        assert b"<h1>" in get(f"http://localhost:{door}/trust")
        with pytest.raises(OSError, match="CERTIFICATE_VERIFY_FAILED"):
            # Everything else is sent on to https.
            get(f"http://localhost:{door}/jobs")
        assert app.stop()[0] == 0


def test_a_port_that_is_taken_is_told(folder):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        done = ran(folder, "serve", "--no-browser", "--port", str(port))
    assert done.returncode == 2
    assert done.stderr == (
        f"--port: Port {port} cannot be used: Address already in use. "
        "Stop what uses it, or name another port.\n"
    )


def test_a_database_that_cannot_be_used_is_told_and_left_alone(folder):
    folder.mkdir()
    (folder / "shop.sqlite").write_text("a letter")
    done = ran(folder, "serve", "--no-browser", "--port", "0")
    assert done.returncode == 2
    assert "is not a foamwright database" in done.stderr
    assert "Traceback" not in done.stderr
    assert (folder / "shop.sqlite").read_text() == "a letter"


def add_a_rider(host):
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
    with opener.open(host + "/api/me") as answer:
        token = json.load(answer)["csrf"]
    headers = {"content-type": "application/json", "x-foamwright-csrf": token}
    with opener.open(urllib.request.Request(host + "/api/people", b'{"name": "Ada"}', headers)) as answer:
        assert answer.status == 201


def test_check_backup_restore_export(folder, tmp_path):
    assert "There is no database at" in ran(folder, "shop", "check").stderr
    with Running(folder, "--port", "0") as app:
        add_a_rider(app.host)
        # A backup is taken while the app runs.
        assert ran(folder, "shop", "backup", str(tmp_path / "b.sqlite")).returncode == 0
        in_use = ran(folder, "shop", "restore", str(tmp_path / "b.sqlite"), "--replace")
        assert in_use.returncode == 2
        assert "Another foamwright has the database open" in in_use.stderr
    checked = json.loads(ran(folder, "shop", "check", "--json").stdout)
    assert checked["rows"]["people"] == 1
    refused = ran(folder, "shop", "restore", str(tmp_path / "b.sqlite"))
    assert refused.returncode == 2
    assert "--replace" in refused.stderr
    assert (
        ran(folder, "shop", "export", str(tmp_path / "e.zip")).stdout
        == f"Everything is in {tmp_path / 'e.zip'}.\n"
    )
    restored = json.loads(
        ran(folder, "shop", "restore", str(tmp_path / "e.zip"), "--replace", "--json").stdout
    )
    assert Path(restored["kept"]).exists()
    assert "is whole." in ran(folder, "shop", "check").stdout


def test_an_act_without_its_file_is_told(folder):
    done = ran(folder, "shop", "backup")
    assert done.returncode == 2
    assert done.stderr == "FILE: backup needs a file. Write: foamwright shop backup FILE\n"
