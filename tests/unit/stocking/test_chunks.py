import errno

import numpy as np
import pytest

from foamwright.errors import InputError
from foamwright.stocking.chunks import Store, packed, unpacked
from foamwright.stocking.laying import Laid
from foamwright.stocking.study import Span, Study, code_form
from tests.stocking_cases import small_study

SPAN = Span(16, 32)


def some_laid(seed: int = 0) -> Laid:
    dice = np.random.default_rng(seed)
    cells = dice.random((16, 5, 5))
    cells[3, 2] = np.nan
    return Laid(cells, dice.random(16), dice.random((16, 2)), 812)


def test_a_chunk_reads_back_bit_for_bit(tmp_path):
    store, laid = Store.within(tmp_path, "a" * 64), some_laid()
    store.keep(SPAN, packed(laid))
    back = store.kept(SPAN)
    assert back.cells.tobytes() == laid.cells.tobytes()
    assert back.volume.tobytes() == laid.volume.tobytes()
    assert back.to_order.tobytes() == laid.to_order.tobytes()
    assert back.slides == 812
    assert packed(unpacked(packed(laid))) == packed(laid)


def test_a_missing_chunk_is_none(tmp_path):
    store = Store.within(tmp_path, "a" * 64)
    assert store.kept(SPAN) is None
    assert not store.damaged(SPAN)


@pytest.mark.parametrize("harm", ["flip", "cut", "empty", "longer"])
def test_a_damaged_chunk_is_known(tmp_path, harm):
    store = Store.within(tmp_path, "a" * 64)
    store.keep(SPAN, packed(some_laid()))
    path = store.path(SPAN)
    content = bytearray(path.read_bytes())
    if harm == "flip":
        content[len(content) // 2] ^= 1
    path.write_bytes(
        {"flip": bytes(content), "cut": bytes(content[:-8]), "empty": b"", "longer": bytes(content) + b"x"}[
            harm
        ]
    )
    assert store.kept(SPAN) is None
    assert store.damaged(SPAN)


def test_a_chunk_of_another_study_is_not_taken(tmp_path):
    one = Store(tmp_path, "a" * 64)
    one.keep(SPAN, packed(some_laid()))
    assert Store(tmp_path, "b" * 64).kept(SPAN) is None


def test_a_chunk_under_another_name_is_not_taken(tmp_path):
    store = Store(tmp_path, "a" * 64)
    store.keep(SPAN, packed(some_laid()))
    store.path(SPAN).rename(store.path(Span(0, 16)))
    assert store.kept(Span(0, 16)) is None


def test_a_full_disk_is_said_and_leaves_nothing(tmp_path, monkeypatch):
    def full(self, *args, **kwargs):
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    store = Store.within(tmp_path, "a" * 64)
    monkeypatch.setattr("foamwright.files.Path.replace", full)
    with pytest.raises(InputError, match="the disk is full"):
        store.keep(SPAN, packed(some_laid()))
    assert list(tmp_path.rglob("*.*")) == []


def test_the_key_names_boards_blanks_bay_and_step():
    study = small_study(5, 5)
    keys = {
        study.key,
        small_study(6, 5).key,
        small_study(5, 6).key,
        Study(study.demand, study.blanks, study.bay, 0.01).key,
    }
    assert len(keys) == 4
    assert small_study(5, 5).key == study.key
    assert len(code_form()) == 64


def test_spans_cover_all_boards_once():
    spans = small_study(40, 1).spans
    assert [n for span in spans for n in range(span.begin, span.end)] == list(range(40))
