"""The flow of a shop as a drawing (SVG): boxes for places, lines for ways, dashed lines for pieces that go back."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shopsim.report.flow import AGAIN, IN, MENDED, OUT, Flow, Place, Way
from shopsim.report.flow_layout import LOOP_PX, Layout, Spot, laid_out
from shopsim.report.markup import Markup, element, joined

_LINE_PX, _PAD_PX, _BETWEEN_PX, _FONT_PX = 13.0, 6.0, 40.0, 11.0
# A letter of this font is about so wide.
_LETTER_PX = 5.6
_INK, _PALE, _LOOP_INK = "#1A1C21", "#F3F5F8", "#8A4B00"
_MOST_LINES = 9


def drawing_of(flow: Flow) -> Markup:
    """The drawing, as wide as a page of A4 between its margins."""
    layout = laid_out(flow)
    texts = {name: _lines(place, layout.spots[name].width_px) for name, place in flow.places.items()}
    tops, heights = _tops(layout, texts)
    count = len({product for way in flow.ways for product in way.products})
    below = tops[-1] + heights[-1] + _PAD_PX
    drawn = [
        *(_way(layout, tops, heights, way, bends, count) for way, bends in layout.down),
        *_loops(layout, tops, heights),
        *(_box(flow.places[name], layout.spots[name], tops, heights, texts[name]) for name in flow.places),
    ]
    return element(
        "svg", _ARROWS, *drawn, viewBox=f"0 0 {layout.width_px:g} {below:.0f}", width="100%", role="img",
        aria_label="How work goes through the shop; the same in words below", xmlns="http://www.w3.org/2000/svg",
        font_family="system-ui, 'Segoe UI', 'Liberation Sans', sans-serif", font_size=f"{_FONT_PX:g}",
    )  # fmt: skip


def drawing_in_words(flow: Flow) -> str:
    """Each place with what is done there, by whom, and where pieces go back to."""
    told = []
    for place in flow.places.values():
        parts = [", ".join(place.does), place.size, f"worked by {', '.join(place.hands)}" if place.hands else "",
                 f"line {place.queue}" if place.queue else ""]  # fmt: skip
        to = [flow.places[way.end].name for way in flow.ways if way.start == place.id and not way.loop]
        on = f"then to {_or(to)}" if to else ""
        loops = _back_in_words(flow, place)
        told.append(f"{place.name}: {'; '.join(part for part in (*parts, on, loops) if part)}.")
    return " ".join(told)


def _back_in_words(flow: Flow, place: Place) -> str:
    """`faults found here are made again from printer 1 on or mended at sewing table`."""
    mine = [way for way in flow.ways if way.start == place.id and way.loop]
    again = list(dict.fromkeys(flow.places[way.end].name for way in mine if way.loop == AGAIN))
    mended = list(dict.fromkeys(flow.places[way.end].name for way in mine if way.loop == MENDED))
    told = [f"made again from {_or(again)} on"] if again else []
    told += [f"mended at {_or(mended)}"] if mended else []
    return f"faults found here are {_or(told)}" if told else ""


def _or(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _lines(place: Place, width_px: float) -> list[tuple[str, str]]:
    """What stands in a box, a line each with its style: name, size, what is done, hands, queue."""
    room = max(8, int((width_px - 2 * _PAD_PX) / _LETTER_PX))
    parts = [("name", place.name), ("plain", place.size), ("plain", ", ".join(place.does)),
             ("hands", ", ".join(place.hands)), ("queue", f"line: {place.queue}" if place.queue else "")]  # fmt: skip
    lines = [(style, line) for style, text in parts for line in textwrap.wrap(text, room, max_lines=3, placeholder="…")]
    return lines[:_MOST_LINES]


def _tops(layout: Layout, texts: dict[str, list[tuple[str, str]]]) -> tuple[list[float], list[float]]:
    """Top and height of each row; a row is as high as its fullest box."""
    heights = [
        max(len(texts[name]) for name, spot in layout.spots.items() if spot.row == row) * _LINE_PX + 2 * _PAD_PX
        for row in range(layout.rows)
    ]
    tops, at = [], _PAD_PX
    for height in heights:
        tops.append(at)
        at += height + _BETWEEN_PX
    return tops, heights


def _box(
    place: Place, spot: Spot, tops: list[float], heights: list[float], lines: list[tuple[str, str]]
) -> Markup:  # fmt: skip
    left, top = spot.middle_px - spot.width_px / 2, tops[spot.row]
    ends = place.id in (IN, OUT)
    frame = element(
        "rect", x=f"{left:.1f}", y=f"{top:.1f}", width=f"{spot.width_px:.1f}", height=f"{heights[spot.row]:.1f}",
        rx="14" if ends else "4", fill="#FFFFFF" if ends else _PALE, stroke=_INK, stroke_width="1",
    )  # fmt: skip
    words = [
        element(
            "text", line, x=f"{spot.middle_px:.1f}", y=f"{top + _PAD_PX + _LINE_PX * (i + 0.8):.1f}",
            text_anchor="middle", fill=_INK, font_weight="600" if style == "name" else None,
            font_style="italic" if style == "queue" else None,
        )
        for i, (style, line) in enumerate(lines)
    ]  # fmt: skip
    return element("g", frame, *words)


def _way(
    layout: Layout, tops: list[float], heights: list[float], way: Way, bends: Sequence[Spot], products: int
) -> Markup:  # fmt: skip
    """A line down, thicker for more products, through its bends."""
    start, end = layout.spots[way.start], layout.spots[way.end]
    x, y = start.middle_px, tops[start.row] + heights[start.row]
    path = [f"M{x:.1f},{y:.1f}"]
    for bend in bends:
        path.append(_curve(x, y, bend.middle_px, tops[bend.row]))
        x, y = bend.middle_px, tops[bend.row] + heights[bend.row]
        path.append(f"L{x:.1f},{y:.1f}")
    path.append(_curve(x, y, end.middle_px, tops[end.row] - 5))
    width = 1 + 2.5 * len(way.products) / max(1, products)
    return element(
        "path", element("title", ", ".join(way.products)), d=" ".join(path), fill="none", stroke=_INK,
        stroke_width=f"{width:.1f}", stroke_opacity="0.75", marker_end="url(#down)",
    )  # fmt: skip


def _curve(x: float, y: float, to_x: float, to_y: float) -> str:
    middle = (y + to_y) / 2
    return f"C{x:.1f},{middle:.1f} {to_x:.1f},{middle:.1f} {to_x:.1f},{to_y:.1f}"


@dataclass(frozen=True, slots=True)
class _Lane:
    """Where pieces of one kind go back up: at the right edge, `aside_px` from the boxes, leaving a box at `at_px`."""

    words: str
    aside_px: float
    at_px: float


_LANES = (_Lane(AGAIN, 16.0, 9.0), _Lane(MENDED, 34.0, 20.0), _Lane("", 50.0, 31.0))


def _room_of_printers(layout: Layout, tops: list[float], heights: list[float]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom around all places where pieces are made again."""
    spots = [layout.spots[way.end] for way in layout.up if way.loop == AGAIN]
    return (
        min(spot.middle_px - spot.width_px / 2 for spot in spots) - 5, min(tops[spot.row] for spot in spots) - 5,
        max(spot.middle_px + spot.width_px / 2 for spot in spots) + 5,
        max(tops[spot.row] + heights[spot.row] for spot in spots) + 5,
    )  # fmt: skip


def _loops(layout: Layout, tops: list[float], heights: list[float]) -> Iterator[Markup]:
    """Dashed lines out of the right sides of boxes into a lane at the edge, and from there to earlier boxes."""
    for lane in _LANES:
        ways = [way for way in layout.up if way.loop == lane.words]
        if not ways:
            continue
        starts = {way.start: tops[spot.row] + heights[spot.row] - lane.at_px for way in ways
                  if (spot := layout.spots[way.start])}  # fmt: skip
        if lane.words == AGAIN:
            left, top, right, bottom = _room_of_printers(layout, tops, heights)
            yield element(
                "rect", x=f"{left:.1f}", y=f"{top:.1f}", width=f"{right - left:.1f}", height=f"{bottom - top:.1f}",
                rx="8", fill="none", stroke=_LOOP_INK, stroke_width="1", stroke_dasharray="2 3",
            )  # fmt: skip
            ends = [(right, top + 14)]
        else:
            targets = [layout.spots[end] for end in dict.fromkeys(way.end for way in ways)]
            ends = [(spot.middle_px + spot.width_px / 2, tops[spot.row] + lane.at_px) for spot in targets]
        x = layout.width_px - LOOP_PX + lane.aside_px
        told = element("title", f"{lane.words or 'on again'}: {', '.join(_products(ways))}")
        for start, y in starts.items():
            spot = layout.spots[start]
            yield _dashed(f"M{spot.middle_px + spot.width_px / 2:.1f},{y:.1f} L{x:.1f},{y:.1f}", told)
        heights_px = [*starts.values(), *(y for _, y in ends)]
        yield _dashed(f"M{x:.1f},{max(heights_px):.1f} L{x:.1f},{min(heights_px):.1f}", told)
        for end, y in ends:
            yield _dashed(f"M{x:.1f},{y:.1f} L{end + 6:.1f},{y:.1f}", told, marker_end="url(#back)")
        middle = (max(heights_px) + min(heights_px)) / 2
        yield element(
            "text", lane.words or "on again", x=f"{x + 9:.1f}", y=f"{middle:.1f}", fill=_LOOP_INK,
            text_anchor="middle", transform=f"rotate(90 {x + 5:.1f} {middle:.1f})",
        )  # fmt: skip


def _dashed(path: str, told: Markup, **more: str) -> Markup:
    return element(
        "path", told, d=path, fill="none", stroke=_LOOP_INK, stroke_width="1.4", stroke_dasharray="5 3", **more
    )  # fmt: skip


def _products(ways: Sequence[Way]) -> list[str]:
    return list(dict.fromkeys(product for way in ways for product in way.products))


def _arrow(name: str, colour: str) -> Markup:
    head = element("path", d="M0,0 L8,4 L0,8 z", fill=colour)
    return element(
        "marker", head, id=name, viewBox="0 0 8 8", refX="6", refY="4", markerWidth="8", markerHeight="8",
        orient="auto", markerUnits="userSpaceOnUse",
    )  # fmt: skip


_ARROWS = joined(element("defs", _arrow("down", _INK), _arrow("back", _LOOP_INK)))
