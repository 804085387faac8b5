"""What the printers take next: gangs that wait, what releases them, lanes, fabrics, due dates."""

import pytest

from tests.stories.shops import (
    BANNER,
    fabric,
    machine,
    metres,
    order,
    print_shop,
    printed,
    product,
    rows,
    run,
    story,
    to_print,
)

NET = product("net", to_print(), fabric="mesh")
TWO_FABRICS = {"fabrics": [fabric(), fabric("mesh")], "products": [BANNER, NET]}


def room(**printing):
    return print_shop(policies={"printing": printing}, **TWO_FABRICS)


def starts(log):
    """Order and start of each run's share, in order of printing."""
    return [(what.split()[-1], start) for what, _, start, _ in printed(log)]


def test_a_gang_waits_until_its_oldest_piece_has_waited_long_enough():
    # A comes at 09:00 and may wait 2 h: the roll change begins at 11:00, printing at 11:20. B, of 10:30, goes along.
    log = run(room(gang_min_web_m=5.0, gang_longest_wait_h=2.0), order("Mon 09:00"), order("Mon 10:30"))
    assert story(log)[0] == ("roll_change", "op", "Mon 11:00", "Mon 11:20")
    assert printed(log) == [
        ("1 of A", "p1", "Mon 11:20", "Mon 11:25"),
        ("1 of B", "p1", "Mon 11:20", "Mon 11:25"),
    ]


def test_a_gang_goes_as_soon_as_its_metres_are_together():
    # 3 m at 09:00 are too few; 2 more at 09:30 make the 5 m: change 09:30-09:50, 5 m to 09:55, tail 09:58.
    log = run(room(gang_min_web_m=5.0, gang_longest_wait_h=8.0), order("Mon 09:00", pieces=3),
              order("Mon 09:30", pieces=2))  # fmt: skip
    assert printed(log) == [
        ("3 of A", "p1", "Mon 09:50", "Mon 09:58"),
        ("2 of B", "p1", "Mon 09:50", "Mon 09:58"),
    ]
    assert [row["gang_ready"] for row in rows(log, "prints")] == [570.0, 570.0]


def test_rush_work_releases_its_gang():
    # A alone would wait until 17:00; the rush order B of 09:15 takes it along.
    log = run(room(gang_min_web_m=5.0, gang_longest_wait_h=8.0), order("Mon 09:00"), order("Mon 09:15", rush=True))
    assert starts(log) == [("B", "Mon 09:35"), ("A", "Mon 09:35")]


def test_a_gang_takes_no_order_due_after_its_window():
    # Two working days from Thursday's collection is Monday's: B (due next Monday) goes along with A, C (due Tuesday)
    # is a run of its own. Each is 1 m: A and B 07:40-07:42, C 07:42-07:43.
    log = run(room(gang_window_days=2.0), order("Mon 07:00", due="Thu"), order("Mon 07:00", due="Mon2"),
              order("Mon 07:00", due="Tue2"))  # fmt: skip
    assert starts(log) == [("A", "Mon 07:40"), ("B", "Mon 07:40"), ("C", "Mon 07:42")]


@pytest.mark.parametrize(
    ("choice", "order_of_runs", "changes"),
    [
        # Fewest changes: C (knit, due Friday) goes before B (mesh, due Wednesday): 07:41; then one change 07:45-08:05.
        ("fewest_changes", [("A", "Mon 07:40"), ("C", "Mon 07:41"), ("B", "Mon 08:05")], 2),
        # Most urgent: A, B, C in order of due dates: tail 07:41-07:44, change to 08:04; 08:05-08:08, change to 08:28.
        ("most_urgent", [("A", "Mon 07:40"), ("B", "Mon 08:04"), ("C", "Mon 08:28")], 3),
    ],
)
def test_fewest_changes_against_the_most_urgent_first(choice, order_of_runs, changes):
    log = run(room(fabric_choice=choice, gang_max_web_m=1.0), order("Mon 07:00", due="Tue"),
              order("Mon 07:00", "net", due="Wed"), order("Mon 07:00", due="Fri"))  # fmt: skip
    assert starts(log) == order_of_runs
    assert len(story(log, "roll_change")) == changes


def test_another_fabric_is_not_put_off_for_ever():
    # B (mesh) comes at 07:45, is due before A and is put off for 1 h. Knit runs of 10 m follow each other from 07:40;
    # at 08:40 B is 55 min old, at 08:50 it is taken: tail 08:50-08:53, change to 09:13, print; then back to knit.
    log = run(room(stay_on_fabric_h=1.0, gang_max_web_m=10.0), order("Mon 07:00", pieces=90, due="Fri"),
              order("Mon 07:45", "net", due="Wed"))  # fmt: skip
    assert machine(log, start="Mon 07:40", end="Mon 09:37") == [
        ("printing", "p1", "Mon 07:40", "Mon 08:50"),
        ("tail", "p1", "Mon 08:50", "Mon 08:53"),
        ("roll_change", "p1", "Mon 08:53", "Mon 09:13"),
        ("printing", "p1", "Mon 09:13", "Mon 09:14"),
        ("tail", "p1", "Mon 09:14", "Mon 09:17"),
        ("roll_change", "p1", "Mon 09:17", "Mon 09:37"),
    ]


def test_a_rush_order_goes_before_normal_work_and_changes_the_roll_for_it():
    # Runs of 5 m of knit from 07:40. The rush order on mesh comes at 07:42: after the run on the printer (07:45) the
    # tail, the change to 08:08, the rush piece; then back to knit: tail 08:12, change 08:32.
    log = run(room(gang_max_web_m=5.0), order("Mon 07:00", pieces=10), order("Mon 07:42", "net", rush=True))
    assert starts(log) == [("A", "Mon 07:40"), ("B", "Mon 08:08"), ("A", "Mon 08:32")]
    assert metres(log)["leader"] == 12


def test_an_order_shared_between_runs_keeps_its_place():
    # Equal due dates, 10 m a run: the second half of A still comes before B.
    log = run(room(gang_max_web_m=10.0), order("Mon 07:00", pieces=20), order("Mon 07:01", pieces=10))
    assert [name for name, _ in dict.fromkeys(starts(log))] == ["A", "A", "B"]


def test_jobs_of_a_fabric_go_by_due_date_or_in_order_of_arrival():
    # All wait while the printer warms up and gets its roll; three runs of 1 m from 07:40 on.
    jobs = order("Mon 07:00", due="Fri"), order("Mon 07:01", due="Wed"), order("Mon 07:02", due="Thu")
    by_due = run(room(gang_max_web_m=1.0, queue_rule="due_date"), *jobs)
    assert [name for name, _ in starts(by_due)] == ["B", "C", "A"]
    in_turn = run(room(gang_max_web_m=1.0, queue_rule="first_come"), *jobs)
    assert [name for name, _ in starts(in_turn)] == ["A", "B", "C"]
