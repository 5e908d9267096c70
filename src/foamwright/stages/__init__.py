"""The nested solids between blank and finished core, and their marks."""
