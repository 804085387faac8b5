"""A Hypothesis strategy for whole shops: small, valid, and with every rule of the floor switched on somewhere.

A shop comes as plain values, as a file would give it. Fields stand in the order in which a shrunk example should lose
them: what comes last becomes simple first.
"""

from __future__ import annotations

import datetime
from typing import Any

from hypothesis import strategies as st

MONDAY = datetime.date(2026, 1, 5)
WORKDAYS = ["mon", "tue", "wed", "thu", "fri"]
ALL_DAYS = [*WORKDAYS, "sat", "sun"]
Values = dict[str, Any]


def _block(hours: str, *breaks: str, days: list[str] = WORKDAYS) -> Values:
    return {"days": days, "hours": hours, "breaks": list(breaks)}


def _week(*blocks: Values) -> Values:
    return {"blocks": list(blocks)}


EARLY = _block("06:00-14:00", "10:00-10:30")
LATE = _block("14:00-22:00", "18:00-18:30")
NIGHT = _block("22:00-06:00", "02:00-02:30", days=["mon", "tue", "wed", "thu", "sun"])
PATTERNS: list[list[Values]] = [
    [_week(_block("07:00-15:30", "12:00-12:30"))],
    [_week(_block("08:00-12:00", days=["mon", "wed", "fri", "sat"]))],
    [_week(EARLY), _week(LATE)],
    [_week(NIGHT), _week(EARLY), _week(LATE)],
    [_week(_block("00:00-24:00", "12:00-12:15", "20:00-20:45", days=ALL_DAYS))],
    [_week(_block("06:00-14:00", days=ALL_DAYS), _block("14:00-22:00", days=ALL_DAYS))],
    [_week(_block("20:15-04:45", "23:50-00:20"), _block("09:30-10:30", days=["sat"]))],
]


def _some(value: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | value


def _pct(most: float = 100) -> st.SearchStrategy[float]:
    return st.sampled_from([0.0, 1.0, 5.0, 30.0, 60.0, 90.0]).filter(lambda value: value <= most)


MINUTES: st.SearchStrategy[Any] = st.sampled_from(
    [0, 4, [1, 3, 10], {"exponential": {"mean": 8}}, {"uniform": {"low": 0, "high": 9}}]
)
HOURS: st.SearchStrategy[Any] = st.sampled_from(
    [0.5, 3, {"exponential": {"mean": 6}}, {"log_normal": {"median": 4, "p90": 30}}]
)


def _failures(running_h: list[float], repairs: list[Values], at: st.SearchStrategy[str | None]) -> Any:
    """Failures by running hours, with wear and planned renewals, or by the calendar."""
    worn = {"every_running_h": {"weibull": {"mean": 6.0, "cv": 0.5}}, "renew_after_running_h": 4.0, "renewal_h": 1.5}
    calendar: list[Any] = [9.0, [16.0, 16.0, 16.0], {"weibull": {"mean": 30.0, "cv": 0.5}}]
    when = [{"every_running_h": mean} for mean in running_h] + [{"every_calendar_h": law} for law in calendar] + [worn]
    fixed = st.fixed_dictionaries({"repairs": st.just(repairs), "repair_at": at})
    return st.tuples(st.sampled_from(when), fixed).map(lambda both: {**both[0], **both[1]})


@st.composite
def _shift(draw: st.DrawFn, name: str) -> Values:
    if draw(st.integers(0, 5)) == 5:
        return {"id": name, "round_the_clock": True}
    weeks = draw(st.sampled_from(PATTERNS))
    first = draw(st.integers(0, len(weeks) - 1))
    return {"id": name, "weeks": weeks, "first_week": first, "handover_min": draw(st.sampled_from([0, 7]))}


@st.composite
def _crew(draw: st.DrawFn, name: str, skills: list[str], least: int) -> Values:
    absence = st.fixed_dictionaries({"new_spell_pct_per_day": _pct(30), "spell_days": st.sampled_from([1, [1, 2, 4]])})
    return {
        "id": name,
        "count": draw(st.integers(least, 3)),
        "skills": {skill: draw(st.integers(1, 4)) for skill in draw(st.permutations(skills))},
        "shift": draw(st.sampled_from(["one", "two"])),
        "efficiency_pct": draw(st.sampled_from([100.0, 80.0, 120.0])),
        "pace_spread_pct": draw(st.sampled_from([0.0, 15.0])),
        "absence": draw(_some(absence)),
        "learning": draw(_some(st.just({"start_speed_pct": 50.0, "weeks_to_full": 2.0}))),
        "at_shift_end": draw(st.sampled_from(["hand_over", "keep"])),
        "side_work": draw(
            _some(st.fixed_dictionaries({"minutes": st.sampled_from([45, {"exponential": {"mean": 20}}])}))
        ),
    }


@st.composite
def _fabric(draw: st.DrawFn, name: str) -> Values:
    limited = st.fixed_dictionaries(
        {
            "rolls": st.integers(0, 3),
            "reorder_at_rolls": st.integers(0, 2),
            "order_rolls": st.integers(1, 3),
            "supply_days": st.sampled_from([0, 1, [1, 2, 4]]),
        }
    )
    return {
        "id": name,
        "family": draw(st.sampled_from(["front_lit", "flag_knit", "block_out"])),
        "roll_length_m": draw(st.sampled_from([100.0, 40.0, 15.0])),
        "may_turn": draw(st.booleans()),
        "cut_methods": ["flatbed_knife", "hand", "hot_knife"],
        "stock": draw(st.just({}) | limited),
    }


@st.composite
def _printer(draw: st.DrawFn, name: str, calender: bool, lifts: int) -> Values:
    stops = st.fixed_dictionaries({"every_running_h": st.sampled_from([0.5, 4.0, 40.0]), "loses_piece_pct": _pct()})
    repairs = [{"share_pct": 70.0, "hours": 1}, {"share_pct": 30.0, "hours": {"exponential": {"mean": 9}}}]
    breakdowns = _failures([2.0, 30.0], repairs, _some(st.just("workshop")))
    nozzles = st.fixed_dictionaries({
        "at_shift_start": st.booleans(), "after_roll_change": st.booleans(),
        "every_running_h": _some(st.sampled_from([0.5, 3.0])), "fails_pct": _pct(90), "fails_after_idle_pct": _pct(90),
    })  # fmt: skip
    article = st.fixed_dictionaries({"share_of_runs_pct": _pct(), "passes_pct": st.sampled_from([20.0, 90.0])})
    inline = {"kind": "inline", "web_lift": draw(st.booleans()), "warm_up_min": draw(st.sampled_from([0.0, 20.0]))}
    offline = {"kind": "offline", "calender": "drum"}
    return {
        "id": name,
        "print_width_m": draw(st.sampled_from([3.1, 3.3])),
        "modes": [{"id": "fine", "passes": draw(st.integers(2, 8))}, {"id": "fast", "area_rate_m2_per_h": 60.0}],
        "fixation": offline if calender and draw(st.booleans()) else inline,
        "roll_change": {
            "people": draw(st.integers(1, 2)), "needs_lift": lifts > 0 and draw(st.booleans()),
            "full_min": draw(MINUTES),
            "leader_m": draw(st.sampled_from([0.0, 4.0])), "seam_trouble_pct": draw(_pct()),
        },
        "take_up": {
            "leaves": draw(st.sampled_from(["as_fixed", "at_run_end"])),
            "full_at_m": draw(st.sampled_from([10.0, 150.0])),
        },
        "nozzle_check": draw(_some(nozzles)),
        "first_article": draw(_some(article)),
        "minor_stops": draw(_some(stops)),
        "breakdowns": draw(_some(breakdowns)),
        "care": {
            "daily_min": draw(st.sampled_from([0.0, 20.0])), "weekly_min": draw(st.sampled_from([0.0, 60.0])),
            "service_every_days": draw(_some(st.just(3.0))),
        },
        "attention_pct": draw(_pct()),
        "unattended_running": draw(st.booleans()),
        "hot_overnight": draw(st.booleans()),
    }  # fmt: skip


@st.composite
def _centre(draw: st.DrawFn, name: str, kind: str, **more: Any) -> Values:
    repairs = [{"share_pct": 100.0, "hours": {"exponential": {"mean": 2}}}]
    stops = _failures([1.0, 20.0], repairs, _some(st.just("workshop")) if name != "workshop" else st.none())
    return {
        "id": name,
        "kind": kind,
        "seats": draw(st.integers(1, 3)),
        "queue_rule": draw(st.sampled_from(["first_come", "due_date", "shortest", "longest", "same_set_up"])),
        "set_up_min": draw(st.sampled_from([0, 2, [0, 1, 4]])),
        "change_over_min": draw(st.sampled_from([0.0, 6.0])),
        "spread": draw(st.sampled_from([1, {"uniform": {"low": 0.5, "high": 1.5}}])),
        "stops": draw(_some(stops)),
        "interrupted_by": draw(st.sampled_from(["nothing", "rush", "more_urgent"])),
        **more,
    }


SIZES = [
    [{"width_m": 1.0, "height_m": 1.0}, {"width_m": 2.0, "height_m": 3.0, "share": 2.0}],
    [{"width_m": 2.5, "height_m": 6.0}],
    [{"width_m": 0.4, "height_m": 8.0}],
]


def _route(draw: st.DrawFn, printed: bool) -> list[Values]:
    steps: list[Values] = [
        {"op": "cut", "at": "cutting"},
        {"op": "sew", "at": "sewing", "all_edges": draw(st.sampled_from(["hem", "silicone_hand"]))},
        {"op": "rest", "minutes": draw(MINUTES)},
        {"op": "iron", "at": "finishing", "share_pct": draw(_pct())},
        {"op": "inspect", "at": "finishing"},
        {"op": "pack", "at": "finishing"},
        {"op": "work", "at": "cutting", "minutes": draw(MINUTES)},
    ]
    kept = [step for step in steps if draw(st.integers(0, 3))]
    if printed:
        return [{"op": "print", "mode": draw(st.sampled_from(["fine", "fast"]))}, *kept]
    return kept or steps[-1:]


@st.composite
def _product(draw: st.DrawFn, name: str) -> Values:
    printed = draw(st.integers(0, 4)) > 0
    return {
        "id": name,
        "fabric": draw(st.sampled_from(["cloth", "knit"])),
        "sizes": draw(st.sampled_from(SIZES)),
        "one_lot": draw(st.booleans()),
        "bundle_pieces": draw(st.sampled_from([1, 3, 100])),
        "priority": draw(st.sampled_from([5, 1, 9])),
        "route": _route(draw, printed),
    }


@st.composite
def _demand(draw: st.DrawFn, products: list[str]) -> Values:
    forecast = {
        "orders_per_week": draw(st.sampled_from([5.0, 20.0, 60.0])),
        "evenly_spread": draw(st.booleans()),
        "mix": [
            {
                "product": name,
                "share_pct": 50.0,
                "pieces": draw(st.sampled_from([1, {"log_normal": {"median": 2, "p90": 9}}])),
            }
            for name in products
        ],
        "lead_days": draw(st.sampled_from([0, [1, 3, 5]])),
        "rush_pct": draw(_pct()),
        "campaigns": [{"product": products[0], "per_month": 4.0, "pieces": [10, 20, 40]}] * draw(st.integers(0, 1)),
    }
    artwork = st.fixed_dictionaries(
        {"check_at": _some(st.just("finishing")), "new_file_pct": _pct(), "approval_after_h": HOURS}
    )
    cancelled = st.fixed_dictionaries({"before_print_pct": _pct(60), "after_print_pct": _pct(30)})
    fleet = {"product": products[-1], "pieces": 4, "out_h": 20}
    return {
        "forecast": forecast,
        "artwork": draw(_some(artwork)),
        "cancellations": draw(_some(cancelled)),
        "hire_fleets": [fleet] * draw(st.integers(0, 1)),
    }


@st.composite
def _policies(draw: st.DrawFn, lifts: int) -> Values:
    printing = {
        "gang_min_web_m": draw(st.sampled_from([0.0, 5.0, 30.0])),
        "gang_longest_wait_h": draw(st.sampled_from([0.0, 4.0, 20.0])),
        "gang_max_web_m": draw(st.sampled_from([60.0, 12.0])),
        "gang_window_days": draw(_some(st.sampled_from([0.0, 1.0]))),
        "queue_rule": draw(st.sampled_from(["first_come", "due_date"])),
        "fabric_choice": draw(st.sampled_from(["fewest_changes", "most_urgent"])),
        "roll_change": draw(st.sampled_from(["full", "join"])),
        "nesting": draw(st.sampled_from(["shelves", "skyline"])),
        "reprints_first": draw(st.booleans()),
        "rush_first": draw(st.booleans()),
    }
    quality = {
        "print_fault_pct": draw(_pct(30)), "seen_at_printer_pct": draw(_pct()), "cut_loss_pct": draw(_pct(30)),
        "sewing_fault_pct": draw(_pct(60)), "sewing_repaired_pct": draw(_pct()), "missed_pct": draw(_pct()),
    }  # fmt: skip
    overtime = {
        "crews": ["hands", "makers"], "when_queue_h": draw(st.sampled_from([0.0, 1.0])),
        "minutes": draw(st.sampled_from([60.0, 400.0])), "notice_min": draw(st.sampled_from([0.0, 60.0, 900.0])),
    }  # fmt: skip
    outside = {"at": draw(st.sampled_from(["sewing", "finishing"])), "when_queue_h": draw(st.sampled_from([0.0, 2.0]))}
    return {
        "printing": printing,
        "quality": quality,
        "overtime": [overtime] * draw(st.integers(0, 1)),
        "bought_in": [outside] * draw(st.integers(0, 1)),
        "bought_in_print": draw(_some(st.just({"when_queue_h": 2.0}))),
        "dispatch": {
            "at_once": draw(st.booleans()), "cut_off": draw(st.sampled_from(["16:30", "00:00", "24:00"])),
            "days": draw(st.sampled_from([WORKDAYS, ["sat"]])),
            "order_check_at": draw(_some(st.just("finishing"))),
        },
        "lifts": lifts,
    }  # fmt: skip


@st.composite
def shops(draw: st.DrawFn) -> Values:
    """A shop as plain values: valid unless nobody is there for work that needs two people."""
    printers = draw(st.integers(1, 3))
    products = ["banner", "frame", "flag"][: draw(st.integers(1, 3))]
    calender, lifts = draw(st.booleans()), draw(st.integers(0, 2))
    return {
        "shop": {"name": "random", "starts": MONDAY},
        "fabrics": [draw(_fabric("cloth")), draw(_fabric("knit"))],
        "printers": [draw(_printer(f"printer{i}", calender, lifts)) for i in range(printers)],
        "calenders": [{"id": "drum", "people": draw(st.integers(1, 2)), "reject_pct": draw(_pct(30))}] * calender,
        "work_centres": [
            draw(_centre("cutting", "cutting", method=draw(st.sampled_from(["flatbed_knife", "hand"])))),
            draw(_centre("sewing", "sewing", second_person_above_m=draw(_some(st.just(2.5))))),
            draw(_centre("finishing", "finishing", second_person_above_m2=draw(_some(st.just(5.0))))),
            draw(_centre("workshop", "repair")),
        ],
        "shifts": [draw(_shift("one")), draw(_shift("two"))],
        "crews": [
            draw(_crew("hands", ["printing", "cutting"], 1)),
            draw(_crew("makers", ["sewing", "finishing", "cutting"], 1)),
            draw(_crew("helpers", ["helper", "repair", "printing"], 1)),
            draw(_crew("youngsters", ["helper"], 0)),
        ],
        "closed": [{"first": MONDAY + datetime.timedelta(3), "last": MONDAY + datetime.timedelta(4)}]
        * draw(st.integers(0, 1)),
        "products": [draw(_product(name)) for name in products],
        "demand": draw(_demand(products)),
        "policies": draw(_policies(lifts)),
        "study": {"weeks": draw(st.integers(1, 3)), "opening": "empty", "seed": draw(st.integers(0, 10_000))},
    }
