"""The tables of courses: pupils, what they signed, what they can do."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import ForeignKey, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from foamwright.shop.order_kinds import Shown
from foamwright.shop.table_base import Base, one_of


class CourseRow(Base):
    """A course: when, with whom, where; days as texts, ``2026-03-02``."""

    __tablename__ = "courses"
    id: Mapped[int] = mapped_column(primary_key=True)
    title: Mapped[str] = mapped_column(String(200))
    teacher: Mapped[str] = mapped_column(String(120), default="")
    bay: Mapped[str] = mapped_column(String(120), default="")
    begins_on: Mapped[str] = mapped_column(String(10), default="")
    ends_on: Mapped[str] = mapped_column(String(10), default="")
    power_planers: Mapped[int] = mapped_column(default=0)
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]
    archived_at: Mapped[datetime | None]


class PupilRow(Base):
    """A person in a course, and the job at which they learn."""

    __tablename__ = "pupils"
    id: Mapped[int] = mapped_column(primary_key=True)
    course_id: Mapped[int] = mapped_column(ForeignKey("courses.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"), unique=True)
    age_group: Mapped[str] = mapped_column(String(20), default="")
    signed_as: Mapped[str] = mapped_column(String(120), default="")
    signed_at: Mapped[datetime | None]
    signed_brief: Mapped[str] = mapped_column(Text, default="")
    report: Mapped[dict[str, Any]]
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]


class PupilMark(Base):
    """What a pupil has shown: a skill, or one of the conditions before the power planer."""

    __tablename__ = "pupil_marks"
    __table_args__ = (one_of("mark", Shown),)
    pupil_id: Mapped[int] = mapped_column(ForeignKey("pupils.id"), primary_key=True, autoincrement=False)
    what: Mapped[str] = mapped_column(String(40), primary_key=True)
    mark: Mapped[str] = mapped_column(String(10))
    by: Mapped[str] = mapped_column(String(120))
    at: Mapped[datetime]
