"""Alembic's scripts: every form the database has had."""
