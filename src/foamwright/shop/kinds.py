"""Words with a fixed list of meanings that the shop keeps in its tables."""

from __future__ import annotations

from enum import StrEnum


class Role(StrEnum):
    """Who is asking: somebody at the host itself, a paired teacher, a paired bench."""

    DESK = "desk"
    TEACHER = "teacher"
    BENCH = "bench"


class Shelf(StrEnum):
    """Where something is kept: in use, or in the archive."""

    IN_USE = "in use"
    ARCHIVE = "archive"


class JobState(StrEnum):
    """Where a job stands."""

    OPEN = "open"
    PLANNED = "planned"
    STARTED = "started"
    FINISHED = "finished"
    GIVEN_UP = "given up"


class ReadingState(StrEnum):
    """What is thought of a reading: it is kept in any case."""

    ACCEPTED = "accepted"
    QUESTIONED = "questioned"
    SET_ASIDE = "set aside"


class Measured(StrEnum):
    """What a reading measured."""

    ROCKER = "rocker"
    THICKNESS = "thickness"
    WIDTH = "width"


class StepState(StrEnum):
    """Where a step stands."""

    WAITING = "waiting"
    STARTED = "started"
    DONE = "done"


class Event(StrEnum):
    """What can happen in a shop; the names of the live stream's events."""

    PERSON_SAVED = "person-saved"
    PERSON_ARCHIVED = "person-archived"
    BOARD_SAVED = "board-saved"
    BOARD_ARCHIVED = "board-archived"
    BAY_SAVED = "bay-saved"
    BLANK_SAVED = "blank-saved"
    BLANK_COUNTED = "blank-counted"
    BLANK_ARCHIVED = "blank-archived"
    LIST_IMPORTED = "list-imported"
    JOB_OPENED = "job-opened"
    JOB_CHANGED = "job-changed"
    JOB_BLANK = "job-blank"
    JOB_PLAN = "job-plan"
    JOB_STAGE = "job-stage"
    JOB_ARCHIVED = "job-archived"
    STEP_CHANGED = "step-changed"
    STROKES = "strokes"
    READING = "reading"
    READING_SETTLED = "reading-settled"
    NOTE = "note"
    NOTE_SEEN = "note-seen"
    CODE_MADE = "code-made"
    PAIRED = "paired"
    PAIRING_FAILED = "pairing-failed"
    SESSION_ENDED = "session-ended"
    PASSWORD_SET = "password-set"
    ORDER_TAKEN = "order-taken"
    ORDER_CHANGED = "order-changed"
    ORDER_STATE = "order-state"
    PRICES_SAVED = "prices-saved"
    BILL_GIVEN = "bill-given"
    BLANK_RESERVED = "blank-reserved"
    BLANK_RELEASED = "blank-released"
    SUPPLY_COUNTED = "supply-counted"
    SUPPLIES_DRAWN = "supplies-drawn"
    COURSE_CHANGED = "course-changed"
    BRIEF_SIGNED = "brief-signed"
    PERSON_FORGOTTEN = "person-forgotten"
    GRANTS_SET = "grants-set"
