"""The plan view replays a story worked out by hand."""

from __future__ import annotations

import datetime

import pandas as pd
import pytest

from shopsim.measures.plan_view import PlanView, plan_view
from shopsim.pictures.plan_view import MARKS, plan_view_in_words
from shopsim.pictures.plan_view import plan_view as picture
from tests.stories.shops import centre, crew, fabric, order, printer, product, run, shift, shop, step, to_print

MONDAY = datetime.date(2026, 1, 5)


@pytest.fixture(scope="module")
def sewing() -> PlanView:
    # 20 pieces of 5 min in bundles of 8, 8 and 4, each with 3 min of set-up: two sewers 07:00-07:43, then one
    # 07:43-08:06 (the story of two sewers who share an order).
    room = shop(work_centres=[centre("sewing", "sewing", seats=2, set_up_min=3.0)],
                products=[product("job", step("sew", "sewing", 5.0))], crews=[crew("sewer", "sewing", count=2)],
                shifts=[shift("day")])  # fmt: skip
    log = run(room, order("Mon 07:00", "job", pieces=20))
    return plan_view(log, room, 420.0, 500.0, 20)


def test_bundles_wait_and_are_worked_at(sewing: PlanView) -> None:
    moments = sewing.moments
    assert moments["time_min"].tolist() == [420, 440, 460, 480]
    assert moments["waiting"].tolist() == [1, 1, 1, 0]
    assert moments["in_work"].tolist() == [2, 2, 2, 1]
    doing = [sorted(group["doing"]) for _, group in sewing.people.groupby("time_min")]
    assert doing == [["work", "work"]] * 3 + [["idle", "work"]]


def test_frames_show_the_moments(sewing: PlanView) -> None:
    figure = picture(*sewing, MONDAY)
    assert [frame.name for frame in figure.frames] == [
        f"Mon 05 Jan 2026, {at}" for at in ("07:00", "07:20", "07:40", "08:00")
    ]
    first, last = figure.frames[0].data, figure.frames[-1].data
    assert (len(first[0].x), len(first[1].x), list(first[2].text)) == (1, 2, ["1 waiting, 2 at work"])
    assert (list(last[0].x), len(last[1].x), list(last[2].text)) == ([None], 1, ["0 waiting, 1 at work"])
    # Both sewers stand in the box of the place, which is 0.9 high; then one is below it, without work.
    assert (list(first[3].y), list(first[3].customdata)) == ([-0.6] * 2, ["sewer 1: at work", "sewer 2: at work"])
    assert list(first[4].x) == [None]
    assert (list(last[3].customdata), list(last[4].customdata)) == (["sewer 1: at work"], ["sewer 2: no work"])
    assert (list(last[4].y), list(last[4].marker.symbol)) == ([-1.2], ["circle-open"])
    assert figure.data[0].x == first[0].x
    assert [button.label for button in figure.layout.updatemenus[0].buttons] == ["slow", "play", "fast", "pause"]
    durations = [button.args[1]["frame"]["duration"] for button in figure.layout.updatemenus[0].buttons]
    assert durations == [600, 200, 60, 0]
    steps = figure.layout.sliders[0].steps
    assert [step_.label for step_ in steps] == ["07:00", "07:20", "07:40", "08:00"]
    assert list(steps[1].args[0]) == ["Mon 05 Jan 2026, 07:20"]
    assert figure.layout.sliders[0].currentvalue.prefix == "Mon 05 Jan 2026, "


def test_the_plan_in_words(sewing: PlanView) -> None:
    assert plan_view_in_words(*sewing, MONDAY) == (
        "Mon 05 Jan 2026, 07:00 to 08:00. The way through the shop: sewing. Most work waits at sewing at 07:00: 1 "
        "bundle. At the busiest moment 2 of 2 people are at work."
    )


def test_many_bundles_are_some_marks_and_a_count(sewing: PlanView) -> None:
    many = sewing.moments.assign(waiting=40)
    figure = picture(sewing.places, many, sewing.people, MONDAY)
    assert len(figure.data[0].x) == MARKS
    assert list(figure.data[2].text) == ["40 waiting, 2 at work", "+28"]
    # The number of those left out follows the last mark, in its row.
    assert figure.data[2].y[1] == figure.data[0].y[-1]
    assert 0 < figure.data[2].x[1] - figure.data[0].x[-1] < 0.04


def test_marks_and_what_is_left_out_stay_in_their_box_on_a_phone(sewing: PlanView) -> None:
    # Five places side by side share 358 px; "+38" takes 26 of them.
    names = [f"seat_{i}" for i in range(5)]
    places = pd.DataFrame({"place": names, "kind": "place", "stage": 0, "seats": 1})
    moments = pd.DataFrame({"time_min": 420.0, "place": names, "waiting": 40, "in_work": 1})
    figure = picture(places, moments, sewing.people, MONDAY)
    right = [box.x1 for box in figure.layout.shapes]
    more = [x for x, words in zip(figure.data[2].x, figure.data[2].text, strict=True) if words.startswith("+")]
    assert len(more) == 5
    assert all(x + 26 / 358 < edge for x, edge in zip(more, right, strict=True))


def test_stages_follow_the_longest_way_and_print_waits_for_its_run() -> None:
    flag = product("flag", to_print(), step("cut", "cutting", 1.0), step("sew", "sewing", 1.0))
    plain = product("plain", to_print(), step("sew", "sewing", 1.0))
    both = shop(fabrics=[fabric()], printers=[printer(), printer("p2")],
                work_centres=[centre("sewing"), centre("cutting")],
                products=[plain, flag], crews=[crew("op", "printing cutting sewing")])  # fmt: skip
    # On the printer 07:40 (20 min warm-up, 20 min roll change) to 07:46 (3 m printed, 3 m of tail).
    log = run(both, order("Mon 07:00", "plain", pieces=3))
    plan = plan_view(log, both, 450.0, 470.0, 10)
    places = plan.places
    assert dict(zip(places["place"], places["stage"], strict=True)) == {
        "print room": 0, "p1": 1, "p2": 1, "cutting": 2, "sewing": 3,
    }  # fmt: skip
    at = plan.moments.set_index(["place", "time_min"])
    assert at.loc[("print room", 450.0), "waiting"] == 1
    assert at.loc[("p1", 450.0), "in_work"] == 0
    # The operator changes the roll and is at the print room, until the printer runs by itself.
    at = plan.people.set_index("time_min")
    assert (at.loc[450.0, "doing"], at.loc[450.0, "place"]) == ("work", "print room")
    figure = picture(*plan, MONDAY)
    assert [box.y1 for box in figure.layout.shapes] == [0, -1, -1, -2, -3]
    assert [box.x0 for box in figure.layout.shapes[1:3]] == pytest.approx([0.006, 0.506])
