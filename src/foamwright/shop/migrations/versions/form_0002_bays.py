"""The second form: the shop's bay sheet, and each job's bay as it was when it was planned."""

import sqlalchemy as sa
from alembic import op

from foamwright.shop.moments import Moment

revision = "0002"
down_revision = "0001"

_SQLITE_GUARD = """
CREATE TRIGGER bay_revisions_no_{act} BEFORE {act} ON bay_revisions
BEGIN SELECT RAISE(ABORT, 'bay_revisions is only ever added to'); END
"""

_POSTGRES_GUARD = """
CREATE TRIGGER bay_revisions_no_{act} BEFORE {act} ON bay_revisions
FOR EACH ROW EXECUTE FUNCTION only_added_to()
"""


def upgrade() -> None:
    """Make the table of bay sheets, guarded as other kept texts are; jobs so far were in the usual bay."""
    op.create_table(
        "bay_revisions",
        sa.Column("revision", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("sheet", sa.Text(), nullable=False),
        sa.Column("saved_at", Moment(), nullable=False),
        sa.Column("saved_by", sa.String(length=120), nullable=False),
        sa.PrimaryKeyConstraint("revision", name=op.f("pk_bay_revisions")),
    )
    op.add_column("jobs", sa.Column("bay_sheet", sa.Text(), nullable=False, server_default=""))
    guard = _SQLITE_GUARD if op.get_bind().dialect.name == "sqlite" else _POSTGRES_GUARD
    for act in ("UPDATE", "DELETE"):
        op.execute(guard.format(act=act))
