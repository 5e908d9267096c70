"""Backup, export and restore onto a disk that is full: words, exit code 2, nothing half, no journal."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.exporting import back_up
from foamwright.shop.people import PersonWish, add_person

# A limit of the system on the size of a file stands for the full disk: no mount is needed for it.
LIMITED = """
import resource, sys
from foamwright.cli.main import main
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]),) * 2)
sys.exit(main(sys.argv[2:]))
"""


@pytest.fixture
def filled(open_shop, sqlite_url):
    shop = open_shop(sqlite_url)
    with shop.writing(TEACHER) as work:
        for number in range(200):
            # Texts that do not pack well, so that the export is large too.
            add_person(work, PersonWish(f"Rider {number}", note=os.urandom(900).hex()))
    return shop


@pytest.mark.skipif(sys.platform == "win32", reason="no such limit on Windows")
@pytest.mark.parametrize("act", ["backup", "export", "restore"])
@pytest.mark.parametrize("size", [0, 1000, 70_000, 200_000])
def test_a_full_disk_is_told_and_nothing_is_left(filled, sqlite_url, tmp_path, act, size):
    place = tmp_path / "place"
    place.mkdir()
    url, file = sqlite_url, place / "copy"
    if act == "restore":
        file = tmp_path / "whole.sqlite"
        back_up(filled, file)
        url = f"sqlite:///{place / 'shop.sqlite'}"
    environment = {**os.environ, "FOAMWRIGHT_DATA": str(tmp_path / "data")}
    command = [sys.executable, "-c", LIMITED, str(size), "shop", act, str(file), "--database", url]
    done = subprocess.run(command, capture_output=True, text=True, env=environment, check=False)
    assert done.returncode == 2, done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert list(place.iterdir()) == []
