"""What printer logs tell, from logs written by hand."""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np
import pytest

from shopsim.answers.fit import fitted_text
from shopsim.sentences.fitting import fitted_sentence
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import dump_scenario, scenario_values
from shopsim.shop.scenario_file import check_values, parse_scenario
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_printers import fit_printers
from shopsim.studies.fit_shop import fit_shop
from tests.evidence.recorded_shop import true_shop

Row = dict[str, Any]
START = datetime.datetime(2026, 1, 5, 7)
PRESS = "printers.press"
REST = "what the log does not tell from the handbook"


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return true_shop(1)


def rows_of(*stretches: tuple[str, float, dict[str, Any]]) -> list[Row]:
    """Rows one after the other: event, minutes, what else is known."""
    rows, at = [], START
    for event, minutes, known in stretches:
        end = at + datetime.timedelta(minutes=minutes)
        rows.append({"printer": "press", "event": event, "start": at, "end": end, **known})
        at = end
    return rows


def found_in(rows: list[Row], scenario: Scenario, speed: float = 1.0) -> tuple[dict[str, Fitted], list[str]]:
    def net(begin: datetime.datetime, end: datetime.datetime) -> float:
        return (end - begin).total_seconds() / 60

    found = fit_printers(rows, scenario, net, speed, 95)
    return {one.path: one for one in found.fitted}, found.left


def run(metres: float, mode: str = "fast", **known: Any) -> dict[str, Any]:
    return {"mode": mode, "fabric": "knit", "width_m": 2.8, "metres": metres, **known}


def test_speed_is_the_median_over_the_rated_one(scenario: Scenario) -> None:
    # 45 m² an hour at 3.1 m of print width; an image of 2.8 m takes as many strokes a metre, each a little shorter.
    from shopsim.craft.printing import feed_from_rate

    ideal_m = feed_from_rate(45.0, scenario.printers[0].print_width_m, 2.8)
    shares = [0.7, 0.7, 0.71, 0.72, 0.72, 0.73, 0.74, 0.2]
    found, left = found_in(rows_of(*(("print", 60, run(share * ideal_m)) for share in shares)), scenario)
    fast = found[f"{PRESS}.modes.fast.achieved_share"]
    assert fast.estimate.value == pytest.approx(0.71)
    # Ranks 1 and 8 of eight: the innermost that keep 95 % (0.992).
    assert fast.estimate[1:3] == pytest.approx((0.2, 0.74))
    assert "speed of press, mode fine: 0 runs with metres and times, too few" in left


def test_runs_at_the_speed_of_the_heat_plate_tell_nothing(scenario: Scenario) -> None:
    cap_m = 60 * 1.2 / scenario.fabrics[0].dwell_s * 60
    found, left = found_in(rows_of(*[("print", 60, run(cap_m))] * 10), scenario)
    assert f"{PRESS}.modes.fast.achieved_share" not in found
    assert "speed of press, mode fast: 10 runs as fast as the heat plate allows tell nothing" in left


def test_times_by_hand_are_standard_minutes(scenario: Scenario) -> None:
    changes = [("roll_change", minutes, {}) for minutes in (20.0, 30.0, 25.0, 25.0, 35.0)]
    found, _ = found_in(rows_of(*changes), scenario, speed=0.8)
    change = found[f"{PRESS}.roll_change.full_min"]
    assert change.value == pytest.approx(27 * 0.8)
    assert change.how == "mean; fewer than 12 values tell no shape"


def test_a_check_fails_if_it_says_so_or_a_cleaning_follows(scenario: Scenario) -> None:
    stretches = []
    for i in range(20):
        stretches += [("print", 60.0, run(10)), ("nozzle_check", 3.0, {"passed": False} if i < 2 else {})]
        stretches += [("cleaning", 4.0, {})] if 2 <= i < 5 else []
    found, left = found_in(rows_of(*stretches), scenario)
    fails = found[f"{PRESS}.nozzle_check.fails_pct"]
    assert (fails.estimate.value, fails.estimate.n) == (25.0, 20)
    assert "nozzle checks that fail at press after 8 h idle, %: 0 checks on record, too few" in left


def test_a_check_inside_a_run_over_night_tells_nothing_of_idle_time(scenario: Scenario) -> None:
    hour = datetime.timedelta(hours=1)
    rows = []
    for day in range(12):
        begin = START + 24 * day * hour
        # One run until the next morning's seven o'clock; checks an hour and twenty hours after its begin.
        rows.append({"printer": "press", "start": begin, "end": begin + 23 * hour, **run(10)})
        rows += [{"printer": "press", "event": "nozzle_check", "start": begin + h * hour,
                  "end": begin + h * hour} for h in (1, 20)]  # fmt: skip
    found, left = found_in(rows, scenario)
    assert found[f"{PRESS}.nozzle_check.fails_pct"].estimate.n == 12
    assert "nozzle checks that fail at press after 8 h idle, %: 0 checks on record, too few" in left


def test_stops_counted_with_the_runs(scenario: Scenario) -> None:
    found, _ = found_in(rows_of(*[("print", 120, run(10, stops=1))] * 6), scenario)
    stops = found[f"{PRESS}.minor_stops.every_running_h"]
    assert (stops.value, stops.estimate.n) == (2.0, 6)


def test_wear_is_told_from_chance_and_the_last_life_is_censored(scenario: Scenario) -> None:
    rng = np.random.default_rng(2)
    lives = (60 * 40 * rng.weibull(5, 30)).tolist()
    worn = [part for life in lives for part in (("print", life, run(10)), ("breakdown", 180.0, {}))]
    found, _ = found_in(rows_of(*worn, ("print", 3000, run(10))), scenario)
    life = found[f"{PRESS}.breakdowns.every_running_h"]
    assert life.how.startswith("Weibull of shape ")
    total_h = (sum(lives) + 3000) / 60
    assert life.estimate.value == pytest.approx(total_h / 30)
    [(name, body)] = life.value.items()
    # Scale 40 h and shape 5: mean 36.7 h, coefficient of variation 0.229 (gamma function).
    assert name == "weibull"
    assert abs(body["mean"] - 36.7) < 3 * 36.7 * 0.229 / 30**0.5 + 1


def test_lives_as_chance_would_have_them_are_exponential(scenario: Scenario) -> None:
    # The quantiles of an exponential with a mean of 40 h, in no order.
    lives = [-2400 * np.log1p(-((7 * i) % 30 + 0.5) / 30) for i in range(30)]
    stretches = [part for life in lives for part in (("print", float(life), run(10)), ("breakdown", 90.0, {}))]
    found, _ = found_in(rows_of(*stretches), scenario)
    assert found[f"{PRESS}.breakdowns.every_running_h"].how.startswith("exponential; wear (Weibull, shape 1")


def without(scenario: Scenario, **parts: Any) -> Scenario:
    """The shop whose printer has other parts, or none."""
    values = scenario_values(scenario)
    values["printers"][0] |= parts
    return check_values(values, "without")


def test_what_the_file_has_not_but_the_log_has_is_made(scenario: Scenario) -> None:
    stretches = []
    for i in range(12):
        stretches += [("print", 600.0, run(10)), ("breakdown", 120.0 + i, {}), ("nozzle_check", 3.0, {})]
        stretches += [("print", 60.0, run(10)), ("minor_stop", 4.0, {}), ("care", 20.0, {})]
    bare = without(scenario, breakdowns=None, minor_stops=None, nozzle_check=None)
    found, left = found_in(rows_of(*stretches), bare)
    assert found[f"{PRESS}.breakdowns.every_running_h"].estimate.value == pytest.approx(11.0)
    assert found[f"{PRESS}.minor_stops.every_running_h"].estimate.value == pytest.approx(11.0)
    assert found[f"{PRESS}.minor_stops.minutes"].estimate.value == pytest.approx(4.0)
    assert found[f"{PRESS}.nozzle_check.minutes"].estimate.value == pytest.approx(3.0)
    assert found[f"{PRESS}.nozzle_check.fails_pct"].estimate.value == 0
    for part in ("breakdowns", "minor_stops", "nozzle_check"):
        assert f"{part} of press: the file had none; made from the log, and {REST}" in left
    assert "rows of press that nothing is fitted from: 12 of care" in left
    fit = fit_shop(bare, printer_log=rows_of(*stretches))
    made = parse_scenario(fitted_text(dump_scenario(bare), "bare", fit, fitted_sentence(fit)), "made").printers[0]
    assert made.breakdowns is not None and made.minor_stops is not None and made.nozzle_check is not None
    assert made.minor_stops.every_running_h == pytest.approx(11.0)


def test_a_log_without_an_event_gives_no_part(scenario: Scenario) -> None:
    bare = without(scenario, breakdowns=None, minor_stops=None, nozzle_check=None)
    found, left = found_in(rows_of(*[("print", 60, run(10))] * 10), bare)
    assert not [path for path in found if "breakdown" in path or "check" in path or "stops" in path]
    assert not [line for line in left if "breakdown" in line or "check" in line or "stop" in line]


def test_breakdowns_by_the_calendar_stay_so(scenario: Scenario) -> None:
    days = without(scenario, breakdowns={"every_calendar_h": 500.0})
    # Down for 4 hours after each 96.
    stretches = [part for _ in range(10) for part in (("print", 96 * 60.0, run(10)), ("breakdown", 240.0, {}))]
    found, _ = found_in(rows_of(*stretches, ("print", 48 * 60.0, run(10))), days)
    life = found[f"{PRESS}.breakdowns.every_calendar_h"]
    assert (life.estimate.value, life.estimate.n) == (pytest.approx((10 * 96 + 48) / 10), 10)
    assert f"{PRESS}.breakdowns.every_running_h" not in found


def test_a_speed_beyond_the_rated_one_is_no_share_of_it(scenario: Scenario) -> None:
    from shopsim.craft.printing import feed_from_rate

    # So slow a rate in the file that the heat plate holds nothing back.
    ideal_m = feed_from_rate(8.0, scenario.printers[0].print_width_m, 2.8)
    modes = [{"id": "fast", "area_rate_m2_per_h": 45.0}, {"id": "fine", "area_rate_m2_per_h": 8.0}]
    slow = without(scenario, modes=modes)
    rows = rows_of(*(("print", 60, run(share * ideal_m, "fine")) for share in (2.2, 2.25, 2.25, 2.25, 2.25, 2.3, 2.3)))
    found, left = found_in(rows, slow)
    assert f"{PRESS}.modes.fine.achieved_share" not in found
    assert (
        "share of the rated speed achieved by press, mode fine: found 2.25 from 7 runs, more than 1 can be: a unit of "
        "the log or the mode's rate in the file is wrong"
    ) in left


def test_runs_that_say_too_little_are_counted(scenario: Scenario) -> None:
    runs = [("print", 60.0, run(10))] * 8 + [("print", 60.0, {"mode": "fast"})] * 3
    assert (
        "speed of press: 3 of 11 runs say too little of mode, width or metres" in found_in(rows_of(*runs), scenario)[1]
    )


def test_a_printer_the_scenario_does_not_know_is_told(scenario: Scenario) -> None:
    rows = [row | {"printer": "other"} for row in rows_of(("print", 60, run(10)))]
    assert found_in(rows, scenario) == ({}, ["printer 'other': 1 rows of the log, not in the scenario"])
