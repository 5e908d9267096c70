"""Where backups and databases go: nothing of others is replaced, and no disk's refusal goes without words."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from foamwright.errors import InputError
from foamwright.shop.exporting import back_up, export_file
from foamwright.shop.opening import open_database
from foamwright.shop.restoring import Existing, restore
from foamwright.shop.told import UnfitError


@pytest.fixture
def shop(tmp_path: Path):
    with closing(open_database(f"sqlite:///{tmp_path / 'shop.sqlite'}")) as database:
        yield database


@pytest.mark.parametrize(("write", "kind"), [(back_up, "backup"), (export_file, "export")])
def test_a_file_of_somebody_else_stays(shop, tmp_path, write, kind):
    mine = tmp_path / "g.toml"
    mine.write_bytes(b"name = 1\n")
    with pytest.raises(UnfitError, match=f"is there already and is no {kind} of ours"):
        write(shop, mine)
    assert mine.read_bytes() == b"name = 1\n"


def test_a_backup_is_no_export_and_an_export_no_backup(shop, tmp_path):
    back_up(shop, tmp_path / "a")
    export_file(shop, tmp_path / "b")
    with pytest.raises(UnfitError, match="no export of ours"):
        export_file(shop, tmp_path / "a")
    with pytest.raises(UnfitError, match="no backup of ours"):
        back_up(shop, tmp_path / "b")


def test_an_older_backup_is_replaced_through_its_link(shop, tmp_path):
    for write, name in ((back_up, "a"), (export_file, "b")):
        write(shop, tmp_path / name)
        (tmp_path / f"{name}.link").symlink_to(name)
        write(shop, tmp_path / f"{name}.link")
        assert (tmp_path / f"{name}.link").is_symlink()


def test_the_database_is_no_place_for_its_own_backup(shop, tmp_path):
    (tmp_path / "link").symlink_to("shop.sqlite")
    with pytest.raises(UnfitError, match="the database itself"):
        back_up(shop, tmp_path / "link")


@pytest.mark.parametrize("write", [back_up, export_file])
def test_a_disk_that_takes_no_file_is_told(shop, write, tmp_path):
    (tmp_path / "file").write_bytes(b"x")
    with pytest.raises(InputError, match="Cannot write"):
        write(shop, tmp_path / "file" / "below" / "x")


def test_a_backup_cut_short_is_told_and_what_was_there_stays(shop, tmp_path):
    back_up(shop, tmp_path / "whole.sqlite")
    before = (tmp_path / "shop.sqlite").read_bytes()
    for count in (300, 30_000):
        cut = tmp_path / "cut.sqlite"
        cut.write_bytes((tmp_path / "whole.sqlite").read_bytes()[:count])
        with pytest.raises(UnfitError, match="The backup is damaged"):
            restore(cut, f"sqlite:///{tmp_path / 'shop.sqlite'}", tmp_path / "kept", Existing.GIVE_WAY)
    assert (tmp_path / "shop.sqlite").read_bytes() == before


def test_a_folder_that_is_a_file_is_told(tmp_path):
    (tmp_path / "plain").write_bytes(b"x")
    with pytest.raises(UnfitError, match="cannot be kept there: it is a file"):
        open_database(f"sqlite:///{tmp_path / 'plain' / 'shop.sqlite'}")
    with pytest.raises(UnfitError, match="cannot be kept there: Not a directory"):
        open_database(f"sqlite:///{tmp_path / 'plain' / 'below' / 'shop.sqlite'}")
