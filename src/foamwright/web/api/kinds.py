"""Kinds of value that the interface takes: bounded, so that nothing beyond a database can hold gets in."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Path
from pydantic import BaseModel, ConfigDict, Field

from foamwright.shop.texts import LONGEST_NOTE, LONGEST_SHEET, LONGEST_TITLE

MOST_ID = 2_147_483_647

Id = Annotated[int, Path(ge=1, le=MOST_ID, description="Its number.", examples=[1])]
IdField = Annotated[int, Field(ge=1, le=MOST_ID)]
Revision = Annotated[int, Field(ge=0, le=MOST_ID, description="The revision that the change began from.")]
Line = Annotated[str, Field(max_length=LONGEST_TITLE, pattern=r"^[^\x00-\x1f\x7f]*$")]
Text = Annotated[str, Field(max_length=LONGEST_NOTE)]
Sheet = Annotated[str, Field(max_length=LONGEST_SHEET, description="A sheet in TOML.")]
Metres = Annotated[float, Field(ge=-1000, le=1000, allow_inf_nan=False)]
ClientId = Annotated[
    str,
    Field(pattern=r"^[A-Za-z0-9_-]{16,64}$", description="The tablet's own name for it, never used twice."),
]
TabletClock = Annotated[
    int, Field(ge=0, le=7_258_118_400_000, description="The tablet's clock: milliseconds since 1970, UTC.")
]


def written_out(kind: type[BaseModel]) -> dict[str, Any]:
    """Return a model's schema in one piece: what it refers to stands where it is referred to."""
    schema = kind.model_json_schema()
    parts = schema.pop("$defs", {})

    def whole(node: Any) -> Any:
        if isinstance(node, dict) and "$ref" in node:
            return whole(parts[node["$ref"].rpartition("/")[2]])
        if isinstance(node, dict):
            return {key: whole(value) for key, value in node.items()}
        return [whole(one) for one in node] if isinstance(node, list) else node

    found: dict[str, Any] = whole(schema)
    return found


class Told(BaseModel):
    """What comes back from the shop: rows become answers by the names of their fields."""

    model_config = ConfigDict(from_attributes=True)


class Sent(BaseModel):
    """What is sent: nothing that is not known is let pass in silence."""

    model_config = ConfigDict(extra="forbid")


class ProblemOut(Told):
    """One thing that is wrong: where, what, and the remedy."""

    where: str
    what: str
    remedy: str


class Problems(Told):
    """The one shape of every error."""

    problems: list[ProblemOut]


class StaleProblems(Problems):
    """Somebody changed the sheet meanwhile: their text, and the difference from it to what was sent."""

    revision: int
    sheet: str
    difference: list[str]


_WHY = {
    400: "The request cannot be read.",
    401: "This device is not paired.",
    403: "Not allowed to this visitor, or not sent by a page of ours.",
    404: "There is no such thing.",
    409: "Somebody was there first.",
    413: "The body is too large.",
    415: "The body is of another kind than is taken here.",
    421: "The app is not called by this name.",
    422: "What was sent cannot stand; every problem is told.",
    429: "Too many tries, or too many streams; wait.",
    503: "The database did not answer in time; try again.",
    507: "The disk is full; nothing was stored.",
}

_ALWAYS = (400, 401, 403, 413, 421, 422, 503)


def answers(*more: int, stale: int | None = None) -> dict[int | str, dict[str, Any]]:
    """Return the documentation of the errors that a route can answer with."""
    told: dict[int | str, dict[str, Any]] = {
        status: {"model": Problems, "description": _WHY[status]} for status in sorted({*_ALWAYS, *more})
    }
    if stale is not None:
        told[stale] = {"model": StaleProblems | Problems, "description": _WHY[stale]}
    return told


CHANGES = (404, 409, 507)
"""What a route that changes a row can answer with besides."""
