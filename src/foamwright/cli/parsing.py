"""The parser of the command line, with what is wrong put in foamwright's own words."""

from __future__ import annotations

import argparse
import re
from difflib import get_close_matches
from typing import Any, NoReturn

_CHOICE = re.compile(
    r"argument (?P<name>[^:]+): invalid choice: '(?P<given>.*)' \(choose from (?P<known>.*)\)"
)
_VALUE = re.compile(r"argument (?P<name>[^:]+): invalid (?P<kind>int|float) value: '(?P<given>.*)'")
_KINDS = {"int": "whole number", "float": "number"}


class Parser(argparse.ArgumentParser):
    """As argparse has it; the words of an error differ, and examples keep their lines."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{"formatter_class": _Formatter, **options})

    def error(self, message: str) -> NoReturn:
        """Print the usage and what is wrong, and leave with code 2."""
        self.exit(2, f"{self.format_usage()}{self.prog}: {plain_words(message)}\n")


class _Formatter(argparse.HelpFormatter):
    """Wraps prose as ever, and leaves a text of several lines as it was written."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        if "\n" in text:
            return "\n".join(indent + line for line in text.splitlines())
        return super()._fill_text(text, width, indent)


def plain_words(message: str) -> str:
    """Return what argparse says in foamwright's words, where they are known."""
    if choice := _CHOICE.fullmatch(message):
        known = choice["known"].replace("'", "")
        near = get_close_matches(choice["given"], known.split(", "), n=1)
        hint = f" Did you mean {near[0]}?" if near else ""
        return f"{choice['name']}: “{choice['given']}” is not possible.{hint} It can be {known}."
    if value := _VALUE.fullmatch(message):
        return f"{value['name']}: “{value['given']}” is no {_KINDS[value['kind']]}."
    return message
