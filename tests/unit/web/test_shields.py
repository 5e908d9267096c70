"""What stands before the app: headers, names, sizes, and forms that only our own pages send."""

from __future__ import annotations

from typing import ClassVar

import pytest

from foamwright.web.shields import HEADERS
from foamwright.web.statics import static_url

PATHS = ["/jobs", "/nothing", "/api/me", "/api/nothing", "/api/people/999", "/authority.crt", "/export.zip"]


@pytest.mark.parametrize("path", PATHS)
def test_the_headers_are_on_every_answer(desk, path):
    answer = desk.get(path)
    for name, value in HEADERS.items():
        assert answer.headers[name] == value
    assert answer.headers["cache-control"] == "no-store"


def test_a_fault_of_ours_is_told_with_the_headers_and_without_its_inside(desk, monkeypatch):
    def burst(*_):
        raise RuntimeError("secret detail")

    monkeypatch.setattr("foamwright.web.pages.people.people_page", burst)
    monkeypatch.setattr("foamwright.web.api.people.all_people", burst)
    for path in ("/people", "/api/people"):
        answer = desk.get(path)
        assert answer.status_code == 500
        assert "secret detail" not in answer.text
        assert "This is a fault of ours; nothing was stored." in answer.text
        assert answer.headers["content-security-policy"] == HEADERS["Content-Security-Policy"]


def test_no_page_has_a_script_or_a_style_of_its_own(desk):
    for page in ("/jobs", "/boards", "/stock", "/people", "/access", "/pair", "/trust"):
        text = desk.get(page).text
        assert "<script>" not in text
        assert " style=" not in text
        assert " onclick=" not in text


@pytest.mark.parametrize("name", ["evil.example", "evil.example:8420", "", "127.0.0.1.evil.example", "[::2]"])
def test_a_name_that_is_not_ours_is_refused(desk, name):
    answer = desk.get("/api/me", headers={"host": name})
    assert answer.status_code == 421
    assert answer.json()["problems"][0]["where"] == "host"


def test_a_person_who_calls_by_another_name_reads_two_sentences(desk):
    answer = desk.get("/jobs", headers={"host": "<b>x.example", "accept": "text/html,*/*"})
    assert answer.status_code == 421
    assert answer.headers["content-type"].startswith("text/html")
    assert "Use the address that foamwright serve prints." in answer.text
    assert "<b>" not in answer.text


@pytest.mark.parametrize("name", ["127.0.0.1:8420", "localhost", "LOCALHOST:1", "[::1]:8420"])
def test_our_own_names_are_taken(desk, name):
    assert desk.get("/health", headers={"host": name}).status_code == 200


def test_a_body_that_says_it_is_too_large_is_refused_before_it_comes(desk):
    answer = desk.post("/api/people", content=b"x", headers={"content-length": "99999999"})
    assert answer.status_code == 413
    assert answer.json()["problems"][0]["what"] == "This is larger than 1 MB."


def test_a_body_that_does_not_say_is_refused_once_it_is_too_large(desk):
    def endless():
        for _ in range(30):
            yield b" " * 100_000

    for path, kind in (("/api/people", "application/json"), ("/people", "application/x-www-form-urlencoded")):
        answer = desk.post(path, content=endless(), headers={"content-type": kind})
        assert answer.status_code == 413
    assert "This is larger than 1 MB" in answer.text


@pytest.mark.parametrize("length", ["-1", "x", "1e3"])
def test_a_length_that_is_no_number_is_refused(desk, length):
    answer = desk.post("/api/people", content=b"{}", headers={"content-length": length})
    assert answer.status_code in (400, 413)


class TestForms:
    """A change comes from a page of ours, or not at all."""

    FIELDS: ClassVar[dict[str, str]] = {"name": "Ada"}

    def test_a_form_of_ours_is_taken(self, desk):
        answer = desk.send_form("/people", "/people", self.FIELDS)
        assert (answer.status_code, answer.headers["location"]) == (303, "/people?said=person-added#person-1")

    def test_a_form_without_a_token_is_refused_and_nothing_is_done(self, desk):
        del desk.headers["x-foamwright-csrf"]
        answer = desk.post("/people", data=self.FIELDS)
        assert answer.status_code == 403
        assert "not sent by our own page" in answer.text
        assert desk.get("/api/people").json() == {"people": []}

    def test_a_token_of_another_browser_is_refused(self, desk, visit, local_app):
        other = visit(local_app).meet()
        answer = desk.post(
            "/api/people", json=self.FIELDS, headers={"x-foamwright-csrf": other.headers["x-foamwright-csrf"]}
        )
        assert answer.status_code == 403

    @pytest.mark.parametrize("site", ["cross-site", "same-site"])
    def test_another_sites_page_is_refused_even_with_the_token(self, desk, site):
        answer = desk.post("/api/people", json=self.FIELDS, headers={"sec-fetch-site": site})
        assert answer.status_code == 403

    @pytest.mark.parametrize(
        ("origin", "status"),
        [
            ("http://127.0.0.1", 201),
            ("HTTP://127.0.0.1", 201),
            ("https://127.0.0.1", 403),
            ("http://127.0.0.1:9", 403),
            ("http://evil.example", 403),
            ("null", 403),
            ("", 403),
        ],
    )
    def test_an_origin_that_is_not_ours_is_refused_even_with_the_token(self, desk, origin, status):
        answer = desk.post("/api/people", json=self.FIELDS, headers={"origin": origin})
        assert answer.status_code == status

    def test_a_cookie_that_we_did_not_sign_is_no_cookie(self, desk):
        desk.cookies.set("foamwright-desk", "forged.0123", domain="127.0.0.1")
        assert desk.post("/api/people", json=self.FIELDS).status_code == 403

    def test_nothing_is_changed_by_reading(self, desk):
        for path in ("/people/1/shelf", "/access/codes", "/jobs/1/blank", "/leave"):
            assert desk.get(path).status_code in (404, 405)

    def test_cookies_are_kept_from_scripts_and_other_sites(self, local_app, visit, tablet):
        plain = visit(local_app).get("/people").headers["set-cookie"]
        assert "HttpOnly" in plain
        assert "SameSite=lax" in plain
        secure = tablet().get("/pair").headers["set-cookie"]
        assert secure.startswith("__Host-foamwright-desk=")
        assert "Secure" in secure


class TestPacked:
    """Answers over 10 kB are packed, and come out the same; a page of another site gets none packed."""

    @pytest.fixture
    def large(self, desk):
        for number in range(60):
            desk.post("/api/people", json={"name": f"Rider {number}", "note": "tide " * 50})
        return desk

    def test_a_large_answer_is_packed(self, large):
        packed = large.get("/api/people")
        plain = large.get("/api/people", headers={"accept-encoding": "identity"})
        assert packed.headers["content-encoding"] == "gzip"
        assert int(packed.headers["content-length"]) < len(plain.content) / 4
        assert packed.content == plain.content
        assert "content-encoding" not in plain.headers
        assert "Accept-Encoding" in packed.headers["vary"]

    def test_a_small_one_is_not(self, desk):
        assert "content-encoding" not in desk.get("/api/me").headers

    def test_what_another_site_asked_for_is_not(self, large):
        answer = large.get("/people", headers={"sec-fetch-site": "cross-site"})
        assert answer.status_code == 200
        assert len(answer.content) > 10_000
        assert "content-encoding" not in answer.headers


@pytest.mark.parametrize(
    ("path", "methods"),
    [("/api/people/1", "GET, PUT"), ("/api/people", "GET, POST"), ("/api/devices/1", "DELETE")],
)
def test_allow_names_every_method_there_is(desk, path, methods):
    answer = desk.patch(path)
    assert (answer.status_code, answer.headers["allow"]) == (405, methods)


def test_the_document_of_the_interface_is_for_the_paired(desk, tablet):
    assert desk.get("/api/openapi.json").json()["openapi"].startswith("3.")
    assert tablet().get("/api/openapi.json").status_code == 401


class TestStatics:
    """Files are found in a table; no path of a request reaches the disk."""

    @pytest.mark.parametrize(
        "path",
        [
            "../app.py",
            "..%2fapp.py",
            "%2e%2e/app.py",
            "/etc/passwd",
            "fonts/../../app.py",
            "app.css%00.js",
            "",
            "fonts",
        ],
    )
    def test_a_path_out_of_the_table_is_not_found(self, desk, path):
        assert desk.get(f"/static/x/{path}").status_code == 404

    def test_a_file_of_this_version_is_kept_for_ever(self, desk):
        answer = desk.get(static_url("app.css"))
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "text/css; charset=utf-8"
        assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"
        assert answer.headers["content-encoding"] == "gzip"
        old = desk.get("/static/0123/app.css", headers={"accept-encoding": "identity"})
        assert old.headers["cache-control"] == "no-cache"
        assert old.content == answer.content

    def test_fonts_come_with_their_licences(self, desk):
        for name in ("archivo-400", "archivo-600", "archivo-narrow-600", "b612-400", "b612-700"):
            assert desk.get(static_url(f"fonts/{name}.woff2")).content.startswith(b"wOF2")
        for family in ("Archivo", "ArchivoNarrow", "B612"):
            assert "SIL OPEN FONT LICENSE" in desk.get(static_url(f"fonts/OFL-{family}.txt")).text
