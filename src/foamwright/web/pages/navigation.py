"""Where the wall's links lead. A page that is added joins here."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.web.visitors import Visitor


@dataclass(frozen=True, slots=True)
class Link:
    """A link on the wall: its words' key, and where it leads."""

    key: str
    path: str


TEACHERS = (
    Link("nav.jobs", "/jobs"),
    Link("nav.orders", "/orders"),
    Link("nav.plan", "/plan"),
    Link("nav.class", "/class"),
    Link("nav.boards", "/boards"),
    Link("nav.stock", "/stock"),
    Link("nav.bay", "/bay"),
    Link("nav.people", "/people"),
    Link("nav.access", "/access"),
)


def links_for(visitor: Visitor | None) -> tuple[Link, ...]:
    """Return the links that a visitor may follow."""
    if visitor is None or visitor.role is None:
        return ()
    if visitor.teaches:
        # The bay sheet holds what an hour costs.
        return tuple(link for link in TEACHERS if visitor.sees_money or link.path != "/bay")
    return (
        Link("nav.bench", f"/jobs/{visitor.job_id}/bench"),
        Link("nav.job", f"/jobs/{visitor.job_id}"),
    )
