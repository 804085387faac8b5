"""Does a change help, by how much, how sure, what does it cost, and what holds the shop back then."""

from __future__ import annotations

from collections.abc import Sequence

from shopsim.figures import ALIKE, plain, signed, with_sign
from shopsim.measures.measure_names import base_name, is_share, scale_of, unit_of, wanted
from shopsim.sentences.compared_below import below, called_in
from shopsim.sentences.measure_phrases import PHRASES
from shopsim.sentences.turning_away import TURNED_AWAY, more_turned_away
from shopsim.sentences.words import Answer, listed, more_or_less, spoken, surely_most
from shopsim.shop.review.finding import counted
from shopsim.studies.compare import bonferroni_pct, paired_difference
from shopsim.studies.comparison import Comparison
from shopsim.studies.precision import Interval
from shopsim.studies.with_best import may_be_best

# The smallest share of the time in which a change of the constraint is worth a word.
_OFTEN = 0.25
_IMPROVES = "surely improves on the shop as it stands"


def compared(found: Comparison) -> Answer:
    """The sentence of a comparison: about the one option, or about the best of several and who may be as good."""
    if len(found.options) > 1:
        return Answer(_of_several(found) if wanted(found.measure) else _none_is_best(found), below(found))
    return Answer(_of_one(found, *found.options), below(found))


def _of_one(found: Comparison, name: str) -> str:
    return f"{_effect(found, name)}{_margin(found, name)}{_turned_away(found, name)}{_moved(found, name)}."


def _of_several(found: Comparison) -> str:
    leader, rivals = _leader(found)
    best, sentence = called_in(found, leader), _of_one(found, leader)
    others = f" and {counted(len(rivals) - 1, 'other')}" if len(rivals) > 1 else ""
    doubt = f", though {called_in(found, rivals[0])}{others} may be as good" if rivals else ""
    told = sentence.replace(best, "it", 1) if sentence.startswith(f"{best} ") else sentence
    none = "" if any(_improves(found, name) for name in found.options) else f"none {_IMPROVES}; "
    return (
        f"Of {len(found.options)} changes, {none}{best} does best{doubt}: {told}"
        f"{_money_among(found, leader, rivals)}{_helpful(found, leader)}{_harmful(found, leader)}"
    )


def _none_is_best(found: Comparison) -> str:
    """Several options by a measure of which a shop wants neither more nor less."""
    told = "; ".join(_effect(found, name) for name in found.options)
    return (
        f"None of {len(found.options)} changes is called best by {measure_words(found.measure)}, of which neither more "
        f"nor less is better: {told}."
    )


def _improves(found: Comparison, name: str) -> bool:
    return found.deciding[name].interval.sign == wanted(found.measure)


def _money_among(found: Comparison, leader: str, rivals: Sequence[str]) -> str:
    """Which of those that may be as good as the leader surely leave more over than it, or less; paired, all at once."""
    if base_name(found.measure) == "margin_per_week":
        return ""
    each_pct = bonferroni_pct(found.confidence_pct, max(1, len(rivals)))
    left = {name: found.options[name].values("measures", "margin_per_week") for name in (leader, *rivals)}
    n = min(map(len, left.values()))
    steps = {name: paired_difference(left[name][:n], left[leader][:n], each_pct).interval for name in rivals}
    more = sorted((name for name in rivals if steps[name].sign > 0), key=lambda name: -steps[name].mean)
    told = [f"{called_in(found, name)} surely leaves {_left_over(found, steps[name])}" for name in more]
    less = [called_in(found, name) for name in rivals if steps[name].sign < 0]
    than = f" {listed(told)} than {called_in(found, leader)}." if told else ""
    return than + (f" {called_in(found, leader)} surely leaves more over than {listed(less)}." if less else "")


def _helpful(found: Comparison, leader: str) -> str:
    """The changes that surely make better what decides, where the one with the best mean does not."""
    names = [] if _improves(found, leader) else [name for name in found.options if _improves(found, name)]
    if not names:
        return ""
    told = listed(_steps(found, names))
    return f" {told} {_IMPROVES}." if len(names) == 1 else f" Surely better than the shop as it stands: {told}."


def _harmful(found: Comparison, leader: str) -> str:
    """The changes that surely make worse what decides."""
    names = [name for name in found.options
             if name != leader and found.deciding[name].interval.sign == -wanted(found.measure)]  # fmt: skip
    return f" Surely worse than the shop as it stands: {listed(_steps(found, names))}." if names else ""


def _steps(found: Comparison, names: Sequence[str]) -> list[str]:
    return [f"{called_in(found, name)} ({_step(found, name)}{_sure(found, name)})" for name in names]


def _leader(found: Comparison) -> tuple[str, list[str]]:
    """The best mean among the options, and those that the runs do not rule out as the best."""
    least = min(len(option.rows) for option in found.options.values())
    values = {name: option.values("measures", found.measure)[:least] for name, option in found.options.items()}
    leader, *rivals = may_be_best(values, found.confidence_pct, wanted(found.measure) > 0)
    return leader, rivals


def _effect(found: Comparison, name: str) -> str:
    difference = found.deciding[name].interval
    what = measure_words(found.measure)
    before, after = _levels(found, name)
    if difference.n == 0:
        return f"{called_in(found, name)}: nothing could be measured ({what})"
    step = f"{_step(found, name)}{_sure(found, name)}"
    if difference.low is None or difference.high is None:
        return f"{called_in(found, name)} takes {what} from {before} to {after} ({step}, one replication only)"
    if difference.sign:
        verb = "lifts" if difference.sign > 0 else "lowers"
        return f"{called_in(found, name)} {verb} {what} from {before} to {after} ({step})"
    if difference.half_width == 0:
        return f"{called_in(found, name)} changes nothing in any of {difference.n} runs: {what} is {after} either way"
    open_yet = "cannot be told from the shop as it stands"
    return f"{called_in(found, name)} {open_yet}: {what} {after} against {before} ({step})"


def _sure(found: Comparison, name: str) -> str:
    between = signed(found.deciding[name].interval, scale_of(found.measure)).between
    return f", {found.levels[name]:.4g} % interval {between}" if between not in ("", ALIKE) else ""


def _step(found: Comparison, name: str) -> str:
    difference, measure = found.deciding[name].interval, found.measure
    mean = signed(difference, scale_of(measure)).mean
    if is_share(measure):
        if difference.low is None:
            mean = with_sign(f"{difference.mean * 100:.0f}")
        return f"{mean} point{'s' if mean not in ('+1', '−1') else ''}"
    return f"{mean} {_unit(found)}".rstrip()


def _unit(found: Comparison) -> str:
    return unit_words(found.measure, found.base.scenario.money.currency)


def _levels(found: Comparison, name: str) -> tuple[str, str]:
    """Means of base and option, in as many digits as it takes to tell them apart."""
    measure = found.measure
    means = [each.interval("measures", measure).mean for each in (found.base_beside(name), found.options[name])]
    if not is_share(measure):
        before, after = (f"{plain(mean)} {_unit(found)}".rstrip() for mean in means)
        return before, after
    far = abs(means[1] - means[0]) >= 0.01 and all(0.01 <= mean <= 0.99 for mean in means)
    # Whoever subtracts the two must find the difference that is told.
    adds_up = round(means[1] * 100) - round(means[0] * 100) == round((means[1] - means[0]) * 100)
    digits = 0 if far and adds_up else 1
    before, after = (f"{mean * 100:.{digits}f} %" for mean in means)
    return before, after


def _margin(found: Comparison, name: str) -> str:
    """What is left over a week, if the runs can tell."""
    if base_name(found.measure) == "margin_per_week":
        return ""
    told = _left_over(found, found.differences("margin_per_week")[name].interval)
    return f", leaves {told}" if told else ""


def _left_over(found: Comparison, step: Interval) -> str:
    """`102 CU more a week (80 to 124)`; empty where the runs cannot tell the step from none."""
    told, between = more_or_less(step, found.base.scenario.money.currency), signed(step).between
    return f"{told} a week{f' ({between})' if between != ALIKE else ''}" if told else ""


def _turned_away(found: Comparison, name: str) -> str:
    if base_name(found.measure) == TURNED_AWAY:
        return ""
    step = found.differences(TURNED_AWAY)[name].interval
    told = more_turned_away(found.base_beside(name), found.options[name], step)
    return f", {told}" if told else ""


def _moved(found: Comparison, name: str) -> str:
    """What becomes of the constraint, as far as the runs can tell."""
    base, option = found.base_beside(name), found.options[name]
    before, after = base.constraint(), option.constraint()
    if len(option.rows) < 2 or before is None or after is None or after[1].mean < _OFTEN:
        return ""
    was, now = spoken(base.scenario, before[0]), spoken(option.scenario, after[0])
    sure = surely_most(base, before[0]) and surely_most(option, after[0])
    if before[0] == after[0]:
        return f", and {'leaves' if sure else 'may leave'} {now} as the constraint"
    return f", and {'moves' if sure else 'may move'} the constraint from {was} to {now}"


def measure_words(measure: str) -> str:
    """A measure as said in a sentence, with its place or machine in brackets."""
    where = measure.partition(".")[2].replace("_", " ")
    return f"{PHRASES[base_name(measure)]}{f' ({where})' if where else ''}"


def unit_words(measure: str, currency: str = "CU") -> str:
    """Its unit as said in a sentence; empty for counts."""
    unit = unit_of(measure)
    if unit == "1":
        return ""
    words = unit.removeprefix("1").replace("/week", " a week").replace("/", " per ").strip()
    return words.replace("CU", currency).replace("m2", "m²")
