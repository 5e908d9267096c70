"""The first form: people, boards, stock, jobs, readings, access, history."""

import sqlalchemy as sa
from alembic import op

from foamwright.shop.moments import Moment

revision = "0001"
down_revision = None

_KEPT = ("history", "board_revisions")
"""Tables that are only ever added to."""

_SQLITE_GUARD = """
CREATE TRIGGER {table}_no_{act} BEFORE {act} ON {table}
BEGIN SELECT RAISE(ABORT, '{table} is only ever added to'); END
"""

_POSTGRES_REFUSAL = """
CREATE FUNCTION only_added_to() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION '% is only ever added to', TG_TABLE_NAME; END $$
"""

_POSTGRES_GUARD = """
CREATE TRIGGER {table}_no_{act} BEFORE {act} ON {table}
FOR EACH ROW EXECUTE FUNCTION only_added_to()
"""


def upgrade() -> None:
    """Make every table, and the guards of those that are only added to."""
    _about()
    _blanks()
    _boards()
    _history()
    _people()
    _submissions()
    _board_revisions()
    _jobs()
    _notes()
    _pairing_codes()
    _readings()
    _sessions()
    _steps()
    _strokes()
    _guard_what_is_kept()


def _guard_what_is_kept() -> None:
    sqlite = op.get_bind().dialect.name == "sqlite"
    if not sqlite:
        op.execute(_POSTGRES_REFUSAL)
    guard = _SQLITE_GUARD if sqlite else _POSTGRES_GUARD
    for table in _KEPT:
        for act in ("UPDATE", "DELETE"):
            op.execute(guard.format(table=table, act=act))


def _about() -> None:
    op.create_table(
        "about",
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_about")),
    )


def _blanks() -> None:
    op.create_table(
        "blanks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=120), nullable=False),
        sa.Column("supplier", sa.String(length=120), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("length_m", sa.Double(), nullable=False),
        sa.Column("foam", sa.String(length=60), nullable=False),
        sa.Column("price", sa.Double(), nullable=False),
        sa.Column("currency", sa.String(length=10), nullable=False),
        sa.Column("on_hand", sa.Integer(), nullable=False),
        sa.Column("lead_time_days", sa.Double(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.CheckConstraint("on_hand >= 0", name=op.f("ck_blanks_on_hand")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_blanks")),
        sa.UniqueConstraint("code", name=op.f("uq_blanks_code")),
    )


def _boards() -> None:
    op.create_table(
        "boards",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_boards")),
    )


def _history() -> None:
    op.create_table(
        "history",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("who", sa.String(length=120), nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("detail", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_history")),
    )
    op.create_index(op.f("ix_history_job_id"), "history", ["job_id"], unique=False)


def _people() -> None:
    op.create_table(
        "people",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("mass_kg", sa.Double(), nullable=True),
        sa.Column("stature_m", sa.Double(), nullable=True),
        sa.Column("experience", sa.String(length=40), nullable=False),
        sa.Column("water", sa.String(length=80), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
    )


def _submissions() -> None:
    op.create_table(
        "submissions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("once", sa.String(length=64), nullable=False),
        sa.Column("answer", sa.String(length=200), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_submissions")),
        sa.UniqueConstraint("once", name=op.f("uq_submissions_once")),
    )
    op.create_index(op.f("ix_submissions_at"), "submissions", ["at"], unique=False)


def _board_revisions() -> None:
    op.create_table(
        "board_revisions",
        sa.Column("board_id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("saved_at", Moment(), nullable=False),
        sa.Column("saved_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["board_id"], ["boards.id"], name=op.f("fk_board_revisions_board_id")),
        sa.PrimaryKeyConstraint("board_id", "revision", name=op.f("pk_board_revisions")),
    )


def _jobs() -> None:
    op.create_table(
        "jobs",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("rider_id", sa.Integer(), nullable=True),
        sa.Column("board_id", sa.Integer(), nullable=True),
        sa.Column("board_revision", sa.Integer(), nullable=True),
        sa.Column("board_sheet", sa.Text(), nullable=False),
        sa.Column("blank_id", sa.Integer(), nullable=True),
        sa.Column("blank_sheet", sa.Text(), nullable=False),
        sa.Column("plan", sa.Text(), nullable=True),
        sa.Column("plan_revision", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=40), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.CheckConstraint(
            "state IN ('open', 'planned', 'started', 'finished', 'given up')", name=op.f("ck_jobs_state")
        ),
        sa.ForeignKeyConstraint(["blank_id"], ["blanks.id"], name=op.f("fk_jobs_blank_id")),
        sa.ForeignKeyConstraint(["board_id"], ["boards.id"], name=op.f("fk_jobs_board_id")),
        sa.ForeignKeyConstraint(["rider_id"], ["people.id"], name=op.f("fk_jobs_rider_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_jobs")),
    )
    op.create_index(op.f("ix_jobs_blank_id"), "jobs", ["blank_id"], unique=False)
    op.create_index(op.f("ix_jobs_board_id"), "jobs", ["board_id"], unique=False)
    op.create_index(op.f("ix_jobs_rider_id"), "jobs", ["rider_id"], unique=False)


def _notes() -> None:
    op.create_table(
        "notes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("written_by", sa.String(length=120), nullable=False),
        sa.Column("from_role", sa.String(length=10), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("seen_at", Moment(), nullable=True),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_notes_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_notes")),
    )
    op.create_index(op.f("ix_notes_job_id"), "notes", ["job_id"], unique=False)


def _pairing_codes() -> None:
    op.create_table(
        "pairing_codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("code_digest", sa.String(length=64), nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("expires_at", Moment(), nullable=False),
        sa.Column("tries_left", sa.Integer(), nullable=False),
        sa.Column("used_at", Moment(), nullable=True),
        sa.CheckConstraint("role IN ('desk', 'teacher', 'bench')", name=op.f("ck_pairing_codes_role")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_pairing_codes_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pairing_codes")),
    )
    op.create_index(op.f("ix_pairing_codes_code_digest"), "pairing_codes", ["code_digest"], unique=False)


def _readings() -> None:
    op.create_table(
        "readings",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(length=64), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("sequence", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=40), nullable=False),
        sa.Column("station", sa.String(length=60), nullable=False),
        sa.Column("station_m", sa.Double(), nullable=False),
        sa.Column("what", sa.String(length=20), nullable=False),
        sa.Column("value_m", sa.Double(), nullable=False),
        sa.Column("written", sa.String(length=60), nullable=False),
        sa.Column("tool", sa.String(length=60), nullable=False),
        sa.Column("tablet_at", Moment(), nullable=False),
        sa.Column("stored_at", Moment(), nullable=False),
        sa.Column("told_by", sa.String(length=120), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.CheckConstraint(
            "state IN ('accepted', 'questioned', 'set aside')", name=op.f("ck_readings_state")
        ),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_readings_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_readings")),
        sa.UniqueConstraint("client_id", name=op.f("uq_readings_client_id")),
    )
    op.create_index("ix_readings_job_id_id", "readings", ["job_id", "id"], unique=False)


def _sessions() -> None:
    op.create_table(
        "sessions",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_digest", sa.String(length=64), nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("label", sa.String(length=120), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("seen_at", Moment(), nullable=False),
        sa.Column("expires_at", Moment(), nullable=False),
        sa.Column("ended_at", Moment(), nullable=True),
        sa.CheckConstraint("role IN ('desk', 'teacher', 'bench')", name=op.f("ck_sessions_role")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_sessions_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sessions")),
        sa.UniqueConstraint("token_digest", name=op.f("uq_sessions_token_digest")),
    )


def _steps() -> None:
    op.create_table(
        "steps",
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("plan_revision", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("stage", sa.String(length=40), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("strokes_planned", sa.Integer(), nullable=False),
        sa.Column("detail", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.CheckConstraint("state IN ('waiting', 'started', 'done')", name=op.f("ck_steps_state")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_steps_job_id")),
        sa.PrimaryKeyConstraint("job_id", "plan_revision", "number", name=op.f("pk_steps")),
    )


def _strokes() -> None:
    op.create_table(
        "strokes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("client_id", sa.String(length=64), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=False),
        sa.Column("plan_revision", sa.Integer(), nullable=False),
        sa.Column("step", sa.Integer(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("tablet_at", Moment(), nullable=False),
        sa.Column("stored_at", Moment(), nullable=False),
        sa.Column("told_by", sa.String(length=120), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_strokes_job_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_strokes")),
        sa.UniqueConstraint("client_id", name=op.f("uq_strokes_client_id")),
    )
    op.create_index(op.f("ix_strokes_job_id"), "strokes", ["job_id"], unique=False)
