"""Which blank a job's plan is for, and which the job has: a plan must not be cut in another's foam."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass

from sqlalchemy.orm import Session

from foamwright.shop.tables import JobRow, StockBlank

_NAMED = re.compile(r'"blank":\s*("(?:[^"\\]|\\.)*")')
"""A plan's blank, near its beginning: whole plans are long, and a class has many."""


@dataclass(frozen=True, slots=True)
class BlankAtOdds:
    """A plan made for one blank in a job that has another; `now` is empty where it has none off the rack."""

    planned: str
    now: str


def blank_at_odds(session: Session, job: JobRow) -> BlankAtOdds | None:
    """Return how plan and blank of a job differ; ``None`` where they agree or there is no plan.

    Parameters
    ----------
    session
        For reading.
    job
        The job.
    """
    found = _NAMED.search(job.plan or "")
    if found is None:
        return None
    planned = str(json.loads(found[1]))
    taken = session.get(StockBlank, job.blank_id) if job.blank_id else None
    now = taken.code if taken else ""
    return None if now == planned else BlankAtOdds(planned, now)
