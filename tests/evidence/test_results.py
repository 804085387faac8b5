"""The results kept here keep what studies promise; each script makes them again, slice by slice."""

from __future__ import annotations

import re

from tests.evidence import common_random_numbers, crews, promises
from tests.evidence.slices import at_least, done_within, read


def test_erlang_c_by_hand() -> None:
    # One server, 2 an hour of 3: the time in the shop is exponential of 1 an hour (W. J. Stewart, Probability, Markov
    # Chains, Queues, and Simulation, Princeton, 2009, section 11.2; from memory).
    assert round(done_within(1, 2.0, 1.0), 6) == 0.632121
    # 400 chances of 95 %: the first percentile is 369, by the normal with a half 380 - 2.326 x 4.359 - 0.5.
    assert at_least(0.95, 400) == 369


def test_the_right_crew_is_named_as_often_as_promised() -> None:
    rows = read(crews.RESULTS)
    right = sum(row["crew"] == str(crews.RIGHT) for row in rows)
    assert len(rows) >= 100
    assert right >= at_least(0.95, len(rows))
    assert crews.summary().startswith(f"{right} of {len(rows)} studies name the right crew;")


def test_the_same_orders_save_as_much_as_wanted() -> None:
    found = re.findall(r"(\w+), lead_time_mean_h: factor ([\d.]+) over (\d+) rep", common_random_numbers.summary())
    factors = {option: (float(factor), int(count)) for option, factor, count in found}
    assert factors["printer"][0] >= 8 and factors["printer"][1] >= 200
    assert factors["sewer"][0] >= 2.5 and factors["sewer"][1] >= 200


def test_promises_are_kept_as_often_as_told() -> None:
    n, kept, _ = promises.at_80()
    assert len({row["morning"] for row in read(promises.RESULTS)}) >= 200
    assert 0.75 <= kept / n <= 0.85
    # Decile by decile within three standard errors, taken ten times wider than of independent orders: those of one
    # morning share its luck.
    for told, of, out in promises.told_and_found():
        assert abs(out / of - told) < 0.1
    assert promises.summary().startswith("200 mornings; promised at 80 % (75 to 85): ")


def test_a_morning_told_again_gives_the_promises_kept_here() -> None:
    told = [row for row in read(promises.RESULTS) if row["morning"] == "0"]
    found = [dict(zip(promises.HEADING, map(str, row), strict=True)) for row in promises.morning(0, promises.FLAGS)]
    assert found == told
