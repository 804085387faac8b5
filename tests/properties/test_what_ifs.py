"""What-ifs under random changes: files that read back, a base that stays, and what was added taken away again."""

from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopsim.errors import WhatIfError
from shopsim.shop.model_paths import path_text
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.shop_file import load_shop
from shopsim.shop.what_if import Change, Spends, WhatIf, apply, differences, dump_what_if, parse_what_if

BASE = load_shop(Path(__file__).parents[1] / "shop" / "what_if_base" / "shop.yaml")
VALUES = scenario_values(BASE.scenario)

line = st.text(st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=20)
scalars = (
    st.none()
    | st.booleans()
    | st.integers(-5, 5)
    | st.floats(-1e6, 1e6).map(lambda x: round(x, 4))
    | st.text(max_size=8)
    | st.dates()
)
trees = st.recursive(
    scalars, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(line, inner, max_size=3), max_leaves=8
)
groups = st.dictionaries(line.filter(lambda key: key != "id"), trees, max_size=3)
ids = st.from_regex(r"[A-Za-z][A-Za-z0-9_-]{0,9}", fullmatch=True)
paths = line.map(str.strip).filter(bool)
changes = st.one_of(
    st.builds(Change, st.sampled_from(["set", "add"]), paths, trees),
    st.builds(Change, st.just("remove"), paths),
    st.builds(Change, st.just("replace"), paths, groups),
    st.builds(
        Change, st.just("copy"), paths, groups | st.builds(lambda name, inside: {"id": name, **inside}, ids, groups)
    ),
)
amounts = st.floats(0, 1e6).map(lambda value: round(value, 2))
spends = (
    st.builds(Spends, once=amounts, life_years=st.none() | st.floats(1, 20), per_year=amounts, training_h=amounts)
    | st.builds(Spends, ramp_up_weeks=st.floats(1, 9), ramp_up_speed_pct=st.floats(1, 99))
    | st.builds(Spends, orders_won_pct=st.floats(1, 200), orders_won_weeks=st.floats(1, 520))
)
what_ifs = st.builds(
    WhatIf, line, st.lists(changes, min_size=1, max_size=6).map(tuple), line, st.text(max_size=50), st.none() | spends
)


@given(what_ifs)
@settings(max_examples=150, deadline=None)
def test_a_written_what_if_reads_back_equal(what_if: WhatIf) -> None:
    assert parse_what_if(dump_what_if(what_if), "file") == what_if


def places(value: Any, path: tuple[str | int, ...] = ()) -> list[str]:
    """Every path of plain values in the trade's form."""
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    found = [path_text(VALUES, path)] if path else []
    return [*found, *(each for key, item in inside for each in places(item, (*path, key)))]


PLACES = places(VALUES)
fitting = st.one_of(
    st.builds(
        Change, st.just("set"), st.sampled_from(PLACES), st.integers(0, 4) | st.sampled_from(["day", "p1", "x", True])
    ),
    st.builds(Change, st.just("remove"), st.sampled_from(PLACES)),
    st.builds(Change, st.just("copy"), st.sampled_from(PLACES), ids.map(lambda name: {"id": name})),
    st.builds(Change, st.just("replace"), st.sampled_from(PLACES), st.just({"weeks": 3})),
)


@given(st.lists(fitting, min_size=1, max_size=4).map(tuple))
@settings(max_examples=100, deadline=None)
def test_no_change_alters_the_base_and_differences_tell_every_one(made: tuple[Change, ...]) -> None:
    before = BASE.scenario.model_copy(deep=True), BASE.order_lines
    with suppress(WhatIfError):
        changed = apply(BASE, WhatIf("random", made, "shop.yaml"))
        assert bool(differences(BASE.scenario, changed.scenario)) == (changed.scenario != BASE.scenario)
        assert differences(changed.scenario, changed.scenario) == []
    assert (BASE.scenario, BASE.order_lines) == before
    assert scenario_values(BASE.scenario) == VALUES


@given(st.sampled_from(["fabrics", "printers", "work_centres", "shifts", "crews", "products"]), st.data())
@settings(deadline=None)
def test_removing_what_was_added_gives_the_base_back(kind: str, data: st.DataObject) -> None:
    item = data.draw(st.sampled_from([each["id"] for each in VALUES[kind]]))
    more = apply(BASE, WhatIf("more", (Change("copy", f"{kind}.{item}", {"id": "new", "name": "New"}),), "b"))
    assert [each.path for each in differences(BASE.scenario, more.scenario)] == [f"{kind}.new"]
    back = apply(more, WhatIf("back", (Change("remove", f"{kind}.new"),), "b"))
    assert back.scenario == BASE.scenario
    assert back.scenario.content_hash == BASE.scenario.content_hash


@pytest.mark.parametrize(
    ("place", "item"),
    [
        ("policies.bought_in", {"at": "machines", "when_queue_h": 4}),
        ("closed", {"first": BASE.scenario.shop.starts, "last": BASE.scenario.shop.starts}),
    ],
)
def test_adding_to_a_list_that_is_not_written_and_taking_it_away_again(place: str, item: dict[str, Any]) -> None:
    more = apply(BASE, WhatIf("more", (Change("add", place, item),), "b"))
    back = apply(more, WhatIf("back", (Change("remove", f"{place}[0]"),), "b"))
    assert more.scenario != BASE.scenario == back.scenario
