"""Writes docs/api.md from the app's OpenAPI document: ``python scripts/make_api_docs.py``."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PAGE = Path(__file__).parents[1] / "docs" / "api.md"

HEAD = """\
# The interface for programs

Written by `scripts/make_api_docs.py` from the app's OpenAPI document, which the app itself serves at
`/api/openapi.json` to the host and to paired devices: every field, its limits and every answer stand there.

Lengths are in metres (`_m`), masses in kilograms (`_kg`), moments in UTC; names are those of sheets and
results.

**Who may ask.** On the host itself no login is needed. Any other device pairs first (see [the
app](app.md)). A program asks `GET /api/me` once, keeps the cookie, and sends the token it got as the
header `X-Foamwright-Csrf` with every change:

```sh
me=$(curl -s -c jar http://127.0.0.1:8420/api/me)
csrf=$(echo "$me" | python3 -c 'import json, sys; print(json.load(sys.stdin)["csrf"])')
curl -s -b jar -H "X-Foamwright-Csrf: $csrf" -H 'Content-Type: application/json' \\
     -d '{"title": "First board"}' http://127.0.0.1:8420/api/jobs
```

**Errors** have one shape, whatever the status: `{"problems": [{"where", "what", "remedy"}]}`, all
problems at once. A board that somebody else changed meanwhile is answered with 409, and besides with
`revision`, `sheet` and `difference`: their text, and how yours differs from it.

| status | means |
| --- | --- |
| 400, 422 | what was sent cannot be read, or cannot stand |
| 401, 403 | not paired; not this visitor's to see or do, or not sent by a page of ours (see `Origin`) |
| 404 | there is no such thing |
| 409 | somebody was there first: an older revision, the last blank |
| 413 | larger than 1 MB (5 MB for lists) |
| 421 | the app was called by a name it does not have |
| 429 | too many wrong codes, too many live streams (8 a device, 200 in all): wait |
| 503, 507 | the database did not answer in time; the disk is full. Nothing was stored: send it again later |

**Readings** are sent in batches of up to 500, each with a `client_id` that the tablet makes up and never
uses twice. A batch may be sent as often as it takes: each reading is stored once, on the disk before the
answer leaves. The answer names what is `stored` (the tablet may forget these), what is `questioned` and
why (stored all the same), what is `differing` (an id that came before with another value: the first
stands), and what is `refused` because it cannot be read, which does not hold up the others. `tablet_ms`
is what the tablet's clock says, right or wrong; the server's own clock is kept beside it.

**Live.** `GET /api/live` is a stream of server-sent events. Each has a number; a browser that comes back
sends the last one it saw (`Last-Event-ID`), and gets the rest first, in order and without gaps. Names of
events: {events}.
"""


def page(document: dict[str, Any]) -> str:
    """Return the page."""
    from foamwright.shop.kinds import Event

    events = ", ".join(f"`{event.value}`" for event in Event)
    return HEAD.replace("{events}", events) + "\n".join(_tables(document)) + "\n"


def _tables(document: dict[str, Any]) -> Iterator[str]:
    by_tag: dict[str, list[str]] = {}
    for path, verbs in document["paths"].items():
        for verb, route in verbs.items():
            line = route["description"].splitlines()[0]
            good = next(status for status in route["responses"] if status.startswith("2"))
            by_tag.setdefault(route["tags"][0], []).append(f"| `{verb.upper()} {path}` | {line} | {good} |")
    for tag, rows in by_tag.items():
        yield f"\n## {tag.capitalize()}\n\n| route | does | answers |\n| --- | --- | --- |"
        yield from rows


def document() -> dict[str, Any]:
    """Return the app's OpenAPI document."""
    from foamwright.shop.opening import open_database
    from foamwright.web.app import create_app
    from foamwright.web.settings import Settings

    with tempfile.TemporaryDirectory() as folder:
        database = open_database(f"sqlite:///{folder}/shop.sqlite")
        try:
            return create_app(Settings(database)).openapi()
        finally:
            database.close()


if __name__ == "__main__":
    PAGE.write_text(page(document()), "utf-8")
