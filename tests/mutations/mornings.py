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
        "rolls on their way are bought again",
        "floor/web.py",
        "        self.on_order += rolls\n",
        "",
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
)
