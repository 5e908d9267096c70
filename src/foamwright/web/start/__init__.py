"""The first minutes: three ways to a first board, and a sample shop."""
