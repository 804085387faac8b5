"""Packed numbers are as the dict they are made of, in less memory."""

from __future__ import annotations

import pickle
import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopsim.studies.packed_numbers import Keys, PackedNumbers

names = st.one_of(st.text(max_size=3), st.tuples(st.text(max_size=3), st.text(max_size=3)))
tables = st.lists(st.dictionaries(names, st.floats(allow_nan=False), max_size=8), max_size=5)


@given(tables)
def test_they_are_as_the_dicts_they_are_made_of(dicts: list[dict[object, float]]) -> None:
    keys = Keys()
    for table, packed in [(table, PackedNumbers(table, keys)) for table in dicts]:
        assert packed == table
        assert repr(packed) == repr(table)
        assert (list(packed), list(packed.values()), len(packed)) == (list(table), list(table.values()), len(table))
        assert {key: packed[key] for key in table} == table
        assert pickle.loads(pickle.dumps(packed)) == table
        for other in dicts:
            assert [packed.get(key, -1.0) for key in other] == [table.get(key, -1.0) for key in other]


def test_what_only_another_table_has_is_not_there() -> None:
    keys = Keys()
    first, second = PackedNumbers({"a": 1.0, "b": 2.0}, keys), PackedNumbers({"b": 3.0}, keys)
    assert ("a" in first, "a" in second, "c" in second) == (True, False, False)
    for key in ("a", "c"):
        with pytest.raises(KeyError, match=key):
            second[key]


def test_a_table_takes_a_quarter_of_the_memory_of_its_dict() -> None:
    keys, count = Keys(), 500
    made = [{f"key {k}": float(k) for k in range(count)} for _ in range(2)]
    PackedNumbers(made[0], keys)
    tracemalloc.start()
    try:
        packed = PackedNumbers(made[1], keys)
        mine, _ = tracemalloc.get_traced_memory()
        tracemalloc.clear_traces()
        copied = {key: value + 0.5 for key, value in made[1].items()}
        its, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert len(packed) == len(copied) == count
    assert mine < 0.27 * its
