"""The OpenAPI document, and schemathesis on it: no 5xx, no answer that is not documented."""

from __future__ import annotations

import json
import os
import re
import runpy
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest
from running import Running
from shop_fixtures import EXAMPLES, TEACHER

from foamwright.blank.sheet import stock_from_text
from foamwright.shop.boards import add_board
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.kinds import Measured, Role
from foamwright.shop.notes import add_note
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.plans import StepWish, put_plan
from foamwright.shop.readings import ReadingWish, accept_all, store_readings
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import Unit

EXAMPLES_EACH = int(os.environ.get("FOAMWRIGHT_SCHEMATHESIS", "3"))
"""How many requests are made up for each route; the figure in docs/app.md was measured with 30."""

CHECKS = "not_a_server_error,status_code_conformance,content_type_conformance,response_schema_conformance"
ROOT = Path(__file__).parents[3]


@pytest.fixture
def filled_url(database, database_url, clock):
    with database.writing(TEACHER) as work:
        take_in(
            work,
            stock_from_text((EXAMPLES / "two-yards.stock.toml").read_text(), "s"),
            "",
            Unit.INCH,
            CountRule.SET,
        )
        add_board(work, (EXAMPLES / "groyne-6-4.board.toml").read_text())
        add_person(work, PersonWish("Ada"))
        for n in range(3):
            job = open_job(work, JobWish(f"Job {n}", 1, 1))
            put_plan(work, job.id, 1, "{}", [StepWish("rocker", "run-off", 3, {})])
            add_note(work, job.id, Role.TEACHER, "Turn the plane.")
            one = ReadingWish(
                f"tablet-{n:016}", 1, "rocker", "nose", 1.9, Measured.ROCKER, 0.1, "", "", clock()
            )
            store_readings(work, job.id, [one], accept_all)
    database.close()
    return database_url


def test_no_fault_and_no_answer_that_is_not_documented(filled_url, tmp_path):
    # Every edge of every field takes a minute; a measured run does it on both databases.
    every_edge = filled_url.startswith("sqlite") or "FOAMWRIGHT_SCHEMATHESIS" in os.environ
    phases = "examples,coverage,fuzzing" if every_edge else "examples,fuzzing"
    with Running(tmp_path / "data", "--port", "0", "--database", filled_url) as app:
        with urllib.request.urlopen(app.host + "/api/me", timeout=10) as answer:
            token, cookie = json.load(answer)["csrf"], answer.headers["set-cookie"].partition(";")[0]
        command = [
            str(Path(sys.executable).parent / "schemathesis"), "run", app.host + "/api/openapi.json",
            "-H", f"X-Foamwright-Csrf: {token}", "-H", f"Cookie: {cookie}", "--checks", CHECKS,
            # The live stream never ends; test_live follows it.
            "--exclude-path", "/api/live", "--phases", phases,
            "--max-examples", str(EXAMPLES_EACH), "--seed", "1", "--generation-database", "none",
            "--no-color",
        ]  # fmt: skip
        hooks = Path(__file__).parents[2] / "shop_support" / "schemathesis_hooks.py"
        env = {**os.environ, "SCHEMATHESIS_HOOKS": "schemathesis_hooks", "PYTHONPATH": str(hooks.parent)}
        done = subprocess.run(
            command, capture_output=True, text=True, env=env, cwd=tmp_path, timeout=900, check=False
        )
        assert done.returncode == 0, done.stdout[-6000:]
        said = app.stop()[1]
    assert "Traceback" not in said, said[-3000:]
    selected, total = map(int, re.search(r"(\d+) selected / (\d+) total", done.stdout).groups())
    assert selected == total - 1 >= 42


def test_every_route_is_explained_and_every_error_has_the_one_shape(local_app):
    document = local_app.openapi()
    routes = [
        (path, verb, route) for path, verbs in document["paths"].items() for verb, route in verbs.items()
    ]
    assert len(routes) >= 43
    for path, verb, route in routes:
        assert path.startswith("/api/")
        assert route["description"], (path, verb)
        for status, answer in route["responses"].items():
            if int(status) >= 400:
                (schema,) = (content["schema"] for content in answer["content"].values())
                names = [part.get("$ref", "") for part in schema.get("anyOf", [schema])]
                assert "#/components/schemas/Problems" in names, (path, verb, status)


def test_nothing_in_the_document_points_nowhere(local_app):
    text = json.dumps(local_app.openapi())
    assert '"#/$defs' not in text


def test_names_of_routes_are_used_once(local_app):
    names = [r["operationId"] for verbs in local_app.openapi()["paths"].values() for r in verbs.values()]
    assert len(names) == len(set(names))


def test_the_page_about_the_interface_is_as_the_interface_is(local_app):
    maker = runpy.run_path(str(ROOT / "scripts" / "make_api_docs.py"))
    assert maker["page"](local_app.openapi()) == (ROOT / "docs" / "api.md").read_text("utf-8"), (
        "write it anew: python scripts/make_api_docs.py"
    )
