"""Forms that are sent twice (a double click, a reload) are done once."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import delete, select

from foamwright.shop.database import Work
from foamwright.shop.tables import Submission

KEPT = timedelta(days=2)


def answer_given(work: Work, once: str) -> str | None:
    """Return where a form led that was done already; ``None`` if it is new."""
    return work.session.scalars(select(Submission.answer).where(Submission.once == once)).one_or_none()


def remember_answer(work: Work, once: str, answer: str) -> None:
    """Remember where a form led, and forget those of the day before yesterday."""
    work.session.execute(delete(Submission).where(Submission.at < work.now - KEPT))
    work.session.add(Submission(once=once, answer=answer, at=work.now))
