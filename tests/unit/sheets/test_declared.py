"""What a sheet's model declares, key by key: whoever shows a sheet as fields needs no second list of keys."""

from __future__ import annotations

import tomllib

import pytest

from foamwright.board.written import BoardSheet
from foamwright.demo import demo_path
from foamwright.sheets.declared import declared_at, keys_of
from foamwright.sheets.fields import Kind


def paths_in(table, way=()):
    """Every way to a value in a sheet, lists by their places."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from paths_in(value, (*way, key))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for n, one in enumerate(value):
                yield from paths_in(one, (*way, key, n))
        else:
            yield (*way, key)


@pytest.mark.parametrize("name", ["groyne", "breakwater"])
def test_every_key_of_a_demos_sheet_is_declared(name):
    sheet = tomllib.loads(demo_path(f"{name}.board.toml").read_text("utf-8"))
    ways = list(paths_in(sheet))
    assert len(ways) > 25
    assert [way for way in ways if declared_at(BoardSheet, way) is None] == []


def test_what_no_model_knows_is_not_declared():
    assert declared_at(BoardSheet, ("outlien", "nose")) is None
    assert declared_at(BoardSheet, ("length", "nose")) is None
    assert declared_at(BoardSheet, ("bottom", "contour", 0, "dpeth")) is None


def test_kinds_come_from_the_readers():
    assert declared_at(BoardSheet, ("length",)).kind == Kind.LENGTH
    assert declared_at(BoardSheet, ("outline", "12 from nose")).kind == Kind.LENGTH
    assert declared_at(BoardSheet, ("name",)).kind == Kind.TEXT
    assert declared_at(BoardSheet, ("outline", "wide_at")).is_station


def test_lists_of_tables_name_their_model_and_what_it_needs():
    contour = declared_at(BoardSheet, ("bottom", "contour"))
    assert contour.is_list
    assert "shape" in contour.needs
    assert set(contour.needs) <= set(keys_of(contour.model))
