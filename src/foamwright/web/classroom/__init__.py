"""The class page: every job at a glance, live, and a note to a bench."""
