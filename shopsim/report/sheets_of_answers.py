"""Rows of the workbook from the documents of the answers."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping
from typing import Any

from shopsim.answers.crew import heads_listed
from shopsim.answers.finished import Finished
from shopsim.answers.question import AS_IT_STANDS
from shopsim.measures.measure_names import unit_of
from shopsim.report.contents import Contents
from shopsim.shop.what_if_words import unit_of as unit_of_value

Row = tuple[Any, ...]
Bounds = Mapping[str, Any]


def answers(contents: Contents) -> Iterator[Row]:
    """question, kind, asked, sentence, below, settled, replications, confidence, command."""
    for number, answer in _numbered(contents):
        about, found = answer.about, answer.document
        told = (found.get("settled"), found.get("replications"), found.get("confidence"))
        yield (
            number,
            about["kind"],
            about["question"],
            found["sentence"],
            found["below"],
            *told,
            shlex.join(about["command"]),
        )


def options(contents: Contents) -> Iterator[Row]:
    """question, option, change or note, which of them."""
    for number, answer in _numbered(contents):
        for name, option in answer.about["options"].items():
            yield from ((number, name, change, "change") for change in option["differs"])
            yield from ((number, name, note, "note") for note in option["notes"])


def measures(contents: Contents) -> Iterator[Row]:
    """question, option, measure, unit, mean, low, high, replications."""
    for number, answer in _numbered(contents):
        document = answer.document
        shops = document.get("options", {})
        if answer.about["kind"] == "as_we_are":
            shops = {AS_IT_STANDS: document}
        for name, shop in shops.items():
            for measure, found in shop.get("measures", {}).items():
                yield (number, name, measure, found["unit"], *_ends(found), shop["replications"])


def differences(contents: Contents) -> Iterator[Row]:
    """question, option, measure, unit, mean, low, high, variance reduction with its low and high end."""
    for number, answer in _numbered(contents):
        for name, each in answer.document.get("differences", {}).items():
            for measure, found in each.items():
                saved = (found[f"variance_reduction{end}"] for end in ("", "_low", "_high"))
                yield (number, name, measure, found["unit"], *_ends(found), *saved)


_OF_PAYBACK = {
    "gain_cu_per_year": "CU/year", "npv_cu": "CU", "payback_years": "years", "irr_pct": "%",
    "breaks_even_at_demand": "1", "orders_won_needed_pct": "%",
}  # fmt: skip


def replications(contents: Contents) -> Iterator[Row]:
    """question, option, replication, measure, unit, value; what could not be measured is left out."""
    for number, answer in _numbered(contents):
        for option, found in answer.by_run.items():
            for measure, values in found.items():
                unit = _OF_PAYBACK.get(measure) or unit_of(measure)
                yield from ((number, option, run, measure, unit, value) for run, value in enumerate(values)
                            if value is not None)  # fmt: skip


def hours(contents: Contents) -> Iterator[Row]:
    """question, kind, id, state, share."""
    for number, answer in _numbered(contents):
        for one in answer.document.get("resources", []):
            yield from ((number, one["kind"], one["id"], state, share) for state, share in one["states"].items())


def crews(contents: Contents) -> Iterator[Row]:
    """question, heads, pay, mean, low and high of the share on time, replications."""
    for number, answer in _numbered(contents, "crew"):
        for each in answer.document["crews"]:
            yield (
                number,
                heads_listed(each["heads"]),
                each["pay_per_week"],
                *_ends(each["on_time_share"]),
                each["replications"],
            )


def curves(contents: Contents) -> Iterator[Row]:
    """question, option, demand, measure, unit, mean, low, high, replications."""
    for number, answer in _numbered(contents, "growth"):
        for name, option in answer.document["options"].items():
            for point in option["curve"]:
                for measure, found in point.items():
                    if isinstance(found, Mapping):
                        yield (number, name, point["demand"], measure, unit_of(measure), *_ends(found),
                               point["replications"])  # fmt: skip


def breaks(contents: Contents) -> Iterator[Row]:
    """question, option, target, mean, low and high of the demand, headroom, what holds back."""
    for number, answer in _numbered(contents, "growth"):
        for name, option in answer.document["options"].items():
            yield (number, name, answer.document["target"], *_ends(option["breaks_at"]),
                   option["headroom_m2_per_week"]["mean"], option["held_back_by"])  # fmt: skip


def worth(contents: Contents) -> Iterator[Row]:
    """question, option, quantity, of what, share below, unit, mean, low, high; only results have an interval."""
    for number, answer in _numbered(contents, "payback"):
        document = answer.document
        option = document["option"]
        for name, unit in (
            ("gain_cu_per_year", "CU/year"), ("npv_cu", "CU"), ("pays_back_after_years", "years"),
            ("discounted_pays_back_after_years", "years"), ("breaks_even_at_demand", "1"), ("orders_won_needed", "1"),
            ("npv_without_orders_won_cu", "CU"),
        ):  # fmt: skip
            yield (number, option, name, "result", None, unit, *_ends(document[name]))
        for name, value in document["inputs"].items():
            yield (number, option, name, "input", None, _unit_of_input(name), value, None, None)
        for kind, named in (("luck", "luck"), ("doubt", "doubt"), ("with_doubt", "doubt and luck")):
            for name, shares in document[kind]["below"].items():
                for share, value in shares.items():
                    yield (number, option, name, named, float(share), _unit_of_input(name), value, None, None)


def cash(contents: Contents) -> Iterator[Row]:
    """question, option, year, flow."""
    for number, answer in _numbered(contents, "payback"):
        for year, flow in enumerate(answer.document["flows_cu"]):
            yield (number, answer.document["option"], year, flow)


def doubts(contents: Contents) -> Iterator[Row]:
    """question, input, unit, low, high, now, whether it matters, unit, mean, low and high of its effect."""
    for number, answer in _numbered(contents, "sensitivity"):
        document = answer.document
        effect_unit = "1" if document["method"] == "sobol" else unit_of(document["measure"])
        for one in document["inputs"]:
            effect = one.get("swing") or one.get("mean_absolute_effect") or one.get("total_order") or {}
            unit = unit_of_value(one["path"].rpartition(".")[2], "CU") or "1"
            yield (number, one["path"], unit, one["low"], one["high"], one["now"], one["matters"], effect_unit,
                   *_ends(effect))  # fmt: skip


def matches(contents: Contents) -> Iterator[Row]:
    """question, figure, unit, happened, mean, low and high of the runs, difference, outcome."""
    for number, answer in _numbered(contents, "match"):
        for one in answer.document["figures"].values():
            yield (number, one["about"], one["unit"], one["happened"], *_ends(one["runs"]), one["difference"]["mean"],
                   one["outcome"])  # fmt: skip


def promises(contents: Contents) -> Iterator[Row]:
    """question, order, due, mean, low and high of the chance, what it waits for and how long."""
    for number, answer in _numbered(contents, "promise"):
        for one in answer.document["orders"]:
            waits = one["waits_for"] or {"reason": "", "place": None, "mean_h": None}
            told = " at ".join(part for part in (waits["reason"], waits["place"]) if part)
            yield (number, one["order"], one["due"], *_ends(one["chance"]), told, waits["mean_h"])


def rest_times(contents: Contents) -> Iterator[Row]:
    """question, option, date, shift, crew, people, kind, row, finding, found, required."""
    for number, answer in _numbered(contents, "shifts"):
        for name, findings in answer.document["rest_times"].items():
            for one in findings:
                kind = "rule" if one["rule"] else "advice"
                told = f"{one['what']}: {one['reason']}" if one["reason"] else one["what"]
                for crew, people in zip(one["crews"], one["crew_sizes"], strict=True):
                    yield (number, name, one["date"], one["shift"], crew, people, kind, one["row"], told, one["found"],
                           one["required"])  # fmt: skip


def _numbered(contents: Contents, kind: str = "") -> Iterator[tuple[int, Finished]]:
    for number, answer in enumerate(contents.answers, start=1):
        if not kind or answer.about["kind"] == kind:
            yield number, answer


def _ends(found: Bounds) -> tuple[Any, Any, Any]:
    return found.get("mean"), found.get("low"), found.get("high")


def _unit_of_input(name: str) -> str:
    for ending, unit in (("_cu_per_h", "CU/h"), ("_cu", "CU"), ("_years", "years"), ("_pct", "%"), ("_weeks", "weeks"),
                         ("_h", "h"), ("pct_per_year", "% a year")):  # fmt: skip
        if name.endswith(ending):
            return unit
    return "1"
