"""Money of all answers in one place: what the shop earns and spends, what changes cost and bring."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.answers.crew import heads_listed
from shopsim.answers.finished import Finished
from shopsim.figures import plain
from shopsim.measures.measure_names import MEANINGS, UNITS
from shopsim.report.blocks import Block, Para, Section, Table, table
from shopsim.report.contents import Contents
from shopsim.report.first_page import how_it_stands
from shopsim.report.told import NOTHING, Bounds, step, told, told_by, unit_in

_SIDES = ("revenue_per_week", "cost_per_week", "margin_per_week")
_MEASURES = tuple(name for name, unit in UNITS.items() if "CU" in unit)


def money_section(contents: Contents) -> Section:
    """The section; with what money leaves out."""
    blocks: list[Block] = list(_tables(contents))
    blocks.append(Para(
        f"Prices, wages and interest are those of the file, in {contents.currency}; what it leaves out is the "
        "trade handbook's (see what was assumed). Taxes and financing are left out but where a question gives them.",
    ))  # fmt: skip
    return Section("money", "Money", tuple(blocks))


def _tables(contents: Contents) -> Iterator[Table]:
    stands = how_it_stands(contents)
    if stands is not None:
        measures, confidence, _ = stands
        rows = [
            (_meaning(name), told(measures[name], name), unit_in(name, contents.currency))
            for name in _MEASURES
            if name in measures
        ]
        yield table(
            "As it stands", ("", f"mean ({confidence * 100:g} % interval)", ""), rows, left=(0, 2),
        )  # fmt: skip
    for number, answer in enumerate(contents.answers, start=1):
        if "differences" in answer.document:
            yield _differences(answer, number, contents.currency)
        if answer.about["kind"] == "payback":
            yield _worth(answer, number, contents.currency)
        if answer.about["kind"] == "crew":
            yield _pay(answer, number, contents.currency)


def _differences(answer: Finished, number: int, currency: str) -> Table:
    document = answer.document
    rows = [
        (option if name == _SIDES[0] else "", _meaning(name), step(each[name]), unit_in(name, currency))
        for option, each in document["differences"].items()
        for name in _SIDES
    ]
    return table(
        f"Against the shop as it stands (question {number})",
        ("", "", f"change ({document['confidence'] * 100:g} % intervals, all at once)", ""), rows,
        "Buying a machine is in the cost as its write-off over its life.", left=(0, 1, 3),
    )  # fmt: skip


_DOUBTS = (("doubt", "% of cases by doubt about inputs"), ("with_doubt", "% of cases by both"))


def _worth(answer: Finished, number: int, currency: str) -> Table:
    document = answer.document
    inputs, orders = document["inputs"], document["orders_per_week"]
    training = inputs["training_h"] * inputs["training_cu_per_h"]
    rows = [
        ("Paid at the start", plain(inputs["once_cu"] + training), currency),
        *([("  of it training", plain(training), currency)] if training else []),
        ("Worth at the end", plain(inputs["resale_cu"]), currency),
        ("In use", plain(inputs["life_years"]), "years"),
        ("Discount rate", plain(inputs["discount_pct"]), "% a year"),
        ("Orders, first year", plain(orders["then"]), f"a week, {plain(orders['today'])} as it stands"),
        ("Gain", told_by(document["gain_cu_per_year"]), f"{currency} a year"),
        ("Net present value", told_by(document["npv_cu"]), currency),
        *([("  without the orders won", told_by(document["npv_without_orders_won_cu"]), currency)]
          if inputs["orders_won_pct"] else []),
        ("Has paid back after", *_crossing(document["pays_back_after_years"], 1, "years", "not within {} years", "")),
        ("Pays from demand", *_crossing(document["breaks_even_at_demand"], 100, "% of today's",
                                        "not up to {} % of today's", "even at {} % of today's")),
        ("Pays from orders won", *_crossing(document["orders_won_needed"], 100, "% of today's",
                                            "not up to {} % of today's", "needs none")),
        ("Has paid back within its life", _share(document["luck"]["share_paid_back"]), "% of cases by luck"),
        *([("", _share(document[kind]["share_paid_back"]), words) for kind, words in _DOUBTS]
          if document["tornado"] else []),
    ]  # fmt: skip
    return table(f"{document['option']} (question {number})", ("", "mean (interval)", ""), rows, left=(0, 2))


def _crossing(root: Bounds, scale: float, unit: str, later: str, before: str) -> tuple[str, str]:
    """Where a mean crosses nothing, with its unit; in words where it crosses outside what was tried."""
    first, last = root["tried"]
    if root["mean"] is not None:
        return told_by(root, scale), unit
    if root["beyond"] > 0 and root["low"] == last:
        return later.format(plain(last * scale)), ""
    if root["beyond"] < 0 and root["high"] == first:
        return before.format(plain(first * scale)), ""
    return "cannot be told", ""


def _share(paid_back: float | None) -> str:
    return NOTHING if paid_back is None else f"{paid_back * 100:.0f}"


def _pay(answer: Finished, number: int, currency: str) -> Table:
    rows = [
        (heads_listed(each["heads"]).replace("_", " "), plain(each["pay_per_week"]),
         told(each["on_time_share"], "on_time_share"))
        for each in answer.document["crews"]
    ]  # fmt: skip
    return table(f"Crews (question {number})", ("", f"pay, {currency} a week", "on time, % (interval)"), rows)


def _meaning(name: str) -> str:
    return MEANINGS[name].partition(";")[0]
