"""Names made safe and short, numbers with their intervals, and tables that do not do."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from shopsim.errors import InputError
from shopsim.pictures.columns import checked
from shopsim.pictures.text import between, change, counted, escaped, label, listed, number, per_cent, unbroken, wrapped


def test_markup_in_names_is_text() -> None:
    assert escaped('<a href="x">R&D</a>\n') == '&lt;a href="x"&gt;R&amp;D&lt;/a&gt; '
    assert label("<b>big_one</b>") == "&lt;b&gt;big one&lt;/b&gt;"


def test_a_long_name_is_cut_in_its_middle_before_it_is_escaped() -> None:
    assert label("abcdefghijklmnopqrstuvwxyz", 12) == "abcdefg…wxyz"
    assert label("<<<<<<<<<<<<<<<<<<<<<<<<<<", 4) == "&lt;&lt;…&lt;"


def test_a_long_name_takes_several_lines() -> None:
    assert wrapped("A printer_with <a longer> plate", 14) == "A printer with<br>&lt;a longer&gt;<br>plate"
    assert wrapped("short") == "short"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0, "0 %"), (1, "100 %"), (0.814, "81 %"), (0.004, "0.4 %"), (0.0001, "under 0.1 %"),
     (0.9999, "over 99.9 %"), (0.996, "99.6 %"), (1.46, "146 %"), (math.nan, "-")],
)  # fmt: skip
def test_per_cent(share: float, text: str) -> None:
    assert per_cent(share) == text


def test_numbers_in_words() -> None:
    assert between(0.81, 0.78, 0.84, 100) == "81 (78 to 84)"
    assert between(0.81, None, None, 100) == "81"
    assert between(0.81, math.nan, math.nan, 100) == "81"
    assert change(0.15, 0.12, 0.18, 100) == "+15 (+12 to +18)"
    assert change(-3.0, None, None) == "−3"
    assert (number(-240_106), number(-2.5), number(12)) == ("−240,000", "−2.50", "12")
    assert (counted(1, "order"), counted(1200, "order")) == ("1 order", "1,200 orders")
    assert (listed([]), listed(["a"]), listed("abc")) == ("", "a", "a, b and c")


def test_a_table_is_taken_with_gaps_where_they_may_be() -> None:
    table = pd.DataFrame({"id": [1, "b"], "x": [1, "2.5"], "gap": [None, 3]}, index=[7, 9])
    found = checked(table, "picture", ["id"], ["x"], ["gap"], ["low"])
    assert found["id"].tolist() == ["1", "b"]
    assert found["x"].tolist() == [1.0, 2.5]
    assert found["gap"].tolist()[1] == 3 and math.isnan(found["gap"][0])
    assert found["low"].isna().all()


def test_everything_wrong_with_a_table_is_told_at_once() -> None:
    table = pd.DataFrame({"x": [1, "many"], "y": [None, 2], "low": [1, "few"]})
    with pytest.raises(InputError) as fault:
        checked(table, "picture", ["id"], ["x", "y"], may_miss=["low"])
    assert str(fault.value).splitlines() == [
        "picture: id: this column is missing; the table has x, y, low",
        "picture:2: x: must be a number, found 'many'",
        "picture:1: y: must be a number, found nothing",
        "picture:2: low: must be a number, found 'few'",
    ]


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("95 % interval", "95_% interval"),
        ("0.8 m instead of 0.5 m²", "0.8_m instead of 0.5_m²"),
        ("worth −446,000 CU, after 3 years", "worth −446,000_CU, after 3_years"),
        ("3.2 m printer, 7 mats, 12 orders, 3 months", "3.2_m printer, 7 mats, 12 orders, 3 months"),
        ("195 °C in 1 s", "195_°C in 1_s"),
        ("+5 (+3 to +7), (from here to there)", "+5 (+3_to_+7), (from here to there)"),
    ],
)
def test_a_number_stays_with_its_unit(text: str, kept: str) -> None:
    assert unbroken(text) == kept.replace("_", "\u00a0")
