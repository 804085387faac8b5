"""Books that balance, and every single fault in them found and named."""

import copy
from collections.abc import Callable

import pytest

from shopsim.errors import AuditError
from shopsim.floor.record import COLUMNS, INK_CAUSES, KIND, METRE_CAUSE, STATE, RunLog
from shopsim.measures.audit import audit, require_balanced
from shopsim.measures.costs import costs_from
from shopsim.measures.facts import Facts
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation, shipped

Tables = dict[str, list[dict[str, float]]]


def balanced() -> Tables:
    """One order of two pieces dispatched, one of three cancelled with a piece done, one of one piece inside; 100 m
    bought on top of 40, 26 of them used; sewer 1 puts a piece down at night that sewer 2 finishes, sewer 2 is absent on
    Wednesday (day 2), overtime on Monday."""
    sew = KIND["sew"]
    web = {"at": 450, "printer": 0, "fabric": 0}
    line = {"product": 0, "width_m": 1, "height_m": 1}
    return {
        "orders": [
            shipped(1, 430, 2430, 960, pieces=2, reprints=1),
            {"order": 0, "received": 420, "ending": 3, "ended": 900, "pieces": 3},
            {"order": 2, "received": 9000, "ended": float("inf"), "pieces": 1},
        ],
        "lines": [line | {"order": 0, "pieces": 3}, line | {"order": 1, "pieces": 2}, line | {"order": 2, "pieces": 1}],
        "remakes": [{"at": 500, "order": 1}],
        "metres": [
            {"at": 420, "fabric": 0, "cause": METRE_CAUSE["bought"], "metres": 100, "m2": 100},
            web | {"cause": METRE_CAUSE["printed"], "metres": 20, "m2": 20, "pieces_m2": 12},
            web | {"cause": METRE_CAUSE["leader"], "metres": 4, "m2": 4},
            web | {"cause": METRE_CAUSE["remnant_scrapped"], "metres": 2, "m2": 2},
        ],
        "ink": [{"at": 450, "printer": 0, "cause": INK_CAUSES.index("printed"), "ml": 120},
                {"at": 450, "printer": 0, "cause": INK_CAUSES.index("cleaning"), "ml": 7}],
        "printer_states": [{"printer": 0, "state": STATE["off"], "start": 0, "end": 420},
                           {"printer": 0, "state": STATE["printing"], "start": 420, "end": WEEK}],
        "operations": [
            operation(1, sew, 600, 700, worked_min=70, seat=0, person=1, order=1),
            operation(2, sew, 960, 990, last=0, seat=0, person=1, order=1),
            operation(2, sew, 1860, 1880, part=1, seat=0, person=2, order=1),
            operation(3, sew, 900, 940, seat=1, person=2, helper=0, worked_min=30, order=0, last=0),
        ],
        "overtime": [{"crew": 1, "start": 930, "end": 990, "people": 2}],
        "absences": [{"person": 2, "day": 2}],
    }  # fmt: skip


def written(tables: Tables) -> RunLog:
    log = hand_log(hand_shop(), **tables)
    left = log.leftover
    left.opening_m, left.stock_m, left.mounted_m = {0: 40.0}, {0: 100.0}, {0: 14.0}
    left.pieces_in, left.pieces_done, left.pieces_dropped, left.pieces_inside = 6, 3, 2, 1
    return log


def test_books_that_balance() -> None:
    log = written(balanced())
    assert audit(log, hand_shop()) == []
    require_balanced(Facts(log, hand_shop()))


def change(table: str, row: int, **values: float) -> Callable[[RunLog], None]:
    def apply(log: RunLog) -> None:
        for name, value in values.items():
            log.columns[table][row * len(COLUMNS[table]) + COLUMNS[table].index(name)] = value

    return apply


def leave(**values: object) -> Callable[[RunLog], None]:
    def apply(log: RunLog) -> None:
        for name, value in values.items():
            setattr(log.leftover, name, value)

    return apply


FAULTS: list[tuple[str, Callable[[RunLog], None], str]] = [
    ("an order too many", change("orders", 2, order=3),
     "orders: every order received must have one row, numbered from 0 without gaps"),
    ("lines of no order", change("lines", 2, order=1),
     "orders: the orders with lines and the orders with an ending are not the same"),
    ("complete after dispatch", change("orders", 0, complete=961),
     "orders: 1 dispatched orders were dispatched before they were complete"),
    ("cancelled before receipt", change("orders", 1, received=901),
     "orders: 1 orders left before they were received"),
    ("pieces of a line", change("lines", 0, pieces=4), "pieces: the pieces of some order are not those of its lines"),
    ("pieces in", leave(pieces_in=7, pieces_inside=2), "pieces: 7 came in, the orders have 6"),
    ("pieces lost", leave(pieces_inside=0), "pieces: 6 in, but 3 done + 2 dropped + 0 inside = 5"),
    ("pieces done", leave(pieces_done=1, pieces_dropped=4),
     "pieces: 1 done, but orders dispatched have 2 and all orders 6"),
    ("pieces dropped", leave(pieces_done=2, pieces_dropped=4, pieces_inside=0),
     "pieces: 4 dropped, not what orders turned away and cancelled had"),
    ("remakes", change("orders", 0, reprints=2), "pieces: the orders count 2 remakes, the table of remakes has 1"),
    ("metres used", change("metres", 2, metres=5, m2=5),
     "metres of knit: 140.000000 opening and bought, 27.000000 used, 114.000000 left"),
    ("metres in stock", leave(stock_m={0: 100.00002}, mounted_m={0: 14.0002}),
     "metres of knit: 140.000000 opening and bought, 26.000000 used, 114.000220 left"),
    ("a cause below 0", change("metres", 3, metres=-2, m2=-2), "metres of knit: a cause or the stock is below 0"),
    ("stock below 0", leave(opening_m={0: -75.0}, stock_m={0: 0.0}, mounted_m={0: -1.0}),
     "metres of knit: a cause or the stock is below 0"),
    ("width", change("metres", 2, m2=5), "m2: some square metres are not metres by roll width"),
    ("pieces beside the print", change("metres", 2, pieces_m2=1),
     "m2: pieces lie outside printed web, or cover more than it"),
    ("pieces beyond the print", change("metres", 1, pieces_m2=21),
     "m2: pieces lie outside printed web, or cover more than it"),
    ("ink", change("ink", 0, ml=121), "ink of p1: the pieces took 120.000000 ml, 121.000000 ml were printed"),
    ("ink below 0", change("ink", 1, ml=-1), "ink: some use is below 0"),
    ("a hole in a printer's time", change("printer_states", 1, start=421),
     "printer p1: the spans do not tile the horizon"),
    ("a printer beyond the end", change("printer_states", 1, end=WEEK - 1),
     "printer p1: the spans do not tile the horizon"),
    ("two places at once", change("operations", 0, person=2, start=905, end=935, worked_min=30),
     "person sewers 2: used twice at once at minute 905.000"),
    ("the helper elsewhere", change("operations", 0, helper=0, start=690, end=905, worked_min=215),
     "person op 1: used twice at once at minute 900.000"),
    ("work in the break", change("operations", 0, worked_min=100),
     "people: 1 stretches of work are not the open minutes they span"),
    ("work at night", change("operations", 2, start=1850, worked_min=30),
     "people: 1 stretches of work are not the open minutes they span"),
    ("absent at work", change("absences", 0, day=1), "person sewers 2: at work though absent on day 1"),
    ("absent in overtime", change("operations", 3, start=935, end=965, worked_min=30, helper=-1),
     "person sewers 2: at work though absent on day 0"),
    ("overtime of too many", change("overtime", 0, people=3),
     "crew sewers: 180.000 person-minutes of overtime booked, 120.000 in the spans"),
    ("one seat, two pieces", change("operations", 3, seat=0, start=690, end=720, helper=-1),
     "seat sewing 1: used twice at once at minute 690.000"),
    ("a piece on a held seat", change("operations", 3, seat=0, start=1870, end=1900, helper=-1, last=1, person=1),
     "seat sewing 1: used twice at once at minute 1870.000"),
    ("a seat that is not there", change("operations", 0, seat=2),
     "seats: some work sits on a seat its place does not have"),
]  # fmt: skip


@pytest.mark.parametrize(("fault", "message"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS])
def test_every_fault_is_found_and_named(fault: Callable[[RunLog], None], message: str) -> None:
    log = written(copy.deepcopy(balanced()))
    fault(log)
    if "though absent on day 0" in message:
        change("absences", 0, day=0)(log)
    assert message in audit(log, hand_shop())


def test_all_faults_are_told_at_once() -> None:
    log = written(balanced())
    change("ink", 0, ml=121)(log)
    log.leftover.pieces_inside = 0
    with pytest.raises(AuditError) as found:
        require_balanced(Facts(log, hand_shop()))
    assert str(found.value).splitlines() == ["the books of this run do not balance:", *audit(log, hand_shop())]
    assert len(audit(log, hand_shop())) == 2


def test_money_that_does_not_add_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "shopsim.measures.audit.costs_from", lambda facts: costs_from(facts) | {"rent": costs_from(facts)["rent"] + 1}
    )
    faults = audit(written(balanced()), hand_shop())
    assert any(fault.startswith("money: the categories add up to") for fault in faults)
    assert any(fault.startswith("money: rent is") for fault in faults)


def test_work_in_process_that_does_not_add_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shopsim.measures.audit.work_in_process_area", lambda *_: 1.0)
    (fault,) = audit(written(balanced()), hand_shop())
    assert fault == "Little: the area under work in process is 1.000000, the orders' time inside 2090.000000 min"
