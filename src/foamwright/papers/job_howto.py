"""How each step is done, in short: why, how to stand and hold, what to do, what goes wrong.

Common practice in our own words; no source.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum


class Step(StrEnum):
    """The steps of the work in order; the values name them on paper and in `foamwright.cautions`."""

    OUTLINE = "outline"
    THICKNESS = "thickness"
    ROCKER = "rocker"
    FOIL = "foil"
    CONTOURS = "contours"
    RAILS = "rails"
    FINISH = "finish"

    @property
    def number(self) -> int:
        """Place in the order of the work, from 1."""
        return list(Step).index(self) + 1


@dataclass(frozen=True, slots=True)
class HowTo:
    """What a beginner is told at one step."""

    purpose: str
    why: str
    hold: str
    do: str
    wrong: str
    tools: str


HOW: dict[Step, HowTo] = {
    Step.OUTLINE: HowTo(
        purpose="Saw outside the line, then plane the edge square down to it.",
        why="Every later measure is taken from the stringer and from a square edge. A saw wanders, so it "
        "keeps outside the line, and the plane comes up to the line.",
        hold="Bottom up on the rack, weighted so that it cannot slide. Look along the blade. Keep it upright "
        "and let its weight cut.",
        do="Draw the stations square across. Trace the half template on one side of the stringer, turn it "
        "over, trace the other. Saw both sides, then the tips. Plane the edge; try the square every hand's "
        "width.",
        wrong="The blade leans and runs inside the line on the far face: stop, and saw that stretch from the "
        "other face. The two sides differ: measure each from the stringer, never across.",
        tools="saw, plane, square, tape, template",
    ),
    Step.THICKNESS: HowTo(
        purpose="Take the even part off, the whole length, while the blank's own curve guides the plane.",
        why="What comes off everywhere comes off first: long passes over a curve that is already fair leave "
        "it fair. What is left is for the rocker and the foil.",
        hold="Walk beside the board and keep the plane moving from end to end. Press the toe as a pass "
        "begins, the heel as it ends. Feet, not arms, make a long pass.",
        do="Write each take-off beside the stringer at its station. Plane the stringer to its depth first, "
        "then bring the foam down beside it until a straight edge across touches foam, wood and foam. Turn "
        "over; the same on the other face.",
        wrong="Steps where passes began: you stopped and started at the same place; set the iron finer and "
        "pass over the whole length. One side lower: lay the straight edge across at every station.",
        tools="plane, straight edge, calipers",
    ),
    Step.ROCKER: HowTo(
        purpose="Cut what else leaves the bottom, towards each tip, in strokes that run off the end.",
        why="The bottom's curve is cut while the bottom is still flat across, because a flat can be "
        "measured. The middle stays as it is: no stroke starts there.",
        hold="Bottom up. Rack pad 6 to 8 in from the tip that you plane to, the other 12 in behind the "
        "middle, a soft bag of 3 to 5 kg over it: a tip in the air springs away and is cut too deep. Walk "
        "off the tip; lift the bag off before the calipers.",
        do="Make the strokes of the next sheets. At every stop measure before going on. Foam comes down with "
        "the coarse block (36 to 40 grit): the wood is the gauge, when you hear wood, lift. At the end a "
        "short straight edge across every 6 in, then winding sticks at 24 and 12 in from each tip.",
        wrong="The tip is done and the rest stands proud: lift off before the tip, from mark to mark. "
        "Too deep anywhere: stop, and take a reading at every station.",
        tools="plane, straight edge, calipers, tape",
    ),
    Step.FOIL: HowTo(
        purpose="Turn it over and cut what else leaves the deck, until the calipers say the thickness.",
        why="The bottom is now the measure: the deck is cut to thickness from it, so no error of the rocker "
        "comes back.",
        hold="Deck up, the rack padded under the rocker so that the tips do not bend. Walk off the tip as "
        "before, with the short plane held straight: it reaches the hollows.",
        do="Make the strokes of the next sheets, measuring at every stop. The foam comes down as the "
        "bottom's did. On a domed blank keep the dome: only the stringer is cut to the line.",
        wrong="The iron rides and cuts nothing: the sole bridges a hollow; take a shorter plane. Thin "
        "before thick: calipers at every station, and trust the smaller reading.",
        tools="plane, calipers, tape",
    ),
    Step.CONTOURS: HowTo(
        purpose="Scoop the bottom's contours to the depths on the grid.",
        why="The thickness held this depth back. From the flat bottom it can be measured with a straight "
        "edge and a feeler; after the rails there would be nothing to lay the straight edge on.",
        hold="Bottom up. Hold a curved or padded block with both hands and work along the board, never in "
        "one place.",
        do="Rule the grid in pencil and write the depths. Scoop the stringer first, then out to the sides, "
        "to nothing at the edge of the scoop; at a vee from nothing at the stringer down to the rail. "
        "Lay the straight edge across at each station and measure under it.",
        wrong="A trough beside the stringer: the wood was left high and the block rode on it; plane the wood "
        "down first. Edges washed out: stay inside the edge of the scoop.",
        tools="curved block, small plane, straight edge, rule",
    ),
    Step.RAILS: HowTo(
        purpose="Flats from pencil line to pencil line, one after the other, round the rail.",
        why="A rail is round, but a flat between two lines can be made true and the same on both sides. "
        "What is left between the flats is taken by the screen.",
        hold="Plane or block on the slant of the flat, long passes from nose to tail. Change sides after "
        "every flat, so that both rails grow alike.",
        do="Draw the two lines of the first flat at each station and join them with a batten. Plane until "
        "both lines are just gone. Draw the next flat, and so on.",
        wrong="A flat runs past its line: leave that stretch and fair the rest into it. Two sides differ: "
        "hold the section template to both, and cut only the fuller one.",
        tools="plane or block, batten, templates",
    ),
    Step.FINISH: HowTo(
        purpose="Sand off what was left on purpose, and read the finished core.",
        why="Every step left a little on each face for the last sanding. It takes the plane's marks and "
        "brings the core to its numbers.",
        hold="A long soft block, light hands, in strokes along the board that overlap by half.",
        do="Round what is left between the flats with a screen drawn round the rail. Sand both faces and "
        "the edges alike, then look along the board against a low light.",
        wrong="Wood is harder than foam: a soft pad digs beside the stringer, so bridge it with a hard "
        "block.",
        tools="long block, screen, low light",
    ),
}

_WITHOUT = (
    ("touches foam, wood and foam", "touches the foam all across"),
    (
        "the wood is the gauge, when you hear wood, lift",
        "the planed middle is the gauge, stop when level with it",
    ),
    (
        "the wood was left high and the block rode on it; plane the wood down first",
        "the block stood too long in one place; bring the foam beside it down to it where depth is left",
    ),
    ("A trough beside the stringer", "A trough beside the middle line"),
    (
        "Wood is harder than foam: a soft pad digs beside the stringer, so bridge it with a hard block.",
        "Soft pads dig: use a hard block.",
    ),
    ("one side of the stringer", "one side of the middle line"),
    ("Plane the stringer to its depth first", "Plane the middle line to its depth first"),
    ("Scoop the stringer first", "Scoop the middle line first"),
    ("only the stringer is cut to the line", "only the middle is cut to the line"),
    ("the stringer", "the middle line"),
)
"""What is said of a blank without a stringer, in place of what is said of one with; the longest first."""


def how_to(step: Step, stringer: bool) -> HowTo:
    """Return how a step is done; where there is no stringer, nothing of one."""
    if stringer:
        return HOW[step]
    return HowTo(**{one.name: _without_stringer(getattr(HOW[step], one.name)) for one in fields(HowTo)})


def _without_stringer(words: str) -> str:
    for wood, foam in _WITHOUT:
        words = words.replace(wood, foam)
    return words
