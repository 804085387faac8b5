"""Shifts beside minimum rules and guidance on rest, with what would help. Local law and agreements rule."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.craft.shift_guidance import EARLY_START, IF_NIGHT_WORKERS, INSIDE_THE_WEEK
from shopsim.shop.rest_words import asked_words, found_words, who
from shopsim.shop.review.finding import Finding, named
from shopsim.shop.review.paper import Paper
from shopsim.shop.shift_breaches import WITH_OVERTIME, WITHOUT_END, RestFinding, rest_findings

_ASK = "ask a competent person: local law and agreements rule"
_HELP = {
    "daily rest": "begin {:g} h later or end {:g} h earlier between these shifts",
    "break": "plan {:g} min more of break into the shift",
    "weekly rest": "a longer rest once a week: {:g} h are missing",
    INSIDE_THE_WEEK: "{:g} h more of the rest before Sunday midnight, where weeks are judged one by one",
    "weekly hours": "{:g} h a week less on average",
    "night hours on average": "{:g} h less a night shift on average",
    "night shift": "a night shift shorter by {:g} h where the work is heavy or hazardous",
    IF_NIGHT_WORKERS: "settle who counts as a night worker; if they do, a night shift shorter by {:g} h",
    "long shift": "a shift shorter by {:g} h",
    "long night": "a night shift shorter by {:g} h",
    EARLY_START: "begin at 06:00 or later",
    "quick return": "{:g} h more between these two shifts",
    "nights of sleep at a change": "two nights of sleep between nights and other shifts",
    "in a row": "rotate sooner, forward: early, late, night",
}


def look(paper: Paper) -> Iterator[Finding]:
    """One finding a grade and what was found; shifts alike share it. Dates stand in the table of rest times."""
    groups: dict[tuple[str, str], list[RestFinding]] = {}
    for each in rest_findings(paper.scenario):
        kind = "rest_below_rule" if each.rule else "rest_against_guidance"
        if each.what.endswith(WITH_OVERTIME):
            kind = "rest_with_overtime"
        groups.setdefault((kind, each.shift), []).append(each)
    alike: dict[tuple[str, str], list[RestFinding]] = {}
    for (kind, _), found in groups.items():
        alike.setdefault((kind, "; ".join(map(_told, _worst(found)))), []).extend(found)
    for (kind, told), found in alike.items():
        shifts = list(dict.fromkeys(each.shift for each in found))
        crews = list(dict.fromkeys(crew for each in found for crew in who(each)))
        worst = _worst(found)
        yield Finding(
            kind, f"shift{'s' if len(shifts) > 1 else ''} {named(shifts)}", f"{told}; crews: {named(crews)}",
            "; ".join([*dict.fromkeys(_help(each) for each in worst), _ASK]),
            ", ".join(dict.fromkeys(each.row for each in worst)), len(found),
        )  # fmt: skip


def _worst(found: list[RestFinding]) -> list[RestFinding]:
    """Of each kind of breach the one farthest from what is asked."""
    worst: dict[str, RestFinding] = {}
    for each in found:
        known = worst.get(each.what)
        if known is None or _gap(each) > _gap(known):
            worst[each.what] = each
    return list(worst.values())


def _gap(each: RestFinding) -> float:
    return 0.0 if each.required is None else abs(each.required - each.found)


def _told(each: RestFinding) -> str:
    what = each.what.removesuffix(WITH_OVERTIME)
    if what.endswith(WITHOUT_END):
        return what
    if what == "break":
        return each.reason
    if what == EARLY_START:
        return f"start at {found_words(each)}"
    told = f"{what} {found_words(each)}, {asked_words(each)} asked"
    return f"{told} ({each.reason})" if each.reason else told


def _help(each: RestFinding) -> str:
    what = each.what.removesuffix(WITH_OVERTIME).removesuffix(WITHOUT_END)
    text = _HELP.get(what) or _HELP["in a row"]
    if what == "break" and each.required is None:
        text = "plan a break into the shift"
    gap = float(f"{_gap(each) * (60 if what == 'break' else 1):.3g}")
    less = "less overtime, or " if each.what.endswith(WITH_OVERTIME) else ""
    return less + text.format(gap, gap)
