"""Looking after a running printer: it takes the operator's time, never the machine's."""

from tests.stories.shops import (
    BANNER,
    centre,
    crew,
    machine,
    order,
    print_shop,
    printed,
    printer,
    product,
    run,
    step,
    story,
)

WATCHED = [printer(attention_pct=50.0)]


def test_rounds_take_their_share_of_the_printing_time():
    # 20 min of printing, 07:40-08:00, want 10 min of the operator. The tail, to 08:03, wants none.
    log = run(print_shop(printers=WATCHED), order("Mon 07:00", pieces=20))
    assert story(log, "attention") == [("attention", "op", "Mon 07:40", "Mon 07:50")]
    assert printed(log)[0] == ("8 of A", "p1", "Mon 07:40", "Mon 08:03")


def test_rounds_hold_up_other_work_and_not_the_machine():
    # Of two jobs at the bench B is there first: the operator, free at 07:40, takes it up as the printer starts, and
    # looks after the printer from 07:50 on. C, of 07:51, waits for the end of the round at 08:00.
    scenario = print_shop(
        printers=WATCHED, work_centres=[centre("bench")], crews=[crew("op", "printing bench")],
        products=[BANNER, product("job", step("work", "bench", 10.0))],
    )  # fmt: skip
    log = run(scenario, order("Mon 07:00", pieces=20), order("Mon 07:30", "job"), order("Mon 07:51", "job"))
    assert story(log, "work", "attention") == [
        ("work B", "op", "Mon 07:40", "Mon 07:50"),
        ("attention", "op", "Mon 07:50", "Mon 08:00"),
        ("work C", "op", "Mon 08:00", "Mon 08:10"),
    ]
    assert machine(log, start="Mon 07:40", end="Mon 08:03") == [
        ("printing", "p1", "Mon 07:40", "Mon 08:00"),
        ("tail", "p1", "Mon 08:00", "Mon 08:03"),
    ]


def test_rounds_not_yet_begun_are_not_asked_for_again():
    # Runs of 10 min each, printed one after the other from 07:40 on; each wants 5 min. The operator is at the bench
    # with B until 08:40, when only the first round waits.
    scenario = print_shop(
        printers=WATCHED, work_centres=[centre("bench")], crews=[crew("op", "printing bench")],
        products=[BANNER, product("job", step("work", "bench", 60.0))],
        policies={"printing": {"gang_max_web_m": 10.0}},
    )  # fmt: skip
    log = run(scenario, order("Mon 07:00", pieces=30), order("Mon 07:30", "job"))
    assert story(log, "work", "attention") == [
        ("work B", "op", "Mon 07:40", "Mon 08:40"),
        ("attention", "op", "Mon 08:40", "Mon 08:45"),
    ]
    assert printed(log)[-1][2:] == ("Mon 08:00", "Mon 08:13")
