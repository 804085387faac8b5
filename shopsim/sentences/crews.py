"""The smallest crew that meets the on-time target, what it costs, and what holds the shop back then."""

from __future__ import annotations

from collections.abc import Sequence

from shopsim.figures import ALIKE, figure, percent, plain
from shopsim.sentences.turning_away import most_turned_away, turned_away
from shopsim.sentences.words import Answer, held_back, listed, often, opening, spoken, weeks_text
from shopsim.shop.names import told
from shopsim.shop.review.finding import counted
from shopsim.shop.scenario import Scenario
from shopsim.shop.seat_shares import SharedSeats
from shopsim.studies.crew import WHOLE, Candidate, CrewAnswer

# More blocks than these are counted, not named.
_MOST_BLOCKS = 3


def crew_found(found: CrewAnswer) -> Answer:
    """The sentence about all weeks together, and one about blocks of them; the table tells of each."""
    scenario = found.candidates[0].found.scenario
    return Answer(f"{_sentence(found, scenario)}.{_blocks(found)}", _below(found, scenario))


def _sentence(found: CrewAnswer, scenario: Scenario) -> str:
    target = f"{found.plan.target * 100:g} % of orders out on time, give or take {_points(found.plan.tolerance)}"
    enough = found.enough[WHOLE]
    if enough is not None:
        cheapest = "among the cheapest crews that send" if found.as_dear(enough) else "the cheapest crew that sends"
        return (
            f"{heads_text(enough)} {_are(enough)} {cheapest} {target} ({_level_and_interval(enough)}), at "
            f"{_pay(enough, scenario)} a week in pay{_cheaper(found, enough, scenario)}{_as_dear(found, enough)}"
            f"{_held_back(enough)}{_seats(enough)}"
        )
    if WHOLE in found.likely:
        crew, runs = found.likely[WHOLE]
        more = more_runs(crew, runs)
        seems = "may be the cheapest crew that sends" if crew.verdicts[WHOLE].mean >= found.plan.target else "may send"
        sure = next((crew for crew in found.candidates if crew.verdicts[WHOLE].meets), None)
        surely = f"; {heads_text(sure)} {_are(sure)} enough" if sure else ""
        return (
            f"{heads_text(crew)} {seems} {target} ({_level_and_interval(crew)}), but that cannot be told from "
            f"{len(crew.found.rows)} replications; about {more:,} more would tell{surely}{_held_back(crew)}"
            f"{_seats(crew)}"
        )
    most = found.plan.target + found.plan.tolerance
    below = f" (each surely stays below {most * 100:g} %)" if most < 1 else ""
    return f"No crew tried is shown to send {target}{below}: {_best(found)}"


def _best(found: CrewAnswer) -> str:
    """The crew that surely does best, else from which on, by pay, none can be told to do better."""
    crew = found.none_better()
    if len(found.candidates) == 1:
        return f"it sends {_level_and_interval(crew)}{_held_back(crew)}"
    if found.surely_best(crew):
        return f"{heads_text(crew)} {_are(crew, 'does', 'do')} best with {_level_and_interval(crew)}{_held_back(crew)}"
    return (
        f"{heads_text(crew)} {_are(crew, 'sends', 'send')} {_level_and_interval(crew)}, and no dearer crew can be told "
        f"to send more{_held_back(crew)}"
    )


def _cheaper(found: CrewAnswer, enough: Candidate, scenario: Scenario) -> str:
    """A cheaper crew that only the tolerance rules out, else the one that just misses."""
    crew = found.may_do(enough)
    if crew is not None:
        level = _level_and_interval(crew, again=True)
        return f"; {heads_text(crew)} at {_pay(crew, scenario)} may do too, with {level}"
    crew = found.next_cheaper(enough)
    if crew is None:
        return ""
    return f"; {heads_text(crew)} {_are(crew, 'falls', 'fall')} short with {_level_and_interval(crew, again=True)}"


def _blocks(found: CrewAnswer) -> str:
    """What the blocks of weeks ask for, from the cheapest crew to the dearest, and where that is not known."""
    named = {block: crew for block, crew in found.enough.items() if block != WHOLE}
    if not named:
        return ""
    rank = {id(crew): i for i, crew in enumerate(found.candidates)}
    known = sorted(((block, crew) for block, crew in named.items() if crew), key=lambda each: rank[id(each[1])])
    clauses = []
    if known:
        (first, least), (last, most) = known[0], known[-1]
        same = "in every block" if len(known) == len(named) else f"in {_some([block for block, _ in known])}"
        clauses.append(
            f"the cheapest crew that does is {heads_text(least)} {same}" if least is most else
            f"the cheapest crew that does goes from {heads_text(least)} ({first}) to {heads_text(most)} ({last})"
        )  # fmt: skip
    never = [block for block, crew in named.items() if crew is None and block not in found.likely]
    if never:
        clauses.append(f"none tried is shown to do in {_some(never)}")
    unclear = {block: found.likely[block] for block in named if block in found.likely}
    if unclear:
        more = max(more_runs(crew, runs) for crew, runs in unclear.values())
        clauses.append(
            f"in {_some(list(unclear))} that cannot be told yet, about {more:,} more replications of a crew would tell"
        )
    return f" By the weeks in which orders are due, {'; '.join(clauses)}."


def _some(blocks: Sequence[str]) -> str:
    return listed(blocks) if len(blocks) <= _MOST_BLOCKS else f"{len(blocks)} blocks of weeks"


def more_runs(crew: Candidate, runs: int) -> int:
    """How many more replications of a crew would tell, of about so many in all."""
    return max(1, runs - len(crew.found.rows))


def heads_text(crew: Candidate) -> str:
    """`5 people in crew sewers`, or for a grid `5 people in crew sewers and 2 in crew packers`."""
    (first, count), *others = ((told(crew.found.scenario, name), heads) for name, heads in crew.heads.items())
    people = f"{count} {'person' if count == 1 else 'people'} in crew {first}"
    return " and ".join([people, *(f"{more} in crew {name}" for name, more in others)])


def _are(crew: Candidate, one: str = "is", several: str = "are") -> str:
    return one if sum(crew.heads.values()) == 1 else several


def _level_and_interval(crew: Candidate, again: bool = False) -> str:
    """What kind of interval it is, is said the first time."""
    text = percent(crew.found.interval("measures", "on_time_share"))
    confidence = f"{'' if again else 'descriptive '}{crew.found.scenario.study.confidence_pct:g} % interval"
    sure = f", {confidence} {text.between}" if text.between not in ("", ALIKE) else ""
    away = f", with {told_of_it}" if (told_of_it := turned_away(crew.found)) else ""
    return f"{text.mean} %{sure}{away}"


def _pay(crew: Candidate, scenario: Scenario) -> str:
    text = figure(crew.found.each(lambda row: row.pay_per_week))
    between = f" ({text.between})" if text.between not in ("", ALIKE) else ""
    return f"{text.mean} {scenario.money.currency}{between}"


def _as_dear(found: CrewAnswer, enough: Candidate) -> str:
    """Crews that cost as much, as far as the runs can tell: the choice among them is the shop's."""
    others = found.as_dear(enough)
    if not others:
        return ""
    alike = all(found.pay_step(crew, enough).half_width == 0 for crew in others)
    pay = "the same pay" if alike else "pay that cannot be told from it"
    known = [crew for crew in others if crew.verdicts[WHOLE].meets]
    same = ", or ".join(heads_text(crew) for crew in known)
    told = f"; {same}{',' if len(known) > 1 else ''} would do at {pay}" if known else ""
    open_ones = len(others) - len(known)
    some = f"; {open_ones} more at {pay} {'were' if open_ones > 1 else 'was'} not looked into" if open_ones else ""
    return f"{told}{some}"


def _held_back(crew: Candidate) -> str:
    top = crew.found.constraint()
    if top is None:
        return ""
    return f"; the shop {held_back(crew.found, top[0])} ({often(top[1])})"


def _seats(crew: Candidate) -> str:
    """A warning where people of the crew have no seat to work at."""
    scenario = crew.found.scenario
    return "".join(
        f"; {short.people} people of crew{'s' if len(short.crews) > 1 else ''} "
        f"{listed([told(scenario, name) for name in short.crews])} then share {counted(short.seats, 'seat')} at "
        f"{listed([spoken(scenario, place) for place in short.places])}{_price(short, scenario)}"
        for short in crew.short_of_seats
    )


def _price(short: SharedSeats, scenario: Scenario) -> str:
    price = f"{plain(short.price)} {scenario.money.currency}, which pay leaves out"
    return f": {short.missing} more would cost about {price}" if short.price else ""


def _below(found: CrewAnswer, scenario: Scenario) -> str:
    study = scenario.study
    runs = sum(len(crew.found.rows) for crew in found.candidates)
    return (
        f"With {study.confidence_pct:g} % confidence all told to be enough send at least "
        f"{(found.plan.target - found.plan.tolerance) * 100:g} % out on time and all told to be too few less than "
        f"{min(1.0, found.plan.target + found.plan.tolerance) * 100:g} %, for {len(found.candidates)} crews at once; "
        f"{runs} replications of {weeks_text(study.weeks)} in all, {opening(scenario)}. Intervals are descriptive: "
        "crews were run until it was clear and are chosen by the same runs, which an interval for itself does not "
        f"allow for.{most_turned_away(crew.found for crew in found.candidates)}"
    )


def _points(share: float) -> str:
    return f"{share * 100:g} point{'s' if share != 0.01 else ''}"
