"""What-ifs: the five verbs on values, files and shops; the base stays; what they are called in files and in Python."""

import dataclasses
import pickle
from pathlib import Path

import pytest

from shopsim.errors import WhatIfError
from shopsim.shop.changes import Change, changed_values, find_path
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Spends, WhatIf, apply, dump_what_if, parse_what_if

HERE = Path(__file__).parent
BASE = load_shop(HERE / "what_if_base" / "shop.yaml")
VALUES = scenario_values(BASE.scenario)
TEXT = """\
name: Two sewers more # the name
note: They begin in March.
base: shop.yaml
changes:
  - set: crews.sewers.count
    to: 4
  - copy: printers.p2
    as: p3
    with: {fixation.plate_m: 1.0, modes.production.passes: 4}
  - add: policies.dispatch.days
    item: sat
  - remove: policies.overtime[0]
  - replace: shifts.late
    with:
      weeks: [{blocks: [{days: [sat], hours: "08:00-12:00"}]}]
spends: {once: 8000, life_years: 7, resale: 1600, training_h: 40, ramp_up_weeks: 4, ramp_up_speed_pct: 60}
"""
WHAT_IF = WhatIf(
    "Two sewers more",
    (
        Change("set", "crews.sewers.count", 4),
        Change("copy", "printers.p2", {"id": "p3", "fixation.plate_m": 1.0, "modes.production.passes": 4}),
        Change("add", "policies.dispatch.days", "sat"),
        Change("remove", "policies.overtime[0]"),
        Change("replace", "shifts.late", {"weeks": [{"blocks": [{"days": ["sat"], "hours": "08:00-12:00"}]}]}),
    ),
    "shop.yaml",
    "They begin in March.",
    Spends(once=8000, life_years=7, resale=1600, training_h=40, ramp_up_weeks=4, ramp_up_speed_pct=60),
)


def what_if(*changes: Change, name: str = "mine") -> WhatIf:
    return WhatIf(name, changes, "shop.yaml")


def made(*changes: Change) -> Shop:
    return apply(BASE, what_if(*changes))


# -- files and objects ------------------------------------------------------------------------------------------------


def test_a_file_and_python_say_the_same() -> None:
    read = parse_what_if(TEXT, "more.yaml")
    assert read == WHAT_IF
    assert dump_what_if(read) == dump_what_if(WHAT_IF)
    assert parse_what_if(dump_what_if(read), "again.yaml") == read
    assert read != dataclasses.replace(read, note="They begin in April.")


def test_a_what_if_can_be_sent_to_another_process() -> None:
    read = parse_what_if(TEXT, "more.yaml")
    again = pickle.loads(pickle.dumps(read))
    assert again == read
    assert again.problem(("changes", 1), "", "here") == read.problem(("changes", 1), "", "here")


def test_the_file_says_no_more_than_it_must() -> None:
    assert dump_what_if(what_if(Change("set", "study.seed", 3))) == (
        "name: mine\nbase: shop.yaml\nchanges:\n  - {set: study.seed, to: 3}\n"
    )


@pytest.mark.parametrize(
    ("parts", "message"),
    [
        (("", (Change("remove", "study"),), "b"), "name: must have at least 1 characters, found ''"),
        (("x", (), "b"), "x: changes: must hold at least 1, found none"),
        (
            ("x", (Change("set", "study.seed", {1, 2}),), "b"),
            "x: changes[0].to: must be what a file can hold, found {1, 2}",
        ),
        (
            ("x", (Change("set", "study.seed", float("nan")),), "b"),
            "x: changes[0].to: must be a number, not infinity or NaN",
        ),
        (
            ("x", (Change("copy", "crews.sewers", {"id": "a b"}),), "b"),
            "x: changes[0].as: must be an id: a letter, then",
        ),
    ],
)
def test_what_no_file_could_hold_is_no_what_if(parts: tuple[str, tuple[Change, ...], str], message: str) -> None:
    with pytest.raises(WhatIfError) as caught:
        WhatIf(*parts)
    assert message in str(caught.value)


def test_values_given_in_python_are_copied() -> None:
    days = ["mon"]
    mine = what_if(Change("set", "policies.dispatch.days", days))
    days.append("tue")
    assert mine.changes[0].value == ["mon"]


def test_without_a_file_a_fault_has_the_name_of_the_what_if() -> None:
    with pytest.raises(WhatIfError) as caught:
        made(Change("set", "crews.sewers.shift", "lat"), Change("set", "study.seed", -1), Change("remove", "crew.x"))
    assert str(caught.value).splitlines() == [
        "mine: changes[2].remove: there is no 'crew.x' to remove",
        "mine: study.seed: must be at least 0, found -1 (changes[1]: set study.seed)",
    ]
    with pytest.raises(WhatIfError) as caught:
        made(Change("set", "crews.sewers.shift", "lat"))
    assert str(caught.value) == (
        "mine: crews.sewers.shift: there is no shift 'lat'; did you mean 'late'? known: day, late "
        "(changes[0]: set crews.sewers.shift)"
    )


# -- the changed shop -------------------------------------------------------------------------------------------------


def test_all_changes_are_made_and_the_base_stays() -> None:
    before = BASE.scenario.content_hash
    changed = apply(BASE, WHAT_IF)
    printers, crews = changed.scenario.by_id("printers"), changed.scenario.by_id("crews")
    assert list(printers) == ["p1", "p2", "p3"]
    assert (printers["p3"].print_width_m, printers["p3"].fixation.plate_m, printers["p3"].modes[0].passes) == (
        1.8,
        1,
        4,
    )
    assert (printers["p2"].fixation.plate_m, printers["p2"].modes[0].passes) == (0.8, 3)
    assert crews["sewers"].count == 4
    assert changed.scenario.policies.dispatch.days == ("mon", "tue", "wed", "thu", "fri", "sat")
    assert changed.scenario.policies.overtime == ()
    assert changed.scenario.by_id("shifts")["late"].weeks[0].blocks[0].hours == "08:00-12:00"
    assert changed.order_lines == BASE.order_lines
    assert (BASE.scenario.content_hash, BASE.scenario.by_id("crews")["sewers"].count) == (before, 2)


def test_what_ifs_are_combined_one_after_the_other() -> None:
    faster = what_if(Change("copy", "printers.p1", {"id": "p3"}), name="one more")
    longer = what_if(Change("set", "printers.p3.fixation.plate_m", 1.1), name="longer plate")
    both = apply(apply(BASE, faster), longer)
    assert both.scenario == made(*faster.changes, *longer.changes).scenario
    with pytest.raises(WhatIfError) as caught:
        apply(BASE, longer)
    assert str(caught.value) == (
        "longer plate: changes[0].set: printers.p3.fixation.plate_m: there is no item 'p3'; known: p1, p2"
    )


def test_a_replaced_item_keeps_its_id_and_nothing_else() -> None:
    changed = made(
        Change("replace", "printers.p1", {"modes": [{"id": "production", "passes": 2}], "attention_pct": 30}),
        Change("set", "products.flag.route[0].mode", "production"),
    )
    printer = changed.scenario.by_id("printers")["p1"]
    assert (printer.id, printer.money.price, printer.attention_pct) == ("p1", 220_000, 30)


def test_warnings_of_the_base_stay_and_new_ones_come_with_their_change() -> None:
    base = apply(
        BASE, what_if(Change("set", "printers.p1.head.swath_m", 0.3), Change("set", "crews.sewers.wage_per_h", 60))
    )
    swath, wage = "changes[0]: set printers.p1.head.swath_m", "changes[1]: set crews.sewers.wage_per_h"
    assert [str(warning) for warning in base.warnings] == [
        f"mine: printers.p1.head.swath_m: 0.3 is outside the usual 0.054 to 0.22 (handbook PRN-01) ({swath})",
        f"mine: crews.sewers.wage_per_h: 60 is outside the usual 9 to 54 (handbook PPL-11) ({wage})",
    ]
    changed = apply(base, what_if(Change("set", "crews.sewers.wage_per_h", 30), Change("set", "study.weeks", 0.1)))
    assert changed.warnings[0] == base.warnings[0]
    (late,) = changed.warnings[1:]
    assert str(late) == (
        "mine: demand.order_book.file: left out, because received after the study ends on 2026-01-05: 2 of the book's "
        "order lines, the first of them in order A2 of 2026-01-06 (changes[1]: set study.weeks)"
    )


def test_the_order_book_can_be_taken_away_but_not_changed() -> None:
    forecast = {"orders_per_week": 5, "mix": [{"product": "banner", "share_pct": 100}]}
    changed = made(
        Change("remove", "demand.order_book"),
        Change("set", "demand.forecast", forecast),
        Change("set", "products.banner.sizes", [{"width_m": 2.0, "height_m": 1.0}]),
        # Its order lines, which are gone, would not fit any more.
        Change("remove", "products.flag"),
    )
    assert changed.order_lines == ()
    with pytest.raises(WhatIfError, match="a what-if keeps the order book of its base, or removes it"):
        made(Change("set", "demand.order_book", {"file": "other.csv"}))


def test_order_lines_are_checked_against_the_changed_products() -> None:
    with pytest.raises(WhatIfError) as caught:
        made(Change("set", "products.flag.sizes", []), Change("set", "fabrics.knit.roll_width_m", 1.6))
    narrow, without_sizes = (problem.message for problem in caught.value.problems)
    assert narrow == (
        "2 order lines do not fit; order A1: column width_m: a piece 2 x 1 m prints 2.034 m wide, but the widest web "
        "of 'knit' takes 1.560 m; make it smaller or say `may_split: true` (changes[1]: set fabrics.knit.roll_width_m)"
    )
    assert without_sizes == (
        "2 order lines do not fit; order A1: column width_m: is empty, but 'flag' has no single size; give width_m and "
        "height_m (changes[0]: set products.flag.sizes)"
    )


def test_a_fault_is_put_to_the_change_from_which_on_it_is_there() -> None:
    text = (
        "name: x\nbase: b.yaml\nchanges:\n"
        "  - {set: crews.late_sewer.count, to: 2}\n"
        "  - {remove: shifts.late}\n"
        "  - {set: crews.sewers.count, to: 3}\n"
    )
    with pytest.raises(WhatIfError) as caught:
        apply(BASE, parse_what_if(text, "x.yaml"))
    assert str(caught.value) == (
        "x.yaml:5:5: crews.late_sewer.shift: there is no shift 'late'; known: day (changes[1]: remove shifts.late)"
    )


# -- paths ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "key", "expected"),
    [
        (Change("set", "printers.p1.fixation.plate_m", 1.0), "fixation", {"kind": "inline", "plate_m": 1.0}),
        (Change("set", "printers.p1.roll_change.full_min[1]", 30.0), "roll_change", {"full_min": [20.0, 30.0, 38.0]}),
        (Change("set", "printers.p1.breakdowns.every_running_h", 90), "breakdowns", {"every_running_h": 90}),
    ],
)
def test_defaults_on_the_way_of_a_path_are_written_out(change: Change, key: str, expected: object) -> None:
    assert changed_values(VALUES, change)["printers"][0][key] == expected
    assert key not in VALUES["printers"][0]


def test_a_change_inside_a_list_of_defaults_keeps_the_others() -> None:
    inside = made(Change("set", "printers.p1.nozzle_check.ladder[0].ink_ml", 10)).scenario.printers[0].nozzle_check
    assert inside is not None
    assert [step.ink_ml for step in inside.ladder] == [10, 180, 100]
    fewer = made(Change("remove", "printers.p1.nozzle_check.ladder[2]")).scenario.printers[0].nozzle_check
    assert fewer is not None
    assert [step.name for step in fewer.ladder] == ["light clean", "strong purge"]
    more = made(Change("add", "fabrics.knit.cut_methods", "hot_knife")).scenario.by_id("fabrics")["knit"]
    assert more.cut_methods == ("flatbed_knife", "laser", "xy_trimmer", "hand", "hot_knife")


def test_paths_through_defaults_are_found() -> None:
    assert find_path(VALUES, "printers.p1.nozzle_check.ladder[1].minutes") == (
        "printers", 0, "nozzle_check", "ladder", 1, "minutes",
    )  # fmt: skip
    with pytest.raises(ValueError, match="there is no item \\[3\\]; the list holds 3, counted from 0"):
        find_path(VALUES, "printers.p1.nozzle_check.ladder[3].minutes")


def test_the_editor_of_files_takes_the_same_changes_and_keeps_comments() -> None:
    text = (HERE / "what_if_base" / "shop.yaml").read_text(encoding="utf-8")
    text = text.replace("  - id: p2\n", "  - id: p2 # the narrow one\n")
    edited = edit_scenario(
        text,
        [
            Change("copy", "printers.p2", {"id": "p3", "fixation.plate_m": 1.0}),
            Change("replace", "study", {"weeks": 3}),
            Change("remove", "policies.dispatch.days[4]"),
        ],
    )
    expected = text.replace(
        "    modes: [{id: production, passes: 3}]\n",
        "    modes: [{id: production, passes: 3}]\n"
        "  - {id: p3, print_width_m: 1.8, modes: [{id: production, passes: 3}], "
        "fixation: {kind: inline, plate_m: 1}}\n",
    )
    expected = expected.replace("study: {weeks: 2, opening: empty}", "study: {weeks: 3}")
    expected = expected.replace("when_queue_h: 8}\n", "when_queue_h: 8}\n  dispatch: {days: [mon, tue, wed, thu]}\n")
    assert edited == expected


def test_equal_scenarios_have_equal_hashes_and_the_order_of_skills_counts() -> None:
    text = (HERE / "what_if_base" / "shop.yaml").read_text(encoding="utf-8")
    written = parse_scenario(text.replace("{id: late_sewer,", "{id: late_sewer, wage_per_h: 28,"), "written")
    assert written == BASE.scenario
    assert written.content_hash == BASE.scenario.content_hash
    turned = made(Change("set", "crews.sewers.skills", {"packing": 2, "sewing": 3})).scenario
    assert turned.content_hash != BASE.scenario.content_hash


def test_a_study_lasts_at_most_1100_weeks() -> None:
    with pytest.raises(WhatIfError, match=r"study\.weeks: must be at most 1100, found 1101"):
        made(Change("set", "study.weeks", 1101))


@pytest.mark.parametrize(("given", "message"), [
    ({"orders_won_pct": 10, "orders_won_per_week": 2}, "give `orders_won_pct` or `orders_won_per_week`, not both"),
    ({"orders_won_weeks": 10}, "`orders_won_weeks` needs `orders_won_pct` or `orders_won_per_week`"),
    ({"orders_won_pct": -1}, "greater than or equal to 0"),
])  # fmt: skip
def test_orders_won_that_do_not_go_together(given: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Spends(**given)  # type: ignore[arg-type]
