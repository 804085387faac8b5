"""Replications: the same numbers whoever runs them, audited, in order; what is missing, and the constraint."""

import math
from pathlib import Path

import pytest

from shopsim.errors import AuditError
from shopsim.measures.kpis import measures_of
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.replicate import Replications, replicate
from shopsim.studies.replication import Replication, numbers_of, one_log
from tests.doors.tiny import write_shop

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"


@pytest.fixture(scope="module")
def shop() -> Shop:
    """The flag shop with all its chance, for two weeks after one of warm-up."""
    values = scenario_values(load_shop(DEMO).scenario)
    values["study"] = {**values["study"], "weeks": 2, "warm_up_weeks": 1}
    return Shop(check_values(values, "short"))


@pytest.fixture
def tiny(tmp_path: Path) -> Shop:
    return load_shop(write_shop(tmp_path))


def row(number: int, **parts: dict[object, float]) -> Replication:
    empty = dict.fromkeys(("measures", "states", "unattended", "constraint", "web_per_week", "reasons_h",
                           "money_per_week"))  # fmt: skip
    return Replication(number, **{name: parts.get(name, {}) for name in empty})  # type: ignore[arg-type]


def as_text(found: Replications) -> str:
    # NaN is unequal to itself, its text is not; the text of a float tells all its bits.
    return repr(found.rows)


def test_two_workers_give_the_same_numbers_as_one(shop: Shop) -> None:
    finished: list[tuple[int, int]] = []
    alone = replicate(shop.scenario, shop.order_lines, 4)
    shared = replicate(shop.scenario, shop.order_lines, 4, workers=2, on_done=lambda i, n: finished.append((i, n)))
    assert as_text(alone) == as_text(shared)
    assert [each.number for each in shared.rows] == [0, 1, 2, 3]
    assert finished == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_a_replication_does_not_depend_on_how_many_there_are(shop: Shop) -> None:
    two, three = (replicate(shop.scenario, shop.order_lines, n) for n in (2, 3))
    assert repr(two.rows) == repr(three.rows[:2])
    assert repr(three.rows[1].measures) == repr(measures_of(one_log(shop.scenario, (), 1), shop.scenario))
    assert three.rows[1].measures != three.rows[2].measures


def test_numbers_of_a_shop_followed_by_hand(tiny: Shop) -> None:
    found = numbers_of(one_log(tiny.scenario, tiny.order_lines), tiny.scenario)
    assert found.measures["on_time_share"] == pytest.approx(2 / 3)
    # Printing 20 + 10 + 100 min, of 7 days.
    assert found.states["printer", "p1", "printing"] == pytest.approx(130 / 10080)
    assert found.states["crew", "operator", "roll_change"] == pytest.approx(20 / 10080)
    # The printer is off whenever nobody is there.
    assert found.unattended == pytest.approx({("p1", "off"): 1 - 5 * 480 / 10080})
    assert found.web_per_week["leader", "m"] == 4
    assert found.web_per_week["pieces", "m2"] == pytest.approx(130)
    # All three orders: 60 + 30 + 300 min of sewing, 20 + 10 + 100 of packing; packing D waits for its sewing.
    assert found.reasons_h["all", "work"] == pytest.approx((60 + 20 + 30 + 10 + 300 + 100) / 3 / 60)
    # D: 17 + 150 min, then the night, then 133 min of sewing.
    assert found.reasons_h["late", "off_shift"] == pytest.approx((30 + 16 * 60) / 60)
    assert found.money_per_week["revenue"] == pytest.approx(130 * 20)


def test_the_parts_of_a_replication_are_whole(shop: Shop) -> None:
    found = replicate(shop.scenario, (), 1).rows[0]
    owners = {key[:2] for key in found.states}
    for owner in owners:
        assert sum(share for key, share in found.states.items() if key[:2] == owner) == pytest.approx(1)
    money = found.money_per_week
    assert money["margin"] == pytest.approx(money["revenue"] - money["late_penalties"] - money["cost"])


def test_books_that_do_not_balance_are_told_with_replication_and_seed(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost(facts: object) -> None:
        raise AuditError("2 pieces lost")

    monkeypatch.setattr("shopsim.measures.audit.require_balanced", lost)
    with pytest.raises(AuditError) as error:
        replicate(shop.scenario, (), 2)
    assert str(error.value) == "replication 0, seed 11: 2 pieces lost"


def test_an_error_in_a_worker_comes_back(shop: Shop) -> None:
    # Copies are not checked, so this seed only fails where the first stream is drawn.
    study = shop.scenario.study.model_copy(update={"seed": -1})
    with pytest.raises(ValueError) as error:
        replicate(shop.scenario.model_copy(update={"study": study}), (), 2, workers=2)
    assert str(error.value) == "seed must be from 0 to 4294967295, got -1"


@pytest.mark.parametrize(("replications", "workers", "message"), [
    (0, 1, "replications must be at least 1, found 0"),
    (1, 0, "workers must be at least 1, found 0"),
])  # fmt: skip
def test_impossible_counts(shop: Shop, replications: int, workers: int, message: str) -> None:
    with pytest.raises(ValueError) as error:
        replicate(shop.scenario, (), replications, workers)
    assert str(error.value) == message


def test_what_a_replication_lacks_is_missing_among_measures_and_nothing_among_shares(shop: Shop) -> None:
    found = Replications(shop.scenario, (
        row(0, measures={"a": 1.0}, constraint={"x": 0.4}, reasons_h={("late", "work"): 2.0}), row(1),
    ))  # fmt: skip
    assert found.values("constraint", "x") == [0.4, 0.0]
    assert [math.isnan(value) for value in found.values("measures", "a")] == [False, True]
    assert math.isnan(found.values("reasons_h", ("late", "work"))[1])
    assert found.interval("measures", "a").left_out == 1


def test_the_constraint_is_the_largest_mean_share(shop: Shop) -> None:
    found = Replications(
        shop.scenario, (row(0, constraint={"x": 0.9, "y": 0.6}), row(1, constraint={"x": 0.1, "y": 0.6}))
    )
    top = found.constraint()
    assert top is not None
    assert (top[0], top[1].mean) == ("y", pytest.approx(0.6))
    assert Replications(shop.scenario, (row(0, constraint={"x": 0.0}),)).constraint() is None
    assert Replications(shop.scenario, (row(0),)).constraint() is None
