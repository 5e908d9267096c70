import errno
import hashlib
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from foamwright import files
from foamwright.errors import InputError
from foamwright.files import settle_folder, write_atomically, write_folder_atomically


def everything(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*"))


def test_a_file_is_written_whole_with_its_folders(tmp_path):
    write_atomically(tmp_path / "a" / "b" / "plan.json", b"{}")
    assert everything(tmp_path) == ["a", "a/b", "a/b/plan.json"]
    assert (tmp_path / "a/b/plan.json").read_bytes() == b"{}"


def test_an_older_file_is_replaced(tmp_path):
    (tmp_path / "plan.json").write_bytes(b"old")
    write_atomically(tmp_path / "plan.json", b"new")
    assert (tmp_path / "plan.json").read_bytes() == b"new"
    assert everything(tmp_path) == ["plan.json"]


def test_a_set_of_files_is_written_with_folders_inside(tmp_path):
    write_folder_atomically(tmp_path / "job", {"plan.json": b"1", "templates/outline.svg": b"2"})
    assert everything(tmp_path) == ["job", "job/plan.json", "job/templates", "job/templates/outline.svg"]


def full_disk_after(writes, monkeypatch):
    real, count = os.fsync, iter(range(100))

    def fsync(descriptor):
        if next(count) >= writes:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        real(descriptor)

    monkeypatch.setattr(files.os, "fsync", fsync)


def test_a_disk_that_fills_up_leaves_nothing_of_the_set(tmp_path, monkeypatch):
    full_disk_after(2, monkeypatch)
    contents = {"plan.json": b"1", "sheet.pdf": b"2", "templates/outline.svg": b"3"}
    with pytest.raises(InputError, match=r"the disk is full\. Free some space") as caught:
        write_folder_atomically(tmp_path / "job", contents)
    assert caught.value.exit_code == 2
    assert everything(tmp_path) == []


def test_a_disk_that_fills_up_leaves_the_older_files_as_they_were(tmp_path, monkeypatch):
    write_folder_atomically(tmp_path, {"plan.json": b"old", "sheet.pdf": b"old"})
    full_disk_after(1, monkeypatch)
    with pytest.raises(InputError, match="the disk is full"):
        write_folder_atomically(tmp_path, {"plan.json": b"new", "sheet.pdf": b"new"})
    assert {(tmp_path / name).read_bytes() for name in everything(tmp_path)} == {b"old"}


def test_a_file_where_a_folder_is_needed(tmp_path):
    (tmp_path / "out").write_bytes(b"")
    with pytest.raises(InputError, match="a file stands where a folder is needed"):
        write_atomically(tmp_path / "out" / "deeper" / "plan.json", b"{}")
    assert everything(tmp_path) == ["out"]


def test_a_folder_where_a_file_is_to_go(tmp_path):
    (tmp_path / "plan.json").mkdir()
    with pytest.raises(InputError, match="a folder of that name stands there"):
        write_folder_atomically(tmp_path, {"a.svg": b"", "plan.json": b"{}"})
    assert everything(tmp_path) == ["plan.json"]


def test_a_name_that_is_too_long(tmp_path):
    with pytest.raises(InputError, match="the name is too long"):
        write_atomically(tmp_path / ("x" * 300), b"")


@pytest.mark.skipif(
    os.name == "nt" or os.geteuid() == 0, reason="needs a user whose rights can be taken away"
)
def test_a_folder_that_may_not_be_written_to(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(InputError, match="you may not write there"):
        write_atomically(tmp_path / "plan.json", b"{}")


def test_a_fault_of_ours_leaves_nothing_either(tmp_path):
    with pytest.raises(TypeError, match="bytes-like"):
        write_folder_atomically(tmp_path / "job", {"a": b"1", "b": "not bytes"})  # type: ignore[dict-item]
    assert everything(tmp_path) == []


_LIMITED = """
import resource, sys
from pathlib import Path
from foamwright.errors import InputError
from foamwright.files import write_folder_atomically
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_folder_atomically(Path(sys.argv[1]), {"small": b"1", "large": b"2" * 5000})
except InputError as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such limit on Windows")
def test_a_limit_of_the_system_itself_leaves_nothing(tmp_path: Path):
    command = [sys.executable, "-c", _LIMITED, str(tmp_path / "job")]
    said = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    assert "larger than that disk takes" in said
    assert everything(tmp_path) == []


def test_a_link_stays_and_its_target_is_written(tmp_path):
    (tmp_path / "far").mkdir()
    (tmp_path / "far" / "plan.json").write_bytes(b"old")
    (tmp_path / "link.json").symlink_to("far/plan.json")
    (tmp_path / "dangling.json").symlink_to("far/new.json")
    write_atomically(tmp_path / "link.json", b"new")
    write_atomically(tmp_path / "dangling.json", b"first")
    assert (tmp_path / "link.json").is_symlink()
    assert (tmp_path / "dangling.json").is_symlink()
    assert (tmp_path / "far/plan.json").read_bytes() == b"new"
    assert (tmp_path / "far/new.json").read_bytes() == b"first"
    assert everything(tmp_path) == ["dangling.json", "far", "far/new.json", "far/plan.json", "link.json"]


@pytest.mark.parametrize(("target", "words"), [("none/a", "no such folder"), ("b", "in a circle")])
def test_a_link_that_leads_nowhere_is_told(tmp_path, target, words):
    (tmp_path / "b").symlink_to(target)
    with pytest.raises(InputError, match=words):
        write_atomically(tmp_path / "b", b"new")
    assert everything(tmp_path) == ["b"]


_KILLED = """
import os, signal, sys
from pathlib import Path
from foamwright import files
calls = {"left": int(sys.argv[2])}
def counted(real):
    def call(*words, **named):
        if calls["left"] == 0:
            os.kill(os.getpid(), signal.SIGKILL)
        calls["left"] -= 1
        return real(*words, **named)
    return call
# Killed before each call that changes the disk, one after the other.
Path.replace, Path.unlink, Path.mkdir = counted(Path.replace), counted(Path.unlink), counted(Path.mkdir)
os.fsync, os.open = counted(os.fsync), counted(os.open)
files.write_folder_atomically(Path(sys.argv[1]), {n: b"new " + n.encode() for n in ("a", "b", "c", "d/e")})
print("whole", calls["left"])
"""

NAMES = ("a", "b", "c", "d/e")


@pytest.mark.skipif(sys.platform == "win32", reason="kills as Linux and macOS do")
@pytest.mark.parametrize("before", [{}, {"a": b"old a", "b": b"old b", "c": b"old c", "d/e": b"old d/e"}])
def test_a_kill_at_any_moment_leaves_all_or_nothing_after_the_next_look(tmp_path, before):
    """The program is killed before every single step on the disk; the next look finds one set or another."""
    seen = set()
    for step in range(100):
        folder = tmp_path / str(step)
        folder.mkdir()
        for name, content in before.items():
            (folder / name).parent.mkdir(exist_ok=True)
            (folder / name).write_bytes(content)
        command = [sys.executable, "-c", _KILLED, str(folder), str(step)]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        settle_folder(folder)
        found = {name: (folder / name).read_bytes() for name in NAMES if (folder / name).is_file()}
        new = {name: b"new " + name.encode() for name in NAMES}
        assert found in (before, new), (step, found)
        # What waited in a folder inside is cleared away by the next that writes there.
        write_folder_atomically(folder, new)
        assert everything(folder) == ["a", "b", "c", "d", "d/e"]
        seen.add(found == new)
        if done.returncode == 0:
            break
        assert done.returncode == -9, done.stderr
    assert step > 15
    assert seen == {True, False}


def test_a_change_that_somebody_made_up_moves_nothing(tmp_path):
    """What is written down must be of this folder, of plain files, and with the digest of what lies there."""
    outside, folder = tmp_path / "outside", tmp_path / "job"
    folder.mkdir()
    outside.write_bytes(b"mine")
    (tmp_path / ".outside.7.foamwright.part").write_bytes(b"theirs")
    (folder / ".link.7.foamwright.part").write_bytes(b"theirs")
    (folder / "link").symlink_to(outside)
    digest = hashlib.sha256(b"theirs").hexdigest()
    for name, told in (
        ("../outside", digest),
        (str(outside), digest),
        ("link", digest),
        ("x", 3),
        ("link", "0"),
    ):
        (folder / ".foamwright-change.json").write_text(json.dumps({"process": 7, "files": {name: told}}))
        if name == "x":
            (folder / ".x.7.foamwright.part").write_bytes(b"theirs")
        with pytest.raises(InputError, match="was broken off"):
            settle_folder(folder)
    (folder / ".foamwright-change.json").write_bytes(b"[" * 100_000)
    with pytest.raises(InputError, match="was broken off"):
        settle_folder(folder)
    assert outside.read_bytes() == b"mine"
