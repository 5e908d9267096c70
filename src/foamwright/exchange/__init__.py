"""Boards and blanks out to and in from files of other tools."""
