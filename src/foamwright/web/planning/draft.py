"""A board as it stands in the form: perhaps not saved, perhaps not even possible."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from foamwright.errors import InputError, Problem
from foamwright.jobs.check import Checked
from foamwright.jobs.live_planning import Wanted, checked_board
from foamwright.web.planning.fields import BoardForm, FormSource, board_form, changes_of, stations_of
from foamwright.web.planning.places import Stations
from foamwright.web.planning.sheet_text import changed_text
from foamwright.web.rendering import Reader


@dataclass(frozen=True)
class Draft:
    """A board as it stands in the form.

    Attributes
    ----------
    stored
        The sheet that it began from.
    sheet
        The sheet with what was typed.
    reader
        How the visitor reads.
    typed
        Fields that differ from the stored sheet, by name.
    checked
        The board in numbers; ``None`` while the numbers cannot stand.
    problems
        Why they cannot.
    bay
        Text of the bay sheet that it is planned with; empty: the usual bay.
    place
        A station that could not be added, as it was typed; one of the problems says why.
    """

    stored: str
    sheet: str
    reader: Reader
    typed: Mapping[str, str] = field(default_factory=dict)
    checked: Checked | None = None
    problems: Sequence[Problem] = ()
    bay: str = ""
    place: str = ""

    @property
    def wanted(self) -> Wanted:
        """The board, as the live functions are asked for it."""
        return Wanted(self.sheet, self.reader.lengths, self.bay)

    @property
    def is_changed(self) -> bool:
        """Whether anything was typed that is not stored."""
        return self.sheet != self.stored

    @property
    def form(self) -> BoardForm:
        """The form, with what is wrong and what there is to say beside the fields."""
        return board_form(self._source)

    @property
    def stations(self) -> Stations:
        """The stations of the board."""
        return stations_of(self._source)

    @property
    def _source(self) -> FormSource:
        known = self.checked
        return FormSource(
            sheet=self.stored,
            reader=self.reader,
            typed=self.typed,
            board=known.board if known else None,
            problems=[self.reader.problem(problem) for problem in self.problems],
            findings=known.warnings if known else (),
        )


def draft_of(stored: str, typed: Mapping[str, str], reader: Reader, bay: str) -> Draft:
    """Return the draft of a stored sheet with what was typed into its fields.

    Parameters
    ----------
    stored
        The sheet as it is kept.
    typed
        Texts by field name.
    reader
        How the visitor reads.
    bay
        Text of the bay sheet; empty: the usual bay.
    """
    changes = changes_of(stored, typed, reader) if typed else {}
    sheet = changed_text(stored, changes) if changes else stored
    try:
        return Draft(stored, sheet, reader, typed, checked_board(Wanted(sheet, reader.lengths, bay)), (), bay)
    except InputError as wrong:
        return Draft(stored, sheet, reader, typed, None, wrong.problems, bay)
