"""The third form: orders, prices, bills, supplies, courses; of history a person can be erased."""

import sqlalchemy as sa
from alembic import op

from foamwright.shop.moments import Moment

revision = "0003"
down_revision = "0002"

_FIXED = "kind, number, name, order_id, given_on, until, currency, total, content, made_at"
"""Columns of a bill that never change; its recipient may be erased."""

_GUARDS = (
    ("price_sheets", "UPDATE", ""),
    ("price_sheets", "DELETE", ""),
    ("bills", f"UPDATE OF {_FIXED}", ""),
    ("bills", "DELETE", ""),
    # Numbers never repeat and never skip: a counter goes up by one, or not at all.
    ("counters", "UPDATE", "NEW.last <> OLD.last + 1"),
    ("counters", "DELETE", ""),
    ("history", "UPDATE OF id, at, what, job_id", ""),
    # The one change that history takes: who and what of a person who is to be forgotten.
    ("history", "UPDATE OF who, detail", "{detail} <> '{{\"erased\": true}}'"),
)
"""Table, act, and when it is refused (empty: always)."""


def upgrade() -> None:
    """Make the tables, and the guards of what must not be changed."""
    _counters()
    _courses()
    _price_sheets()
    _supplies()
    _blank_levels()
    _contacts()
    _orders()
    _bills()
    _order_jobs()
    _order_lines()
    _payments()
    _pupils()
    _reservations()
    _supply_needs()
    _pupil_marks()
    op.create_index("ix_boards_archived_at_changed_at", "boards", ["archived_at", "changed_at"])
    _guard()


def _guard() -> None:
    sqlite = op.get_bind().dialect.name == "sqlite"
    op.execute("DROP TRIGGER history_no_UPDATE" + ("" if sqlite else " ON history"))
    for number, (table, act, when) in enumerate(_GUARDS):
        name = f"{table}_stays_{number}"
        condition = when.format(detail="NEW.detail" if sqlite else "NEW.detail::text")
        head = f"CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW"
        refused = f" WHEN ({condition})" if condition else ""
        does = (
            f" BEGIN SELECT RAISE(ABORT, '{table} is only ever added to'); END"
            if sqlite
            else " EXECUTE FUNCTION only_added_to()"
        )
        op.execute(head + refused + does)


def _counters() -> None:
    op.create_table(
        "counters",
        sa.Column("name", sa.String(length=20), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_counters")),
    )


def _courses() -> None:
    op.create_table(
        "courses",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("teacher", sa.String(length=120), nullable=False),
        sa.Column("bay", sa.String(length=120), nullable=False),
        sa.Column("begins_on", sa.String(length=10), nullable=False),
        sa.Column("ends_on", sa.String(length=10), nullable=False),
        sa.Column("power_planers", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_courses")),
    )


def _price_sheets() -> None:
    op.create_table(
        "price_sheets",
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("saved_at", Moment(), nullable=False),
        sa.Column("saved_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("currency", "revision", name=op.f("pk_price_sheets")),
    )


def _supplies() -> None:
    op.create_table(
        "supplies",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=120), nullable=False),
        sa.Column("unit", sa.String(length=40), nullable=False),
        sa.Column("supplier", sa.String(length=120), nullable=False),
        sa.Column("on_hand", sa.BigInteger(), nullable=False),
        sa.Column("level", sa.BigInteger(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_supplies")),
        sa.UniqueConstraint("name", name=op.f("uq_supplies_name")),
    )


def _blank_levels() -> None:
    op.create_table(
        "blank_levels",
        sa.Column("blank_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("level", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["blank_id"], ["blanks.id"], name=op.f("fk_blank_levels_blank_id")),
        sa.PrimaryKeyConstraint("blank_id", name=op.f("pk_blank_levels")),
    )


def _contacts() -> None:
    op.create_table(
        "contacts",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reach", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_contacts_person_id")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_contacts")),
    )


def _orders() -> None:
    op.create_table(
        "orders",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("board_id", sa.Integer(), nullable=True),
        sa.Column("board_revision", sa.Integer(), nullable=True),
        sa.Column("board_sheet", sa.Text(), nullable=False),
        sa.Column("length_m", sa.Double(), nullable=True),
        sa.Column("kind", sa.String(length=80), nullable=False),
        sa.Column("colour", sa.Text(), nullable=False),
        sa.Column("glass", sa.Text(), nullable=False),
        sa.Column("fins", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("due_on", sa.String(length=10), nullable=False),
        sa.Column("blank_id", sa.Integer(), nullable=True),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("deposit", sa.BigInteger(), nullable=False),
        sa.Column("planned_minutes", sa.Integer(), nullable=False),
        sa.Column("worked_minutes", sa.Integer(), nullable=True),
        sa.Column("cost", sa.JSON(), nullable=False),
        sa.Column("state", sa.String(length=20), nullable=False),
        sa.Column("surfed", sa.Text(), nullable=False),
        sa.Column("surfed_on", sa.String(length=10), nullable=False),
        sa.Column("search", sa.Text(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.Column("changed_at", Moment(), nullable=False),
        sa.Column("archived_at", Moment(), nullable=True),
        sa.CheckConstraint(
            "state IN ('asked', 'quoted', 'agreed', 'on the rack', 'glassed', 'ready', "
            "'handed over', 'put away')",
            name=op.f("ck_orders_state"),
        ),
        sa.CheckConstraint("deposit >= 0", name=op.f("ck_orders_deposit")),
        sa.ForeignKeyConstraint(["blank_id"], ["blanks.id"], name=op.f("fk_orders_blank_id")),
        sa.ForeignKeyConstraint(["board_id"], ["boards.id"], name=op.f("fk_orders_board_id")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_orders_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_orders")),
    )
    op.create_index(op.f("ix_orders_archived_at"), "orders", ["archived_at"], unique=False)
    op.create_index(op.f("ix_orders_blank_id"), "orders", ["blank_id"], unique=False)
    op.create_index(op.f("ix_orders_board_id"), "orders", ["board_id"], unique=False)
    op.create_index(op.f("ix_orders_person_id"), "orders", ["person_id"], unique=False)
    op.create_index("ix_orders_state_due_on", "orders", ["state", "due_on"], unique=False)


def _bills() -> None:
    op.create_table(
        "bills",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=10), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=40), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("recipient", sa.Text(), nullable=False),
        sa.Column("given_on", sa.String(length=10), nullable=False),
        sa.Column("until", sa.String(length=10), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("total", sa.BigInteger(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("private", sa.JSON(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.CheckConstraint("kind IN ('quote', 'invoice')", name=op.f("ck_bills_kind")),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_bills_order_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_bills")),
        sa.UniqueConstraint("kind", "number", name=op.f("uq_bills_kind_number")),
    )
    op.create_index(op.f("ix_bills_order_id"), "bills", ["order_id"], unique=False)


def _order_jobs() -> None:
    op.create_table(
        "order_jobs",
        sa.Column("job_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_order_jobs_job_id")),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_order_jobs_order_id")),
        sa.PrimaryKeyConstraint("job_id", name=op.f("pk_order_jobs")),
    )
    op.create_index(op.f("ix_order_jobs_order_id"), "order_jobs", ["order_id"], unique=False)


def _order_lines() -> None:
    op.create_table(
        "order_lines",
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("what", sa.String(length=200), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("each", sa.BigInteger(), nullable=False),
        sa.Column("tax", sa.String(length=40), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_order_lines_order_id")),
        sa.PrimaryKeyConstraint("order_id", "number", name=op.f("pk_order_lines")),
    )


def _payments() -> None:
    op.create_table(
        "payments",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("order_id", sa.Integer(), nullable=False),
        sa.Column("amount", sa.BigInteger(), nullable=False),
        sa.Column("paid_on", sa.String(length=10), nullable=False),
        sa.Column("what", sa.String(length=200), nullable=False),
        sa.Column("noted_at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_payments_order_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_payments")),
    )
    op.create_index(op.f("ix_payments_order_id"), "payments", ["order_id"], unique=False)


def _pupils() -> None:
    op.create_table(
        "pupils",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("course_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("age_group", sa.String(length=20), nullable=False),
        sa.Column("signed_as", sa.String(length=120), nullable=False),
        sa.Column("signed_at", Moment(), nullable=True),
        sa.Column("signed_brief", sa.Text(), nullable=False),
        sa.Column("report", sa.JSON(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("made_at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(["course_id"], ["courses.id"], name=op.f("fk_pupils_course_id")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_pupils_job_id")),
        sa.ForeignKeyConstraint(["person_id"], ["people.id"], name=op.f("fk_pupils_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pupils")),
        sa.UniqueConstraint("job_id", name=op.f("uq_pupils_job_id")),
    )
    op.create_index(op.f("ix_pupils_course_id"), "pupils", ["course_id"], unique=False)
    op.create_index(op.f("ix_pupils_person_id"), "pupils", ["person_id"], unique=False)


def _reservations() -> None:
    op.create_table(
        "reservations",
        sa.Column("order_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("blank_id", sa.Integer(), nullable=False),
        sa.Column("job_id", sa.Integer(), nullable=True),
        sa.Column("made_at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(["blank_id"], ["blanks.id"], name=op.f("fk_reservations_blank_id")),
        sa.ForeignKeyConstraint(["job_id"], ["jobs.id"], name=op.f("fk_reservations_job_id")),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_reservations_order_id")),
        sa.PrimaryKeyConstraint("order_id", name=op.f("pk_reservations")),
    )
    op.create_index(op.f("ix_reservations_blank_id"), "reservations", ["blank_id"], unique=False)


def _supply_needs() -> None:
    op.create_table(
        "supply_needs",
        sa.Column("order_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("supply_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("quantity", sa.BigInteger(), nullable=False),
        sa.Column("drawn_at", Moment(), nullable=True),
        sa.ForeignKeyConstraint(["order_id"], ["orders.id"], name=op.f("fk_supply_needs_order_id")),
        sa.ForeignKeyConstraint(["supply_id"], ["supplies.id"], name=op.f("fk_supply_needs_supply_id")),
        sa.PrimaryKeyConstraint("order_id", "supply_id", name=op.f("pk_supply_needs")),
    )
    op.create_index(op.f("ix_supply_needs_supply_id"), "supply_needs", ["supply_id"], unique=False)


def _pupil_marks() -> None:
    op.create_table(
        "pupil_marks",
        sa.Column("pupil_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("what", sa.String(length=40), nullable=False),
        sa.Column("mark", sa.String(length=10), nullable=False),
        sa.Column("by", sa.String(length=120), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.CheckConstraint("mark IN ('shown', 'with help', 'not yet')", name=op.f("ck_pupil_marks_mark")),
        sa.ForeignKeyConstraint(["pupil_id"], ["pupils.id"], name=op.f("fk_pupil_marks_pupil_id")),
        sa.PrimaryKeyConstraint("pupil_id", "what", name=op.f("pk_pupil_marks")),
    )
