"""Nozzle checks with their cleaning ladder, first articles, mode changes on the same web."""

import pytest

from tests.stories.shops import (
    BANNER,
    machine,
    metres,
    order,
    print_shop,
    printed,
    printer,
    product,
    rows,
    run,
    story,
    to_print,
)

STD = {"area_rate_m2_per_h": 60.0, "rated_width_m": 1.0, "achieved_share": 1.0}


def rung(name, minutes, ink_ml, cures_pct):
    return {"name": name, "minutes": minutes, "ink_ml": ink_ml, "cures_pct": cures_pct}


def check(*ladder, **changes):
    """A check of 3 min with 0.5 m of test strip that fails on the first morning only."""
    base = {"minutes": 3.0, "test_strip_m": 0.5, "fails_pct": 0.0, "fails_after_idle_pct": 100.0, "idle_h": 1000.0,
            "every_running_h": None, "service_min": 90.0, "slow_speed_share": 0.5, "ladder": list(ladder)}  # fmt: skip
    return {**base, **changes}


def test_a_failed_check_climbs_the_ladder_until_a_step_cures():
    # One check for shift start and new roll, 07:40-07:43, fails. Light clean 3 min and purge 6 do not cure, the wipe of
    # 20 min does: 08:12. Ink: 40 + 180 + 100 ml cleaning, 10 ml for 1 m2 printed. The strip of 0.5 m is printed once.
    ladder = rung("light", 3.0, 40.0, 0.0), rung("purge", 6.0, 180.0, 0.0), rung("wipe", 20.0, 100.0, 100.0)
    log = run(print_shop(printers=[printer(nozzle_check=check(*ladder))]), order("Mon 07:00"))
    assert machine(log, start="Mon 07:40", end="Mon 08:16") == [
        ("nozzle_check", "p1", "Mon 07:40", "Mon 07:43"),
        ("cleaning", "p1", "Mon 07:43", "Mon 07:46"),
        ("cleaning", "p1", "Mon 07:46", "Mon 07:52"),
        ("cleaning", "p1", "Mon 07:52", "Mon 08:12"),
        ("printing", "p1", "Mon 08:12", "Mon 08:13"),
        ("tail", "p1", "Mon 08:13", "Mon 08:16"),
    ]
    # 4 % of the ink bought is spat idly (NOZ-10): 10 / 0.96 * 0.04 beside the 10 on the cloth.
    assert [row["ml"] for row in rows(log, "ink")] == pytest.approx([40, 180, 100, 10, 10 / 0.96 * 0.04])
    assert metres(log) == {"bought": 100, "leader": 4, "test": 0.5, "printed": 1, "tail_blank": 3}


def test_past_the_ladders_top_it_runs_slowly_until_next_mornings_service():
    # The only rung does not cure (07:43-07:46): half speed, 10 m in 20 min, and a tail of 6 min. On Tuesday the heads
    # are serviced 07:00-08:30 while the plate warms up; the check of the shift passes; B runs at full speed.
    scenario = print_shop(printers=[printer(nozzle_check=check(rung("light", 3.0, 40.0, 0.0)))])
    log = run(scenario, order("Mon 07:00", pieces=10), order("Tue 07:00", pieces=10))
    assert machine(log, start="Mon 07:46", end="Mon 08:12") == [
        ("printing", "p1", "Mon 07:46", "Mon 08:06"),
        ("tail", "p1", "Mon 08:06", "Mon 08:12"),
    ]
    assert machine(log, start="Tue 07:00", end="Tue 08:46") == [
        ("cleaning", "p1", "Tue 07:00", "Tue 08:30"),
        ("nozzle_check", "p1", "Tue 08:30", "Tue 08:33"),
        ("printing", "p1", "Tue 08:33", "Tue 08:43"),
        ("tail", "p1", "Tue 08:43", "Tue 08:46"),
    ]
    assert story(log, "head_service") == [("head_service", "op", "Tue 07:00", "Tue 08:30")]


@pytest.mark.parametrize(
    ("web_lift", "states", "blank_m"),
    [
        # Every half hour of printing: after 30 m, at 08:13, the web is lifted off the plate for 3 min, no tail.
        (True, [("printing", "07:43", "08:13"), ("nozzle_check", "08:13", "08:16"), ("printing", "08:16", "08:26")], 3),
        # Without a lift the printed web is fed through first (3 min, 3 m blank), else the plate would scorch it.
        (False, [("printing", "07:43", "08:13"), ("tail", "08:13", "08:16"), ("nozzle_check", "08:16", "08:19")], 6),
    ],
)  # fmt: skip
def test_a_check_by_running_hours_stops_a_long_run(web_lift, states, blank_m):
    rule = check(every_running_h=0.5, fails_after_idle_pct=0.0)
    log = run(print_shop(printers=[printer(nozzle_check=rule, fixation={"web_lift": web_lift})]),
              order("Mon 07:00", pieces=40))  # fmt: skip
    assert machine(log, start="Mon 07:43")[:3] == [
        (state, "p1", f"Mon {start}", f"Mon {end}") for state, start, end in states
    ]
    assert metres(log)["tail_blank"] == blank_m


def test_a_first_article_is_approved_before_the_run():
    # Every run has one: a strip of 0.6 m and 9 min of looking, 07:40-07:49.
    rule = {"share_of_runs_pct": 100.0, "passes_pct": 100.0, "minutes": 9.0, "strip_m": 0.6}
    log = run(print_shop(printers=[printer(first_article=rule)]), order("Mon 07:00"))
    assert machine(log, start="Mon 07:40", end="Mon 07:50") == [
        ("first_article", "p1", "Mon 07:40", "Mon 07:49"),
        ("printing", "p1", "Mon 07:49", "Mon 07:50"),
    ]
    assert metres(log) == {"bought": 100, "leader": 4, "first_article": 0.6, "printed": 1, "tail_blank": 3}


def test_a_first_article_that_never_passes_is_let_go_after_three_corrections():
    # 9 min, then three corrections of 18: 07:40-08:43, four strips. (A pass of 0 % cannot be asked for; one in 10^11
    # does not happen.)
    rule = {"share_of_runs_pct": 100.0, "passes_pct": 1e-9, "minutes": 9.0, "strip_m": 0.5, "correction_min": 18.0}
    log = run(print_shop(printers=[printer(first_article=rule)]), order("Mon 07:00"))
    assert machine(log, start="Mon 07:40")[:5] == [
        ("first_article", "p1", "Mon 07:40", "Mon 07:49"),
        ("first_article", "p1", "Mon 07:49", "Mon 08:07"),
        ("first_article", "p1", "Mon 08:07", "Mon 08:25"),
        ("first_article", "p1", "Mon 08:25", "Mon 08:43"),
        ("printing", "p1", "Mon 08:43", "Mon 08:44"),
    ]
    assert metres(log)["first_article"] == 2.0


def test_a_mode_change_on_the_same_web_costs_minutes_and_no_metres():
    # A in std 07:40-07:50; two minutes of mode change; B in draft at 2 m/min is capped by the plate, 0.8 m / 40 s =
    # 1.2 m/min: 12 m in 10 min. The tail of A's web goes on with B: 3 m at 1.2 m/min = 2.5 min after 07:52.
    machines = [printer(modes=[{"id": "std", **STD}, {"id": "draft", **STD, "area_rate_m2_per_h": 120.0}],
                        mode_change_min=2.0)]  # fmt: skip
    log = run(print_shop(printers=machines, products=[BANNER, product("quick", to_print("draft"))]),
              order("Mon 07:00", pieces=10), order("Mon 07:00", "quick", pieces=12, due="Wed2"))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Mon 08:04") == [
        ("printing", "p1", "Mon 07:40", "Mon 07:50"),
        ("mode_change", "p1", "Mon 07:50", "Mon 07:52"),
        ("printing", "p1", "Mon 07:52", "Mon 08:02"),
        ("tail", "p1", "Mon 08:02", "Mon 08:04"),
    ]
    assert printed(log)[0] == ("8 of A", "p1", "Mon 07:40", "Mon 07:54:30")
    assert printed(log)[-1] == ("4 of B", "p1", "Mon 07:52", "Mon 08:04:30")
    assert metres(log) == {"bought": 100, "leader": 4, "printed": 22, "tail_blank": 3}
