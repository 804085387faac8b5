"""Crews by blocks of weeks: one sentence, and a table that agrees with the page above it."""

from __future__ import annotations

from shopsim.figures import percent
from shopsim.sentences.crews import crew_found
from shopsim.studies.crew import WHOLE, CrewAnswer, CrewPlan, Sizes, smallest_crew
from shopsim.studies.option import Option
from shopsim.studies.precision import interval
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.terminal.crew_page import print_crew
from shopsim.terminal.tables import NotePad
from tests.studies.given import GivenEngine, option, row

UP_AND_DOWN = (0.01, -0.01, 0.0, 0.02, -0.02)


def by_blocks(levels: dict[str, dict[int, float]], at_most: int = 40) -> CrewAnswer:
    """Two to four people; of 100 orders due in each of four weeks so many on time, with luck of a week."""

    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        shares = [level[heads] + UP_AND_DOWN[number % 5] for level in levels.values()]
        return row(number, {"on_time_share": sum(shares) / len(shares)}, money_per_week={"wages": 900.0 * heads},
                   due_by_week=(100.0,) * 4, on_time_by_week=tuple(100 * share for share in shares))  # fmt: skip

    plan = CrewPlan((Sizes("new_sewers", 2, 4),), 0.95, 0.01, block_weeks=1, at_most=at_most)
    return smallest_crew(Runner(GivenEngine(made)), option("base", weeks=4), plan)


EASY, NEEDS_THREE, NEEDS_FOUR, HOPELESS, OPEN = (
    {2: 0.98, 3: 0.98, 4: 0.98}, {2: 0.85, 3: 0.98, 4: 0.98}, {2: 0.6, 3: 0.85, 4: 0.98}, {2: 0.6, 3: 0.8, 4: 0.801},
    {2: 0.85, 3: 0.95, 4: 0.99},
)  # fmt: skip


def test_blocks_of_weeks_are_told_from_the_cheapest_crew_to_the_dearest() -> None:
    blocks = {"week 1": EASY, "week 2": NEEDS_FOUR, "week 3": NEEDS_THREE, "week 4": EASY}
    assert crew_found(by_blocks(blocks)).sentence.endswith(
        " By the weeks in which orders are due, the cheapest crew that does goes from 2 people in crew new sewers "
        "(week 1) to 4 people in crew new sewers (week 2)."
    )
    alike = crew_found(by_blocks(dict.fromkeys(blocks, NEEDS_THREE))).sentence
    assert alike.endswith(
        " By the weeks in which orders are due, the cheapest crew that does is 3 people in crew new sewers in every "
        "block."
    )
    plan = CrewPlan((Sizes("new_sewers", 2, 4),), 0.95, 0.01)
    unasked = smallest_crew(Runner(GivenEngine(lambda which, k: row(k, {"on_time_share": 0.9}))), option("base"), plan)
    assert "By the weeks" not in crew_found(unasked).sentence


def test_blocks_that_no_crew_meets_or_that_stay_open_are_told() -> None:
    found = by_blocks({"week 1": NEEDS_THREE, "week 2": HOPELESS, "week 3": OPEN, "week 4": EASY}, at_most=20)
    _, runs = found.likely["week 3"]
    more = runs - 20
    assert more > 0
    assert crew_found(found).sentence.endswith(
        " By the weeks in which orders are due, the cheapest crew that does goes from 2 people in crew new sewers "
        "(week 4) to 3 people in crew new sewers (week 1); none tried is shown to do in week 2; in week 3 that cannot "
        f"be told yet, about {more} more replications of a crew would tell."
    )
    pad = NotePad()
    print_crew(pad, found, crew_found(found))
    table = pad.tables[1]
    rows = table.rows
    assert (table.title, table.columns) == ("Cheapest crew by the orders due in", ("", "crew", "on time, %", "95 %"))
    assert [line[1] for line in rows[1:]] == [
        "3 people in crew new sewers",
        "none of those tried; none can be told to do better than 4 people in crew new sewers",
        f"cannot be told yet; 3 people in crew new sewers may do, about {more} more runs would tell",
        "2 people in crew new sewers",
    ]  # fmt: skip
    assert "each interval descriptive" in table.note
    # 0.85 to 0.99 of OPEN's three, as the runs have it, and so of HOPELESS's four.
    for block, heads, line in (("week 2", 4, rows[2]), ("week 3", 3, rows[3])):
        (same,) = (one for one in found.candidates if one.heads["new_sewers"] == heads)
        level = percent(interval([each.on_time_by_week[int(block[-1]) - 1] / 100 for each in same.found.rows], 95))
        assert line[2:] == (level.mean, level.between)
    four = crew_found(by_blocks({f"week {i}": OPEN for i in range(1, 5)}, at_most=20)).sentence
    assert " By the weeks in which orders are due, in 4 blocks of weeks that cannot be told yet, about " in four


def test_the_table_of_blocks_agrees_with_the_page_about_all_weeks() -> None:
    """The verdict fell after some runs, others went on: the table told the mean of that moment, the sentence of all."""
    found = by_blocks({"week 1": NEEDS_THREE, "week 2": OPEN, "week 3": NEEDS_THREE, "week 4": NEEDS_THREE})
    enough = found.enough[WHOLE]
    assert enough is not None
    assert enough.verdicts[WHOLE].replications < len(enough.found.rows)
    pad = NotePad()
    print_crew(pad, found, crew_found(found))
    share = percent(enough.found.interval("measures", "on_time_share"))
    assert pad.tables[1].rows[0][2:] == (share.mean, share.between)
