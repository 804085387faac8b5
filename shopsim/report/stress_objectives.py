"""STRESS-DES 1.1 to 1.3: purpose, outputs, aims."""

from __future__ import annotations

from shopsim.measures.measure_names import MEANINGS, UNITS, base_name
from shopsim.report.blocks import Block, Lines, Open, Para, table
from shopsim.report.contents import Contents
from shopsim.report.first_page import how_it_stands
from shopsim.report.logic_words import does_in_words
from shopsim.report.told import unit_in


def purpose(contents: Contents) -> list[Block]:
    about = contents.shop.scenario.shop
    blocks: list[Block] = [
        Para(
            f"A discrete-event simulation of {about.name}, a shop that {does_in_words(contents.shop.scenario)}, order "
            "by order and day by day. It is to tell whether orders go out on time, what holds the shop back, and what "
            "a change would do, each with how sure that is."
        )
    ]
    if about.note:
        blocks.append(Para(f"The file says of the shop: {about.note}"))
    blocks.append(Open("Who asked for this study, why now, and which decision waits for it."))
    return blocks


def outputs(contents: Contents) -> list[Block]:
    stands = how_it_stands(contents)
    names = {base_name(name) for name in stands[0]} if stands else set(UNITS)
    rows = [(name, unit_in(name, contents.currency), MEANINGS[name]) for name in UNITS if name in names]
    confidence_pct = contents.shop.scenario.study.confidence_pct
    return [
        Para(
            "Each is worked out after a run, from its records (a row for every stretch of work, every span of a "
            "machine, place and person, every roll, every order), clipped to the weeks that count. One number a "
            f"replication; the mean over replications has a Student interval of {confidence_pct:g} % confidence "
            "unless told otherwise (A. M. Law, Simulation Modeling and Analysis, 5th ed., sections 4.5 and "
            "9.4.1). Differences are paired, as replication k of every option meets the same orders."
        ),
        table("Measures", ("name", "unit", "meaning"), rows, left=(0, 1, 2)),
        Para(
            "What holds the shop back: of the resources active at a moment the one whose active period is longest "
            "(C. Roser, M. Nakano and M. Tanaka, Winter Simulation Conference 2001, 949–953, and 2002, 1079–1086)."
        ),
    ]


def aims(contents: Contents) -> list[Block]:
    asked = tuple(f"{number}. {each.about['question']}" for number, each in enumerate(contents.answers, start=1))
    blocks: list[Block] = [Lines(asked, "Questions")]
    kinds = {answer.about["kind"] for answer in contents.answers}
    rows = [
        (name, "; ".join(option["differs"]) or "nothing that the file holds", " ".join(option["notes"][:1]))
        for name, option in contents.options.items()
    ]
    if rows:
        blocks.append(table("(A) Scenarios", ("name", "changes", "noted"), rows, left=(0, 1, 2)))
    if "sensitivity" in kinds:
        blocks += [Para(f"(B) Design: {_design(each.document)}") for each in contents.of_kind("sensitivity")]
    if "crew" in kinds:
        blocks.append(Para(
            "(C) Search: the cheapest crew that meets the target, by the feasibility check of S. Andradóttir and S.-H. "
            "Kim (Naval Research Logistics 57, 2010, 403–421), runs spent on crews of which it is not clear yet."
        ))  # fmt: skip
    blocks.append(Open("Why these changes were chosen and not others."))
    return blocks


def _design(document: dict[str, object]) -> str:
    inputs = document["inputs"]
    assert isinstance(inputs, list)
    ranges = "; ".join(f"{each['path']} from {each['low']:g} to {each['high']:g}" for each in inputs)
    method = {"bars": "each input at both ends of its range", "morris": "elementary effects (M. D. Morris, "
              "Technometrics 33, 1991, "
              "161–174)", "sobol": "shares of the variance (A. Saltelli et al., Computer Physics "
              "Communications 181, 2010, 259–270)"}[str(document["method"])]  # fmt: skip
    return f"{method}; {ranges}; {document['points']} points of {document['replications']} replications."
