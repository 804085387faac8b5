"""The review by hand: places and people that cannot keep up, skills, rest; and a shop with nothing to look at."""

import pytest

from shopsim.shop.handbook_warnings import handbook_warnings
from shopsim.shop.review.finding import Finding, named, worst_first
from shopsim.shop.review.kinds import GRADES, KINDS
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.shop_file import Shop
from tests.shop.reviewed import DAY, PAID, calm, hand, ids, machine, reviewed, the
from tests.stories.shops import centre, order, product, shift, step, to_print

ONE_BENCH = [centre("bench")]
FORTY = {"work_centres": ONE_BENCH, "crews": [hand("op", "printing"), hand("packer", "bench", count=1)]}


def test_a_harmless_shop_has_nothing_to_look_at() -> None:
    assert reviewed(calm(), order("Mon 07:00"), order("Mon 07:00", "job", pieces=12)) == []


def test_a_place_that_can_never_keep_up() -> None:
    # 300 jobs of 10 min are 50 h, one packer has 40: one more gives as much again. Operators print little.
    findings = reviewed(calm(**FORTY), order("Mon 07:00", "job", pieces=300))
    found = the("never_keeps_up", findings)
    assert findings[0] == found
    assert (found.where, found.found) == (
        "bench", "50.0 h a week asked, 40.0 h there: 10.0 hours of people a week missing",
    )  # fmt: skip
    assert found.do == (
        "1 more person with bench (40.0 h a week each as those there); or teach it to op, whose own work fills 60 % at "
        "most; or overtime (policies.overtime has none for them)"
    )


def test_a_worst_week_beyond_its_hours_and_the_overtime_there_is() -> None:
    # 45 h in the first of two weeks; an hour more on five days for one packer may bring 5 h.
    scenario = calm(
        **FORTY, study={"weeks": 2}, policies={"overtime": [{"crews": ["packer"], "when_queue_h": 1, "minutes": 60}]}
    )
    found = the("overfull_week", reviewed(scenario, order("Mon 07:00", "job", pieces=270)))
    assert found.found == "45.0 h asked in the week of 2026-01-05, 40.0 h there: 5.0 hours of people missing"
    assert "overtime agreed in the file may bring up to 5.0 h a week, not counted here" in found.do
    assert found.do.endswith("or agree later dates for that much of its work")


@pytest.mark.parametrize(("pieces", "people"), [
    # 270 are 45 h of 40: one more person brings 80, of which 85 % are 68. 450 are 75 h: beyond 68, so two plan well.
    (270, "1 more person with bench (40.0 h a week each as those there); or teach"),
    (450, "1 more person with bench (40.0 h a week each as those there), 2 to plan them all to 85 %; or teach"),
    # 241 are 10 min more than there is: nobody is hired for that.
    (241, "0.2 more hours of those with bench; or 1 more person with bench (40.0 h a week each as those there); or "),
])  # fmt: skip
def test_advice_is_as_large_as_what_is_missing(pieces: int, people: str) -> None:
    findings = reviewed(calm(**FORTY, study={"weeks": 2}), order("Mon 07:00", "job", pieces=pieces))
    assert the("overfull_week", findings).do.startswith(people)


def test_a_value_far_outside_comes_before_what_may_come_from_it() -> None:
    slow = calm(crews=[hand("op", "printing"), hand("packer", "bench", count=1, efficiency_pct=5)])
    found = shop_review(Shop(slow, (order("Mon 07:00", "job", pieces=300),), tuple(handbook_warnings(slow))))
    assert [each.id for each in found[:2]] == ["never_keeps_up", "value_far_outside"]
    assert (found[1].grade_text, found[1].found) == ("may go wrong", "5 is far outside the usual 65 to 105")
    assert found[1].do.endswith("; what else is found may come from it")


def test_seats_that_are_short_though_people_are_there() -> None:
    # One seat takes 40 h of the 80 two packers have; of 46 h 6 find no seat, so of people nothing is missing.
    scenario = calm(work_centres=ONE_BENCH, crews=[hand("op", "printing"), hand("packer", "bench")], study={"weeks": 2})
    found = the("overfull_week", reviewed(scenario, order("Mon 07:00", "job", pieces=276)))
    assert "6.0 seat hours missing" in found.found
    assert found.do.startswith("1 more seat (40.0 h a week each), or people at it in other hours than now; or overtime")
    assert "as well" not in found.do


def test_sewing_can_be_bought_in() -> None:
    sewing = [centre("bench", "sewing", money=PAID)]
    bought = {"bought_in": [{"at": "bench", "when_queue_h": 10}]}
    jobs = order("Mon 07:00", "job", pieces=300)
    plain = reviewed(calm(**{**FORTY, "work_centres": sewing}), jobs)
    given = reviewed(calm(**{**FORTY, "work_centres": sewing}, policies=bought), jobs)
    assert "or buy sewing in (policies.bought_in)" in the("never_keeps_up", plain).do
    assert (
        "work at bench is bought in when the line is long, which is not counted here" in the("never_keeps_up", given).do
    )


def test_a_tight_week_says_how_much_is_too_much() -> None:
    # 36 of 40 h are 90 %; 85 % would be 34.
    found = the("tight_week", reviewed(calm(**FORTY), order("Mon 07:00", "job", pieces=216)))
    assert (
        found.found
        == "36.0 of 40.0 hours of people asked in the week of 2026-01-05, 90 %; from 85 % on lines grow fast"
    )
    assert found.do.startswith("keep 2.0 h of the week's work away or find them; 1 more person with bench (40.0 h")


def test_a_printer_is_tight_sooner() -> None:
    # Attended 42.5 h less five warm-ups of 20 min are 40.83; of two printers each has 30 of the 60 h: 73 %.
    found = [each for each in reviewed(calm(), order("Mon 07:00", pieces=3600)) if each.id == "tight_week"]
    assert [each.where for each in found] == ["p1", "p2"]
    assert found[0].found.startswith("30.0 of 40.8 machine hours asked in the week of 2026-01-05, 73 %; in mixed work")
    assert found[0].basis == "MNT-08"


def test_people_of_two_places_short_together() -> None:
    # 25 h at each of two places of one person with 40: each alone is well, together 10 h are missing.
    route = [step("work", place, 30) for place in ("bench", "table")]
    scenario = calm(
        work_centres=[centre("bench"), centre("table")], products=[product("job", *route, price_per_piece=1)],
        printers=[], fabrics=[], crews=[hand("packer", "bench table", count=1)],
    )  # fmt: skip
    found = the("never_keeps_up", reviewed(scenario, order("Mon 07:00", "job", pieces=50)))
    assert found.where == "people shared by bench and table"
    assert "10.0 hours of people a week missing" in found.found
    assert found.do.startswith("1 more person with bench or table (40.0 h a week each as those there)")


def test_a_skill_of_one_person_and_the_days_it_is_away() -> None:
    # A day begins a spell with 1 %, three days of which 1 + 2.5 x 5/7 = 2.79 are planned: 2.79 % over 1.0179 is 2.74 %
    # of 260 days, 7 a year.
    ill = {"new_spell_pct_per_day": 1, "spell_days": 3}
    crews = [hand("op", "printing"), hand("packer", "bench", count=1, absence=ill)]
    found = the("one_person_only", reviewed(calm(crews=crews), order("Mon 07:00", "job")))
    assert (found.where, found.found) == (
        "bench", "bench only by packer; away 7 days a year by the file's sickness, of 260 planned",
    )  # fmt: skip
    assert found.do.startswith("teach a second person to level 2 at least, say op; or agree who stands in")


def test_one_at_a_time_is_one_person_too_and_sickness_left_out_is_told() -> None:
    late = shift("late", "15:30-23:30", ("19:00-19:30",))
    crews = [hand("op", "printing"), hand("early", "bench", count=1), hand("late_one", "bench", count=1, shift="late")]
    found = the("one_person_only", reviewed(calm(shifts=[DAY, late], crews=crews), order("Mon 07:00", "job")))
    # 4 % of twice 260 days.
    assert found.found == (
        "bench only by early and late_one, never two at a time; the file has no sickness of theirs; the usual 4 % of "
        "planned days (PPL-12) are 21 a year"
    )


def test_work_that_lies_while_the_place_before_goes_on() -> None:
    # Cutting works from 07:00 to 23:30 and on Saturday, packing from 07:00 to 15:30 on five days.
    late = shift("late", "15:30-23:30", ("19:00-19:30",))
    sat = shift("sat", "07:00-13:00", days="sat")
    crews = [hand("op", "cut pack"), hand("evening", "cut", shift="late"), hand("weekend", "cut", shift="sat")]
    scenario = calm(
        shifts=[DAY, late, sat], crews=crews, printers=[], fabrics=[],
        work_centres=[centre("cut", seats=2), centre("pack", seats=2)],
        products=[product("job", step("work", "cut", 1), step("work", "pack", 1), price_per_piece=1)],
    )  # fmt: skip
    found = the("hours_without_skill", reviewed(scenario, order("Mon 07:00", "job")))
    # 8 h on five evenings and 6 h on Saturday.
    assert found.where == "pack"
    assert found.found == (
        "nobody there in 46 h a week in which cut works: what it makes then lies until they come, all of 1 days a week"
    )
    assert found.do.endswith("or teach it to evening and weekend, who are there")


def test_printers_without_anybody_who_can_print() -> None:
    late = shift("late", "15:30-23:30", ("19:00-19:30",))
    crews = [hand("op", "printing bench"), hand("packers", "bench", shift="late")]
    found = the("printers_without_operator", reviewed(calm(shifts=[DAY, late], crews=crews), order("Mon 07:00")))
    assert (found.where, found.found) == ("p1 and p2", "nobody with printing in 40 h a week in which others work")
    assert "or teach printing to packers" in found.do


def test_machines_that_run_without_their_fitter() -> None:
    # The fitter comes from 11:00 to 15:30: 4 h a day without, 20 of 42.5.
    late = shift("late", "11:00-15:30")
    mends = {"repairs": [{"share_pct": 100, "hours": 1}], "repair_at": "workshop"}
    scenario = calm(
        shifts=[DAY, late], printers=[machine(breakdowns=mends), machine("p2")],
        work_centres=[centre("bench", seats=2), centre("workshop", "repair")],
        crews=[hand("op", "printing bench"), hand("fitter", "workshop", shift="late")],
    )  # fmt: skip
    found = the("hours_without_repair", reviewed(scenario, order("Mon 07:00")))
    assert found.where == "p1"
    assert found.found.startswith("nobody with workshop in 20 of the 42 h a week they run")


def test_shifts_beside_rules_guidance_and_overtime() -> None:
    # 06:00 to 14:00 without a break: over 6 h; 13 h from start to end with a break is guidance only, and 13.5 h leave
    # 10.5 h of rest once 30 min of overtime are worked.
    none = shift("none", "08:00-16:00")
    long = shift("long", "06:00-19:00", ("09:00-11:00", "12:00-15:00"))
    overtime = {"overtime": [{"crews": ["late_ones"], "when_queue_h": 1, "minutes": 30}]}
    crews = [hand("op", "printing bench"), hand("some", "bench", shift="none"), hand("others", "bench", shift="long")]
    findings = reviewed(calm(shifts=[DAY, none, long], crews=crews), order("Mon 07:00"))
    rule, advice = the("rest_below_rule", findings), the("rest_against_guidance", findings)
    assert (rule.where, rule.found) == (
        "shift none",
        "8 h without a break, one is due above 6 h; crews: some (2 people)",
    )
    assert rule.do == "plan a break into the shift; ask a competent person: local law and agreements rule"
    assert (rule.basis, rule.grade_text) == ("LAW-02", "cannot go on as it stands")
    assert advice.where == "shift long"
    assert advice.found.startswith("long shift 13 h, 12 h asked; long shifts in a row 5, 3 asked")
    assert advice.do.startswith("a shift shorter by 1 h; rotate sooner, forward: early, late, night; ask a competent")
    spread = shift("spread", "06:30-19:00", ("09:00-11:00", "12:00-15:00"))
    more = [hand("op", "printing bench"), hand("late_ones", "bench", shift="spread")]
    scenario = calm(
        shifts=[DAY, spread],
        crews=more,
        policies={**overtime, "overtime": [{**overtime["overtime"][0], "minutes": 60}]},
    )
    over = the("rest_with_overtime", reviewed(scenario, order("Mon 07:00")))
    # 06:30 to 20:00: 10.5 h until the next morning.
    assert over.found == "daily rest 10.5 h, 11 h asked; crews: late_ones (2 people)"
    assert over.do.startswith("less overtime, or begin 0.5 h later or end 0.5 h earlier between these shifts")


def test_a_break_too_short_and_people_who_may_be_night_workers() -> None:
    # 8 h of work with half an hour; nights of 9.5 h in a third of the shifts; a rest cut by Sunday midnight.
    agreed = {"policies": {"working_time": {"breaks": [{"above_h": 6, "least_min": 45}]}}}
    short = the("rest_below_rule", reviewed(calm(**agreed), order("Mon 07:00")))
    assert short.found == "8 h with 30 min of break, 45 min are due above 6 h; crews: op (2 people)"
    assert short.do.startswith("plan 15 min more of break into the shift; ask a competent")
    days = ["mon", "tue", "wed", "thu", "fri"]
    turns = (("06:00-14:00", "10:00-10:30"), ("14:00-22:00", "18:00-18:30"), ("21:00-07:00", "02:00-02:30"))
    weeks = [{"blocks": [{"days": days, "hours": at, "breaks": [pause]}]} for at, pause in turns]
    crews = [hand("op", "printing bench"), hand("turning", "bench", shift="turns")]
    findings = reviewed(calm(shifts=[DAY, {"id": "turns", "weeks": weeks}], crews=crews), order("Mon 07:00"))
    advice = the("rest_against_guidance", findings)
    assert (
        "night shift, if these people count as night workers 9.5 h, 8 h asked; crews: turning (2 people)"
        in advice.found
    )
    assert "settle who counts as a night worker; if they do, a night shift shorter by 1.5 h; ask a" in advice.do
    lates = {"days": [*days, "sat"], "hours": "14:00-22:00", "breaks": ["18:00-18:30"]}
    crews = [hand("op", "printing bench"), hand("late", "bench", shift="lates")]
    shifts = [DAY, {"id": "lates", "weeks": [{"blocks": [lates]}]}]
    cut = the("rest_against_guidance", reviewed(calm(shifts=shifts, crews=crews), order("Mon 07:00")))
    assert cut.found == (
        "weekly rest inside Monday to Sunday 26 h, 35 h asked (40 h whole, across the turn of the week); crews: late "
        "(2 people)"
    )
    assert cut.do.startswith("9 h more of the rest before Sunday midnight, where weeks are judged one by one; ask a")


def test_money_that_questions_will_need() -> None:
    scenario = calm(
        products=[product("banner", to_print(), price_per_m2=0), product("job", step("work", "bench", 1))],
        printers=[machine(money={"price": 0, "life_years": 7}), machine("p2", money={"price": 5})],
        money={"late_penalty_pct": 0},
        crews=[{**hand("op", "printing bench")}, {"id": "new", "count": 2, "skills": {"bench": 3}, "shift": "day"}],
    )  # fmt: skip
    findings = reviewed(scenario, order("Mon 07:00"))
    assert ids(findings) == ["sold_for_nothing", "late_costs_nothing", "machine_costs_nothing", "money_by_default"]
    assert [each.where for each in findings[:3]] == ["banner", "money", "p1"]
    assert findings[3].found == ("not in the file, so the handbook's: price of job; wage of new; years of life of p2")


def test_worst_first_by_grade_then_kind_then_size() -> None:
    given = [Finding("money_by_default", "m", "", "", ""), Finding("overfull_week", "a", "", "", "", 1.1),
             Finding("overfull_week", "b", "", "", "", 1.3), Finding("never_keeps_up", "c", "", "", "")]  # fmt: skip
    assert [each.where for each in worst_first(given)] == ["c", "b", "a", "m"]


def test_kinds_have_ids_of_their_own_and_stand_by_grade() -> None:
    assert len({kind.id for kind in KINDS}) == len(KINDS)
    assert [kind.grade for kind in KINDS] == sorted(kind.grade for kind in KINDS)
    assert {kind.grade for kind in KINDS} == set(range(len(GRADES)))


@pytest.mark.parametrize(
    ("names", "text"), [("a", "a"), ("ab", "a and b"), ("abcd", "a, b, c and d"), ("abcdef", "a, b, c and 3 more")]
)
def test_long_lists_of_names_are_cut(names: str, text: str) -> None:
    assert named(list(names)) == text


def test_what_can_never_keep_up_tells_its_worst_week() -> None:
    # 50 h in the first week, 45 h in the second, for 40 h of one packer in each.
    orders = order("Mon 07:00", "job", pieces=300), order("Mon2 07:00", "job", pieces=270)
    found = the("never_keeps_up", reviewed(calm(**FORTY, study={"weeks": 2}), *orders))
    assert found.found == (
        "47.5 h a week asked, 40.0 h there: 7.5 hours of people a week missing, 10.0 h in the worst week"
    )
