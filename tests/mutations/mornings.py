"""Faults in starts from a morning and in what is promised from it."""

from tests.mutations.mutant import Mutant

_STORIES = ("stories/test_from_a_morning.py",)

MORNINGS = (
    Mutant(
        "work in hand begins anew",
        "floor/place_today.py",
        "            task.minutes = self._left_min(bundle, part, minutes, of)\n",
        "",
        _STORIES,
    ),
    Mutant(
        "people told to be away are there",
        "floor/start_from_today.py",
        "away = {day for day in crew.calendar.start_days if today <= day < told}",
        "away = set()",
        _STORIES,
    ),
    Mutant(
        "orders of the past come in again",
        "floor/today_orders.py",
        "if o.received >= self.now",
        "if o.received >= 0",
        _STORIES,
    ),
    Mutant(
        "a repaired printer is hot at once",
        "floor/start_from_today.py",
        "    printer.then(printer.stops._is_up)\n",
        "",
        _STORIES,
    ),
    Mutant(
        "of rolls on their way one is known",
        "floor/web.py",
        "        self.on_order += rolls\n",
        "        self.on_order += 1\n",
        (*_STORIES, "stories/test_stock.py"),
    ),
    Mutant(
        "a date at a chance is one future too early",
        "studies/promise_outlook.py",
        "rank = math.ceil(share * (n + 1) - 1e-9)",
        "rank = math.ceil(share * n - 1e-9)",
        ("studies/test_promise.py::test_dates_at_a_chance_are_order_statistics",),
    ),
    Mutant(
        "pieces through a step wait before it again",
        "shop/today_book_orders.py",
        "parts = ((further, done), (at, pieces - done))",
        "parts = ((at, done), (at, pieces - done))",
        ("shop/test_today_files.py::test_a_book_with_a_status_column",),
    ),
    Mutant(
        "one line that is done makes its order complete",
        "shop/today_book_orders.py",
        "if words <= set(_DONE) - {DONE}:",
        "if words & set(_DONE):",
        ("shop/test_today_files.py::test_the_lines_of_an_order_are_its_state_together",),
    ),
    Mutant(
        "finished orders borrow the last bundle of the shop",
        "measures/stretches.py",
        "known = root >= 0",
        "known = root >= -1",
        ("doors/test_promise.py::test_orders_that_are_done_wait_for_nobody_else_s_work",),
    ),
    Mutant(
        "each way is as sure as if it were the only one",
        "studies/promise.py",
        "<= _error(outlook, others)",
        "<= _error(outlook, 1)",
        ("studies/test_promise.py::test_earlier_is_sure_of_all_ways_at_once",),
    ),
    Mutant(
        "a morning read off the floor knows when customers answer",
        "floor/read_today.py",
        'said["asked"] = self.moment(self._asked(order))',
        'said["expected"] = self.moment(order.draw.approved)',
        ("shop/test_today_files.py::test_the_demo_morning_is_what_its_script_writes",),
    ),
)
