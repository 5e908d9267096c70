"""The tables. Rows handed out of a transaction are only read; change goes through `Database.writing`."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

# The other tables are declared with these: whoever knows the shop's tables knows all of them.
import foamwright.shop.class_tables
import foamwright.shop.order_tables  # noqa: F401
from foamwright.shop.kinds import JobState, ReadingState, Role, StepState
from foamwright.shop.table_base import Base as Base
from foamwright.shop.table_base import one_of


class About(Base):
    """What the shop knows of itself: its signing key, the teacher's password (hashed), the version."""

    __tablename__ = "about"
    name: Mapped[str] = mapped_column(String(40), primary_key=True)
    value: Mapped[str] = mapped_column(Text)


class Person(Base):
    """A rider."""

    __tablename__ = "people"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(120))
    mass_kg: Mapped[float | None]
    stature_m: Mapped[float | None]
    experience: Mapped[str] = mapped_column(String(40), default="")
    water: Mapped[str] = mapped_column(String(80), default="")
    note: Mapped[str] = mapped_column(Text, default="")
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]


class BoardRow(Base):
    """A board sheet as it stands now."""

    __tablename__ = "boards"
    # A board's row is long: what is newest, and how many there are, is read from here.
    __table_args__ = (Index("ix_boards_archived_at_changed_at", "archived_at", "changed_at"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(200))
    sheet: Mapped[str] = mapped_column(Text)
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]


class BoardRevision(Base):
    """Every text a board sheet ever had."""

    __tablename__ = "board_revisions"
    board_id: Mapped[int] = mapped_column(ForeignKey("boards.id"), primary_key=True)
    revision: Mapped[int] = mapped_column(primary_key=True)
    sheet: Mapped[str] = mapped_column(Text)
    saved_at: Mapped[datetime]
    saved_by: Mapped[str] = mapped_column(String(120))
    why: Mapped[str] = mapped_column(String(200), default="")


class BayRevision(Base):
    """Every text the shop's bay sheet ever had, the newest last; an empty one is the usual bay."""

    __tablename__ = "bay_revisions"
    revision: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    sheet: Mapped[str] = mapped_column(Text)
    saved_at: Mapped[datetime]
    saved_by: Mapped[str] = mapped_column(String(120))


class StockBlank(Base):
    """A kind of blank and how many are on hand; `sheet` is a stock sheet of this one blank."""

    __tablename__ = "blanks"
    __table_args__ = (CheckConstraint("on_hand >= 0", name="on_hand"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    code: Mapped[str] = mapped_column(String(120), unique=True)
    supplier: Mapped[str] = mapped_column(String(120), default="")
    sheet: Mapped[str] = mapped_column(Text)
    length_m: Mapped[float]
    foam: Mapped[str] = mapped_column(String(60))
    price: Mapped[float]
    currency: Mapped[str] = mapped_column(String(10))
    on_hand: Mapped[int]
    lead_time_days: Mapped[float]
    revision: Mapped[int] = mapped_column(default=1)
    changed_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]


class JobRow(Base):
    """A job: one board for one rider. The sheets are kept as they were when the job took them."""

    __tablename__ = "jobs"
    __table_args__ = (one_of("state", JobState),)
    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str] = mapped_column(String(200))
    rider_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    board_id: Mapped[int | None] = mapped_column(ForeignKey("boards.id"), index=True)
    board_revision: Mapped[int | None]
    board_sheet: Mapped[str] = mapped_column(Text, default="")
    blank_id: Mapped[int | None] = mapped_column(ForeignKey("blanks.id"), index=True)
    blank_sheet: Mapped[str] = mapped_column(Text, default="")
    bay_sheet: Mapped[str] = mapped_column(Text, default="")
    plan: Mapped[str | None] = mapped_column(Text)
    plan_revision: Mapped[int] = mapped_column(default=0)
    stage: Mapped[str] = mapped_column(String(40), default="")
    state: Mapped[str] = mapped_column(String(20), default=JobState.OPEN.value)
    note: Mapped[str] = mapped_column(Text, default="")
    search: Mapped[str] = mapped_column(Text, default="")
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]


class StepRow(Base):
    """One step of a job's plan, as the bench shows it; `detail` is the planner's."""

    __tablename__ = "steps"
    __table_args__ = (one_of("state", StepState),)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), primary_key=True)
    plan_revision: Mapped[int] = mapped_column(primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True)
    stage: Mapped[str] = mapped_column(String(40))
    kind: Mapped[str] = mapped_column(String(40))
    strokes_planned: Mapped[int] = mapped_column(default=0)
    detail: Mapped[dict[str, Any]]
    state: Mapped[str] = mapped_column(String(20), default=StepState.WAITING.value)
    changed_at: Mapped[datetime]


class StrokesRow(Base):
    """Strokes made, as a tablet told them; `client_id` is the tablet's, so that none counts twice."""

    __tablename__ = "strokes"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[str] = mapped_column(String(64), unique=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    plan_revision: Mapped[int]
    step: Mapped[int]
    count: Mapped[int]
    tablet_at: Mapped[datetime]
    stored_at: Mapped[datetime]
    told_by: Mapped[str] = mapped_column(String(120))


class ReadingRow(Base):
    """A reading. `id` is the order of arrival, `sequence` the tablet's own count.

    `tablet_at` is what the tablet's clock said, `stored_at` what ours said: neither is mended.
    """

    __tablename__ = "readings"
    __table_args__ = (one_of("state", ReadingState), Index("ix_readings_job_id_id", "job_id", "id"))
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[str] = mapped_column(String(64), unique=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"))
    sequence: Mapped[int]
    stage: Mapped[str] = mapped_column(String(40))
    station: Mapped[str] = mapped_column(String(60))
    station_m: Mapped[float]
    what: Mapped[str] = mapped_column(String(20))
    value_m: Mapped[float]
    written: Mapped[str] = mapped_column(String(60))
    tool: Mapped[str] = mapped_column(String(60))
    tablet_at: Mapped[datetime]
    stored_at: Mapped[datetime]
    told_by: Mapped[str] = mapped_column(String(120))
    state: Mapped[str] = mapped_column(String(20))
    reason: Mapped[str] = mapped_column(Text, default="")


class NoteRow(Base):
    """A note from a teacher to a bench, or back."""

    __tablename__ = "notes"
    id: Mapped[int] = mapped_column(primary_key=True)
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), index=True)
    words: Mapped[str] = mapped_column(Text)
    written_by: Mapped[str] = mapped_column(String(120))
    from_role: Mapped[str] = mapped_column(String(10))
    made_at: Mapped[datetime]
    seen_at: Mapped[datetime | None]


class PairedSession(Base):
    """A paired tablet or laptop; only a digest of its token is kept."""

    __tablename__ = "sessions"
    __table_args__ = (one_of("role", Role),)
    id: Mapped[int] = mapped_column(primary_key=True)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    role: Mapped[str] = mapped_column(String(10))
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    label: Mapped[str] = mapped_column(String(120))
    made_at: Mapped[datetime]
    seen_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class PairingCode(Base):
    """A code shown on the host; only a digest of it is kept."""

    __tablename__ = "pairing_codes"
    __table_args__ = (one_of("role", Role),)
    id: Mapped[int] = mapped_column(primary_key=True)
    code_digest: Mapped[str] = mapped_column(String(64), index=True)
    role: Mapped[str] = mapped_column(String(10))
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    label: Mapped[str] = mapped_column(String(120))
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    tries_left: Mapped[int]
    used_at: Mapped[datetime | None]


class HistoryRow(Base):
    """What happened, in order; never changed and never taken away (the database itself sees to it)."""

    __tablename__ = "history"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime]
    who: Mapped[str] = mapped_column(String(120))
    what: Mapped[str] = mapped_column(String(40))
    job_id: Mapped[int | None] = mapped_column(index=True)
    detail: Mapped[dict[str, Any]]


class Submission(Base):
    """A form that was sent: sent twice, it is done once and answered twice."""

    __tablename__ = "submissions"
    __table_args__ = (UniqueConstraint("once"),)
    id: Mapped[int] = mapped_column(primary_key=True)
    once: Mapped[str] = mapped_column(String(64))
    answer: Mapped[str] = mapped_column(String(200))
    at: Mapped[datetime] = mapped_column(index=True)
