"""The order of fabrics by changeover: check C-07, and the heating of a plate as the floor runs it.

C-07: TSPLIB (G. Reinelt, ORSA Journal on Computing 3 (1991) 376-384), asymmetric instance br17, optimum 39; matrix and
optimum confirmed in public repositories, optimum proved by dynamic programming. All values exact.
"""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from shopsim.craft.changeovers import best_changeover_order, changeover_total, nearest_changeover_order
from shopsim.craft.fixation import stabilise_min
from shopsim.floor.record import STATE, RunLog
from tests.published.data_folder import rows
from tests.stories.shops import crew, fabric, order, print_shop, printer, product, run, to_print


def test_br17() -> None:
    cost = rows("br17.csv")
    best = best_changeover_order(cost, back_to_first=True)
    assert sorted(best) == list(range(17))
    assert changeover_total(best, cost, back_to_first=True) == 39
    assert changeover_total(range(17), cost, back_to_first=True) == 167
    assert changeover_total([0, *range(16, 0, -1)], cost, back_to_first=True) == 171
    nearest = nearest_changeover_order(cost)
    assert changeover_total(nearest, cost, back_to_first=True) == 92
    transposed = list(zip(*cost, strict=True))
    assert changeover_total(best_changeover_order(transposed, back_to_first=True), transposed, back_to_first=True) == 39


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("back_to_first", [False, True])
def test_the_exact_order_is_the_best_of_all(seed: int, back_to_first: bool) -> None:
    rng = random.Random(seed)
    cost = [[float(rng.randint(0, 99)) for _ in range(6)] for _ in range(6)]
    first = seed % 6
    every = [p for p in permutations(range(6)) if p[0] == first]
    best = best_changeover_order(cost, first, back_to_first)
    assert best[0] == first
    least = min(changeover_total(p, cost, back_to_first) for p in every)
    assert changeover_total(best, cost, back_to_first) == least


@pytest.mark.parametrize(
    ("cost", "first", "message"),
    [
        ([[0, 1], [1]], 0, "cost must be square: one row and one column for each entry"),
        ([], 0, "cost must be square: one row and one column for each entry"),
        ([[0, 1], [1, 0]], 2, "first must be from 0 to 1, found 2"),
    ],
)
def test_impossible_costs_are_refused(cost: list[list[float]], first: int, message: str) -> None:
    for order_of in (best_changeover_order, nearest_changeover_order):
        with pytest.raises(ValueError) as caught:
            order_of(cost, first)
        assert str(caught.value) == message


def test_the_exact_order_has_its_limit() -> None:
    with pytest.raises(ValueError) as caught:
        best_changeover_order([[1.0] * 18] * 18)
    assert str(caught.value) == "an exact order is for at most 17 entries, found 18"


PLATES_C = [190, 160, 200, 175]


def plate_minutes() -> list[list[float]]:
    """Heating 4 min and cooling 8 min per 10 degrees (handbook FIX-14): there and back cost differently."""
    return [[stabilise_min(a, b, 4.0, 8.0) for b in PLATES_C] for a in PLATES_C]


@pytest.mark.parametrize("planned", [[0, 1, 2, 3], [1, 3, 0, 2], [2, 0, 3, 1]])
def test_the_printer_pays_the_changeovers_of_its_list(planned: list[int]) -> None:
    log = print_by_list(planned)
    spans = log.table("printer_states")
    heating = spans[spans[:, 1] == STATE["set_point"]]
    assert sum(heating[:, 3] - heating[:, 2]) == pytest.approx(changeover_total(planned, plate_minutes()), abs=1e-9)
    runs = log.table("runs")
    assert runs[:, 2].tolist() == planned


def test_the_cheapest_order_of_fabrics_climbs_from_the_coldest_plate() -> None:
    cost = plate_minutes()
    totals = {p: changeover_total(p, cost) for p in permutations(range(4)) if p[0] == 0}
    best = best_changeover_order(cost, first=0)
    assert totals[tuple(best)] == min(totals.values())
    # From 190: up to 200, then down to 175 and 160 costs 4 + 20 + 12; the cold end first costs 24 + 6 + 10.
    assert (best, min(totals.values())) == ([0, 2, 3, 1], 36)
    assert changeover_total([0, 1, 3, 2], cost) == 40


def print_by_list(planned: list[int]) -> RunLog:
    """One order for each fabric, all there before the shift, printed in the planned order."""
    names = [f"cloth{i}" for i in range(4)]
    machine = printer(
        fixation={"kind": "inline", "plate_m": 0.8, "tail_m": 3.0, "warm_up_min": 20.0, "up_min_per_10c": 4.0,
                  "down_min_per_10c": 8.0},
        roll_change={"full_min": 0.0},
    )  # fmt: skip
    scenario = print_shop(
        fabrics=[fabric(name, plate_c=float(plate)) for name, plate in zip(names, PLATES_C, strict=True)],
        printers=[machine],
        crews=[crew("op", "printing")],
        products=[product(f"on_{name}", to_print(), fabric=name) for name in names],
        policies={"sequences": [{"at": "p1", "orders": [names[i] for i in planned]}]},
    )
    return run(scenario, *(order("Mon 06:00", f"on_{name}", order_id=name) for name in names))


def test_a_list_of_one_has_one_order() -> None:
    assert best_changeover_order([[0.0]]) == [0]
