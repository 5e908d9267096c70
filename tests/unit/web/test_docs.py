"""What docs/api.md tells people to type works as it stands."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from running import Running

DOCS = Path(__file__).parents[3] / "docs"


@pytest.mark.skipif(shutil.which("curl") is None, reason="left out: curl is not installed")
def test_the_commands_of_the_page_about_the_interface_work(tmp_path):
    (block,) = re.findall(r"```sh\n(.*?)```", (DOCS / "api.md").read_text("utf-8"), re.DOTALL)
    with Running(tmp_path / "data", "--port", "0") as app:
        script = block.replace("http://127.0.0.1:8420", app.host)
        done = subprocess.run(["sh", "-c", script], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert json.loads(done.stdout)["title"] == "First board"


def test_every_option_of_serve_and_shop_is_told_in_the_page_about_the_app():
    page = (DOCS / "app.md").read_text("utf-8")
    for command in ("serve", "shop"):
        source = Path(__file__).parents[3] / "src" / "foamwright" / "cli" / "commands" / f"{command}.py"
        for option in re.findall(r'add_argument\(\s*"(--[a-z-]+)"', source.read_text("utf-8")):
            assert f"`{option}" in page, option
    for act in ("backup", "restore", "check", "export"):
        assert f"foamwright shop {act}" in page
