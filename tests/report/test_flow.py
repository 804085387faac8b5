"""The flow of a shop: which places, which ways, which loops; how they are laid out; the same in words."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest

from shopsim import load_shop
from shopsim.report.flow import AGAIN, IN, MENDED, OUT, Flow, Place, Way, flow_of
from shopsim.report.flow_drawing import drawing_in_words, drawing_of
from shopsim.report.flow_layout import laid_out
from tests.doors.tiny import SHOP, write_shop

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
NAMES = ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier")


def of_demo(name: str) -> Flow:
    return flow_of(load_shop(DEMOS / f"{name}.yaml").scenario)


def ways(flow: Flow, loop: str = "") -> dict[tuple[str, str], tuple[str, ...]]:
    return {(way.start, way.end): way.products for way in flow.ways if way.loop == loop}


def test_the_tiny_shop(tmp_path: Path) -> None:
    flow = flow_of(load_shop(write_shop(tmp_path)).scenario)
    assert ways(flow) == {
        (IN, "p1"): ("flag",), ("p1", "sewing_table"): ("flag",), ("sewing_table", "bench"): ("flag",),
        ("bench", OUT): ("flag",),
    }  # fmt: skip
    assert flow.places["p1"] == Place("p1", "p1", "1 printer", ["print and fix"], ("1 operator",),
                                      "ganged by cloth, by due date")  # fmt: skip
    assert flow.places["sewing_table"].does == ["work"]
    assert flow.routes == {"flag": "print in mode std at p1; work at sewing table; pack at bench"}


def test_steps_at_one_place_share_its_box_and_skipped_places_are_passed() -> None:
    flow = of_demo("flag_banner_shop")
    assert ways(flow)["printer_1", "bench"] == ("printed_length",)
    assert ways(flow)["hot_knife", "sewing_table"] == ("flag", "eyelet_banner", "pocket_banner", "fence_banner")
    assert flow.places["bench"].does == ["rods", "inspect", "pack", "order check", "eyelets"]
    assert ways(flow, AGAIN)["bench", "printer_1"] == (
        "flag", "eyelet_banner", "pocket_banner", "fence_banner", "printed_length",
    )  # fmt: skip
    assert ways(flow, MENDED) == {("bench", "sewing_table"): ("flag", "eyelet_banner", "pocket_banner", "fence_banner")}


def test_printers_without_a_plate_lead_over_the_calender() -> None:
    flow = of_demo("exhibition_supplier")
    assert ways(flow)["printer_5", "calender_1"] == ("ceiling_banner", "flag")
    assert ("printer_5", "laser") not in ways(flow)
    assert flow.places["calender_1"].hands == ("5 printing a", "5 printing b")
    assert flow.places["printer_5"].does == ["print"]


def test_printers_with_the_same_products_share_a_box(tmp_path: Path) -> None:
    second = SHOP.replace("work_centres:\n", "work_centres:\n", 1)
    start, end = second.index("  - id: p1"), second.index("work_centres:")
    second = second[:end] + second[start:end].replace("id: p1", "id: p2") + second[end:]
    flow = flow_of(load_shop(write_shop(tmp_path, second)).scenario)
    assert flow.places["p1+p2"].name == "p1, p2"
    assert flow.places["p1+p2"].size == "2 printers"


@pytest.mark.parametrize("name", NAMES)
def test_boxes_stand_apart_inside_the_drawing_and_ways_lead_down(name: str) -> None:
    flow = of_demo(name)
    layout = laid_out(flow)
    assert layout.width_px == 680
    for row in range(layout.rows):
        spots = sorted((s for s in layout.spots.values() if s.row == row), key=lambda spot: spot.middle_px)
        edges = [(spot.middle_px - spot.width_px / 2, spot.middle_px + spot.width_px / 2) for spot in spots]
        assert edges[0][0] >= 8
        assert edges[-1][1] <= 680 - 62 + 1e-6
        assert all(right <= left + 1e-6 for (_, right), (left, _) in pairwise(edges))
    for way, bends in layout.down:
        rows = [layout.spots[way.start].row, *(bend.row for bend in bends), layout.spots[way.end].row]
        assert rows == list(range(rows[0], rows[-1] + 1))
    assert len(layout.down) + len(layout.up) == len(flow.ways)


def test_a_way_back_to_an_earlier_place_is_drawn_as_a_loop() -> None:
    places = {name: Place(name, name) for name in (IN, "a", "b", OUT)}
    flow = Flow(places, (Way(IN, "a", ("x",)), Way("a", "b", ("x",)), Way("b", "a", ("x",)), Way("b", OUT, ("x",))), {})
    layout = laid_out(flow)
    assert [(way.start, way.end) for way in layout.up] == [("b", "a")]
    assert "on again" in drawing_of(flow)


def test_many_places_side_by_side_make_the_drawing_wider_not_the_boxes_overlap() -> None:
    middle = [f"place_{number}" for number in range(12)]
    places = {name: Place(name, name) for name in (IN, *middle, OUT)}
    flow = Flow(places, tuple(w for name in middle for w in (Way(IN, name, ("x",)), Way(name, OUT, ("x",)))), {})
    layout = laid_out(flow)
    assert layout.width_px == 8 + 12 * 96 + 11 * 12 + 62


@pytest.mark.parametrize("name", NAMES)
def test_the_drawing_is_sound_and_its_words_name_every_place(name: str) -> None:
    flow = of_demo(name)
    root = ElementTree.fromstring(drawing_of(flow))
    space = "{http://www.w3.org/2000/svg}"
    assert len(root.findall(f"{space}g")) == len(flow.places)
    words = drawing_in_words(flow)
    assert all(f"{place.name}: " in words for place in flow.places.values())


def test_words_of_a_place_and_its_loops() -> None:
    words = drawing_in_words(of_demo("flag_banner_shop"))
    assert (
        "bench: rods, inspect, pack, order check, eyelets; 2 seats; worked by 1 sewer, 1 owner, 1 printer "
        "operator; line by due date; then to Dispatch; faults found here are made again from printer 1 on or "
        "mended at sewing table."
    ) in words


def test_names_in_the_drawing_are_text() -> None:
    places = {IN: Place(IN, "<script>alert(1)</script>"), OUT: Place(OUT, "out & away")}
    made = drawing_of(Flow(places, (Way(IN, OUT, ("<b>",)),), {}))
    assert "<script>" not in made
    assert "<b>" not in made
    assert "out &amp; away" in made
