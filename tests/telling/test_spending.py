"""What a change costs, in a line: every number that counts, and what there is none of."""

from shopsim.sentences.spending import spending_told
from shopsim.studies.cash_flow import Spending


def test_all_that_is_paid_is_told() -> None:
    spending = Spending(230_000, 7, 44_000, -1_200, 40, 30, 4, 0.75)
    assert spending_told(spending, "CU") == (
        "230,000 CU at the start, in use for 7 years, 44,000 CU at resale, 40 hours of training, "
        "4 weeks at 75 % of its gain until in full use, 1,200 CU less a year"
    )


def test_what_there_is_none_of_is_told_as_well() -> None:
    assert spending_told(Spending(0, 7.5), "CU") == (
        "nothing paid at the start, in use for 7.5 years, no resale, no training"
    )
    assert spending_told(Spending(1, 7, per_year_cu=600), "CU").endswith("no training, 600 CU more a year")
