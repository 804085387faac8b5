"""The plan view replays a story worked out by hand."""

from __future__ import annotations

import pytest

from shopsim.measures.plan_view import PlanView, plan_view
from shopsim.pictures.plan_view import MARKS, plan_view_in_words
from shopsim.pictures.plan_view import plan_view as picture
from tests.stories.shops import centre, crew, fabric, order, printer, product, run, shift, shop, step, to_print


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
    figure = picture(*sewing)
    assert [frame.name for frame in figure.frames] == ["Mon 07:00", "Mon 07:20", "Mon 07:40", "Mon 08:00"]
    first, last = figure.frames[0].data, figure.frames[-1].data
    assert (len(first[0].x), len(first[1].x), list(first[2].text)) == (1, 2, ["1 waiting, 2 at work"])
    assert (list(last[0].x), len(last[1].x), list(last[2].text)) == ([None], 1, ["0 waiting, 1 at work"])
    assert list(first[3].marker.symbol) == ["circle", "circle"]
    assert sorted(last[3].marker.symbol) == ["circle", "circle-open"]
    assert figure.data[0].x == first[0].x
    assert [button.label for button in figure.layout.updatemenus[0].buttons] == ["slow", "play", "fast", "pause"]
    durations = [button.args[1]["frame"]["duration"] for button in figure.layout.updatemenus[0].buttons]
    assert durations == [600, 200, 60, 0]
    steps = figure.layout.sliders[0].steps
    assert [step_.label for step_ in steps] == ["07:00", "07:20", "07:40", "08:00"]
    assert list(steps[1].args[0]) == ["Mon 07:20"]


def test_the_plan_in_words(sewing: PlanView) -> None:
    assert plan_view_in_words(*sewing) == (
        "Mon 07:00 to Mon 08:00. The way through the shop: sewing. Most work waits at sewing at Mon 07:00: 1 bundle. "
        "At the busiest moment 2 of 2 people are at work."
    )


def test_many_bundles_are_some_marks_and_a_count(sewing: PlanView) -> None:
    many = sewing.moments.assign(waiting=40)
    figure = picture(sewing.places, many, sewing.people)
    assert len(figure.data[0].x) == MARKS
    assert figure.data[2].text[0] == "40 waiting, 2 at work"


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
    figure = picture(*plan)
    assert [box.y1 for box in figure.layout.shapes] == [0, -1, -1, -2, -3]
    assert [box.x0 for box in figure.layout.shapes[1:3]] == pytest.approx([0.006, 0.506])
