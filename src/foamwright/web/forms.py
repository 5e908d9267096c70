"""Forms as they are sent: plain fields, perhaps one file, and a token that makes sending twice harmless."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import UploadFile

from foamwright.errors import InputError, Problem
from foamwright.shop.database import Work
from foamwright.shop.submissions import answer_given, remember_answer
from foamwright.shop.told import ShopError, told

MOST_FIELDS = 60
LARGEST_FIELD = 200_000
ONCE_FIELD = "once"
_ONCE = re.compile(r"[A-Za-z0-9_-]{16,64}")
_COUNT = re.compile(r"-?[0-9]{1,9}")


@dataclass(frozen=True, slots=True)
class SentFile:
    """A file that was sent: the name it had, and what is in it."""

    name: str
    data: bytes


def sheet_text(file: SentFile) -> str:
    """Return the text of a sheet that was sent as a file.

    Raises
    ------
    ShopError
        It is no text.
    """
    try:
        text = file.data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ShopError(told("file", "sheet-not-text")) from None
    if "\0" in text:
        raise ShopError(told("file", "sheet-not-text"))
    return text


@dataclass(frozen=True, slots=True)
class Form:
    """A form as it was sent."""

    fields: Mapping[str, str]
    files: Mapping[str, SentFile]

    def text(self, name: str) -> str:
        """Return a field's text; empty if it was not sent."""
        return self.fields.get(name, "")

    def number(self, name: str) -> int:
        """Return a whole number.

        Raises
        ------
        ShopError
            It is none.
        """
        written = self.text(name).strip()
        if not _COUNT.fullmatch(written):
            raise ShopError(told(name, "no-number" if written else "empty", written=written[:40]))
        return int(written)

    def number_or_none(self, name: str) -> int | None:
        """Return a whole number, or ``None`` if the field is empty."""
        return self.number(name) if self.text(name).strip() else None


async def read_form(request: Request) -> Form:
    """Return the form in a request; the checks of who sent it find it in ``request.state.form``."""
    fields: dict[str, str] = {}
    files: dict[str, SentFile] = {}
    if request.method == "POST":
        async with request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=LARGEST_FIELD) as sent:
            for name, value in sent.multi_items():
                if isinstance(value, UploadFile):
                    files[name] = SentFile(_file_name(value.filename or ""), await value.read())
                else:
                    fields[name] = value
    request.state.form = Form(fields, files)
    return Form(fields, files)


Sent = Annotated[Form, Depends(read_form)]


def new_once() -> str:
    """Return a token for a form about to be shown."""
    return secrets.token_urlsafe(16)


def done_once(work: Work, form: Form, do: Callable[[], str]) -> str:
    """Do what a form asks, or, if it was done already, nothing; return where it leads either way."""
    once = form.text(ONCE_FIELD)
    if not _ONCE.fullmatch(once):
        return do()
    answer = answer_given(work, once)
    if answer is None:
        answer = do()
        remember_answer(work, once, answer)
    return answer


def gathered(*reads: Callable[[], object]) -> list[Problem]:
    """Return the problems of all readings of a form's fields, not only of the first that fails."""
    problems: list[Problem] = []
    for read in reads:
        try:
            read()
        except InputError as wrong:
            problems.extend(wrong.problems)
    return problems


def _file_name(name: str) -> str:
    """The last part of a file's name, for messages only: nothing is ever opened by it."""
    return re.sub(r"[^\w .()-]", "", re.split(r"[/\\]", name)[-1])[-80:] or "file"
