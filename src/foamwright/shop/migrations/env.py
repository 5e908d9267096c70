"""How Alembic reaches the database: through the connection it is handed."""

from alembic import context

from foamwright.shop.tables import Base


def run() -> None:
    """Run the scripts in the transaction of the connection handed over."""
    connection = context.config.attributes["connection"]
    context.configure(connection=connection, target_metadata=Base.metadata, render_as_batch=True)
    context.run_migrations()


run()
