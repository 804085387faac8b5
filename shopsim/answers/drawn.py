"""The pictures of an answer, from what was found: figures as plain values, each with the same in words."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from shopsim.shop.names import names_in, names_of

if TYPE_CHECKING:
    from shopsim.shop.scenario import Scenario
    from shopsim.studies.fit_shop import ShopFit
    from shopsim.studies.replicate import Replications

Document = dict[str, Any]
_MEASURES = (
    ("on_time_share", "orders on time", "points", 100.0),
    ("lead_time_p90_h", "days until nine in ten are out", "days", 1 / 24),
    ("margin_per_week", "what is left over", "", 1.0),
)


@dataclass(frozen=True, slots=True)
class Drawn:
    """A Plotly figure as plain values, under a short name, and what it shows in words."""

    name: str
    figure: dict[str, Any]
    words: str


def drawn(name: str, figure: Any, words: str) -> Drawn:
    """A figure as plain values."""
    return Drawn(name, json.loads(figure.to_json()), words)


def of_run(found: Replications) -> Iterator[Drawn]:
    """How the shop does: hours of printers, places and people, lead times, work inside, why late, waste."""
    from shopsim.pictures import run_tables as tables
    from shopsim.pictures.in_shop import orders_in_shop, orders_in_shop_in_words
    from shopsim.pictures.lead_time import lead_time_curve, lead_time_curve_in_words
    from shopsim.pictures.time_split import time_split, time_split_in_words
    from shopsim.pictures.waste import waste_by_cause, waste_by_cause_in_words
    from shopsim.pictures.why_late import why_late, why_late_in_words

    lead = tables.lead_table(found)
    promised = tables.usual_promise(found)
    yield drawn("lead time", lead_time_curve(lead, promised), lead_time_curve_in_words(lead, promised))
    late = tables.why_late_table(found)
    yield drawn("why late", why_late(late), why_late_in_words(late))
    split = tables.split_table(found)
    split["id"] = names_in(found.scenario, split["id"])
    for kind, name in (("printer", "printers"), ("place", "places"), ("crew", "crews")):
        if (split["kind"] == kind).any():
            yield drawn(name, time_split(split, kind), time_split_in_words(split, kind))
    inside = tables.in_shop_table(found)
    about = found.scenario
    first = about.shop.starts + timedelta(minutes=about.warm_up_min)
    yield drawn("work in the shop", orders_in_shop(inside, first), orders_in_shop_in_words(inside, first))
    waste = tables.waste_table(found)
    if len(waste):
        yield drawn("cloth", waste_by_cause(waste), waste_by_cause_in_words(waste))


def of_comparison(document: Document, currency: str) -> Iterator[Drawn]:
    """What each option changes, in the measures most asked for."""
    from shopsim.pictures.answer_tables import difference_table
    from shopsim.pictures.differences import differences, differences_in_words

    for measure, words, unit, scale in _MEASURES:
        table = difference_table(document, measure)
        if len(table) and table["mean"].notna().any():
            said = unit or f"{currency} a week"
            yield drawn(words, differences(table, words, said, scale), differences_in_words(table, words, said, scale))


def of_patterns(document: Document, target: float, currency: str) -> Iterator[Drawn]:
    """Cost of each pattern against dates."""
    from shopsim.pictures.answer_tables import pattern_table
    from shopsim.pictures.cost_and_dates import shift_patterns, shift_patterns_in_words

    table = pattern_table(document)
    words = shift_patterns_in_words(table, target, currency)
    yield drawn("cost and dates", shift_patterns(table, target, currency), words)


def of_crews(document: Document, scenario: Scenario) -> Iterator[Drawn]:
    """Pay of each crew against dates."""
    from shopsim.pictures.answer_tables import crew_table
    from shopsim.pictures.cost_and_dates import crew_frontier, crew_frontier_in_words

    table, target = crew_table(document, names_of(scenario)), document["target"]
    currency = scenario.money.currency
    yield drawn("crews", crew_frontier(table, target, currency), crew_frontier_in_words(table, target, currency))


def of_growth(document: Document) -> Iterator[Drawn]:
    """On time against demand, with the breaks."""
    from shopsim.pictures.answer_tables import growth_tables
    from shopsim.pictures.growth import on_time_against_demand, on_time_against_demand_in_words

    tables, target = growth_tables(document), document["target"]
    words = on_time_against_demand_in_words(*tables, target)
    yield drawn("on time against demand", on_time_against_demand(*tables, target), words)


def of_promise(document: Document) -> Iterator[Drawn]:
    """The chance of a request over the days, and when open orders leave."""
    from shopsim.pictures.answer_tables import chance_table, range_table
    from shopsim.pictures.promise import chance_by_day, chance_by_day_in_words, date_ranges, date_ranges_in_words

    chances, chance = chance_table(document), document["chance"]
    if len(chances):
        yield drawn("chance by day", chance_by_day(chances, chance), chance_by_day_in_words(chances, chance))
    ranges = range_table(document)
    yield drawn("open orders", date_ranges(ranges), date_ranges_in_words(ranges))


def of_payback(document: Document, npv_cu: tuple[float, ...], payback_years: tuple[float, ...],
               currency: str) -> Iterator[Drawn]:  # fmt: skip
    """What a year leaves over, worth and years with doubt about the inputs, and which input matters most."""
    import pandas as pd

    from shopsim.pictures.answer_tables import payback_tornado_table, year_table
    from shopsim.pictures.differences import differences, differences_in_words
    from shopsim.pictures.payback import npv_spread, npv_spread_in_words, payback_spread, payback_spread_in_words
    from shopsim.pictures.tornado import tornado, tornado_in_words

    worth, years = pd.DataFrame({"npv_cu": npv_cu}), pd.DataFrame({"payback_years": payback_years})
    year, said = year_table(document), f"{currency} a year"
    yield drawn("a year", differences(year, "money", said), differences_in_words(year, "money", said))
    yield drawn("years", payback_spread(years, document["inputs"]["life_years"]), payback_spread_in_words(years))
    bars = payback_tornado_table(document, currency)
    yield drawn("worth", npv_spread(worth, currency), f"{npv_spread_in_words(worth, currency)} {_cases(len(bars) > 0)}")
    if len(bars):
        now, words = document["npv_cu"]["mean"], f"net present value, {currency}"
        yield drawn("what matters", tornado(bars, words, now), tornado_in_words(bars, words, now))


def _cases(doubt: bool) -> str:
    """In what the cases of the spread differ."""
    if doubt:
        return "Cases differ both by luck and by doubt about the inputs; with doubt alone they lie closer together."
    return "Cases differ by luck alone."


def of_sensitivity(document: Document) -> Iterator[Drawn]:
    """What each input does to the measure: one at a time over its range, or its effects or shares of the variance."""
    from shopsim.measures.measure_names import scale_of
    from shopsim.pictures.answer_tables import sensitivity_tornado_table, weight_table
    from shopsim.pictures.input_weights import input_weights, input_weights_in_words
    from shopsim.pictures.tornado import tornado, tornado_in_words
    from shopsim.sentences.comparison import measure_words
    from shopsim.sentences.doubting import unit_of_levels, unit_of_steps

    measure, method = document["measure"], document["method"]
    scale, of = scale_of(measure), measure_words(measure)
    if method == "bars":
        table, now = sensitivity_tornado_table(document), document["without_doubt"]["mean"]
        said = _with_unit(of, unit_of_levels(measure))
        words = f"{tornado_in_words(table, said, now, scale)}{_may_be_luck(document)}"
        yield drawn("what matters", tornado(table, said, now, scale), words)
        return
    if method == "morris":
        said = _with_unit(f"effect on {of} over a whole range", unit_of_steps(measure))
    else:
        said, scale = f"share of the variance of {of}, with others, %", 100.0
    table = weight_table(document)
    yield drawn("what matters", input_weights(table, said, scale), input_weights_in_words(table, said, scale))


def _with_unit(words: str, unit: str) -> str:
    return f"{words}, {unit}" if unit else words


def _may_be_luck(document: Document) -> str:
    """The inputs of bars that the runs cannot tell from luck."""
    from shopsim.pictures.text import spoken_id

    names = [spoken_id(each["path"]) for each in document["inputs"] if not each["matters"]]
    return f" What may be luck: {', '.join(names)}." if names else ""


def of_settling(document: Document) -> Iterator[Drawn]:
    """Orders in the shop from an empty start with Welch's curve, and what to leave out."""
    from shopsim.pictures.answer_tables import settling_table
    from shopsim.pictures.in_shop import settling, settling_in_words

    table, weeks = settling_table(document), document["warm_up_weeks"]
    yield drawn("settling", settling(table, weeks), settling_in_words(table, weeks))


def of_fit(fit: ShopFit) -> Iterator[Drawn]:
    """Each distribution that was chosen, against the values it was fitted to."""
    import pandas as pd

    from shopsim.pictures.fits import quantiles_against, quantiles_against_in_words
    from shopsim.studies.fit_samples import points_of

    for one in fit.fitted:
        points = points_of(one.sample) if one.sample is not None else []
        if one.sample is None or not points:
            continue
        table = pd.DataFrame(points, columns=["fitted", "measured"])
        unit = one.sample.unit
        words = f"{quantiles_against_in_words(table, one.about, unit)} {one.how[0].upper()}{one.how[1:]}."
        if one.sample.running:
            words += f" {len(one.sample.running)} still running at the end of the log, counted as cut off."
        yield drawn(one.about, quantiles_against(table, one.about, unit), words)


def of_match(document: Document) -> Iterator[Drawn]:
    """What happened against the runs: every figure, lead times quantile by quantile, weeks with their band."""
    from shopsim.pictures import matching
    from shopsim.pictures.match_tables import figure_table, lead_table, week_tables

    figures = figure_table(document)
    yield drawn("figures", matching.figures_matched(figures), matching.figures_matched_in_words(figures))
    lead = lead_table(document)
    yield drawn("lead times", matching.lead_times_matched(lead), matching.lead_times_matched_in_words(lead))
    for name, unit, table in week_tables(document):
        words = matching.weeks_matched_in_words(table, name, unit)
        yield drawn(name, matching.weeks_matched(table, name, unit), words)
