"""Facts shared by the audit and all measures of a replication give the numbers that each would find alone."""

import numpy as np
import pytest

from shopsim.measures.audit import audit_of
from shopsim.measures.bottleneck import constraint_shares, constraints_from
from shopsim.measures.costs import costs_from, costs_of
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Window
from shopsim.measures.kpis import measures_from, measures_of
from shopsim.measures.lead_times import lead_days_at, lead_days_from
from shopsim.measures.over_time import due_by_week, due_by_week_from, in_shop_by_day, in_shop_by_day_from
from shopsim.measures.summaries import web_table, web_table_from
from shopsim.measures.time_split import time_split, time_split_from
from shopsim.measures.why_late import why_late, why_late_from
from tests.measures.test_simulated_shops import shop


@pytest.mark.parametrize("seed", range(4))
def test_numbers_do_not_depend_on_what_was_asked_before(seed: int) -> None:
    scenario, log = shop(seed)
    facts = Facts(log, scenario)
    assert audit_of(facts) == []
    assert repr(measures_from(facts)) == repr(measures_of(log, scenario))
    assert constraints_from(facts) == constraint_shares(log, scenario)
    assert in_shop_by_day_from(facts) == in_shop_by_day(log, scenario)
    assert due_by_week_from(facts) == due_by_week(log, scenario)
    assert lead_days_from(facts) == lead_days_at(log, scenario)
    for shared, alone in ((time_split_from, time_split), (web_table_from, web_table), (why_late_from, why_late)):
        assert shared(facts).to_csv() == alone(log, scenario).to_csv()


def test_another_window_of_the_same_run_takes_nothing_of_the_first_one() -> None:
    scenario, log = shop(1)
    facts = Facts(log, scenario)
    audit_of(facts)
    measures_from(facts)
    half = Window(log.warm_up_min, (log.warm_up_min + log.horizon_min) / 2)
    assert costs_from(facts.within(half)) == costs_of(log, scenario, half)
    assert repr(measures_from(facts.within(half))) == repr(measures_from(Facts(log, scenario, half)))


def test_what_is_worked_out_once_is_the_same_at_the_second_asking() -> None:
    scenario, log = shop(0)
    facts, asked = Facts(log, scenario), []

    def rows(facts: Facts) -> int:
        asked.append(facts)
        return facts.rows("orders")

    assert facts.once(rows) == facts.once(rows) == len(log.table("orders"))
    assert asked == [facts]


def test_shared_columns_cannot_be_changed_in_place() -> None:
    scenario, log = shop(0)
    facts = Facts(log, scenario)
    for values in (facts.column("orders", "due"), facts.code("orders", "order")):
        with pytest.raises(ValueError) as error:
            values += np.ones(len(values), dtype=values.dtype)
        assert str(error.value) == "output array is read-only"
