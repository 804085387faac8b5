"""Which shift pattern to take, or what there is to weigh; rest-time findings are told with every answer."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopsim.figures import ALIKE, POINTS, Figure, figure, percent, plain, signed
from shopsim.sentences.turning_away import most_turned_away, turned_away
from shopsim.sentences.words import Answer, listed, more_or_less, opening, weeks_text
from shopsim.shop.names import quoted
from shopsim.shop.rest_words import THE_DIRECTIVE
from shopsim.shop.working_time import below_the_directive, rules_in_force
from shopsim.studies.precision import LEAST_PLANNED
from shopsim.studies.shift_patterns import LEFT_OVER, ON_TIME, Pattern, PatternAnswer

STANDING = (
    "Rest-time findings point out and decide nothing: local law, agreements and the works council or the people "
    "themselves have the last word; night and hot work follow the maker's manual and local codes."
)


def patterns_weighed(found: PatternAnswer) -> Answer:
    """The sentence on shift patterns."""
    return Answer(
        f"{_sentence(found)}.",
        " ".join(part for part in (_broken(found), _weaker(found), _runs(found), STANDING) if part),
    )


def _sentence(found: PatternAnswer) -> str:
    by_name = {pattern.name: pattern for pattern in found.patterns}
    target = f"{found.comparison.base.scenario.study.on_time_target_pct:g} %"
    if found.recommended is not None:
        chosen, said = by_name[found.recommended], _said(found.recommended)
        most = (
            "of those that leave no question open it surely sends most orders out on time, if not surely "
            f"{target} of them"
        )
        dates = f"it surely sends {target} of orders out on time" if found.meets else most
        several, may = len(found.meets) > 1, " or may" if found.may_meet else ""
        alone = f" and leaves most over of those that do{may}" if found.meets and (several or may) else ""
        return (
            f"{said[:1].upper()}{said[1:]} stands out: {dates}{alone} "
            f"({_numbers(chosen)}{_against_base(found, chosen)}), and breaks no rest-time rule{_of_the_file(chosen)}"
        )
    if all(pattern.breaks_rules for pattern in found.patterns):
        return "No pattern can be recommended: each breaks a rest-time rule"
    if not any(pattern.is_clear for pattern in found.patterns):
        return "No pattern can be recommended: each breaks a rest-time rule or leaves open what only others may decide"
    runs = found.comparison.runs
    if runs < LEAST_PLANNED:
        return f"No pattern is recommended from {runs} replications; at least {LEAST_PLANNED} are needed"
    names = found.meets or found.best_dates
    if found.leave_more:
        return _trade(found, by_name[names[0]], target)
    if len(names) == 1 and not found.meets:
        only = by_name[names[0]]
        return (
            f"No pattern can be recommended: only {_said(only.name)} leaves no question open, and it does not surely "
            f"send {target} of orders out on time ({_numbers(only)})"
        )
    open_ones = [name for name in found.best_money if name in found.may_meet] if found.meets else []
    if open_ones:
        return _as_cheap(found, open_ones, target)
    if len(found.best_money) > 1:
        dates = f"surely send {target} out on time" if found.meets else "may send most orders out on time"
        told = "; ".join(f"{_said(name)}: {_numbers(by_name[name])}" for name in found.best_money)
        best = listed(list(map(_said, found.best_money)))
        dearer = _dearer(found, [by_name[name] for name in names if name not in found.best_money])
        return f"No pattern stands out: {best} {dates} and cannot be told apart by money ({told}){dearer}"
    cheapest = by_name[found.best_money[0]] if found.best_money else None
    told = "; ".join(f"{_said(name)}: {_numbers(by_name[name])}" for name in names)
    money = f", of which {_said(cheapest.name)} surely leaves most over" if cheapest is not None else ""
    best = listed(list(map(_said, names)))
    return f"No pattern stands out: {best} may each send most orders out on time{money} ({told})"


def _as_cheap(found: PatternAnswer, open_ones: Sequence[str], target: str) -> str:
    """Who surely meets the target, and who may and leaves as much over, or more: runs can tell whether it does."""
    by_name = {pattern.name: pattern for pattern in found.patterns}
    beside = [name for name in found.meets if name in found.best_money]
    sure = beside or found.meets
    more = "and surely leaves more over" if len(open_ones) == 1 else "too, one of which surely leaves more over"
    may = "may too and may leave as much over" if beside else f"may {'too ' if len(open_ones) == 1 else ''}{more}"
    told = "; ".join(f"{_said(name)}: {_numbers(by_name[name])}" for name in (*sure, *open_ones))
    does = "surely sends" if len(sure) == 1 else "surely send"
    return (
        f"No pattern stands out: {listed(list(map(_said, sure)))} {does} {target} of orders out on time, "
        f"{listed(list(map(_said, open_ones)))} {may} ({told}); {_would_tell(found, open_ones)}"
    )


def _would_tell(found: PatternAnswer, names: Sequence[str]) -> str:
    """What would settle whether patterns meet the target."""
    each = {name: found.more_to_tell(name) for name in names}
    return "; ".join(
        f"{f'about {runs:,} more replications' if runs else 'no number of runs worth doing'} would tell whether "
        f"{_said(name)} does"
        for name, runs in each.items()
    )


def _trade(found: PatternAnswer, chosen: Pattern, target: str) -> str:
    """What the one that surely is best on time costs against the one that leaves most over."""
    other, *more = map(_said, found.leave_more)
    dates = signed(found.against(chosen.name, found.leave_more[0], ON_TIME), POINTS)
    left = signed(found.against(chosen.name, found.leave_more[0], LEFT_OVER))
    too = f"; {listed(more)} surely leave{'' if len(more) > 1 else 's'} more over, too" if more else ""
    return (
        f"No pattern stands out: {_said(chosen.name)} surely sends most orders out on time, if not surely {target} of "
        f"them ({_with_interval(dates, 'points')}), but surely leaves less over "
        f"({_with_interval(left, f'{chosen.found.scenario.money.currency} a week')}), each against {other}{too}: the "
        f"runs cannot weigh one against the other ({_numbers(chosen)}; {other}: "
        f"{_numbers(next(p for p in found.patterns if p.name == found.leave_more[0]))})"
    )


def _with_interval(text: Figure, unit: str) -> str:
    return f"{text.mean} {unit}" + (f", {text.between}" if text.between not in ("", ALIKE) else "")


def _of_the_file(pattern: Pattern) -> str:
    return "" if pattern.found.scenario.policies.working_time is None else " of the file"


def _weaker(found: PatternAnswer) -> str:
    """In what the rules of some file ask less than the Directive."""
    rules = [rules_in_force(pattern.found.scenario.policies.working_time) for pattern in found.patterns]
    less = list(dict.fromkeys(text for each in rules for text in below_the_directive(each)))
    if not less:
        return ""
    return f"The file asks less than {THE_DIRECTIVE}: {listed(less)}; whether it may, a competent person must say."


def _dearer(found: PatternAnswer, patterns: Sequence[Pattern]) -> str:
    """As good by dates as those that money cannot tell apart, and ruled out by money alone."""
    if not patterns:
        return ""
    several = len(patterns) > 1
    too = ("surely do" if several else "surely does") if found.meets else "may"
    told = "; ".join(f"{f'{_said(one.name)}: ' if several else ''}{_numbers(one)}" for one in patterns)
    names = listed([_said(pattern.name) for pattern in patterns])
    return f"; {names} {too} too, but surely leave{'' if several else 's'} less over ({told})"


def _said(name: str) -> str:
    return "the shop as it stands" if name == "as it stands" else quoted(name)


def _numbers(pattern: Pattern) -> str:
    share = percent(pattern.found.interval("measures", "on_time_share"))
    between = f", {share.between}" if share.between not in ("", ALIKE) else ""
    left = figure(pattern.found.interval("measures", "margin_per_week"))
    away = f", {told}" if (told := turned_away(pattern.found)) else ""
    money = f"{left.mean} {pattern.found.scenario.money.currency} left over a week"
    return f"{share.mean} % on time{between}{away}; {money}"


def _against_base(found: PatternAnswer, chosen: Pattern) -> str:
    """What a pattern surely leaves less, or more, than the shop as it stands."""
    differences = found.comparison.differences(LEFT_OVER)
    if chosen.name not in differences:
        return ""
    told = more_or_less(differences[chosen.name].interval)
    return f", {told} than the shop as it stands" if told else ""


def _broken(found: PatternAnswer) -> str:
    own = any(pattern.found.scenario.policies.working_time is not None for pattern in found.patterns)
    law = "the file (policies.working_time)" if own else THE_DIRECTIVE
    reasons: tuple[tuple[str, Callable[[Pattern], object]], ...] = (
        (f"they break a minimum rule of {law}", lambda pattern: pattern.breaks_rules),
        (f"they keep rest-time rules only as the file asks less than {THE_DIRECTIVE}",
         lambda pattern: pattern.by_the_file_alone),
        ("nobody has judged the hours of crews round the clock", lambda pattern: pattern.not_judged),
        ("printers may run unattended, which the maker's manual, local codes and the insurer must allow (SAF-08)",
         lambda pattern: pattern.unattended),
    )  # fmt: skip
    left_out = [(why, [_said(pattern.name) for pattern in found.patterns if holds(pattern)]) for why, holds in reasons]
    told = [f"Left out of the choice because {why}: {', '.join(names)}." for why, names in left_out if names]
    lone = [f"{_said(p.name)} ({plain(p.lone_hot_h)} h a week more)" for p in found.patterns if p.lone_hot_h]
    if lone:
        told.append(
            "Left out of the choice because by plan, absence and overtime not counted, one person is alone with a "
            "machine that may be hot for longer than as the shop stands, on which local fire code and rules for lone "
            f"work decide (SAF-12): {', '.join(lone)}."
        )
    if not left_out[0][1]:
        told.insert(0, f"No pattern breaks a minimum rule of {law} where hours are judged.")
    return " ".join(told)


def _runs(found: PatternAnswer) -> str:
    base = found.comparison.base
    weeks = weeks_text(base.scenario.study.weeks)
    error = f"{100 - found.comparison.confidence_pct:.3g} %"
    return (
        f"{found.comparison.runs} replications of {weeks} each, {opening(base.scenario)}. Who meets the target, who "
        f"may be best on time and who may leave most over share a chance of error of {error}, a third each."
        f"{most_turned_away(pattern.found for pattern in found.patterns)}"
    )
