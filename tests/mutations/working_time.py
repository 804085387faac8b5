"""Faults in rest-time rules, guidance, and who is told of which."""

from tests.mutations.mutant import Mutant, case

_RULES, _GUIDANCE, _REST = "craft/shift_rules.py", "craft/shift_guidance.py", "craft/weekly_rest.py"
_BREACHES = "shop/shift_breaches.py"
_BY_HAND, _OF_A_FILE = "shop/test_shift_breaches.py", "shop/test_working_time.py"

WORKING_TIME = (
    Mutant(
        "six hours without a break are too many",
        _RULES,
        "if shift.net_h > each[0] + SLACK_H]",
        "if shift.net_h >= each[0] - SLACK_H]",
        (case("X-54"),),
    ),
    Mutant(
        "a break lengthens the day after which it is due",
        _RULES,
        "if shift.net_h > each[0] + SLACK_H]",
        "if shift.span_h > each[0] + SLACK_H]",
        (case("X-81"),),
    ),
    Mutant(
        "the first of several breaks is asked for on any day",
        _RULES,
        "above_h, least_min = due[-1]",
        "above_h, least_min = due[0]",
        (case("X-81"),),
    ),
    Mutant(
        "48 hours a week are one too many",
        _RULES,
        "if average > rules.weekly_average_h + SLACK_H:",
        "if average >= rules.weekly_average_h - SLACK_H:",
        (case("X-54"),),
    ),
    Mutant(
        "weekly hours are judged week by week",
        _RULES,
        "length = min(rules.reference_weeks, len(hours))",
        "length = 1",
        (_BY_HAND,),
    ),
    Mutant(
        "three hours of the night make no night shift",
        _RULES,
        "return night_hours(shift, rules) >= rules.night_shift_from_h - SLACK_H",
        "return night_hours(shift, rules) > rules.night_shift_from_h + SLACK_H",
        (case("X-54"),),
    ),
    Mutant(
        "half of the shifts at night make a night worker",
        _RULES,
        "* 2 > len(shifts)",
        "* 2 >= len(shifts)",
        (_BY_HAND,),
    ),
    Mutant(
        "eight hours of a heavy night are too many",
        _RULES,
        "shift.net_h > rules.night_h + SLACK_H]",
        "shift.net_h >= rules.night_h - SLACK_H]",
        (case("X-54"),),
    ),
    Mutant(
        "every night is heavy work, whatever the file says",
        _RULES,
        "if rules.heavy_work:",
        "if rules:",
        (_OF_A_FILE,),
    ),
    Mutant(
        "a weekly rest is cut off at Sunday midnight",
        _REST,
        "(rest for rest in rests if rest.weeks_left)",
        "(rest for rest in rests if rest.inside_h(week) >= 35)",
        (case("X-80"),),
    ),
    Mutant(
        "one rest at the turn of a week counts for both weeks",
        _REST,
        "own.weeks_left -= 1",
        "own.weeks_left -= 0",
        (case("X-80"),),
    ),
    Mutant(
        "the longest rest is told, not the longest that counts",
        _REST,
        "(rest.hours for rest in rests if not rest.long_enough)",
        "(rest.hours for rest in rests)",
        (case("X-80"),),
    ),
    Mutant(
        "a return after eleven hours is quick",
        _GUIDANCE,
        "if rest < QUICK_RETURN_H - SLACK_H",
        "if rest <= QUICK_RETURN_H",
        (_BY_HAND,),
    ),
    Mutant(
        "a short rest is told twice, by the rule and as a quick return",
        _BREACHES,
        'if breach.what == "daily rest"}',
        'if breach.what == "daily rests"}',
        (_BY_HAND,),
    ),
    Mutant(
        "nights in a row without end are never told",
        _BREACHES,
        "endless = breach.what.endswith(IN_A_ROW) and breach.at < rotation_min and (",
        "endless = breach.what.endswith(IN_A_ROW) and breach.at < 0 and (",
        (_BY_HAND,),
    ),
    Mutant(
        "overtime breaks rules as if it were all worked",
        _BREACHES,
        "found.append(_finding(shift, [crew], over, False, date))",
        "found.append(_finding(shift, [crew], over, True, date))",
        (_BY_HAND,),
    ),
    Mutant(
        "shifts are judged by the Directive, whatever the file says",
        _BREACHES,
        "rules = rules_in_force(scenario.policies.working_time)",
        "rules = DIRECTIVE",
        (_OF_A_FILE,),
    ),
    Mutant(
        "a quarter of the shifts at night is too few to ask who is a night worker",
        _GUIDANCE,
        "if nights >= _PERHAPS_FROM_SHARE * len(shifts):",
        "if nights > _PERHAPS_FROM_SHARE * len(shifts):",
        (_BY_HAND,),
    ),
    Mutant(
        "each crew of a shift has the people of all",
        "shop/rest_words.py",
        "counted(size, 'person', 'people')",
        "counted(finding.people, 'person', 'people')",
        ("telling/test_rest_rows.py",),
    ),
)
