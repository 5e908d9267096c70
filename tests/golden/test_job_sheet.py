"""The job sheet says what it said: changed words show line by line, and are read before they are kept."""

from tests.golden.job_sheet import KEPT, job_sheet_words


def test_the_job_sheet_says_what_was_kept():
    assert job_sheet_words().splitlines() == KEPT.read_text("utf-8").splitlines()
