"""Stock sheets made solid."""
