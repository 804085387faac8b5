"""Time by state, its ISO 22400 terms, and web and remakes by cause, of one hand-written week."""

import pytest

from shopsim.floor.record import KIND, METRE_CAUSE, REMAKE_CAUSES, STATE
from shopsim.measures.summaries import remake_table, web_table
from shopsim.measures.time_split import key_figures, time_split
from tests.measures.hand_logs import WEEK, hand_log, hand_shop
from tests.measures.weeks import full_shop, full_week
from tests.stories.shops import fabric, printer


def test_the_shares_of_everything_add_up_to_one() -> None:
    table = time_split(full_week(full_shop()), full_shop())
    sums = table.groupby(["kind", "id"])[["minutes", "share"]].sum()
    assert sums["share"].tolist() == pytest.approx([1.0] * len(sums))
    wholes = {key: minutes / WEEK for key, minutes in sums["minutes"].items()}
    assert wholes == pytest.approx({
        ("printer", "p1"): 1, ("person", "op 1"): 1, ("person", "sewers 1"): 1, ("person", "sewers 2"): 1,
        ("crew", "op"): 1, ("crew", "sewers"): 2, ("place", "sewing"): 2,
    })  # fmt: skip


def test_minutes_of_the_warm_up_are_left_out() -> None:
    log = full_week(full_shop())
    log.warm_up_min = 470.0
    table = time_split(log, full_shop())
    assert table.groupby(["kind", "id"])["minutes"].sum().tolist() == pytest.approx(
        [9610 * n for n in (1, 2, 1, 1, 1, 2, 1)]
    )
    rows = table.set_index(["kind", "id", "state"]).sort_index()["minutes"]
    assert rows[("person", "sewers 1", "sew")] == 30 + 30
    assert rows[("place", "sewing", "busy")] == 30 + 20 + 30


def test_states_of_a_week() -> None:
    """The printer's 30 min after 15:30 are unattended; sewer 1 was absent on Thursday; overtime is idle or worked."""
    table = time_split(full_week(full_shop()), full_shop()).set_index(["kind", "id", "state"]).sort_index()
    printer_rows = table.loc[("printer", "p1")]
    assert printer_rows["minutes"].to_dict() == {"off": WEEK - 540, "warming": 20, "waiting_job": 510, "printing": 10}
    assert printer_rows["unattended_min"]["waiting_job"] == 30
    assert printer_rows["term"].to_dict() == {
        "off": "not planned", "warming": "AUST", "waiting_job": "down", "printing": "APT"
    }  # fmt: skip
    assert table.loc[("person", "sewers 1"), "minutes"].to_dict() == {
        "sew": 70, "idle": 4 * 480 + 60 - 70, "break": 4 * 30, "off_shift": WEEK - 5 * 510 - 60, "absent": 510
    }  # fmt: skip
    assert table.loc[("person", "sewers 2"), "term"].to_dict() == {
        "sew": "APWT", "idle": "APAT", "break": "", "off_shift": ""
    }  # fmt: skip
    assert table.loc[("place", "sewing", "busy"), "minutes"] == 90


def test_key_figures_of_a_printer() -> None:
    """600 m2 of pieces on a run of 10 h at a planned 1 m2/min; 5 h set-up, 5 h breakdown, of them 2 while nobody is
    there, and 10 h without work in the 23 h planned. Faulty: 60 of 600 finished m2."""
    edges = [("printing", 420), ("roll_change", 720), ("breakdown", 810), ("waiting_job", 990), ("printing", 1860),
             ("off", 2370)]  # fmt: skip
    ends = [start for _, start in edges[1:]] + [WEEK]
    log = hand_log(
        hand_shop(),
        printer_states=[{"printer": 0, "state": STATE["off"], "start": 0, "end": 420}] + [
            {"printer": 0, "state": STATE[state], "start": start, "end": end}
            for (state, start), end in zip(edges, ends, strict=True)
        ],
        runs=[{"run": 1, "printer": 0, "start": 420, "end": 2370, "web_m": 700, "pieces_m2": 600}],
        lines=[{"order": 0, "pieces": 1, "width_m": 2, "height_m": 300}],
        bundles=[{"bundle": 0, "order": 0}],
        prints=[{"bundle": 0, "pieces": 1, "end": 2370}],
        remakes=[{"at": 500, "m2": 60}],
    )  # fmt: skip
    table = key_figures(log, hand_shop()).set_index(["kind", "id", "figure"])["value"].sort_index()
    figures = table.loc[("printer", "p1")].to_dict()
    # Printing 300 + 510, set-up 90, breakdown 120 of 180 attended: planned busy time is 1020.
    assert figures == pytest.approx({
        "availability": 810 / 1020, "allocation_efficiency": 1, "utilisation_efficiency": 810 / 1020,
        "set_up_ratio": 90 / 900, "technical_efficiency": 810 / 930, "effectiveness": 600 / 810, "quality_ratio": 0.9,
        "oee": 540 / 1020, "net_equipment_effectiveness": 900 / 1020 * 600 / 810 * 0.9,
        "throughput_per_h": 600 / 1020 * 60, "scrap_ratio": 0.1, "rework_ratio": 0,
    })  # fmt: skip
    assert table[("place", "sewing", "availability")] == 0
    assert table[("crew", "sewers", "worker_efficiency")] == 0


def test_planned_run_time_is_that_of_the_full_width() -> None:
    """120 m2/h on a web 2 m wide is half a minute a m2, so 600 m2 are planned for 300 of the 500 min printed."""
    mode = {"id": "std", "area_rate_m2_per_h": 120.0, "rated_width_m": 2.0, "achieved_share": 1.0}
    scenario = hand_shop(fabrics=[fabric(roll_width_m=2.0)], printers=[printer(print_width_m=2.0, modes=[mode])])
    log = hand_log(
        scenario,
        printer_states=[{"printer": 0, "state": STATE["printing"], "start": 0, "end": 500}],
        runs=[{"run": 1, "printer": 0, "start": 0, "end": 500, "web_m": 400, "pieces_m2": 600}],
    )
    table = key_figures(log, scenario).set_index(["kind", "id", "figure"])["value"].sort_index()
    assert table[("printer", "p1", "effectiveness")] == pytest.approx(300 / 500)


def test_web_by_cause_adds_up_and_tells_gaps_from_pieces() -> None:
    """Knit 1 m and mesh 2 m wide. A row bought, one before the window and one rebooked (0.5 m) are told apart."""
    scenario = hand_shop(
        fabrics=[fabric(), fabric("mesh", roll_width_m=2.0)], printers=[printer(), printer("p2", print_width_m=2.0)]
    )
    printed, stop = METRE_CAUSE["printed"], METRE_CAUSE["stop"]
    log = hand_log(
        scenario, 100,
        metres=[
            {"at": 50, "printer": 0, "fabric": 0, "cause": printed, "metres": 9, "m2": 9, "pieces_m2": 9},
            {"at": 200, "fabric": 0, "cause": METRE_CAUSE["bought"], "metres": 100, "m2": 100},
            {"at": 200, "printer": 0, "fabric": 0, "cause": printed, "metres": 10, "m2": 10, "pieces_m2": 6},
            {"at": 210, "printer": 0, "fabric": 0, "cause": printed, "metres": -0.5, "m2": -0.5},
            {"at": 210, "printer": 0, "fabric": 0, "cause": stop, "metres": 0.5, "m2": 0.5},
            {"at": 300, "printer": 1, "fabric": 1, "cause": printed, "metres": 5, "m2": 10, "pieces_m2": 8},
        ],
    )  # fmt: skip
    table = web_table(log, scenario).set_index(["fabric", "printer", "cause"])
    assert table["m2"].to_dict() == {
        ("knit", "p1", "pieces"): 6, ("knit", "p1", "gaps_and_edges"): 3.5, ("knit", "p1", "stop"): 0.5,
        ("mesh", "p2", "pieces"): 8, ("mesh", "p2", "gaps_and_edges"): 2,
    }  # fmt: skip
    assert table["m"].tolist() == [6, 3.5, 0.5, 4, 1]
    assert table["share"].tolist() == [0.3, 0.175, 0.025, 0.4, 0.1]


def test_remakes_by_cause() -> None:
    cause = {name: code for code, name in enumerate(REMAKE_CAUSES)}
    found = {"at": 500, "product": 0, "cause": cause["cut_loss"], "found_at": KIND["cut"], "m2": 2}
    log = hand_log(
        hand_shop(), 100, remakes=[found, found, found | {"at": 50}, found | {"cause": cause["stop"], "m2": 3}]
    )
    rows = remake_table(log, hand_shop()).to_dict("records")
    assert [(row["product"], row["cause"], row["found_at"], row["pieces"], row["m2"]) for row in rows] == [
        ("banner", "cut_loss", "cut", 2, 4), ("banner", "stop", "cut", 1, 3)
    ]  # fmt: skip


def test_tables_of_nothing_are_empty() -> None:
    log = hand_log(hand_shop())
    assert web_table(log, hand_shop()).empty
    assert remake_table(log, hand_shop()).empty
