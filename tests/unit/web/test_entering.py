"""On the local network nobody enters without pairing, and a bench sees its own job."""

from __future__ import annotations

import re
import threading
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import quote

import pytest
from argon2.exceptions import VerificationError

from foamwright.shop.database import Actor
from foamwright.shop.passwords import set_password
from foamwright.shop.told import RefusedError, TooManyError, told
from foamwright.web.rate import Rate

PASSWORD = "foam plane batten tide"

PAGES = ["/", "/jobs", "/jobs/1", "/boards", "/stock", "/people", "/access", "/export.zip"]
INTERFACE = [
    "/api/people", "/api/boards", "/api/stock", "/api/jobs", "/api/jobs/1", "/api/jobs/1/readings",
    "/api/class", "/api/devices", "/api/export", "/api/live", "/api/stock/sheets", "/api/jobs/1/history",
    "/api/jobs/1/steps",
]  # fmt: skip


@pytest.fixture
def jobs(host):
    return [host.post("/api/jobs", json={"title": title}).json()["id"] for title in ("First", "Second")]


def code_for(host, role="bench", job_id=None, label="Bench 3"):
    made = host.post("/api/pairing/codes", json={"role": role, "job_id": job_id, "label": label})
    assert made.status_code == 201, made.text
    return made.json()


def paired(tablet, code, **more):
    one = tablet(**more).meet()
    answer = one.post("/api/pairing", json={"code": code})
    assert answer.status_code == 200, answer.text
    return one.meet()


@pytest.mark.parametrize("path", PAGES)
def test_a_stranger_is_sent_to_pair(tablet, jobs, path):
    answer = tablet().get(path, follow_redirects=False)
    onward = "" if path == "/" else f"?next={quote(path.partition('?')[0], safe='')}"
    assert (answer.status_code, answer.headers["location"]) == (303, f"/pair{onward}")


def test_the_code_on_a_job_sheet_leads_through_pairing_to_its_bench(tablet, host, jobs):
    """A tablet that is not paired opens the printed address, pairs by the form it is shown, and is there."""
    printed = f"/jobs/{jobs[0]}/bench"
    one = tablet()
    page = one.get(printed)
    assert page.url.path == "/pair"
    onward = re.search(r'name="next" value="([^"]*)"', page.text)[1]
    code = code_for(host, job_id=jobs[0])["code"]
    answer = one.send_form(str(page.url), "/pair", {"code": code, "next": onward})
    assert answer.headers["location"] == printed


@pytest.mark.parametrize("path", INTERFACE)
def test_a_strangers_program_is_refused(tablet, jobs, path):
    answer = tablet().get(path)
    assert answer.status_code == 401
    assert "not paired" in answer.json()["problems"][0]["what"]


def test_a_stranger_changes_nothing(tablet, jobs):
    one = tablet().meet()
    for path in ("/api/people", "/api/jobs", "/api/pairing/codes"):
        assert (
            one.post(path, json={"name": "Eve", "title": "Eve", "role": "teacher", "label": "x"}).status_code
            == 401
        )
    assert one.post("/people", data={"name": "Eve"}, follow_redirects=False).status_code == 303


def test_calling_it_by_the_hosts_name_from_elsewhere_does_not_make_one_the_host(tablet, lan_app, visit):
    for host in ("127.0.0.1", "localhost"):
        far = visit(lan_app, "192.168.7.31", f"https://{host}:8421")
        assert far.get("/api/me").json()["role"] is None
    for header in ("x-forwarded-for", "forwarded", "x-real-ip"):
        assert tablet().get("/api/me", headers={header: "127.0.0.1"}).json()["role"] is None


def test_a_page_of_a_paired_bench(tablet, host, jobs):
    shown = code_for(host, job_id=jobs[0])
    assert shown["address"] == f"https://192.168.7.20:8421/pair?code={shown['code']}"
    one = tablet()
    page = one.get(f"/pair?code={shown['code']}").text
    assert f'value="{shown["code"]}"' in page
    answer = one.send_form("/pair", "/pair", {"code": shown["code"], "next": ""})
    assert answer.headers["location"] == f"/jobs/{jobs[0]}"
    assert one.get(f"/jobs/{jobs[0]}").status_code == 200
    assert one.get("/", follow_redirects=True).url.path == f"/jobs/{jobs[0]}"


def test_a_bench_sees_its_own_job_and_no_other(tablet, host, jobs):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    assert bench.get("/api/me").json()["job_id"] == jobs[0]
    for path in ("", "/readings", "/steps", "/notes"):
        assert bench.get(f"/api/jobs/{jobs[0]}{path}").status_code == 200
        assert bench.get(f"/api/jobs/{jobs[1]}{path}").status_code == 403
    assert bench.get(f"/jobs/{jobs[1]}").status_code == 403
    assert bench.get(f"/api/live?job={jobs[1]}").status_code == 403
    assert bench.post(f"/api/jobs/{jobs[1]}/notes", json={"words": "hello"}).status_code == 403
    assert bench.post(f"/api/jobs/{jobs[0]}/notes", json={"words": "hello"}).status_code == 201
    assert bench.post(f"/api/jobs/{jobs[1]}/readings", json={"readings": [{}]}).status_code == 403


@pytest.mark.parametrize(
    "path", [p for p in INTERFACE if "/jobs/1" not in p and "live" not in p] + ["/api/jobs/1/history"]
)
def test_a_bench_sees_nothing_of_the_shop(tablet, host, jobs, path):
    assert paired(tablet, code_for(host, job_id=jobs[0])["code"]).get(path).status_code == 403


@pytest.mark.parametrize(
    "path", ["/boards", "/stock", "/people", "/access", "/export.zip", "/stock/sheet/EUR"]
)
def test_a_bench_sees_none_of_the_teachers_pages(tablet, host, jobs, path):
    assert paired(tablet, code_for(host, job_id=jobs[0])["code"]).get(path).status_code == 403


def test_a_bench_cannot_teach(tablet, host, jobs):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    job = f"/api/jobs/{jobs[0]}"
    refused = [
        bench.put(job, json={"title": "Mine", "revision": 1}),
        bench.put(f"{job}/blank", json={"blank_id": None}),
        bench.put(f"{job}/stage", json={"stage": "x", "state": "finished"}),
        bench.put(f"{job}/readings/1", json={"state": "accepted"}),
        bench.post("/api/pairing/codes", json={"role": "bench", "job_id": jobs[0], "label": "x"}),
        bench.delete("/api/devices/1"),
    ]
    assert [answer.status_code for answer in refused] == [403] * len(refused)


def test_a_teacher_teaches_but_lets_no_teacher_in(tablet, host, jobs):
    teacher = paired(tablet, code_for(host, "teacher", label="Laptop")["code"])
    assert teacher.get("/api/class").status_code == 200
    assert teacher.get("/access").status_code == 200
    assert code_for(teacher, job_id=jobs[0])["role"] == "bench"
    for role in ("teacher", "desk"):
        asked = teacher.post("/api/pairing/codes", json={"role": role, "label": "x"})
        assert asked.status_code == 403
    assert host.post("/api/pairing/codes", json={"role": "desk", "label": "x"}).status_code == 403
    assert teacher.send_form("/access", "/access/password", {"password": PASSWORD}).status_code == 403


def test_the_code_is_shown_on_the_host_once(host, jobs):
    page = host.send_form(
        "/access", "/access/codes", {"role": "bench", "job_id": str(jobs[0]), "label": "Bench 3"}
    )
    assert page.status_code == 200
    assert 'class="qr"' in page.text
    assert "code for Bench 3" in page.text
    assert 'class="qr"' not in host.get("/access").text


def test_wrong_codes_are_slowed_down(tablet, host, jobs, clock):
    shown = code_for(host, job_id=jobs[0])
    one = tablet().meet()
    wrong = f"{(int(shown['code']) + 1) % 10**8:08d}"
    assert [one.post("/api/pairing", json={"code": wrong}).status_code for _ in range(5)] == [403] * 5
    slowed = one.post("/api/pairing", json={"code": shown["code"]})
    assert slowed.status_code == 429
    assert "Wait 60 seconds" in slowed.json()["problems"][0]["remedy"]
    # Another device is not held up by this one.
    assert tablet("192.168.7.32").meet().post("/api/pairing", json={"code": wrong}).status_code == 403
    clock.pass_by(seconds=61)
    assert one.post("/api/pairing", json={"code": shown["code"]}).status_code == 200


def test_many_devices_guessing_leave_the_code_to_whom_it_is_meant_for(tablet, host, jobs):
    shown = code_for(host, job_id=jobs[0])
    wrong = f"{(int(shown['code']) + 1) % 10**8:08d}"
    for n in range(10):
        tablet(f"192.168.7.{100 + n}").meet().post("/api/pairing", json={"code": wrong})
    assert tablet().meet().post("/api/pairing", json={"code": shown["code"]}).status_code == 200


def at_once(count, send):
    """Send so many requests at the same moment; return how often each status came."""
    gate = threading.Barrier(count)

    def one(number):
        gate.wait()
        return send(number).status_code

    with ThreadPoolExecutor(count) as pool:
        return Counter(pool.map(one, range(count)))


def test_thirty_wrong_codes_at_one_moment_are_five_tries(tablet, host, jobs):
    shown = code_for(host, job_id=jobs[0])
    wrong = f"{(int(shown['code']) + 1) % 10**8:08d}"
    tablets = [tablet().meet() for _ in range(30)]
    got = at_once(30, lambda n: tablets[n].post("/api/pairing", json={"code": wrong}))
    assert got == {403: 5, 429: 25}
    other = tablet("192.168.7.32").meet()
    assert other.post("/api/pairing", json={"code": shown["code"]}).status_code == 200


def test_all_together_have_so_many_wrong_tries(clock):
    rate = Rate(clock, most_in_all=12)
    tried = Counter()
    for number in range(20):
        try:
            with rate.trying(f"192.168.7.{number}"):
                raise RefusedError(told("code", "code-wrong"))
        except (RefusedError, TooManyError) as why:
            tried[type(why)] += 1
    assert tried == {RefusedError: 12, TooManyError: 8}
    clock.pass_by(seconds=61)
    # What is not wrong is not counted.
    for _ in range(30):
        with rate.trying("192.168.7.1"):
            pass


def test_sixty_wrong_passwords_at_one_moment_do_not_hold_the_host(tablet, host, database, monkeypatch):
    """As many wait for the hashing as may; the host's page has threads left whatever they do."""
    with database.writing(Actor("t")) as work:
        set_password(work, PASSWORD)
    tablets = [tablet(f"192.168.7.{n}").meet() for n in range(60)]
    body = {"password": "wrong wrong wrong", "label": "x"}
    begun, go_on = threading.Semaphore(0), threading.Event()

    class Slow:
        def verify(self, *_):
            begun.release()
            assert go_on.wait(30)
            raise VerificationError

    monkeypatch.setattr("argon2.PasswordHasher", Slow)
    with ThreadPoolExecutor(61) as pool:
        waiting = [pool.submit(tablets[n].post, "/api/pairing", json=body) for n in range(60)]
        assert begun.acquire(timeout=30)
        # While one is hashed, two wait and the others are sent away, the host is answered.
        assert pool.submit(host.get, "/access").result(timeout=20).status_code == 200
        go_on.set()
        got = Counter(answer.result(timeout=30).status_code for answer in waiting)
    assert set(got) == {403, 429}
    assert got[403] < 30


def test_a_bench_without_a_job_gets_no_code(host, jobs):
    sent = {"role": "bench", "label": "Bench 3"}
    assert host.post("/api/pairing/codes", json=sent).status_code == 422


def test_a_device_that_is_let_go_is_out(tablet, host, jobs):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    (device,) = host.get("/api/devices").json()["devices"]
    assert host.delete(f"/api/devices/{device['id']}").status_code == 204
    assert bench.get(f"/api/jobs/{jobs[0]}").status_code == 401
    assert host.get("/api/devices").json()["devices"] == []


def test_a_device_leaves(tablet, host, jobs):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    assert bench.send_form(f"/jobs/{jobs[0]}", "/leave", {}).headers["location"] == "/pair"
    assert bench.get(f"/jobs/{jobs[0]}", follow_redirects=False).status_code == 303


def test_a_token_of_another_shop_is_worth_nothing(tablet, host, jobs):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    name = "__Host-foamwright-session"
    token = bench.cookies[name]
    for forged in (token[:-1] + ("0" if token[-1] != "0" else "1"), token.partition(".")[0], "x." + token):
        bench.cookies.clear()
        bench.cookies.set(name, forged, domain="192.168.7.20")
        assert bench.get(f"/api/jobs/{jobs[0]}").status_code == 401


def test_the_teachers_password(tablet, host, database):
    with database.writing(Actor("t")) as work:
        set_password(work, PASSWORD)
    one = tablet()
    wrong = one.send_form("/pair", "/pair", {"password": "wrong wrong wrong", "label": "Laptop"})
    assert wrong.status_code == 403
    assert "wrong wrong wrong" not in wrong.text
    assert 'value="Laptop"' in wrong.text
    entered = one.send_form("/pair", "/pair", {"password": PASSWORD, "label": "Laptop", "next": "/stock"})
    assert entered.headers["location"] == "/stock"
    assert one.get("/api/me").json()["role"] == "teacher"


@pytest.mark.parametrize(
    "onward", ["//evil.example", "https://evil.example", "/\\evil.example", "javascript:x"]
)
def test_pairing_leads_nowhere_else(tablet, host, jobs, onward):
    shown = code_for(host, "teacher")
    answer = tablet().send_form("/pair", "/pair", {"code": shown["code"], "next": onward})
    assert answer.headers["location"] == "/"


def test_a_session_is_worth_nothing_where_only_the_host_is_served(local_app, tablet, host, jobs, visit):
    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    far = visit(local_app, "192.168.7.31", "http://127.0.0.1")
    for name, value in bench.cookies.items():
        far.cookies.set(name.removeprefix("__Host-"), value, domain="127.0.0.1")
    assert far.get("/api/me").json()["role"] is None


def test_the_authority_is_given_to_anybody(tablet):
    one = tablet()
    assert one.get("/authority.crt").content == b"PEM"
    assert "private networks" in one.get("/trust").text


def test_a_bench_reads_its_job_though_the_disk_is_full(tablet, host, jobs, clock, monkeypatch):
    from foamwright.shop.told import FullError, told

    bench = paired(tablet, code_for(host, job_id=jobs[0])["code"])
    clock.pass_by(minutes=5)

    def no_room(*_):
        raise FullError(told("database", "full"))

    monkeypatch.setattr("foamwright.web.visitors.saw_session", no_room)
    assert bench.get(f"/api/jobs/{jobs[0]}").status_code == 200
