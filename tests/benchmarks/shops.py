"""The shops that are timed, and the varied ones whose records must not change when code is made faster."""

from __future__ import annotations

import datetime
from typing import Any

from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario

MONDAY = datetime.date(2026, 1, 5)
WORKDAYS = ["mon", "tue", "wed", "thu", "fri"]
Values = dict[str, Any]


def shift(name: str, hours: str, breaks: list[str], **more: Any) -> Values:
    """A five-day shift."""
    return {"id": name, "weeks": [{"blocks": [{"days": WORKDAYS, "hours": hours, "breaks": breaks}]}], **more}


FEW = {"log_normal": {"median": 1.3, "p90": 3.6}}
DAY = shift("day", "07:00-15:30", ["12:00-12:30"])


def centre(name: str, seats: int, kind: str | None = None, **more: Any) -> Values:
    """A work centre, by default of the kind it is named for."""
    return {"id": name, "kind": kind or name, "seats": seats, **more}


def route(edges: str, **cut: Any) -> list[Values]:
    """Print, cut, sew, inspect, pack."""
    return [
        {"op": "print", "mode": "prod"},
        {"op": "cut", "at": "cutting", **cut},
        {"op": "sew", "at": "sewing", "all_edges": edges},
        {"op": "inspect", "at": "inspection"},
        {"op": "pack", "at": "packing"},
    ]


def size(width_m: float, height_m: float) -> Values:
    """A finished size."""
    return {"width_m": width_m, "height_m": height_m}


def year_shop(years: float = 1, times: int = 1, bundle_pieces: int = 8, sewers: int = 3) -> Scenario:
    """The shop of the speed goals: about 10 800 orders and 38 000 pieces a year, everything switched on.

    `times` multiplies demand, machines and people alike; fewer `sewers` overload the sewing room.
    """
    products = [
        {"id": "frame", "fabric": "cloth", "sizes": [size(2, 2), size(3, 2.5), size(1, 1)],
         "route": route("silicone_hand"), "bundle_pieces": bundle_pieces},
        {"id": "flag", "fabric": "knit", "sizes": [size(1.5, 1), size(1.2, 3)], "route": route("hem"),
         "bundle_pieces": bundle_pieces},
    ]  # fmt: skip
    return Scenario.model_validate({
        "shop": {"name": "a year", "starts": MONDAY},
        "fabrics": [{"id": "cloth", "family": "front_lit"}, {"id": "knit", "family": "flag_knit"}],
        "printers": [{"id": f"printer{i}", "modes": [{"id": "prod", "passes": 4}]} for i in range(3 * times)],
        "work_centres": [
            centre("cutting", 3 * times, method="flatbed_knife", change_over_min=4),
            centre("sewing", 4 * times, allowance_pct=18, spread=[0.8, 0.95, 1.25], second_person_above_m=5),
            centre("inspection", 2 * times),
            centre("packing", 3 * times),
        ],
        "shifts": [DAY, shift("late", "14:00-22:00", ["18:00-18:30"])],
        "crews": [
            {"id": "early_operators", "skills": {"printing": 3, "cutting": 2}, "shift": "day", "count": 2 * times},
            {"id": "late_operators", "skills": {"printing": 3}, "shift": "late", "count": times},
            {"id": "sewers", "skills": {"sewing": 3}, "shift": "day", "count": sewers * times, "absence": {}},
            {"id": "cutters", "skills": {"cutting": 3}, "shift": "day", "count": 2 * times},
            {"id": "packers", "skills": {"packing": 3, "inspection": 3}, "shift": "day", "count": 4 * times},
        ],
        "products": products,
        "demand": {
            "forecast": {
                "orders_per_week": 208 * times,
                "mix": [{"product": "frame", "share_pct": 50, "pieces": FEW},
                        {"product": "flag", "share_pct": 50, "pieces": FEW}],
            },
            "artwork": {},
            "cancellations": {},
        },
        "policies": {"printing": {"gang_min_web_m": 10, "gang_longest_wait_h": 4}, "lifts": times},
        "study": {"weeks": 52 * years, "opening": "empty"},
    })  # fmt: skip


# -- shops for theory and for the textbook ----------------------------------------------------------------------------


def tandem_shop(weeks: float = 52, per_week: float = 5040, seats: int = 3) -> Scenario:
    """M/M/c in tandem: two stations open round the clock, single pieces, no printers. Load 0.75 as it stands."""
    minutes = {"exponential": {"mean": 4.5}}
    steps = [{"op": "work", "at": name, "minutes": minutes} for name in ("first", "second")]
    demand = {"orders_per_week": per_week, "evenly_spread": True, "lines_per_order": 1.0,
              "mix": [{"product": "piece", "share_pct": 100, "pieces": 1.0}]}  # fmt: skip
    return Scenario.model_validate({
        "shop": {"name": "tandem", "starts": MONDAY},
        "work_centres": [centre(name, seats, "general", skill=name, queue_rule="first_come")
                         for name in ("first", "second")],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [{"id": name, "skills": {name: 3}, "shift": "always", "count": seats} for name in ("first", "second")],
        "products": [{"id": "piece", "route": steps}],
        "demand": {"forecast": demand},
        "policies": {"dispatch": {"at_once": True}},
        "study": {"weeks": weeks, "opening": "empty"},
    })  # fmt: skip


PLAIN_STEPS = {"printing": 3.6, "cutting": 2.2, "sewing": 11.0, "inspection": 1.8, "packing": 2.4}
PLAIN_PEOPLE = {"printing": 2, "cutting": 1, "sewing": 5, "inspection": 1, "packing": 1}


def plain_shop(weeks: float = 52, load: float = 1.0, times: int = 1) -> Scenario:
    """The small shop that the textbook version can do as well: five steps, single pieces, one day shift, no faults.

    As it stands the sewing room is busy 0.84 of its hours; `load` multiplies the sewing minutes alone.
    """
    steps = []
    for name, mean in PLAIN_STEPS.items():
        mean_min = mean * load if name == "sewing" else mean
        steps.append({"op": "work", "at": name, "minutes": {"gamma": {"mean": mean_min, "cv": 0.5}}})
    demand = {"orders_per_week": 208 * times, "month_index": [1] * 12, "day_to_day_dispersion": 1,
              "lead_days": 5.0, "rush_pct": 0, "weekday_shares": [1, 1, 1, 1, 1, 0, 0],
              "mix": [{"product": "piece", "share_pct": 100, "pieces": FEW}]}  # fmt: skip
    return Scenario.model_validate({
        "shop": {"name": "plain", "starts": MONDAY},
        "work_centres": [centre(name, count * times, "general", skill=name, queue_rule="first_come")
                         for name, count in PLAIN_PEOPLE.items()],
        "shifts": [DAY],
        "crews": [{"id": name, "skills": {name: 3}, "shift": "day", "count": count * times}
                  for name, count in PLAIN_PEOPLE.items()],
        "products": [{"id": "piece", "bundle_pieces": 1, "route": steps}],
        "demand": {"forecast": demand},
        "policies": {"dispatch": {"at_once": True}},
        "study": {"weeks": weeks, "opening": "empty"},
    })  # fmt: skip


# -- varied shops -----------------------------------------------------------------------------------------------------


def offline_shop() -> Scenario:
    """Two shifts, a calender, people who keep their work, overtime, bought-in work, failing seats, set-up families."""
    stops = {"every_running_h": 20, "repairs": [{"share_pct": 50, "hours": 1.0}, {"share_pct": 50, "hours": 6.0}]}
    steps = [
        {"op": "print", "mode": "prod"},
        {"op": "rest", "minutes": [10.0, 20.0, 40.0]},
        {"op": "cut", "at": "cutting"},
        {"op": "sew", "at": "sewing", "edges": {"top": "pole_pocket", "left": "hem", "right": "hem"}, "labels": 1},
        {"op": "eyelets", "at": "finishing"},
        {"op": "iron", "at": "finishing", "share_pct": 30},
        {"op": "rods", "at": "finishing", "share_pct": 50},
        {"op": "inspect", "at": "inspection"},
        {"op": "pack", "at": "packing", "way": "tube"},
    ]
    offline = {"kind": "offline", "calender": "drum"}
    return Scenario.model_validate({
        "shop": {"name": "offline", "starts": MONDAY},
        "fabrics": [{"id": "knit", "family": "flag_knit"}, {"id": "mesh", "family": "mesh", "may_turn": True}],
        "printers": [{"id": f"p{i}", "fixation": offline, "modes": [{"id": "prod", "area_rate_m2_per_h": 60}],
                      "roll_change": {"people": 2}} for i in range(2)],
        "calenders": [{"id": "drum"}],
        "work_centres": [
            centre("prepress", 1),
            centre("cutting", 2, method="hot_knife", change_over_min=5, queue_rule="same_set_up"),
            centre("sewing", 4, spread=[0.7, 1.0, 1.3], second_person_above_m=2.5, queue_rule="same_set_up",
                   change_over_min=6, set_up_min=[1.0, 2.0, 3.0], stops={**stops, "repair_at": "mechanic"}),
            centre("finishing", 2, queue_rule="shortest", stops=stops),
            centre("inspection", 1), centre("packing", 2, queue_rule="longest"), centre("mechanic", 1, "repair"),
        ],
        "shifts": [shift("early", "06:00-14:00", ["09:00-09:15", "11:30-12:00"], handover_min=5),
                   shift("late", "13:45-22:00", ["18:00-18:30"], handover_min=5), DAY],
        "closed": [{"first": "2026-01-12", "last": "2026-01-13"}],
        "crews": [
            {"id": "op_early", "skills": {"printing": 3, "calender": 2}, "shift": "early", "count": 2},
            {"id": "op_late", "skills": {"printing": 2, "calender": 3}, "shift": "late", "count": 2},
            {"id": "sew_early", "skills": {"sewing": 4}, "shift": "early", "count": 2, "at_shift_end": "keep",
             "absence": {}, "pace_spread_pct": 12},
            {"id": "sew_late", "skills": {"sewing": 1, "packing": 2}, "shift": "late", "count": 2,
             "learning": {"weeks_to_full": 8}},
            {"id": "bench", "skills": {"cutting": 3, "finishing": 3, "inspection": 3, "packing": 3, "prepress": 3},
             "shift": "day", "count": 3, "efficiency_pct": 90},
            {"id": "helpers", "skills": {"helper": 3, "packing": 1}, "shift": "day", "count": 1},
            {"id": "fitter", "skills": {"repair": 3}, "shift": "day"},
        ],
        "products": [{"id": "banner", "fabric": "knit", "route": steps, "one_lot": True,
                      "size_range": {"area_m2": {"log_normal": {"median": 2, "p90": 6}},
                                     "width_over_height": [0.4, 1.0, 2.0], "longest_side_m": 2.9}},
                     {"id": "scrim", "fabric": "mesh", "sizes": [size(2.6, 1.2), size(5, 1)], "route": steps}],
        "demand": {"forecast": {"orders_per_week": 60,
                                "mix": [{"product": "banner", "share_pct": 60}, {"product": "scrim", "share_pct": 40}],
                                "campaigns": [{"product": "scrim", "per_month": 2, "pieces": [30.0, 50.0, 80.0]}]},
                   "artwork": {"check_at": "prepress"}, "cancellations": {"before_print_pct": 6}},
        "policies": {"printing": {"roll_change": "join", "gang_window_days": 3},
                     "quality": {"print_fault_pct": 10, "sewing_fault_pct": 8},
                     "overtime": [{"crews": ["sew_late", "op_late"], "when_queue_h": 0.3, "minutes": 90}],
                     "bought_in": [{"at": "sewing", "when_queue_h": 1.5}],
                     "dispatch": {"order_check_at": "inspection"}, "lifts": 1},
        "study": {"weeks": 10, "opening": "empty", "seed": 5},
    }, strict=False)  # fmt: skip


def night_shop() -> Scenario:
    """Unattended nights, scarce rolls, lots, wound take-ups, skyline nesting, turned and split pieces, a hire fleet."""
    cut_sew = [{"op": "cut", "at": "bench"}, {"op": "sew", "at": "bench", "all_edges": "keder"},
               {"op": "frame_fit", "at": "bench"}, {"op": "pack", "at": "bench"}]  # fmt: skip
    steps = [{"op": "print", "mode": "fine"}, *cut_sew]
    printers = [
        {"id": "wide", "modes": [{"id": "fine", "passes": 6, "both_ways": False}], "unattended_running": True,
         "hot_overnight": True, "take_up": {"leaves": "at_run_end", "full_at_m": 60},
         "fixation": {"kind": "inline", "web_lift": False, "tail_at_cap_speed": True}, "attention_pct": 30},
        {"id": "narrow", "print_width_m": 1.6, "modes": [{"id": "fine", "passes": 4}, {"id": "fast", "passes": 2}],
         "first_article": None, "care": {"service_every_days": 20}},
    ]  # fmt: skip
    stock = {"rolls": 6, "reorder_at_rolls": 3, "order_rolls": 3}
    return Scenario.model_validate({
        "shop": {"name": "nights", "starts": MONDAY},
        "fabrics": [{"id": "frontlit", "family": "front_lit", "stock": stock, "may_turn": True},
                    {"id": "stretchy", "family": "stretch", "stock": {**stock, "supply_days": [4.0, 8.0, 12.0]}}],
        "printers": printers,
        "work_centres": [centre("bench", 5, "general", skill="bench", method="flatbed_knife")],
        "shifts": [DAY, shift("night", "22:00-06:00", ["02:00-02:30"])],
        "crews": [{"id": "operators", "skills": {"printing": 3, "bench": 1}, "shift": "day", "count": 2},
                  {"id": "night", "skills": {"bench": 3}, "shift": "night", "count": 2},
                  {"id": "hands", "skills": {"bench": 3}, "shift": "day", "count": 3}],
        "products": [
            {"id": "wall", "fabric": "frontlit", "may_split": True, "one_lot": True, "route": steps,
             "size_range": {"area_m2": {"log_normal": {"median": 4, "p90": 12}},
                            "width_over_height": [0.5, 1.0, 3.0], "longest_side_m": 7}},
            {"id": "cover", "fabric": "stretchy", "sizes": [size(1.2, 2), size(0.5, 0.5)],
             "route": [{"op": "print", "mode": "fast"}, *cut_sew]},
            {"id": "hired", "route": cut_sew[1:], "sizes": [size(2, 2)]},
        ],
        "demand": {"forecast": {"orders_per_week": 40, "rush_pct": 30,
                                "mix": [{"product": "wall", "share_pct": 50}, {"product": "cover", "share_pct": 50}]},
                   "hire_fleets": [{"product": "hired", "pieces": 20, "out_h": {"exponential": {"mean": 200}}}],
                   "lead_from_approval": False},
        "policies": {"printing": {"nesting": "skyline", "fabric_choice": "most_urgent", "gang_max_web_m": 25,
                                  "queue_rule": "first_come", "gang_min_web_m": 8, "gang_longest_wait_h": 6},
                     "bought_in_print": {"when_queue_h": 3}, "lifts": 0},
        "study": {"weeks": 10, "opening": "empty", "seed": 6},
    })  # fmt: skip


def booked_shop() -> tuple[Scenario, list[OrderLine]]:
    """An order book first, then a forecast; failing seats under a heavy queue; nobody checks or cancels."""
    values = year_shop(0.25, sewers=1).model_dump(mode="json", exclude_unset=True)
    values["demand"]["forecast"]["starts"] = "2026-01-26"
    values["demand"]["order_book"] = {"file": "orders.csv"}
    scenario = Scenario.model_validate(values, strict=False)
    return scenario, [_book_line(number) for number in range(120)]


def _book_line(number: int) -> OrderLine:
    received = datetime.datetime(2026, 1, 5 + number // 8, 8 + number % 8)
    wide = number % 3 == 0
    return OrderLine(
        order_id=f"o{number // 2}", received=received.replace(hour=9), due=datetime.date(2026, 2, 2),
        product="frame" if wide else "flag", pieces=1 + number % 5, width_m=3.0 if wide else 1.5,
        height_m=2.5 if wide else 1.0, rush=number % 14 < 2,
        cancelled=received + datetime.timedelta(days=2) if number % 20 < 2 else None,
    )  # fmt: skip


def varied_shops() -> dict[str, tuple[Scenario, list[OrderLine]]]:
    """Shops that together reach every part of the floor."""
    return {
        "year": (year_shop(0.3), []),
        "overload": (year_shop(0.2, sewers=1, bundle_pieces=1), []),
        "tandem": (tandem_shop(4), []),
        "plain": (plain_shop(8), []),
        "offline": (offline_shop(), []),
        "nights": (night_shop(), []),
        "booked": booked_shop(),
    }
