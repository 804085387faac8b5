"""STRESS-DES 2.1 to 2.5.5: the picture of the process, how the model works, what it is made of."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.report.blocks import Block, Drawing, Lines, Para, table
from shopsim.report.contents import Contents
from shopsim.report.flow import flow_of
from shopsim.report.flow_drawing import drawing_in_words, drawing_of
from shopsim.report.flow_words import hands_of, name_of, print_queue, queue_words, route_words
from shopsim.report.logic_words import algorithms_in_words, arrivals, logic_in_words
from shopsim.sentences.words import listed
from shopsim.shop.people import Crew
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING, skill_for_calenders
from shopsim.shop.what_if_words import hours_in_words


def diagram(contents: Contents) -> list[Block]:
    flow = flow_of(contents.shop.scenario)
    return [
        Drawing(drawing_of(flow), drawing_in_words(flow)),
        Para("Lines down: the way of pieces, thicker for more products. Dashed lines: pieces that are made again or "
             "mended. In each box: seats or machines, what is done there, who can, who comes next.", "small"),
    ]  # fmt: skip


def base_logic(contents: Contents) -> list[Block]:
    return [Para(text) for text in logic_in_words(contents.shop.scenario)]


def scenario_logic(contents: Contents) -> list[Block]:
    options = contents.options
    if not options:
        return [Para("No changed shop was run: the base alone.")]
    return [
        Lines(tuple(option["differs"]) or ("nothing that the file holds",), name) for name, option in options.items()
    ]


def algorithms(contents: Contents) -> list[Block]:
    return [Lines(tuple(algorithms_in_words(contents.shop.scenario)))]


def entities(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    rows = [
        ("order", "what a customer asks for at once", ("receipt, due date, rush or not, priority, new or repeated "
                                                      "artwork, lines, when it would be cancelled")),
        ("order line", "pieces of one product and size", "product, pieces, width, height"),
        ("bundle", "pieces of a line that move together", "pieces, make (first or again), faults nobody has seen yet"),
    ]  # fmt: skip
    if any(product.print_step for product in scenario.products):
        rows.append(
            ("print run", "pieces of one cloth and mode on one web", "pieces as laid out, metres, printer, roll")
        )
        rows.append(("roll", "cloth on a printer or shelf", "fabric, metres left, lot"))
    products = [
        (each.id.replace("_", " "), each.fabric or "brought in", _sizes(scenario, each.id), str(each.bundle_pieces),
         str(each.priority))
        for each in scenario.products
    ]  # fmt: skip
    return [
        table("", ("entity", "is", "is known of it"), rows, left=(0, 1, 2)),
        table("Products", ("product", "fabric", "sizes, m", "pieces a bundle", "priority"), products, left=(0, 1, 2)),
    ]


def activities(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    rows = [(each.id.replace("_", " "), route_words(scenario, each)) for each in scenario.products]
    return [
        table("Routes", ("product", "steps in order"), rows, left=(0, 1)),
        *_other_work(scenario),
    ]  # fmt: skip


def _other_work(scenario: Scenario) -> Iterator[Para]:
    """Work for people that is no step of a route."""
    printers = ("roll changes", "warm-up", "nozzle checks and cleaning", "first articles", "short stops", "care",
                "watching running machines")  # fmt: skip
    breaks = any(each.breakdowns for each in scenario.printers) or any(each.stops for each in scenario.work_centres)
    found = [
        *(["artwork checks"] if scenario.demand.artwork is not None else []),
        *(printers if scenario.printers else ()),
        *(["repairs"] if breaks else []),
        *(["order checks"] if scenario.policies.dispatch.order_check_at is not None else []),
    ]
    if found:
        yield Para(f"Work for people besides: {listed(found)}, as far as the values in 3.3 ask for them.")


def resources(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    machines = [
        (name_of(each.id), "1", "printing", ", ".join(hands_of(scenario, PRINTING))) for each in scenario.printers
    ]
    drums = [
        (name_of(each.id), str(each.count), "fixing", ", ".join(hands_of(scenario, skill_for_calenders(scenario))))
        for each in scenario.calenders
    ]
    places = [
        (name_of(each.id), str(each.seats), each.kind, ", ".join(hands_of(scenario, each.needed_skill)))
        for each in scenario.work_centres
    ]
    crews = [
        (name_of(each.id), str(each.count), _skills(each),
         name_of(each.shift), f"{each.efficiency_pct:g}")
        for each in scenario.crews
    ]  # fmt: skip
    shifts = [
        (name_of(each.id), "round the clock" if each.round_the_clock else hours_in_words(each.weeks))
        for each in scenario.shifts
    ]
    return [
        table("Machines and places", ("", "how many", "for", "crews able to work there"),
              [*machines, *drums, *places], left=(0, 2, 3)),
        table("Crews", ("", "people", "skills and levels, home skill first", "shift", "efficiency, %"), crews,
              left=(0, 2, 3)),
        table("Shifts", ("", "hours"), shifts, left=(0, 1)),
        Para(f"Lifts: {scenario.policies.lifts}. People, seat and lift are taken all at once or not at all."),
    ]  # fmt: skip


def queues(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    rows = [(name_of(each.id), queue_words(each.queue_rule),
             "" if each.interrupted_by == "nothing" else f"interrupted by {name_of(each.interrupted_by)} work",
             "" if each.room_before_bundles is None else f"room for {each.room_before_bundles} bundles")
            for each in scenario.work_centres]  # fmt: skip
    if scenario.printers:
        rows.insert(0, ("printers", print_queue(scenario), "", ""))
    lists = [f"{name_of(each.at)}: a list of {len(each.orders):,} orders, strictly in turn"
             for each in scenario.policies.sequences]  # fmt: skip
    blocks: list[Block] = [
        Para(
            "In every line: machines standing still first, then pieces made "
            f"again{'' if scenario.policies.printing.reprints_first else ' (switched off here)'}, then rush "
            f"orders{'' if scenario.policies.printing.rush_first else ' (switched off here)'}, then classes of "
            "priority from 1 to 9; within a class the rule of the place; equals in order of arrival. What is left "
            "at the end of a shift stays on its seat, first in line. Nobody gives up waiting; orders may be "
            "cancelled."
        ),
        table("", ("line before", "ranked", "", ""), rows, left=(0, 1, 2, 3)),
    ]
    return [*blocks, *([Lines(tuple(lists), "Planner's lists")] if lists else [])]


def entry_and_exit(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    rule = scenario.policies.dispatch
    at_once = scenario.policies.orders_at_once
    blocks: list[Block] = [Para(text) for text in arrivals(scenario)]
    if at_once is not None:
        full = "turned away" if at_once.when_full == "turn_away" else "held back until a place is free"
        blocks.append(Para(f"At most {at_once.most} orders are in the shop at once; the next is {full}."))
    leave = (
        "the minute it is complete"
        if rule.at_once
        else f"with the collection at {rule.cut_off} on {', '.join(rule.days)}"
    )
    blocks.append(Para(
        f"An order leaves {leave}. One that is cancelled leaves then. What is lost leaves as scrap and is made again. "
        "What is still inside at the end is counted as inside."
    ))  # fmt: skip
    return blocks


def _skills(crew: Crew) -> str:
    return ", ".join(f"{name_of(skill)} {level}" for skill, level in crew.skills.items())


def _sizes(scenario: Scenario, product: str) -> str:
    found = scenario.by_id("products")[product]
    if found.size_range is not None:
        ratio = found.size_range.width_over_height.describe()
        return f"area {found.size_range.area_m2.describe()} m², width over height {ratio}"
    total = sum(size.share for size in found.sizes)
    return ", ".join(f"{size.width_m:g} × {size.height_m:g} ({size.share / total * 100:.0f} %)" for size in found.sizes)
