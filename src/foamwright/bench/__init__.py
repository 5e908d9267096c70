"""Readings, the as-is surface, advice, rescue, apprentice trials."""
