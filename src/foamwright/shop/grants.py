"""What teachers may see besides the work: money and contacts, only where the owner has given it."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy.orm import Session

from foamwright.shop.about import set_value, value_of
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.order_kinds import Grant

GRANTS = "teacher-grants"


def grants_given(session: Session) -> frozenset[Grant]:
    """Return what the owner has given teachers to see."""
    words = (value_of(session, GRANTS) or "").split()
    return frozenset(grant for grant in Grant if grant.value in words)


def give_grants(work: Work, grants: Iterable[Grant]) -> None:
    """Give teachers to see these, and nothing else."""
    given = sorted({grant.value for grant in grants})
    set_value(work.session, GRANTS, " ".join(given) or None)
    work.tell(Event.GRANTS_SET, grants=given)
