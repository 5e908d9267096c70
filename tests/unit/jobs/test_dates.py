"""The day of a plan: as given, else as the environment says, never the clock's."""

import datetime

import pytest

from foamwright.errors import InputError
from foamwright.jobs.options import date_option


def test_the_day_is_given_or_the_environments_or_none(monkeypatch):
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert date_option(None) is None
    assert date_option("2026-05-31") == datetime.date(2026, 5, 31)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86399")
    assert date_option(None) == datetime.date(1970, 1, 1)
    assert date_option("2026-05-31") == datetime.date(2026, 5, 31)


@pytest.mark.parametrize("written", ["31.5.2026", "2026-02-30", "today", ""])
def test_what_is_no_day_is_refused(written):
    with pytest.raises(InputError, match="is no day"):
        date_option(written)


@pytest.mark.parametrize("seconds", ["soon", "1e30", "9" * 30])
def test_an_environment_that_says_no_time_is_refused(monkeypatch, seconds):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", seconds)
    with pytest.raises(InputError, match="is no time"):
        date_option(None)
