"""The parser of the command line, with what is wrong told in foamwright's own words."""

from __future__ import annotations

import argparse
import re
from typing import NoReturn

_CHOICE = re.compile(
    r"argument (?P<name>[^:]+): invalid choice: '(?P<given>.*)' \(choose from (?P<known>.*)\)"
)
_VALUE = re.compile(r"argument (?P<name>[^:]+): invalid (?P<kind>int|float) value: '(?P<given>.*)'")
_KINDS = {"int": "whole number", "float": "number"}


class Parser(argparse.ArgumentParser):
    """As argparse has it; only the words of an error differ."""

    def error(self, message: str) -> NoReturn:
        """Print the usage and what is wrong, and leave with code 2."""
        self.exit(2, f"{self.format_usage()}{self.prog}: {told(message)}\n")


def told(message: str) -> str:
    """Return what argparse says in foamwright's words, where they are known."""
    if choice := _CHOICE.fullmatch(message):
        known = choice["known"].replace("'", "")
        return f"{choice['name']}: “{choice['given']}” is not possible. It can be {known}."
    if value := _VALUE.fullmatch(message):
        return f"{value['name']}: “{value['given']}” is no {_KINDS[value['kind']]}."
    return message
