"""Products compiled for the floor: each route step with its station, its minutes and its random factors."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple
from zlib import crc32

import numpy as np

from shopsim.distributions import Distribution, Fixed
from shopsim.floor.draws import ReplicationDraws, Sampler, SumTable
from shopsim.floor.record import KIND
from shopsim.shop.materials import Fabric
from shopsim.shop.products import Cut, FrameFit, Iron, Operation, Print, Product, Rest, Rods, Sew, Work
from shopsim.shop.route_times import WebPieces, people_needed, piece_minutes, web_pieces, web_width_m
from shopsim.shop.scenario import Scenario
from shopsim.shop.work_centres import WorkCentre

if TYPE_CHECKING:
    from shopsim.floor.stations import Station

_ONE_SHEET = WebPieces((), 0, 0.0)


class Step:
    """One step after printing. `base` minutes of a piece come per order line, the factors by piece from a table."""

    __slots__ = (
        "_draws", "_purpose", "_sampler", "_set_up", "_tables", "centre", "family", "fixed_set_up", "kind", "op",
        "station",
    )  # fmt: skip

    def __init__(self, op: Operation, position: int, plan: str, centre: WorkCentre | None,
                 station: Station | None, draws: ReplicationDraws, family: int) -> None:  # fmt: skip
        self.op = op
        self.kind = KIND[op.op]
        self.centre = centre
        self.station = station
        self.family = family
        self._draws = draws
        self._purpose = f"work/{plan}/{position} {op.op}"
        self._sampler = _sampler(op, centre)
        self._tables: list[SumTable] = []
        set_up = centre.set_up_min if centre is not None else Fixed(0.0)
        self.fixed_set_up = set_up.value if isinstance(set_up, Fixed) else 0.0
        self._set_up = None if isinstance(set_up, Fixed) else set_up

    def base_minutes(self, width_m: float, height_m: float, web: WebPieces) -> float:
        """Standard minutes of one piece before random factors; 1 where the factors are the minutes themselves."""
        if isinstance(self.op, Print | Rest):
            return 0.0
        if self.op.minutes is not None:
            return self.op.minutes.value if isinstance(self.op.minutes, Fixed) else 1.0
        assert self.centre is not None
        spread = self.centre.spread
        factor = spread.value if isinstance(spread, Fixed) else 1.0
        return piece_minutes(self.op, self.centre, width_m, height_m, web) * factor

    def minutes(self, base: float, pieces: Sequence[int], attempt: int) -> float:
        """Standard minutes of these pieces, set-up of the bundle included; 0 if no piece needs the step."""
        count = len(pieces)
        if self._sampler is None:
            work = base * count
        elif pieces[-1] - pieces[0] + 1 == count:
            work = base * self._table(attempt).total(pieces[0], count)
        else:
            table = self._table(attempt)
            work = base * sum(table.total(piece, 1) for piece in pieces)
        if work <= 0.0 and not isinstance(self.op, Work):
            return 0.0
        if self._set_up is not None:
            work += self._draws.sums(f"{self._purpose}/set-up", attempt, self._set_up.sample).total(pieces[0], 1)
        return work + self.fixed_set_up

    def _table(self, attempt: int) -> SumTable:
        assert self._sampler is not None
        tables = self._tables
        while len(tables) <= attempt:
            tables.append(self._draws.sums(self._purpose, len(tables), self._sampler))
        return tables[attempt]


def _sampler(op: Operation, centre: WorkCentre | None) -> Sampler | None:
    """Random factor of a piece: minutes given directly, or the centre's spread, zero for pieces spared the step."""
    if centre is None or isinstance(op, Print | Rest):
        return None
    spread: Distribution = op.minutes if op.minutes is not None else centre.spread
    share = op.share_pct / 100 if isinstance(op, Iron | Rods | FrameFit) else 1.0
    if share >= 1.0:
        return None if isinstance(spread, Fixed) else spread.sample
    factor: Distribution = Fixed(1.0) if isinstance(spread, Fixed) else spread

    def sample(rng: np.random.Generator, n: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        chosen = rng.random(n) < share
        return np.where(chosen, factor.sample(rng, n), 0.0)

    return sample


class SizeFacts(NamedTuple):
    """What follows from a finished size: prints, (base minutes, people) of each step, and how prints take up the web.

    `web_m_each` is the web a piece takes when it is filled across with its like: enough to size a run before nesting.
    """

    web: WebPieces
    steps: list[tuple[float, int]]
    web_m_each: float
    longest_m: float
    narrowest_m: float


class ProductPlan:
    """A product on the floor. `steps` leaves printing out; line facts by finished size are worked out once.

    `name` keys its tables of random numbers: the product's id, or another one for a hire fleet, whose pieces must share
    rows with nobody else's.
    """

    def __init__(self, index: int, product: Product, scenario: Scenario, stations: Mapping[str, Station],
                 draws: ReplicationDraws, name: str) -> None:  # fmt: skip
        self.index = index
        self.model = product
        self.name = name
        self._overlap_m = scenario.supplies.panel_overlap_m
        self.fabric: Fabric | None = scenario.by_id("fabrics")[product.fabric] if product.fabric else None
        self.fabric_index = [f.id for f in scenario.fabrics].index(product.fabric) if product.fabric else -1
        centres: dict[str, WorkCentre] = scenario.by_id("work_centres")
        self.print_step = product.print_step
        self._web_m = web_width_m(scenario, product) if self.print_step is not None else 0.0
        self.steps: list[Step] = []
        for position, op in enumerate(product.route):
            if isinstance(op, Print):
                continue
            at = None if isinstance(op, Rest) else op.at
            family = _family(op, index)
            centre, station = (centres[at], stations[at]) if at else (None, None)
            self.steps.append(Step(op, position, self.name, centre, station, draws, family))
        self._facts: dict[tuple[float, float], SizeFacts] = {}

    def facts(self, width_m: float, height_m: float) -> SizeFacts:
        """What follows from a finished size."""
        key = (width_m, height_m)
        found = self._facts.get(key)
        if found is None:
            found = self._facts[key] = self._work_out(width_m, height_m)
        return found

    def _work_out(self, width_m: float, height_m: float) -> SizeFacts:
        web = _ONE_SHEET
        if self.print_step is not None and self.fabric is not None:
            web = web_pieces(self.model, self.fabric, self._web_m, self._overlap_m, width_m, height_m)
        steps = []
        for step in self.steps:
            people = 1
            if step.centre is not None and width_m and height_m:
                people = people_needed(step.op, step.centre, width_m, height_m)
            steps.append((step.base_minutes(width_m, height_m, web), people))
        fabric = self.fabric
        roll_m, may_turn = (fabric.roll_width_m, fabric.may_turn) if fabric is not None else (1.0, False)
        return SizeFacts(
            web, steps,
            sum(size.along_m / max(1, int(roll_m / size.across_m)) for size in web.sizes),
            max((max(size) if may_turn else size.along_m for size in web.sizes), default=0.0),
            max((min(size) if may_turn else size.across_m for size in web.sizes), default=0.0),
        )  # fmt: skip


def _family(op: Operation, product_index: int) -> int:
    """What a seat must be set up for: the edges sewn, else the product; cutters look at the printed run instead."""
    if isinstance(op, Sew):
        # A string's own hash would change between processes.
        edges: list[str] = sorted(set(op.sides().values()))
        return crc32(" ".join(edges).encode())
    return -1 if isinstance(op, Cut) else product_index
