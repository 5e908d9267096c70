"""Files that cannot be read say why."""

from pathlib import Path

import pytest

from foamwright.errors import InputError
from foamwright.sheets.files import MOST_BYTES, read_text


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"\xef\xbb\xbfname = 1")
    assert read_text(file) == "name = 1"


def test_a_missing_file_names_the_nearest(tmp_path: Path) -> None:
    (tmp_path / "groyne.board.toml").write_text("")
    with pytest.raises(InputError, match=r"does not exist\. Did you mean groyne\.board\.toml\?"):
        read_text(tmp_path / "groine.board.toml")


def test_a_missing_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no folder"):
        read_text(tmp_path / "nowhere" / "a.toml")


def test_a_missing_file_with_nothing_near(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="the folder is"):
        read_text(tmp_path / "a.toml")


def test_a_folder(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"):
        read_text(tmp_path)


def test_a_name_that_is_none(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="not a file name"):
        read_text(str(tmp_path / "a\0b"))


def test_a_name_too_long(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="cannot be read"):
        read_text(tmp_path / ("x" * 5000))


def test_a_file_one_may_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # The tests may run as root, who may read anything.
    def refuse(self: Path, mode: str) -> None:
        raise PermissionError(13, "Permission denied")

    file = tmp_path / "a.toml"
    file.write_text("")
    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(InputError, match="may not be read"):
        read_text(file)
    with pytest.raises(InputError, match="is a folder"):
        read_text(tmp_path)


def test_no_utf8_names_the_line(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"a = 1\nb = '\xe9'\n")
    with pytest.raises(InputError, match=r"a\.toml, line 2: This is not UTF-8"):
        read_text(file)


def test_utf16(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes("a = 1".encode("utf-16"))
    with pytest.raises(InputError, match="UTF-16"):
        read_text(file)


def test_the_largest_file(tmp_path: Path) -> None:
    file = tmp_path / "a.toml"
    file.write_bytes(b"#" * MOST_BYTES)
    assert len(read_text(file)) == MOST_BYTES
    file.write_bytes(b"#" * (MOST_BYTES + 1))
    with pytest.raises(InputError, match="larger than 1 MB"):
        read_text(file)
