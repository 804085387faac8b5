"""Rest-time findings in words: who, what was found, what is asked, and by which rules."""

from __future__ import annotations

from shopsim.craft.shift_guidance import EARLY_START, IN_A_ROW
from shopsim.shop.review.finding import counted
from shopsim.shop.shift_breaches import WITH_OVERTIME, WITHOUT_END, RestFinding
from shopsim.shop.what_if_words import group_in_words
from shopsim.shop.working_time import WorkingTime, below_the_directive

THE_DIRECTIVE = "Directive 2003/88/EC"
_SLEEP = "nights of sleep"


def who(finding: RestFinding) -> list[str]:
    """``sewers (4 people)``, ``packer (1 person)``: everybody of a crew works its shift."""
    each = zip(finding.crews, finding.crew_sizes, strict=True)
    return [f"{crew} ({counted(size, 'person', 'people')})" for crew, size in each]


def found_words(finding: RestFinding) -> str:
    """What was found, with its unit."""
    return _amount(finding, finding.found)


def asked_words(finding: RestFinding) -> str:
    """What is asked for, with its unit; where a rule names no number, that there be any."""
    return "a break" if finding.required is None else _amount(finding, finding.required)


def _amount(finding: RestFinding, value: float) -> str:
    what = finding.what.removesuffix(WITH_OVERTIME)
    if what == "break":
        return f"{value * 60:.4g} min" if value else "none"
    if what == EARLY_START:
        return f"{int(value):02d}:{round(value % 1 * 60):02d}"
    if IN_A_ROW in what:
        return counted(int(value), "day", "days") if what.endswith(WITHOUT_END) else f"{value:.4g}"
    return f"{value:.4g}" if what.startswith(_SLEEP) else f"{value:.4g} h"


def rules_words(working_time: WorkingTime | None) -> str:
    """By which rules shifts are judged, and in what those ask less than the Directive."""
    if working_time is None:
        return f"{THE_DIRECTIVE}, as the file has no `policies.working_time`"
    own = group_in_words(working_time, "", "note")
    note = f", from {working_time.note}" if working_time.note else ""
    told = f"`policies.working_time` of the file ({own or 'as the Directive'}{note}), else {THE_DIRECTIVE}"
    less = ", ".join(below_the_directive(working_time.rules))
    return f"{told}; less than the Directive asks: {less}" if less else told
