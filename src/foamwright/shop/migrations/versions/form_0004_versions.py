"""The fourth form: what a board's version is called, or what it is for."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Give every version a place for its words; those so far have none."""
    op.add_column(
        "board_revisions", sa.Column("why", sa.String(length=200), nullable=False, server_default="")
    )
