"""Do the books of a finished run balance: orders, pieces, cloth, ink, everybody's and every machine's minutes, money.

What goes in must come out or still be inside. A line of the answer is a fault of ours, not of the shop.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

import numpy as np

from shopsim.clock import SLIVER_MIN
from shopsim.errors import AuditError
from shopsim.floor.record import DISPATCHED, INK_CAUSES, METRE_CAUSE, METRE_CAUSES, RunLog
from shopsim.measures.audit_limits import audit_orders_at_once, audit_rooms
from shopsim.measures.audit_time import audit_people, audit_printers, audit_seats
from shopsim.measures.costs import COST_CATEGORIES, costs_from
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Window, summed
from shopsim.shop.scenario import Scenario

_TOLERANCE = 1e-6
_STEPS = ("received", "released", "complete", "dispatched", "delivered")


def audit(log: RunLog, scenario: Scenario) -> list[str]:
    """One sentence for each book that does not balance; empty if all do."""
    return audit_of(Facts(log, scenario))


def audit_of(facts: Facts) -> list[str]:
    """As `audit`, from facts at hand."""
    unnumbered = list(_numbering(facts))
    if unnumbered:
        # All other books find orders by their number.
        return unnumbered
    books: list[Callable[[Facts], Iterator[str]]] = [
        _order_times, _pieces, _metres, _ink, audit_printers, audit_people, audit_seats, audit_orders_at_once,
        audit_rooms, _money, _little,
    ]  # fmt: skip
    return [fault for book in books for fault in book(facts)]


def require_balanced(facts: Facts) -> None:
    """Raise AuditError with every fault found, if there is any."""
    faults = audit_of(facts)
    if faults:
        raise AuditError("the books of this run do not balance:\n" + "\n".join(faults))


# -- orders and pieces ------------------------------------------------------------------------------------------------


def _numbering(facts: Facts) -> Iterator[str]:
    numbers = facts.code("orders", "order")
    if not np.array_equal(np.sort(numbers), np.arange(len(numbers))):
        yield "orders: every order received must have one row, numbered from 0 without gaps"
    if not np.array_equal(np.unique(facts.code("lines", "order")), np.sort(numbers)):
        yield "orders: the orders with lines and the orders with an ending are not the same"


def _order_times(facts: Facts) -> Iterator[str]:
    ending = facts.column("orders", "ending")
    went = {name: facts.column("orders", name)[ending == DISPATCHED] for name in _STEPS}
    for before, after in pairwise(_STEPS):
        early = int((went[after] < went[before] - SLIVER_MIN).sum())
        if early:
            yield f"orders: {early} dispatched orders were {after} before they were {before}"
    received = facts.column("orders", "received")
    gone_early = int((facts.left < received).sum())
    if gone_early:
        yield f"orders: {gone_early} orders left before they were received"


def _pieces(facts: Facts) -> Iterator[str]:
    left = facts.log.leftover
    ordered = facts.column("orders", "pieces")
    rows = facts.order_row(facts.code("lines", "order"))
    in_lines = summed(rows, facts.column("lines", "pieces"), len(ordered))
    if not np.array_equal(in_lines, ordered):
        yield "pieces: the pieces of some order are not those of its lines"
    if left.pieces_in != int(ordered.sum()):
        yield f"pieces: {left.pieces_in} came in, the orders have {int(ordered.sum())}"
    out = left.pieces_done + left.pieces_dropped + left.pieces_inside
    if left.pieces_in != out:
        yield (
            f"pieces: {left.pieces_in} in, but {left.pieces_done} done + {left.pieces_dropped} dropped"
            f" + {left.pieces_inside} inside = {out}"
        )
    ending = facts.column("orders", "ending")
    least = int(ordered[ending == DISPATCHED].sum())
    most = least + int(ordered[ending != DISPATCHED].sum())
    if not least <= left.pieces_done <= most:
        yield f"pieces: {left.pieces_done} done, but orders dispatched have {least} and all orders {most}"
    refused = int(ordered[facts.turned_away].sum())
    if not refused <= left.pieces_dropped <= refused + int(ordered[facts.cancelled].sum()):
        yield f"pieces: {left.pieces_dropped} dropped, not what orders turned away and cancelled had"
    remade = int(facts.column("orders", "reprints").sum())
    if remade != facts.rows("remakes"):
        yield f"pieces: the orders count {remade} remakes, the table of remakes has {facts.rows('remakes')}"


# -- cloth and ink ----------------------------------------------------------------------------------------------------


def _metres(facts: Facts) -> Iterator[str]:
    fabric, cause = facts.code("metres", "fabric"), facts.code("metres", "cause")
    metres, m2 = facts.column("metres", "metres"), facts.column("metres", "m2")
    widths = np.array([model.roll_width_m for model in facts.scenario.fabrics])
    if len(fabric) and np.max(np.abs(m2 - metres * widths[fabric])) > _TOLERANCE:
        yield "m2: some square metres are not metres by roll width"
    left = facts.log.leftover
    for i, name in enumerate(facts.log.fabrics):
        by_cause = summed(cause[fabric == i], metres[fabric == i], len(METRE_CAUSES))
        came = left.opening_m.get(i, 0.0) + by_cause[METRE_CAUSE["bought"]]
        used = by_cause.sum() - by_cause[METRE_CAUSE["bought"]]
        kept = left.stock_m.get(i, 0.0) + left.mounted_m.get(i, 0.0)
        if abs(came - used - kept) > _TOLERANCE * max(1.0, came):
            yield f"metres of {name}: {came:.6f} opening and bought, {used:.6f} used, {kept:.6f} left"
        if by_cause.min() < -_TOLERANCE or kept < -_TOLERANCE:
            yield f"metres of {name}: a cause or the stock is below 0"
    pieces, printed = facts.column("metres", "pieces_m2"), cause == METRE_CAUSE["printed"]
    if pieces[~printed].any() or pieces[printed].sum() > m2[printed].sum() + _TOLERANCE:
        yield "m2: pieces lie outside printed web, or cover more than it"


def _ink(facts: Facts) -> Iterator[str]:
    if (facts.column("ink", "ml") < 0).any():
        yield "ink: some use is below 0"
    each = np.array([model.ink_ml_per_m2 for model in facts.scenario.fabrics])
    printers = len(facts.log.printers)
    printer, pieces = facts.code("metres", "printer"), facts.column("metres", "pieces_m2")
    printed = pieces > 0
    wanted = summed(printer[printed], (pieces * _of_fabric(facts, each))[printed], printers)
    mine = facts.code("ink", "cause") == INK_CAUSES.index("printed")
    used = summed(facts.code("ink", "printer")[mine], facts.column("ink", "ml")[mine], printers)
    for name, one, other in zip(facts.log.printers, wanted.tolist(), used.tolist(), strict=True):
        if abs(one - other) > _TOLERANCE * max(1.0, one):
            yield f"ink of {name}: the pieces took {one:.6f} ml, {other:.6f} ml were printed"


def _of_fabric(facts: Facts, values: Floats) -> Floats:
    fabric = facts.code("metres", "fabric")
    return values[fabric] if len(values) else np.zeros(len(fabric))


# -- money and Little's law -------------------------------------------------------------------------------------------


def _money(facts: Facts) -> Iterator[str]:
    whole = facts.once(costs_from)
    parts = sum(whole[name] for name in COST_CATEGORIES)
    if abs(parts - whole["cost"]) > _TOLERANCE * max(1.0, parts):
        yield f"money: the categories add up to {parts:.6f}, the cost is {whole['cost']:.6f}"
    if abs(whole["revenue"] - whole["late_penalties"] - parts - whole["margin"]) > _TOLERANCE * max(1.0, parts):
        yield "money: revenue less penalties less cost is not the margin"
    # Every amount belongs to one minute, so two halves of the window must add up to the whole.
    window = facts.window
    middle = (window.start_min + window.end_min) / 2
    halves = [Window(window.start_min, middle), Window(middle, window.end_min)]
    first, second = (costs_from(facts.within(half)) for half in halves)
    for name, amount in whole.items():
        both = first[name] + second[name]
        if abs(both - amount) > _TOLERANCE * max(1.0, abs(amount)):
            yield f"money: {name} is {amount:.6f} in the window but {both:.6f} in its two halves"


def _little(facts: Facts) -> Iterator[str]:
    window = facts.window
    received = facts.column("orders", "received")
    together = float(window.clipped(received, facts.left).sum())
    area = work_in_process_area(received, facts.left, window)
    if abs(area - together) > _TOLERANCE * max(1.0, together):
        yield f"Little: the area under work in process is {area:.6f}, the orders' time inside {together:.6f} min"


def work_in_process_area(received: Floats, left: Floats, window: Window) -> float:
    """Order-minutes under the number of orders inside over the window: the count is followed from event to event.

    J. D. C. Little, Operations Research 9 (1961) 383-387: the same as the orders' time inside the window, exactly.
    """
    times = np.concatenate((received, left))
    steps = np.concatenate((np.ones(len(received)), -np.ones(len(left))))
    order = np.argsort(times, kind="stable")
    times = np.clip(times[order], window.start_min, window.end_min)
    level = np.cumsum(steps[order])
    lasts = np.diff(np.append(times, window.end_min))
    return float(np.sum(level * lasts))
