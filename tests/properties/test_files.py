"""Files under random attack: nothing but our own errors, dumps that read back, edits that hurt nothing else."""

import datetime
import string
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopsim.errors import OrderBookError, ScenarioError
from shopsim.shop.changes import Change
from shopsim.shop.order_book import OrderLine, load_order_book, write_order_book
from shopsim.shop.order_rows import COLUMNS
from shopsim.shop.scenario_dump import dump_scenario
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import check_values, load_scenario, parse_scenario
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value
from shopsim.shop.yaml_writing import block, flow

SHOP = Path(__file__).parents[1] / "shop"
SMALL = (SHOP / "small_shop.yaml").read_text(encoding="utf-8")
BOOK_SHOP = load_scenario(SHOP / "book_shop.yaml")
same_folder = settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)


@given(st.binary(max_size=300))
@same_folder
def test_random_bytes_never_end_in_a_traceback(tmp_path: Path, content: bytes) -> None:
    for name, load, error in (
        ("a.yaml", load_scenario, ScenarioError),
        ("a.csv", lambda path: load_order_book(path, BOOK_SHOP), OrderBookError),
        ("a.xlsx", lambda path: load_order_book(path, BOOK_SHOP), OrderBookError),
    ):
        (tmp_path / name).write_bytes(content)
        with pytest.raises(error):
            load(tmp_path / name)


yamlish = st.lists(
    st.sampled_from(
        [*"abn01-:[]{},&*!|>'\"%@#?~.\n\t ", "\n  ", "\n- ", ": ", " #", "---\n", "<<", ".nan", "2026-01-0"]
    )
    | st.characters(),
    max_size=60,
).map("".join)


@given(yamlish)
@settings(max_examples=300, deadline=None)
def test_random_text_never_ends_in_a_traceback(text: str) -> None:
    with pytest.raises(ScenarioError):
        parse_scenario(text, "random")


@given(st.integers(0, len(SMALL) - 1), st.integers(0, 12), yamlish)
@settings(max_examples=300, deadline=None)
def test_a_damaged_scenario_is_read_or_refused(at: int, cut: int, put: str) -> None:
    try:
        parse_scenario(SMALL[:at] + put[:8] + SMALL[at + cut :], "damaged")
    except ScenarioError as error:
        lines = [problem.line or 0 for problem in error.problems]
        assert lines == sorted(lines)


junk = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


def paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(deeper for key, item in inner for deeper in paths(item, (*path, key)))]


def complaint(values: dict[str, Any]) -> str:
    try:
        check_values(values, "form")
    except ScenarioError as error:
        return str(error)
    return ""


@given(st.data(), junk)
@settings(max_examples=300, deadline=None)
def test_junk_at_any_place_is_refused_in_our_words(data: st.DataObject, wrong: Any) -> None:
    values = plain_value(compose(SMALL, "small"), "small")
    path = data.draw(st.sampled_from(paths(values)[1:]))
    holder = values
    for part in path[:-1]:
        holder = holder[part]
    holder[path[-1]] = wrong
    told = complaint(values).lower()
    assert not any(word in told for word in ("input should", "pydantic", "value error", "valid "))


numbers = st.floats(0.01, 1000).map(lambda number: round(number, 6))
spreads = (
    numbers
    | st.lists(numbers, min_size=3, max_size=3).map(sorted)
    | numbers.map(lambda mean: {"exponential": {"mean": mean}})
    | st.tuples(numbers, st.floats(0.1, 3)).map(lambda pair: {"gamma": {"mean": pair[0], "cv": pair[1]}})
    | st.tuples(numbers, st.floats(0.1, 3)).map(lambda pair: {"weibull": {"mean": pair[0], "cv": pair[1]}})
    | st.tuples(numbers, st.integers(1, 9)).map(lambda pair: {"erlang": {"mean": pair[0], "k": pair[1]}})
    | st.tuples(numbers, st.floats(1, 5)).map(lambda p: {"log_normal": {"median": p[0], "p90": p[0] * p[1]}})
    | st.lists(numbers, min_size=1, max_size=60).map(lambda values: {"empirical": {"values": values}})
)
labels = st.text(st.characters(exclude_categories=["Cc", "Cs"]), max_size=20)


@st.composite
def shops(draw: st.DrawFn) -> dict[str, Any]:
    values: dict[str, Any] = plain_value(compose(SMALL, "small"), "small")
    values["shop"]["name"] = draw(labels)
    values["shop"]["note"] = draw(st.text(st.characters(exclude_categories=["Cs"]), max_size=30))
    values["fabrics"][0] |= draw(st.fixed_dictionaries({}, optional={"dwell_s": numbers, "name": labels}))
    values["fabrics"][1] |= draw(st.fixed_dictionaries({}, optional={"stock": st.just({"rolls": 2})}))
    values["printers"][0] |= draw(
        st.fixed_dictionaries(
            {},
            optional={
                "breakdowns": st.none() | st.fixed_dictionaries({"every_running_h": numbers}),
                "first_article": st.none(),
                "fixation": st.just({"kind": "inline", "plate_m": 1}),
                "money": st.fixed_dictionaries({}, optional={"price": numbers, "life_years": numbers}),
                "roll_change": st.fixed_dictionaries({}, optional={"full_min": spreads, "needs_lift": st.booleans()}),
            },
        )
    )
    values["products"][0]["route"][3]["minutes"] = draw(spreads)
    values["demand"]["forecast"] |= draw(
        st.fixed_dictionaries({}, optional={"lead_days": spreads, "evenly_spread": st.booleans()})
    )
    values["study"] = {"seed": draw(st.integers(0, 2**32 - 1)), "weeks": draw(st.floats(1, 100))}
    return values


@given(shops())
@settings(deadline=None)
def test_a_dump_reads_back_equal(values: dict[str, Any]) -> None:
    scenario = check_values(values, "built")
    text = dump_scenario(scenario)
    again = parse_scenario(text, "dumped")
    assert again == scenario
    assert again.content_hash == scenario.content_hash
    assert dump_scenario(again) == text


lines = st.builds(
    OrderLine,
    order_id=st.text(st.characters(exclude_categories=["Cc", "Cs"]), min_size=1, max_size=20)
    .map(str.strip)
    .filter(bool),
    received=st.datetimes(datetime.datetime(2026, 1, 5), datetime.datetime(2026, 3, 1)).map(
        lambda time: time.replace(microsecond=0)
    ),
    due=st.dates(datetime.date(2026, 3, 1), datetime.date(2026, 4, 1)),
    product=st.just("cloth"),
    pieces=st.integers(1, 1000),
    width_m=st.floats(1e-6, 2.9),
    height_m=st.floats(1e-6, 50),
    rush=st.booleans(),
    repeat=st.booleans(),
    cancelled=st.none() | st.just(datetime.datetime(2026, 3, 2, 10, 0, 5)),
)


@given(st.lists(lines, min_size=1, max_size=5, unique_by=lambda line: line.order_id))
@same_folder
def test_an_order_book_reads_back_equal(tmp_path: Path, written: list[OrderLine]) -> None:
    path = tmp_path / "orders.csv"
    write_order_book(path, written)
    assert load_order_book(path, BOOK_SHOP) == tuple(written)


@given(st.lists(st.lists(st.text(max_size=12), max_size=12), max_size=4))
@same_folder
def test_random_cells_never_end_in_a_traceback(tmp_path: Path, rows: list[list[str]]) -> None:
    path = tmp_path / "orders.csv"
    text = "\n".join([",".join(COLUMNS), *(",".join(row) for row in rows)])
    path.write_bytes(text.encode(errors="replace"))
    with suppress(OrderBookError):
        assert load_order_book(path, BOOK_SHOP) == ()


scalars = st.none() | st.booleans() | st.integers(-5, 5) | st.floats(allow_nan=False) | st.text(max_size=8) | st.dates()
words = st.text(string.ascii_lowercase, min_size=1, max_size=5)
trees = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(words, inner, max_size=4),
    max_leaves=20,
)
documents = st.dictionaries(words, trees, min_size=1, max_size=5)


def by_many_hands(value: Any, random: Random, indent: int = 0) -> list[str]:
    """YAML lines of a dict or list in a random mixture of styles, with comments."""
    pad, found = " " * indent, []
    for head, item in [(f"{pad}{key}:", item) for key, item in value.items()] if isinstance(value, dict) else [
        (f"{pad}-", item) for item in value
    ]:  # fmt: skip
        comment = random.choice(["", "", "  # so - it: is"]) if head[-1] == ":" else ""
        if isinstance(item, dict | list) and item and random.random() < 0.8:
            inner = by_many_hands(item, random, indent + 2)
            found += [head + comment, *inner] if head[-1] == ":" else [f"{head} {inner[0].lstrip()}", *inner[1:]]
        elif item is None and random.random() < 0.5:
            found.append(head + comment)
        else:
            found.append(f"{head} {flow(item)}{comment}")
    return found


@given(documents, st.randoms(use_true_random=False), st.data(), trees)
@settings(max_examples=300, deadline=None)
def test_an_edit_gives_the_wanted_values_in_any_style(
    values: dict[str, Any], random: Random, data: st.DataObject, new: Any
) -> None:
    text = "\n".join(by_many_hands(values, random)) + random.choice(["", "\n", "\n# end\n"])
    assert plain_value(compose(text, "text"), "text") == values
    path = data.draw(st.sampled_from(paths(values)[1:]))
    trade_form = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path).removeprefix(".")
    action = data.draw(st.sampled_from(["set", "remove"]))
    if action == "remove" and len(path) == len(values) == 1:
        return
    edited = edit_scenario(text, [Change(action, trade_form, new)])
    if action == "remove":
        assert len(plain_value(compose(edited, "text"), "text")) in (len(values), len(values) - 1)
    else:
        holder = plain_value(compose(edited, "text"), "text")
        for part in path:
            holder = holder[part]
        assert holder == new


@given(documents)
@settings(deadline=None)
def test_written_yaml_reads_back_equal(values: dict[str, Any]) -> None:
    assert plain_value(compose("\n".join(block(values, 0)), "text"), "text") == values
