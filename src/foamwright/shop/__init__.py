"""The database: people, jobs, stock, readings."""
