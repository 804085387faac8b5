"""How the model works, in paragraphs: those that apply to a shop, with its own numbers."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.report.flow_words import name_of
from shopsim.sentences.words import listed
from shopsim.shop.demand import Forecast
from shopsim.shop.printers import InlineFixation
from shopsim.shop.scenario import Scenario


def logic_in_words(scenario: Scenario) -> Iterator[str]:
    """A paragraph a part of the shop."""
    yield (
        "Time runs in minutes from the start Monday; shifts, breaks and closures are calendars, and work goes on "
        "only in open hours. All random numbers of an order are drawn before the clock starts, by order and "
        "piece, so that a changed shop meets exactly the same orders, faults and delays."
    )
    if scenario.demand.artwork is not None:
        yield ("An order is received, its artwork checked by a person, sent back where it is faulty, and approved "
               "by the customer; only then is it released.")  # fmt: skip
    if scenario.printers:
        yield from _printing(scenario)
    if scenario.calenders:
        yield "Printed rolls of printers without a plate lie to dry and then go over a calender, a roll at a time."
    yield (
        "Everything people do is a task that needs hands at a place: people, seat and lift are taken all at once. "
        "When a stretch of work starts its end is known: the task is done, the shift ends, or the machine fails. "
        "What is left at the end of a shift stays on its seat and goes on first, with the same person or another. "
        "Minutes follow from the geometry of the piece (perimeter, corners, area) where the file gives none."
    )
    yield from _faults(scenario)
    yield from _house_rules(scenario)


def steps_done(scenario: Scenario) -> set[str]:
    """The kinds of step that some product's route has, as files name them: `print`, `cut`, `sew`, ..."""
    return {step.op for product in scenario.products for step in product.route}


_DOES = (
    (("print",), "prints textiles by dye sublimation"), (("cut",), "cuts"), (("sew",), "sews"),
    (("eyelets", "iron", "rods", "frame_fit"), "finishes"), (("inspect",), "inspects"), (("pack",), "packs"),
)  # fmt: skip


def does_in_words(scenario: Scenario) -> str:
    """What a shop does: `prints textiles by dye sublimation, cuts, sews and packs`."""
    done = steps_done(scenario)
    return listed([words for steps, words in _DOES if done & set(steps)] or ["works off orders step by step"])


def _faults(scenario: Scenario) -> Iterator[str]:
    """Faults of the steps there are, whether they are seen, and what becomes of them."""
    quality, done = scenario.policies.quality, steps_done(scenario)
    chances = [
        text for step, text in (
            ("print", f"{quality.print_fault_pct:g} % in print"),
            ("cut", f"{quality.cut_loss_pct:g} % lost in cutting"),
            ("sew", f"{quality.sewing_fault_pct:g} % in sewing"),
        ) if step in done
    ]  # fmt: skip
    if not chances:
        return
    told = [f"Faults come by chance a piece: {', '.join(chances)}."]
    if "inspect" in done:
        told.append(f"Inspection misses {quality.missed_pct:g} % of them.")
    if {"sew", "inspect"} <= done:
        told.append(f"Sewing faults are mended in {quality.sewing_repaired_pct:g} % of cases.")
    start = "from the printer on" if "print" in done else "from the first step on"
    yield " ".join([*told, f"What is lost, or found and not mended, is made again {start}."])


def _printing(scenario: Scenario) -> Iterator[str]:
    rule = scenario.policies.printing
    window = (
        "" if rule.gang_window_days is None else f", due within {rule.gang_window_days:g} working days of each other"
    )
    yield (
        f"Pieces of one cloth and mode wait for each other until {rule.gang_min_web_m:g} m of web are together or the "
        f"oldest has waited {rule.gang_longest_wait_h:g} h, and are laid out on one web of at most "
        f"{rule.gang_max_web_m:g} m{window}. A printer keeps its cloth until other work has waited "
        f"{rule.stay_on_fabric_h:g} h ({name_of(rule.fabric_choice)})."
    )
    plates = [name_of(printer.id) for printer in scenario.printers if isinstance(printer.fixation, InlineFixation)]
    if plates:
        yield (
            f"Printing speed follows from mode and width of the image, and is held back by the plate of "
            f"{', '.join(plates)} (plate length over dwell). At the end of a run the web goes on until the last print "
            "has passed the plate; jobs on one web share that tail."
        )
    yield (
        "A roll is changed when it is too short or of another cloth, by people, with a lift where the file says "
        "so; cloth left over is kept above a length. Nozzles are checked and cleaned in steps, first articles "
        "approved, short stops and breakdowns come by running hours, care and service by the calendar."
    )
    alone = [name_of(printer.id) for printer in scenario.printers if printer.unattended_running]
    if alone:
        yield f"{', '.join(alone)} may go on with nobody there until a hand is needed (caution SAF-08)."


def _house_rules(scenario: Scenario) -> Iterator[str]:
    rules = scenario.policies
    for each in rules.overtime:
        yield (f"Overtime: {', '.join(map(name_of, each.crews))} stay up to {each.minutes:g} min when more than "
               f"{each.when_queue_h:g} h a person wait for them.")  # fmt: skip
    for one in rules.bought_in:
        yield (f"Work at {name_of(one.at)} is given out when more than {one.when_queue_h:g} h a seat wait; it is "
               f"back after {one.back_after_days.describe()} working days.")  # fmt: skip
    if rules.bought_in_print is not None:
        yield f"Whole lines are made outside when more than {rules.bought_in_print.when_queue_h:g} h a printer wait."


def algorithms_in_words(scenario: Scenario) -> Iterator[str]:
    """Methods inside the model, with where they are published."""
    forecast = scenario.demand.forecast
    if forecast is not None:
        yield _arrival_method(forecast)
    if scenario.printers:
        yield {
            "shelves": "Laying pieces on the web: shelves by decreasing height, first that fits (E. G. Coffman, "
                       "M. R. Garey, D. S. Johnson and R. E. Tarjan, SIAM Journal on Computing 9, 1980, 808–826).",
            "skyline": "Laying pieces on the web: best fit on the skyline (E. K. Burke, G. Kendall and G. "
                       "Whitwell, Operations Research 52, 2004, 655–671; S. C. H. Leung, D. Zhang and K. M. Sim, "
                       "European Journal of Operational Research 215, 2011, 57–69).",
        }[scenario.policies.printing.nesting]  # fmt: skip
        yield ("Printing speed: advance a pass (swath over passes) over the time of a stroke (image width and "
               "overscan over carriage speed, and turning), times the share achieved; or the rated area rate at "
               "its width.")  # fmt: skip
    if any(printer.breakdowns for printer in scenario.printers) or any(c.stops for c in scenario.work_centres):
        yield ("Breakdowns: times between failures by running hours or by the calendar from the distributions of "
               "3.3; as good as new after a repair; the kind of repair is drawn by its share.")  # fmt: skip
    if any(crew.absence for crew in scenario.crews):
        yield "Absence: a chance a person and planned day to fall ill, and a number of days away, drawn a person."
    yield ("Who works next: a place looks for crews able to work there, those whose home it is first, then the most "
           "skilled; a person without work looks at home first, then along the list of skills.")  # fmt: skip


def _arrival_method(forecast: Forecast) -> str:
    if forecast.evenly_spread:
        return "Arrivals: a Poisson stream of a constant rate."
    level = (
        f", times a level a day (gamma, mean 1) that makes counts {forecast.day_to_day_dispersion:g} times as "
        "scattered as Poisson ones"
    )
    return (
        "Arrivals: a Poisson stream whose rate changes by the hour, made by inverting its cumulative rate: orders "
        "a week, times the month's index, the weekday's share and the hour's "
        f"share{level if forecast.day_to_day_dispersion > 1 else ''}."
    )


def arrivals(scenario: Scenario) -> Iterator[str]:
    """How orders come into the model."""
    demand = scenario.demand
    if demand.order_book is not None:
        yield "Orders of the order book enter at the minute they were received."
    if demand.forecast is not None:
        starts = f" from {demand.forecast.starts.isoformat()} on" if demand.forecast.starts else ""
        yield f"Forecast orders enter{starts} at {demand.forecast.orders_per_week:g} a week on average (see 2.4)."
        for campaign in demand.forecast.campaigns:
            yield (f"Campaigns: {campaign.per_month:g} a month of {campaign.pieces.describe()} pieces of "
                   f"{name_of(campaign.product)}.")  # fmt: skip
    for fleet in demand.hire_fleets:
        yield (f"{fleet.pieces} pieces of {name_of(fleet.product)} are out on hire and come back after "
               f"{fleet.out_h.describe()} h.")  # fmt: skip
