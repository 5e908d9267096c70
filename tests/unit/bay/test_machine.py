"""Machine sheets: what they say, what they leave away, what cannot stand."""

import pytest

from foamwright.bay.machine import Carriages, Kerf, WireAxes, WireMachine
from foamwright.bay.machine_sheet import machine_from_text
from foamwright.errors import InputError

SHEET = """
name = "long wire"
units = "mm"
along = 3000
carriages = "apart"
axes = "XYUV"
feed_mm_min = 300
[[kerf]]
feed_mm_min = 120
width = 2
[[kerf]]
feed_mm_min = 600
width = 1.2
[[block]]
name = "full"
length = 3000
width = 1200
height = 600
foam = "eps 20 kg/m3"
price = 150
on_hand = 4
[terms]
glue_minutes = 12
"""


def test_a_sheet_is_read():
    machine = machine_from_text(SHEET, "wire.machine.toml")
    assert machine.along == 3.0
    assert machine.carriages is Carriages.APART
    assert machine.axes is WireAxes.XYUV
    assert machine.feed == pytest.approx(0.005)
    assert machine.kerf.widths == (0.002, 0.0012)
    assert machine.blocks[0].on_hand == 4
    assert machine.terms.glue_minutes == 12


def test_an_empty_sheet_is_the_usual_machine():
    assert machine_from_text("", "empty.machine.toml") == WireMachine()


def test_kerf_between_its_rows_is_on_the_line():
    kerf = Kerf((0.002, 0.010), (0.002, 0.001))
    assert kerf.at(0.006) == pytest.approx(0.0015)
    assert kerf.covers([0.002, 0.010])
    assert not kerf.covers(0.011)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("along = 3000", "no unit"),
        ('[[kerf]]\nfeed_mm_min = 300\nwidth = "2 mm"', "One row says nothing"),
        (
            '[[kerf]]\nfeed_mm_min = 300\nwidth = "2 mm"\n[[kerf]]\nfeed_mm_min = 200\nwidth = "1 mm"',
            "do not rise",
        ),
        ("feed_mm_min = 9000", "not between the slowest and the fastest"),
        (
            '[[kerf]]\nfeed_mm_min = 100\nwidth = "2 mm"\n[[kerf]]\nfeed_mm_min = 200\nwidth = "1 mm"',
            "does not hold the usual feed",
        ),
        (SHEET.replace("feed_mm_min = 120", "feed_mm_min = nan"), "nan is not a number"),
        (SHEET.replace("price = 150", f"price = {'9' * 400}"), "is not a number"),
        ('carriages = "both"', "not a way to move"),
        (SHEET + SHEET[SHEET.index("[[block]]") : SHEET.index("[terms]")], "another block too"),
        ("speed = 3", "unknown"),
    ],
)
def test_what_cannot_stand(text, words):
    with pytest.raises(InputError, match=words):
        machine_from_text(text, "wire.machine.toml")
