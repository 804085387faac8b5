"""Known shops found again from ugly records: `python -m tests.evidence.recovery --studies 25 --first 0 --out FILE`.

Each study simulates half a year of the shop in `recorded_shop` under its own seed, writes its order list, printer log
and work log as an ugly export, reads them by their mappings and fits a shop believed to be otherwise. A row says which
true values lay inside their 95 % intervals (1) or outside (0); empty is what could not be fitted.
"""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from pathlib import Path

from shopsim.distributions import Gamma, LogNormal
from shopsim.shop.exports.reading import read_export
from shopsim.studies.fit_estimates import Estimate
from shopsim.studies.fit_found import Doubt, Fitted
from shopsim.studies.fit_rounded_up import rounded_up_mean
from shopsim.studies.fit_shop import ShopFit, fit_shop
from tests.evidence.recorded_shop import believed_shop, maps, true_shop, write_records
from tests.evidence.slices import HERE, append, arguments, at_least, read

RESULTS = HERE / "recovery.csv"
PROMISED = 0.95
_PRESS = "printers.press"
# What an interval is about, and its true value; by path, or by words where nothing is written.
TRUTH = {
    "demand.forecast.orders_per_week": 40.0,
    "demand.forecast.day_to_day_dispersion": 1.9,
    # The handbook's week (DEM-16) and day (DEM-17), as the file has them.
    "demand.forecast.weekday_shares[0]": 21.0,
    "demand.forecast.weekday_shares[1]": 22.0,
    "demand.forecast.weekday_shares[4]": 14.0,
    "demand.forecast.hour_shares[8]": 7.0,
    "demand.forecast.hour_shares[10]": 13.0,
    "demand.forecast.hour_shares[15]": 12.0,
    "demand.forecast.rush_pct": 20.0,
    "demand.forecast.mix": 65.0,
    "demand.forecast.lines_per_order": 1.4,
    "demand.forecast.lead_days": 6.0,
    "demand.artwork.new_file_pct": 60.0,
    "demand.cancellations.before_print_pct": 5.0,
    "demand.cancellations.after_print_pct": 1.0,
    "pieces a line of frame, mean": rounded_up_mean(LogNormal(1.8, 5.0)),
    "pieces a line of light, mean": rounded_up_mean(Gamma(2.2, 0.8)),
    "products.frame.sizes": 70.0,
    f"{_PRESS}.modes.fast.achieved_share": 0.86,
    f"{_PRESS}.modes.fine.achieved_share": 0.8,
    f"{_PRESS}.roll_change.full_min": 24.0,
    f"{_PRESS}.nozzle_check.minutes": LogNormal(3.0, 5.0).mean,
    f"{_PRESS}.nozzle_check.fails_pct": 14.0,
    f"{_PRESS}.nozzle_check.fails_after_idle_pct": 40.0,
    f"{_PRESS}.minor_stops.every_running_h": 4.0,
    f"{_PRESS}.breakdowns.every_running_h": 35.0,
    f"{_PRESS}.breakdowns.repairs": 3.0,
    "crews.sewers.efficiency_pct": 82.0,
    "work_centres.sewing.set_up_min": 3.0,
    # Basic minutes of a hem (SEW-14) at an efficiency of 82 %; all corners are on pieces.
    "minutes a bundle, its set-up, at sewing, hem": 3.0 / 0.82,
    "minutes a metre at sewing, hem": 0.30 / 0.82,
    "minutes a piece and its corners at sewing, hem": (1.0 + 4 * 0.30) / 0.82,
    "policies.quality.print_fault_pct": 9.0,
    "policies.quality.sewing_fault_pct": 5.0,
    "policies.quality.cut_loss_pct": 2.0,
}
HEADING = ("study", *TRUTH)


def fit_of(seed: int, weeks: float = 26.0) -> ShopFit:
    """The fit of the records of one shop."""
    with tempfile.TemporaryDirectory() as folder:
        paths = write_records(Path(folder), true_shop(seed, weeks))
        rows = {name: [row.values for row in read_export(paths[name], map_).usable] for name, map_ in maps().items()}
    return fit_shop(believed_shop(), **rows)


def inside(fit: ShopFit) -> dict[str, bool]:
    """Whether each true value lies in its interval."""
    found: dict[str, Estimate | Doubt] = {_name(one): one.estimate for one in fit.fitted}
    found |= {doubt.path: doubt for one in fit.fitted for doubt in one.doubts if "[" in doubt.path}
    return {name: found[name].low <= true <= found[name].high for name, true in TRUTH.items() if name in found}


def _name(one: Fitted) -> str:
    return one.path or one.about


def studies(first: int, count: int) -> Iterator[tuple[object, ...]]:
    """A row a study."""
    for seed in range(first, first + count):
        held = inside(fit_of(seed))
        yield seed, *(int(held[name]) if name in held else "" for name in TRUTH)


def kept(path: Path = RESULTS) -> dict[str, tuple[int, int]]:
    """How often each true value lay inside, of how many fits."""
    rows = read(path)
    told = {name: [row[name] for row in rows if row[name]] for name in TRUTH}
    return {name: (sum(map(int, each)), len(each)) for name, each in told.items()}


def summary(path: Path = RESULTS) -> str:
    """What the results say, a line a value and one for all."""
    each = kept(path)
    hits, n = (sum(column) for column in zip(*each.values(), strict=True))
    luck = 0.01 / len(TRUTH)
    lines = [f"{name}: {hit} of {of}, at least {at_least(PROMISED, of, luck)} must" for name, (hit, of) in each.items()]
    return "\n".join([*lines, f"all: {hits} of {n}, {hits / n:.1%}"])


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 25)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
