"""What failures leave of a machine's hours, and when its worn part is best renewed, by hand."""

import datetime
from typing import Any

import pytest

from shopsim.calendars import Calendar, always_open
from shopsim.clock import MINUTES_PER_WEEK
from shopsim.shop.printers import Breakdowns
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.rough_stops import up_share
from shopsim.shop.scenario import Scenario
from shopsim.shop.worn_parts import WornPart, worn_parts

ALWAYS = always_open(6 * MINUTES_PER_WEEK)
DAYS = range(42)
# 8 h a day, every day.
DAY_SHIFT = Calendar([d * 1440 + 480 for d in DAYS], [d * 1440 + 960 for d in DAYS], list(DAYS))


def rule(**fields: Any) -> Breakdowns:
    return Breakdowns.model_validate({"repairs": [{"share_pct": 100, "hours": 10.0}], **fields})


def test_round_the_clock_it_is_the_availability_of_the_books() -> None:
    assert up_share(None, ALWAYS) == 1
    assert up_share(rule(every_running_h=40.0), ALWAYS) == pytest.approx(40 / 50, rel=1e-9)
    mixed = [{"share_pct": 30, "hours": 1.0}, {"share_pct": 10, "hours": [5.0, 5.0, 5.0]}]
    assert up_share(rule(every_running_h=40.0, repairs=mixed), ALWAYS) == pytest.approx(40 / 42, rel=1e-9)


def test_a_repair_by_the_clock_takes_only_the_open_hours_it_falls_into() -> None:
    # Of 24 h of repair 8 are open ones, whenever it begins; those of a fitter's 24 h of work are all counted.
    day_long = [{"share_pct": 100, "hours": 24.0}]
    assert up_share(rule(every_running_h=40.0, repairs=day_long), DAY_SHIFT) == pytest.approx(40 / 48)
    fitter = rule(every_running_h=40.0, repairs=day_long, repair_at="bench")
    assert up_share(fitter, DAY_SHIFT) == pytest.approx(40 / 64)


def test_by_the_calendar_the_nights_count_as_well() -> None:
    assert up_share(rule(every_calendar_h=40.0), DAY_SHIFT) == pytest.approx(40 / 50)


def test_planned_renewals_are_counted() -> None:
    # A life of nearly always 100 h, renewed at 50 h in 2 h.
    steep = {"weibull": {"mean": 100.0, "cv": 0.003}}
    planned = rule(every_running_h=steep, renew_after_running_h=50.0, renewal_h=2.0)
    assert up_share(planned, ALWAYS) == pytest.approx(50 / 52, rel=1e-4)


def machines(stops: dict[str, Any] | None) -> Scenario:
    return Scenario.model_validate({
        "shop": {"name": "Failing", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "bench", "kind": "packing", "stops": stops}],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [{"id": "packer", "count": 2, "skills": {"packing": 3}, "shift": "always"}],
        "products": [{"id": "box", "route": [{"op": "work", "at": "bench", "minutes": 60}]}],
        "demand": {"forecast": {"orders_per_week": 84, "evenly_spread": True, "lines_per_order": 1,
                                "mix": [{"product": "box", "share_pct": 1, "pieces": 1}]}},
        "study": {"weeks": 4, "opening": "empty"},
    })  # fmt: skip


def test_a_seat_that_fails_can_be_what_is_short() -> None:
    assert rough_cut(machines(None)).loads[0].share == pytest.approx(0.5)
    (load,) = rough_cut(machines({"every_running_h": 10.0, "repairs": [{"share_pct": 100, "hours": 5.0}]})).loads
    assert (load.limit, load.share) == ("seats", pytest.approx(0.75))


def test_worn_parts_with_their_best_age() -> None:
    # The case A-25 with hours for costs.
    life = {"weibull": {"mean": 887.2638175030755, "cv": 0.42790717082437424}}
    stops = {"every_running_h": life, "repairs": [{"share_pct": 100, "hours": 5.0}], "renewal_h": 1.0}
    (part,) = worn_parts(machines({**stops, "renew_after_running_h": 250.0}))
    assert part == WornPart("bench", 250.0, *map(pytest.approx, (493.046957597, 4.532369685, 3.462042739, 5.63530249)))


def test_random_failures_are_told_only_where_somebody_renews_in_vain() -> None:
    stops = {"every_running_h": 100.0, "repairs": [{"share_pct": 100, "hours": 5.0}], "renewal_h": 1.0}
    assert worn_parts(machines(stops)) == worn_parts(machines(None)) == []
    (part,) = worn_parts(machines({**stops, "renew_after_running_h": 50.0}))
    assert part.best_after_h is None
    assert part.standing_at_best_h == part.standing_never_h == pytest.approx(50)
    # Failures come as often as before; exp(-0.5) of the parts reach 50 h and stand 1 h more, every 39.35 h on average.
    assert part.standing_h == pytest.approx(50 + 1000 * 0.60653066 / 39.346934)
