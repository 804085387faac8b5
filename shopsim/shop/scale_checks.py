"""Whether a shop is of a size that a computer can run: a slip of some zeros must not fill the memory."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.shop.model_paths import Path
from shopsim.shop.scenario import Scenario

Fault = tuple[Path, str]

# A shop of forty people makes some 400,000 pieces a year, an order line of a roll-out some thousands.
MOST_PIECES = 20_000_000
MOST_PIECES_A_LINE = 100_000
MOST_LINES_AN_ORDER = 10_000
_WEEKS_A_MONTH = 365.25 / 7 / 12


def check_scale(scenario: Scenario) -> Iterator[Fault]:
    """The pieces a forecast brings over the whole horizon, and on one order line, must be countable."""
    forecast = scenario.demand.forecast
    if forecast is None:
        return
    path: Path = ("demand", "forecast")
    weeks = scenario.horizon_min / MINUTES_PER_WEEK
    lines = max(1.0, forecast.lines_per_order.mean)
    shares = sum(line.share_pct for line in forecast.mix)
    pieces_a_line = sum(line.share_pct * max(1.0, line.pieces.mean) for line in forecast.mix) / shares
    pieces = weeks * forecast.orders_per_week * lines * pieces_a_line
    for i, campaign in enumerate(forecast.campaigns):
        pieces += weeks * campaign.per_month / _WEEKS_A_MONTH * max(1.0, campaign.pieces.mean)
        yield from _check_line((*path, "campaigns", i, "pieces"), campaign.pieces.mean)
    for i, line in enumerate(forecast.mix):
        yield from _check_line((*path, "mix", i, "pieces"), line.pieces.mean)
    if lines > MOST_LINES_AN_ORDER:
        yield (*path, "lines_per_order"), f"must be at most {MOST_LINES_AN_ORDER} on average, found {lines:g}"
    if pieces > MOST_PIECES:
        yield path, f"brings {pieces:.3g} pieces in {weeks:g} weeks; at most {MOST_PIECES:.3g} can be simulated"


def _check_line(path: Path, mean: float) -> Iterator[Fault]:
    if mean > MOST_PIECES_A_LINE:
        yield path, f"must be at most {MOST_PIECES_A_LINE} pieces on average, found {mean:g}"
