"""Times by hand that no field of the file holds: the standard minutes behind the steps of this shop's routes."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from shopsim.craft import cutting, finishing, sewing
from shopsim.report.flow_words import AtPlace
from shopsim.report.handbook_rows import founded_on
from shopsim.shop.products import Cut, Eyelets, FrameFit, Inspect, Iron, Pack, Print, Rest, Rods, Sew
from shopsim.shop.route_times import PANEL_SEAM
from shopsim.shop.scenario import Scenario


class CraftValue(NamedTuple):
    """What the minutes of a kind of work are made of, and the handbook row they rest on."""

    work: str
    made_of: str
    row: str
    basis: str
    source: str


def craft_values(scenario: Scenario) -> list[CraftValue]:
    """Those that some step of some product goes by; steps whose minutes the file gives are left out."""
    found = {}
    for product in scenario.products:
        for step in product.route:
            if isinstance(step, Print | Rest) or step.minutes is not None:
                continue
            for work, made_of, row in _of_step(scenario, step):
                founded = founded_on(row)
                assert founded is not None  # a test walks all steps
                found[work] = CraftValue(work, made_of, row, founded.basis, founded.source)
        if product.may_split and any(isinstance(step, Sew) and step.minutes is None for step in product.route):
            founded = founded_on(sewing.EDGES[PANEL_SEAM].row)
            assert founded is not None
            made_of, row = _edge(PANEL_SEAM), sewing.EDGES[PANEL_SEAM].row
            found[PANEL_SEAM] = CraftValue("sewing, panel seam", made_of, row, founded.basis, founded.source)
    return list(found.values())


def _of_step(scenario: Scenario, step: AtPlace) -> Iterator[tuple[str, str, str]]:
    if isinstance(step, Cut):
        yield from _cutting(scenario.by_id("work_centres")[step.at].method)
    elif isinstance(step, Sew):
        for edge in dict.fromkeys([*step.sides().values(), *(["label"] if step.labels else [])]):
            yield f"sewing, {edge.replace('_', ' ')}", _edge(edge), sewing.EDGES[edge].row
    elif isinstance(step, Eyelets):
        press = scenario.by_id("work_centres")[step.at].eyelet_press
        marking_min = finishing.EYELET_MARKING_MIN
        yield f"eyelets, {press} press", f"{finishing.EYELET_S[press]:g} s each, {marking_min:g} min a piece", "FIN-02"
    elif isinstance(step, Pack):
        yield f"packing, {step.way}", f"{finishing.PACKING_MIN[step.way]:g} min a piece", "FIN-08"
    else:
        yield _OTHERS[type(step)]


_OTHERS: dict[type, tuple[str, str, str]] = {
    Iron: ("ironing", f"{finishing.IRONING_MIN_PER_M2:g} min a m²", "FIN-05"),
    Rods: ("rods and hooks", f"{finishing.HARDWARE_MIN:g} min a piece", "FIN-04"),
    FrameFit: ("frame fit", f"{finishing.FRAME_FIT_MIN:g} min a piece", "FIN-06"),
    Inspect: (
        "inspection", f"{finishing.INSPECTION_MIN:g} min a piece, {finishing.INSPECTION_MIN_PER_M2:g} min a m²",
        "FIN-07",
    ),
}  # fmt: skip


def _cutting(method: str) -> Iterator[tuple[str, str, str]]:
    way = cutting.CUT_METHODS[method]
    yield f"cutting, {method.replace('_', ' ')}", f"{way.speed_m_per_min:g} m of contour a minute", way.row
    made_of = (
        f"{cutting.HANDLING_MIN_SMALL:g} min below {cutting.SMALL_BELOW_M2:g} m², {cutting.HANDLING_MIN_MEDIUM:g} min, "
        f"{cutting.HANDLING_MIN_LARGE:g} min above {cutting.LARGE_ABOVE_M2:g} m²"
    )
    yield "cutting, handling a piece", made_of, "CUT-08"


def _edge(name: str) -> str:
    times = sewing.EDGES[name]
    parts = ((times.min_per_m, "a metre"), (times.min_per_corner, "a corner"), (times.min_per_end, "an end"),
             (times.min_per_piece, "a piece"))  # fmt: skip
    return ", ".join(f"{minutes:g} min {of}" for minutes, of in parts if minutes) or "nothing"
