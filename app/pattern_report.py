"""What a painted pattern asks of people: hours, nights, pay, and every rest-time finding."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import streamlit as st
from pydantic import ValidationError

from app import edits
from app.page_words import on_page
from app.say import plain, table
from shopsim.clock import MINUTES_PER_DAY, clock_text
from shopsim.craft.shift_rules import Rules
from shopsim.sentences.shifts import STANDING
from shopsim.shop.names import quoted
from shopsim.shop.people import Crew, Shift
from shopsim.shop.rest_words import rules_words
from shopsim.shop.shift_breaches import RestFinding, pattern_findings
from shopsim.shop.shift_facts import ShiftFacts, shift_facts
from shopsim.shop.shift_grid import Grid, weeks_of
from shopsim.shop.working_time import WorkingTime, rules_in_force
from shopsim.terminal.rest_rows import HOW_JUDGED, rest_rows

_LONG_DAY_H = 10


def report_pattern(shift: Shift, grid: Grid, crews: Sequence[Crew]) -> bool:
    """Tell what follows from the grid; whether it makes a sound shift at all."""
    try:
        made = Shift.model_validate({**shift.model_dump(exclude={"weeks"}), "weeks": weeks_of(grid)})
        working_time = _working_time()
        rules = rules_in_force(working_time)
        facts, found = shift_facts(made, rules), pattern_findings(made, crews, _starts(), rules)
    except ValidationError as fault:
        told = fault.errors(include_url=False)[0]
        st.error(plain(str(told.get("ctx", {}).get("error", told["msg"]))), icon=":material/error:")
        return False
    except ValueError as fault:
        st.error(plain(fault), icon=":material/error:")
        return False
    _facts(made, facts, rules)
    _findings(found, {part.id: quoted(part.name) for part in (shift, *crews) if part.name}, working_time)
    return True


def _facts(shift: Shift, facts: ShiftFacts, rules: Rules) -> None:
    parts = [f"{facts.work_h:.4g} h a week in {facts.shifts:.3g} shifts", f"longest {facts.longest_h:.4g} h"]
    if shift.premium_pct:
        parts.append(f"paid as {facts.paid_h:.4g} h with the premium of {shift.premium_pct:g} %")
    if facts.weekend_h:
        parts.append(f"{facts.weekend_h:.4g} h at weekends")
    st.markdown(f"A person works {', '.join(parts)}.")
    if facts.night_h:
        night = f"{clock_text(rules.night_start_min)} and {clock_text(rules.night_end_min % MINUTES_PER_DAY)}"
        st.warning(f"Night work: {facts.night_h:.4g} h a week between {night}. {STANDING}",
                   icon=":material/bedtime:")  # fmt: skip
    if facts.longest_h > _LONG_DAY_H:
        st.warning(f"Long days: up to {facts.longest_h:.4g} h from start to end. Local law and agreements rule.",
                   icon=":material/hourglass_top:")  # fmt: skip


def _findings(found: list[RestFinding], words: dict[str, str], working_time: WorkingTime | None) -> None:
    rules = sum(each.rule for each in found)
    if not found:
        judged = f"judged by {plain(on_page(rules_words(working_time)))}"
        st.info(f"No rest-time finding over the whole rotation, {judged}. {STANDING}", icon=":material/info:")
        return
    if rules:
        st.error("This pattern breaks rest-time rules.", icon=":material/gavel:")
    else:
        st.warning("No rule is broken, but guidance for shift work is gone against.", icon=":material/info:")
    note = f"Rule: {on_page(rules_words(working_time))}. {HOW_JUDGED} {STANDING}"
    table(
        ("Who", "What", "Kind", "Dates", "Found", "Asked"), list(rest_rows(found, words)), left=(0, 1, 2, 3), note=note
    )


def _working_time() -> WorkingTime | None:
    """The shop's own rules; none while they are not sound, which the page of the house rules tells."""
    policies = edits.current().values.get("policies")
    written = policies.get("working_time") if isinstance(policies, dict) else None
    try:
        return None if written is None else WorkingTime.model_validate(written)
    except ValidationError:
        return None


def _starts() -> datetime.date:
    about = edits.current().values.get("shop")
    starts = about.get("starts") if isinstance(about, dict) else None
    return starts if isinstance(starts, datetime.date) else datetime.date(2026, 1, 5)
