"""How the shop does as it stands."""

from __future__ import annotations

from shopsim.figures import ALIKE, figure, percent
from shopsim.sentences.words import Answer, often, opening, spoken, surely_more, weeks_text
from shopsim.studies.precision import LEAST_PLANNED, more_to_settle
from shopsim.studies.replicate import Replications

# A resource that is the constraint for less than this share of the time holds nothing back for long.
_OFTEN = 0.25


def as_we_are(found: Replications) -> Answer:
    """How the shop does as it stands: on time, time to dispatch, what holds it back; then target and opening state."""
    sentence = f"{_on_time(found)}{_lead_time(found)}{_turned_away(found)}{_constraint(found)}."
    return Answer(sentence, " ".join(part for part in (_target(found), _runs(found)) if part))


def _on_time(found: Replications) -> str:
    share = found.interval("measures", "on_time_share")
    if share.n == 0:
        return "No order was due in the weeks studied"
    text = percent(share)
    if text.between == ALIKE:
        return f"On time {text.mean} % of orders in every run"
    return f"On time {text.mean} % of orders" + (f" ({_confidence(found)} {text.between})" if text.between else "")


def _lead_time(found: Replications) -> str:
    hours = found.interval("measures", "lead_time_p50_h")
    if hours.n == 0:
        return ", none was dispatched"
    in_days = hours.mean >= 24
    text = figure(hours, 1 / 24 if in_days else 1, least=0, digits_alone=1 if in_days else 0)
    between = f" ({text.between})" if text.between not in ("", ALIKE) else ""
    return f", half of them out within {text.mean} {'days' if in_days else 'hours'}{between}"


def _turned_away(found: Replications) -> str:
    """A shop that says no is easily on time with the rest."""
    rule = found.scenario.policies.orders_at_once
    if rule is None or rule.when_full == "wait":
        return ""
    text = percent(found.interval("measures", "turned_away_share"))
    between = f" ({text.between})" if text.between not in ("", ALIKE) else ""
    return f", {text.mean} % of orders turned away{between}"


def _constraint(found: Replications) -> str:
    top = found.constraint()
    if top is None:
        return "; nothing was ever busy"
    name, share = top
    how_often = f"constraint {often(share)}"
    if share.mean < _OFTEN:
        return f"; nothing holds the shop back for long (most often {spoken(found.scenario, name)}, {how_often})"
    rivals = [str(key) for key in found.keys("constraint") if found.interval("constraint", key).mean >= _OFTEN]
    rivals = [other for other in rivals if other != name and not surely_more(found, name, other)]
    others = "".join(f" or {spoken(found.scenario, other)}" for other in rivals if len(found.rows) > 1)
    doubt = f"{others}, the runs cannot tell which" if others else ""
    return f"; the shop is held back most by {spoken(found.scenario, name)} ({how_often}){doubt}"


def _target(found: Replications) -> str:
    target_pct = found.scenario.study.on_time_target_pct
    values = found.values("measures", "on_time_share")
    share = found.interval("measures", "on_time_share")
    if share.n == 0:
        return ""
    goal = f"The target of {target_pct:g} % on time"
    if share.low is None or share.high is None:
        return f"Whether the target of {target_pct:g} % on time is met cannot be told from one replication."
    if share.low * 100 >= target_pct:
        return f"{goal} is met."
    if share.high * 100 < target_pct:
        return f"{goal} is missed."
    needed = more_to_settle(values, found.scenario.study.confidence_pct, target_pct / 100)
    too_close = "; it lies too close to settle by more of them" if share.n >= LEAST_PLANNED else ""
    settle = f"; about {needed:,} more would settle it" if needed else too_close
    return f"Whether the target of {target_pct:g} % on time is met cannot be told from {share.n} replications{settle}."


def _runs(found: Replications) -> str:
    count = len(found.rows)
    study = found.scenario.study
    runs = f"{count} replications" if count > 1 else "One replication, so there is no interval,"
    left_out = found.interval("measures", "on_time_share").left_out
    nothing = f" ({left_out} with no order due left out of the share)" if 0 < left_out < count else ""
    return f"{runs}{nothing} of {weeks_text(study.weeks)}, {opening(found.scenario)}."


def _confidence(found: Replications) -> str:
    return f"{found.scenario.study.confidence_pct:g} % interval"
