"""The door on plain http: it sends on to the shop's own names, and repeats nobody else's."""

from __future__ import annotations

import asyncio

import httpx
import pytest
from starlette.responses import PlainTextResponse

from foamwright.web.door import Door

OWN = frozenset({"shop.local", "192.168.7.2", "fd00::2"})


def ask(path: str, host: str, method: str = "GET") -> httpx.Response:
    door = Door(PlainTextResponse("within"), 8421, OWN)

    async def scene() -> httpx.Response:
        transport = httpx.ASGITransport(door)
        async with httpx.AsyncClient(transport=transport, base_url="http://shop.local") as client:
            return await client.request(method, path, headers={"host": host})

    return asyncio.run(scene())


FOREIGN = [
    "evil.example", "evil.example:8420", "", "shop.local.evil.example", "evil.shop.local", "192.168.7.20",
    "[fd00::3]:80", "shop.local@evil.example", "evil.example/shop.local", "shop.local\\evil.example",
]  # fmt: skip


@pytest.mark.parametrize("host", FOREIGN)
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_foreign_name_is_refused_and_never_repeated(host, method):
    answer = ask("/jobs", host, method)
    assert answer.status_code == 421
    assert "location" not in answer.headers
    assert "evil" not in answer.text


@pytest.mark.parametrize(
    ("host", "to"),
    [
        ("shop.local", "https://shop.local:8421/"),
        ("SHOP.local:8420", "https://shop.local:8421/"),
        ("192.168.7.2:80", "https://192.168.7.2:8421/"),
        ("[fd00::2]:80", "https://[fd00::2]:8421/"),
        ("localhost", "https://localhost:8421/"),
    ],
)
def test_the_shops_own_names_are_sent_on_without_the_path(host, to):
    answer = ask("/jobs/1?code=secret", host)
    assert (answer.status_code, answer.headers["location"]) == (307, to)


def test_how_to_trust_the_shop_is_shown_to_whoever_asks():
    assert ask("/trust", "192.168.7.99").text == "within"
    assert ask("/trust", "shop.local", "POST").status_code == 307
