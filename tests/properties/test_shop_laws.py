"""Each law of `shop_laws` fails on records that were tampered with: a law no run can break proves nothing."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest

from shopsim.floor.record import COLUMNS, KIND, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values
from tests.properties import shop_laws as laws

DAYS = ["mon", "tue", "wed", "thu", "fri"]
SHOP: dict[str, Any] = {
    "shop": {"name": "one week", "starts": datetime.date(2026, 1, 5)},
    "fabrics": [{"id": "cloth", "family": "front_lit", "roll_length_m": 30.0}],
    "printers": [{"id": "printer", "modes": [{"id": "fine", "passes": 4}], "roll_change": {"people": 2}}],
    "work_centres": [{"id": "sewing", "kind": "sewing", "seats": 2, "second_person_above_m": 2.5,
                      "interrupted_by": "rush"}],
    "shifts": [
        {"id": "day", "weeks": [{"blocks": [{"days": DAYS, "hours": "07:00-15:30", "breaks": ["12:00-12:30"]}]}]}
    ],
    "crews": [
        {"id": "hands", "count": 2, "skills": {"printing": 3, "helper": 3}, "shift": "day"},
        {"id": "sewers", "count": 3, "skills": {"sewing": 3}, "shift": "day"},
    ],
    "products": [{
        "id": "frame", "fabric": "cloth",
        "sizes": [{"width_m": 1.0, "height_m": 2.0}, {"width_m": 2.0, "height_m": 3.0}],
        "route": [{"op": "print", "mode": "fine"}, {"op": "sew", "at": "sewing", "all_edges": "silicone_hand"}],
    }],
    "demand": {"forecast": {"orders_per_week": 60.0, "mix": [{"product": "frame", "share_pct": 100.0}]}},
    "policies": {"quality": {"print_fault_pct": 20.0}},
    "study": {"weeks": 2, "opening": "empty"},
}  # fmt: skip


LIMITED: dict[str, Any] = SHOP | {
    "work_centres": [*({**place, "interrupted_by": "nothing"} for place in SHOP["work_centres"]),
                     {"id": "look", "kind": "inspection", "room_before_bundles": 0}],
    "crews": [*SHOP["crews"], {"id": "eyes", "skills": {"inspection": 3}, "shift": "day"}],
    "products": [SHOP["products"][0] | {
        "route": [*SHOP["products"][0]["route"], {"op": "inspect", "at": "look", "minutes": 30}]}],
    "policies": SHOP["policies"] | {"orders_at_once": {"most": 12, "when_full": "wait"}},
}  # fmt: skip


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return check_values(SHOP, "one week")


@pytest.fixture
def log(scenario: Scenario) -> RunLog:
    return simulate(scenario)


def put(log: RunLog, table: str, row: int, column: str, value: float) -> None:
    """Write over one cell; rows from the end as in lists."""
    width = len(COLUMNS[table])
    rows = len(log.columns[table]) // width
    log.columns[table][row % rows * width + COLUMNS[table].index(column)] = value


def copy_row(log: RunLog, table: str, row: int, **changes: float) -> None:
    """Add a row that is like another but for some cells."""
    width = len(COLUMNS[table])
    log.columns[table].extend(log.columns[table][row * width : (row + 1) * width])
    for column, value in changes.items():
        put(log, table, -1, column, value)


def first_row(log: RunLog, **cells: float) -> int:
    """The first operation with these cells."""
    return next(
        i for i, row in enumerate(laws.rows(log, "operations")) if all(getattr(row, k) == v for k, v in cells.items())
    )


def split(log: RunLog) -> int:
    """The first operation that a later part goes on with."""
    return first_row(log, last=0.0)


def paired_sewing(log: RunLog) -> int:
    return next(i for i, row in enumerate(laws.rows(log, "operations")) if row.kind == KIND["sew"] and row.helper >= 0)


def rush_sewing(log: RunLog) -> int:
    """The last first stretch of sewing for a rush order by one person."""
    rush = {order.order for order in laws.rows(log, "orders") if order.rush}
    return max(
        i for i, row in enumerate(laws.rows(log, "operations"))
        if row.kind == KIND["sew"] and row.order in rush and row.helper < 0 and row.part == 0
    )  # fmt: skip


def _move(log: RunLog, row: int, minutes: float) -> None:
    operation = laws.rows(log, "operations")[row]
    put(log, "operations", row, "start", operation.start + minutes)
    put(log, "operations", row, "end", operation.end + minutes)


def _leftover(log: RunLog, name: str, value: int) -> None:
    setattr(log.leftover, name, getattr(log.leftover, name) + value)


Tamper = Callable[[RunLog], object]
TAMPERED: list[tuple[str, Tamper]] = [
    ("orders_balance", lambda log: copy_row(log, "orders", 0)),
    ("orders_balance", lambda log: put(log, "orders", 0, "complete", log.horizon_min + 1)),
    ("orders_balance", lambda log: put(log, "orders", 0, "dispatched", 1.0)),
    ("pieces_balance", lambda log: put(log, "lines", 0, "pieces", 1000.0)),
    ("pieces_balance", lambda log: _leftover(log, "pieces_done", 1)),
    ("pieces_balance", lambda log: copy_row(log, "remakes", 0)),
    ("pieces_balance", lambda log: copy_row(log, "bundles", 0)),
    ("metres_balance", lambda log: put(log, "metres", 3, "metres", 0.5)),
    ("spans_tile", lambda log: put(log, "printer_states", 4, "start", 1.0)),
    ("spans_tile", lambda log: put(log, "printer_states", -1, "end", log.horizon_min - 1)),
    ("people_once", lambda log: copy_row(log, "operations", 5)),
    ("people_once", lambda log: put(log, "operations", paired_sewing(log), "helper",
                                    laws.rows(log, "operations")[paired_sewing(log)].person)),
    ("only_in_working_hours", lambda log: _move(log, 5, 10 * 60)),
    ("only_in_working_hours", lambda log: put(log, "operations", 5, "worked_min", 0.25)),
    ("only_in_working_hours", lambda log: log.columns["absences"].extend(
        (laws.rows(log, "operations")[0].person, laws.rows(log, "operations")[0].start // 1440))),
    ("seats_once", lambda log: copy_row(log, "operations", first_row(log, kind=float(KIND["sew"])), task=1e6)),
    ("parts_follow", lambda log: put(log, "operations", split(log), "last", 1.0)),
    ("parts_follow", lambda log: put(log, "operations", split(log), "part", 3.0)),
    ("skilled_and_paired", lambda log: put(log, "operations", paired_sewing(log), "helper", -1.0)),
    ("skilled_and_paired", lambda log: put(log, "operations", paired_sewing(log), "person", 0.0)),
    ("lifts_enough", lambda log: [copy_row(log, "operations", first_row(log, kind=float(KIND["roll_change"])))]),
    ("more_urgent_first", lambda log: put(log, "operations", rush_sewing(log), "ready", 0.0)),
    ("side_work_is_short_and_idle", lambda log: put(log, "operations", 0, "kind", KIND["side_work"])),
    (
        "lifts_enough",
        lambda log: put(log, "operations", first_row(log, kind=float(KIND["roll_change"])), "helper", -1.0),
    ),
]  # fmt: skip


def test_the_records_as_they_are_keep_every_law(scenario: Scenario, log: RunLog) -> None:
    laws.check_all(scenario, log)
    kinds = {int(kind) for kind in log.column("operations", "kind")}
    assert {KIND["sew"], KIND["roll_change"], KIND["attention"]} <= kinds


@pytest.mark.parametrize(("law", "tamper"), TAMPERED, ids=[f"{name} {i}" for i, (name, _) in enumerate(TAMPERED)])
def test_a_law_fails_on_tampered_records(scenario: Scenario, log: RunLog, law: str, tamper: Tamper) -> None:
    tamper(log)
    with pytest.raises(AssertionError):
        getattr(laws, law)(scenario, log)


def early_release(log: RunLog) -> None:
    """The first order held back is released at once after all."""
    held = laws.rows(log, "release_waits")[0]
    put(log, "release_waits", 0, "end", held.start + 1.0)
    row = next(i for i, order in enumerate(laws.rows(log, "orders")) if order.order == held.order)
    put(log, "orders", row, "released", held.start + 1.0)


def needless_wait(log: RunLog) -> None:
    """The very first order is held back, though nobody else is there."""
    row, first = next((i, o) for i, o in enumerate(laws.rows(log, "orders")) if o.order == 0)
    put(log, "orders", row, "received", first.received - 10.0)
    log.columns["release_waits"].extend((0.0, first.received - 10.0, first.released))


def inspected(log: RunLog) -> int:
    return first_row(log, kind=float(KIND["inspect"]))


def never_let_in(log: RunLog) -> None:
    """A bundle that waited for room has no work there."""
    wait = next(w for w in laws.rows(log, "room_waits") if w.end < 10_000)
    put(log, "operations", first_row(log, bundle=wait.bundle, ready=wait.end), "ready", wait.end + 1.0)


TAMPERED_LIMITS: list[tuple[str, Tamper]] = [
    ("limits_kept", lambda log: put(log, "orders", 0, "ending", float(laws.TURNED_AWAY))),
    ("limits_kept", early_release),
    ("limits_kept", needless_wait),
    ("limits_kept", lambda log: put(log, "release_waits", 0, "end", log.column("release_waits", "end")[0] + 1.0)),
    ("rooms_kept", lambda log: copy_row(log, "operations", inspected(log), task=1e6)),
    ("rooms_kept", never_let_in),
    ("rooms_kept", lambda log: put(log, "room_waits", 0, "place", float(log.places.index("sewing")))),
    ("rooms_kept", lambda log: put(log, "room_waits", 0, "kept_seat", -1.0)),
    # A bundle that keeps its seat while another is worked at there.
    ("seats_once", lambda log: put(log, "room_waits", 0, "end", log.horizon_min)),
]


@pytest.fixture(scope="module")
def limited() -> Scenario:
    return check_values(LIMITED, "limited")


def test_the_records_of_a_limited_shop_keep_every_law(limited: Scenario) -> None:
    log = simulate(limited)
    laws.check_all(limited, log)
    assert log.columns["release_waits"] and any(wait.kept_seat >= 0 for wait in laws.rows(log, "room_waits"))


@pytest.mark.parametrize(
    ("law", "tamper"), TAMPERED_LIMITS, ids=[f"{n} {i}" for i, (n, _) in enumerate(TAMPERED_LIMITS)]
)
def test_a_law_of_limits_fails_on_tampered_records(limited: Scenario, law: str, tamper: Tamper) -> None:
    log = simulate(limited)
    tamper(log)
    with pytest.raises(AssertionError):
        getattr(laws, law)(limited, log)


def test_every_law_but_the_identity_of_little_was_tampered_with() -> None:
    """Little's law holds for any rows with sound times: it can only fail together with the order rows."""
    assert {law.__name__ for law in laws.LAWS} == {n for n, _ in TAMPERED + TAMPERED_LIMITS} | {"littles_law"}
