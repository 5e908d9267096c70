"""Lines of an RS-274 program as words, read strictly.

Source: Kramer, Proctor and Messina, The NIST RS274NGC Interpreter - Version 3, NISTIR 6556, 2000, section
3.3 (line length, blanks, comments, block delete, line numbers, words, numbers). Parameters and expressions
are legal there; no wire program needs them, so here they are refused by name.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

LONGEST_LINE = 256
"""Characters on a line, the end of the line included."""

LAST_LINE_NUMBER = 99999
INTEGER_TOLERANCE = 1e-4
"""A number this near to a whole one counts as it, where a whole one is asked for."""

LETTERS = "ABCDFGHIJKLMPQRSTXYZ"
"""Letters of words in the standard, besides N."""

_WORD = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")


class ProgramError(ValueError):
    """A line that the standard does not allow; `line` counts from 1."""

    def __init__(self, line: int, what: str) -> None:
        super().__init__(f"line {line}: {what}")
        self.line = line


@dataclass(frozen=True, slots=True)
class Block:
    """One line: its number in the file, its words in order, its comments, whether ``/`` marks it optional."""

    line: int
    words: tuple[tuple[str, float], ...]
    comments: tuple[str, ...] = ()
    optional: bool = False


def whole(value: float, line: int, what: str) -> int:
    """Return a number that must be whole.

    Raises
    ------
    ProgramError
        It is not.
    """
    if abs(value - round(value)) > INTEGER_TOLERANCE:
        raise ProgramError(line, f"{what} {value:g} is not a whole number")
    return round(value)


def read_block(text: str, line: int, extra: str = "") -> Block:
    """Return the words of one line.

    Parameters
    ----------
    text
        The line without its end.
    line
        Its number, for messages.
    extra
        Letters that a controller reads beyond the standard's (``UV``).

    Raises
    ------
    ProgramError
        Anything the standard does not allow on a line.
    """
    if len(text) + 1 > LONGEST_LINE:
        raise ProgramError(line, f"is longer than {LONGEST_LINE} characters")
    code, comments = _without_comments(text, line)
    code = re.sub(r"[ \t]", "", code).upper()
    optional = code.startswith("/")
    code = _without_number(code[1:] if optional else code, line)
    words: list[tuple[str, float]] = []
    at = 0
    while at < len(code):
        match = _WORD.match(code, at)
        if match is None:
            raise ProgramError(line, f"cannot be read from “{code[at : at + 12]}” on")
        if match[1] not in LETTERS + extra:
            raise ProgramError(line, f"the letter {match[1]} is no word here")
        words.append((match[1], float(match[2])))
        at = match.end()
    _check_repeats(words, line)
    return Block(line, tuple(words), comments, optional)


def _without_comments(text: str, line: int) -> tuple[str, tuple[str, ...]]:
    kept, comments, rest = "", [], text
    while "(" in rest:
        before, _, after = rest.partition("(")
        inside, close, rest = after.partition(")")
        if not close:
            raise ProgramError(line, "has a comment that is not closed")
        if "(" in inside:
            raise ProgramError(line, "has a comment inside a comment")
        kept += before
        comments.append(inside)
    if ")" in kept + rest:
        raise ProgramError(line, "closes a comment that was not opened")
    return kept + rest, tuple(comments)


def _without_number(code: str, line: int) -> str:
    match = re.match(r"N([0-9]+)", code)
    if match is None:
        return code
    if int(match[1]) > LAST_LINE_NUMBER:
        raise ProgramError(line, f"line number {match[1]} is above {LAST_LINE_NUMBER}")
    return code[match.end() :]


def _check_repeats(words: list[tuple[str, float]], line: int) -> None:
    letters = [letter for letter, _ in words if letter not in "GM"]
    twice = sorted({letter for letter in letters if letters.count(letter) > 1})
    if twice:
        raise ProgramError(line, f"has more than one {twice[0]} word")
    if sum(letter == "M" for letter, _ in words) > 4:
        raise ProgramError(line, "has more than four M words")
