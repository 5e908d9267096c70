"""How the bench says lengths, strokes and places, in the visitor's words and units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from foamwright.jobs.bench_steps_standing import Told
from foamwright.papers.job_words import Figures
from foamwright.units import System, parse_length
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class Sayer:
    """Says lengths as the papers do: rounded to the side where no foam is lost."""

    reader: Reader
    figures: Figures

    def unit(self, figure: str) -> str:
        """Return a figure with its unit, as the visitor's language writes it."""
        return self.bare(self.figures.with_unit(figure))

    def bare(self, figure: str) -> str:
        """Return a figure without its unit, as the visitor's language writes it."""
        return self.reader.figure(figure)

    def plane(self, name: str) -> str:
        """Return a plane of the usual bay in the visitor's words; another by its own name."""
        return plane_words(self.reader, name)

    def expected(self, ask: Mapping[str, Any]) -> str:
        """Return what should be read, without its unit."""
        return self._safe(ask["what"], ask["expect_m"])

    def limit(self, ask: Mapping[str, Any]) -> str:
        """Return where the stage ends, with its unit."""
        return self.unit(self._safe(ask["what"], ask["limit_m"]))

    def shown(self, what: str, metres: float) -> float:
        """Return what the figure for a length says, metres: differences are counted from it."""
        return parse_length(self.figures.with_unit(self._safe(what, metres)))

    def fault(self, stage: str, what: str) -> str:
        """Return in words what is wrong where a reading is past its limit: the edge, a face, or the whole."""
        return self.reader.words.say(f"bench.fault.{_faulty(stage, what)}")

    def doubt(self, ask: Mapping[str, Any]) -> str:
        """Return how far a reading may be out, with its unit."""
        return self.unit(self.figures.nearest(ask["doubt_m"]))

    def station(self, name: str, station_m: float, length_m: float) -> str:
        """Return a station in the visitor's words and units."""
        words = self.reader.words
        if name in ("tail", "nose", "centre"):
            return words.say(f"bench.station.{name}")
        end = name.rpartition(" ")[2]
        away = station_m if end == "tail" else length_m - station_m
        said = self.figures.along(abs(away))
        is_past = away < 0.0 and said != self.figures.along(0.0)
        return words.say(f"bench.station.{'past' if is_past else 'from'}-{end}", distance=said)

    def station_read(self, name: str, station_m: float, length_m: float | None) -> str:
        """Return the station of a reading: as the rack names it, or else as it was told."""
        is_tip = name in ("tail", "nose", "centre")
        if not is_tip and not (length_m is not None and name.endswith((" from tail", " from nose"))):
            return name
        return self.station(name, station_m, length_m or 0.0)

    def stage(self, stage: str) -> str:
        """Return a stage in the visitor's words; one that is none of ours as it was told."""
        key = f"bench.stage.{stage}"
        return self.reader.words.say(key) if self.reader.words.has(key) else stage

    def group(self, kind: str, group: Mapping[str, Any], length_m: float) -> str:
        """Return what a group of strokes is, in one line."""
        words, say, count = self.reader.words, self.figures, group["count"]
        if kind == "run":
            return words.say("bench.group.run", n=count, start=self.unit(say.start(group["start_m"])))
        if kind == "passes" and group["start_m"] < 1e-6 and group["end_m"] > length_m - 1e-6:
            return words.say("bench.group.whole", n=count)
        key = "bench.group.lifted" if kind == "lifted" else "bench.group.part"
        start, end = say.start(group["start_m"]), say.lift(group["end_m"])
        return words.say(key, n=count, start=self.unit(start), end=self.unit(end))

    def how(self, group: Mapping[str, Any], before: Mapping[str, Any] | None) -> str:
        """Return what changes for a group: the iron, how the plane is turned; empty if nothing does."""
        words, parts = self.reader.words, []
        if before is None or before["chip_m"] != group["chip_m"]:
            parts.append(words.say("bench.iron", chip=self.unit(self.figures.chip(group["chip_m"]))))
        if group["skew_deg"] != (before["skew_deg"] if before else 0.0):
            key = "bench.turned" if group["skew_deg"] else "bench.straight"
            parts.append(words.say(key, degrees=f"{group['skew_deg']:.0f}"))
        return ", ".join(parts)

    def _safe(self, what: str, metres: float) -> str:
        if what == "rocker":
            return self.figures.at_most(metres)
        return self.figures.width(metres) if what == "width" else self.figures.at_least(metres)


def plane_words(reader: Reader, name: str) -> str:
    """Return a plane of the usual bay in the visitor's words; another by its own name."""
    key = f"bench.plane.{name}"
    return reader.words.say(key) if reader.words.has(key) else name


FACES = {"rocker": "bottom", "foil": "deck", "contours": "bottom"}
"""The face that a stage cuts; a thickness read at another may miss on either."""


def _faulty(stage: str, what: str) -> str:
    if what == "width":
        return "edge"
    return "bottom" if what == "rocker" else FACES.get(stage, "thickness")


def past_shown(told: Told, say: Sayer) -> float:
    """Return by how much a reading is past where its stage ends, metres, from the figures that are shown.

    Negative: foam is left. 0 where nothing was asked.
    """
    if told.asked is None:
        return 0.0
    what, figures = told.asked.what, say.figures
    value = parse_length(figures.with_unit(figures.nearest(told.reading.value_m)))
    limit = say.shown(what, told.asked.limit_m)
    return value - limit if what == "rocker" else limit - value


def sayer_of(reader: Reader, tape: int) -> Sayer:
    """Return how lengths are said to a visitor, with the tape of the job's bay."""
    return Sayer(reader, Figures(reader.lengths, tape if reader.lengths is System.INCH else 16))
