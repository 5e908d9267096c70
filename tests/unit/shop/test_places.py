"""Where the shop keeps its things."""

from __future__ import annotations

from pathlib import Path

import pytest

from foamwright.shop.engines import engine_of
from foamwright.shop.opening import open_database, sqlite_path
from foamwright.shop.places import data_folder, usual_url


def test_the_folder_can_be_named(monkeypatch, tmp_path):
    monkeypatch.setenv("FOAMWRIGHT_DATA", str(tmp_path / "mine"))
    assert data_folder() == tmp_path / "mine"
    monkeypatch.delenv("FOAMWRIGHT_DATA")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "theirs"))
    assert data_folder().name == "foamwright"


@pytest.mark.parametrize("name", ["plain", "with space", "100% foam?", "Öl#1", "a&b=c;d"])
def test_any_name_of_a_folder_will_do(tmp_path, name):
    url = usual_url(tmp_path / name)
    assert sqlite_path(engine_of(url)) == tmp_path / name / "shop.sqlite"
    open_database(url).close()
    assert [Path(f).name for f in (tmp_path / name).iterdir()] == ["shop.sqlite"]
