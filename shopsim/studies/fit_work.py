"""Work after the printer from its log: minutes against standard minutes, sewers' pace, pieces rejected.

Minutes of a bundle are set-up + slope × standard minutes, errors in proportion to the work, outliers eased
(`fit_estimates.robust_line`). The slope is the crew's efficiency. What a seam takes is told as well (`fit_seams`).
"""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

import numpy as np

from shopsim.craft.sewers import skill_speed
from shopsim.shop.people import Crew
from shopsim.shop.products import FrameFit, Iron, Print, Product, Rest, Rods, Sew
from shopsim.shop.route_times import WebPieces, people_needed, piece_minutes, web_pieces, web_width_m
from shopsim.shop.scenario import Scenario
from shopsim.shop.work_centres import WorkCentre
from shopsim.studies._checks import error_share
from shopsim.studies.fit_estimates import Estimate, normal_quantile, robust_line, share_of
from shopsim.studies.fit_found import Findings, Fitted, doubt_of, short
from shopsim.studies.fit_seams import LEAST_BUNDLES, Bundle, fit_seams
from shopsim.studies.quantiles import quantile_interval

Row = Mapping[str, Any]
Net = Callable[[str, datetime.datetime, datetime.datetime], float]
_LEAST_PERSON, _LEAST_REJECTS = 15, 200
_MOST_EFFICIENCY_PCT = 200.0
_WHOLE = WebPieces((), 0, 0.0)


def fit_work(rows: Iterable[Row], scenario: Scenario, net: Net, confidence_pct: float) -> Findings:
    """Efficiency and set-up of each place's crew, their pace, and faults; `net` gives a place's open minutes."""
    found = Findings()
    centres: dict[str, WorkCentre] = scenario.by_id("work_centres")
    by_place: dict[str, list[Row]] = {}
    for row in rows:
        by_place.setdefault(row["place"], []).append(row)
    efficiency: dict[str, tuple[int, Findings]] = {}
    for place, listed in by_place.items():
        if place not in centres:
            found.left.append(f"place {place!r}: {len(listed)} rows of the work log, not in the scenario")
            continue
        bundles, bare = _bundles(listed, scenario, centres[place], net)
        if bare:
            found.left.append(f"place {place}: {bare} of {bare + len(bundles)} bundles without pieces or minutes")
        made = _pace(bundles, scenario, centres[place], confidence_pct)
        crew = _home_crew(scenario, centres[place])
        # One crew may work at several places: the place with most bundles speaks for it.
        if crew is not None and made.fitted and len(bundles) > efficiency.get(crew.id, (0, found))[0]:
            efficiency[crew.id] = (len(bundles), made)
        elif not made.fitted:
            found.add(made)
        found.add(fit_seams(bundles, centres[place], confidence_pct))
    for _, made in efficiency.values():
        found.add(made)
    found.add(_rejects(by_place, scenario, confidence_pct))
    return found


def _bundles(rows: Sequence[Row], scenario: Scenario, centre: WorkCentre, net: Net) -> tuple[list[Bundle], int]:
    """Bundles by their tickets, and how many say too little."""
    grouped: dict[Any, list[Row]] = {}
    for i, row in enumerate(rows):
        ticket = row.get("ticket")
        grouped.setdefault(("ticket", ticket) if ticket else ("row", i), []).append(row)
    made = []
    for group in grouped.values():
        minutes = sum(
            float(row["minutes"]) if row.get("minutes") is not None else net(centre.id, row["start"], row["end"])
            for row in group
        )
        first = group[0]
        pieces = max(int(row.get("pieces") or 0) for row in group)
        if minutes <= 0 or not pieces:
            continue
        standard, edge = _standard(first, scenario, centre)
        metres, corners = first.get("metres"), first.get("corners")
        sides = first.get("width_m"), first.get("height_m")
        if metres is None and corners is None and edge is not None and sides[0] and sides[1]:
            # All four sides of each piece, where the log has sizes only.
            metres, corners = 2 * (sides[0] + sides[1]) * pieces, 4 * pieces
        persons = tuple(dict.fromkeys(str(row["person"]) for row in group if row.get("person")))
        made.append(Bundle(minutes, pieces, persons, None if standard is None else standard * pieces,
                           metres, corners, edge))  # fmt: skip
    return made, len(grouped) - len(made)


def _standard(row: Row, scenario: Scenario, centre: WorkCentre) -> tuple[float | None, str | None]:
    """Standard minutes of one piece of a row at a place, by the scenario; and the edge, where it is one."""
    product: Product | None = scenario.by_id("products").get(row.get("product", ""))
    if product is None:
        return None, None
    ops = [op for op in product.route if not isinstance(op, Print | Rest) and op.at == centre.id]
    if len(ops) != 1 or (isinstance(ops[0], Iron | Rods | FrameFit) and ops[0].share_pct < 100):
        return None, None
    op = ops[0]
    assert not isinstance(op, Print | Rest)  # left out above
    width, height = row.get("width_m"), row.get("height_m")
    if (width is None or height is None) and len(product.sizes) == 1:
        width, height = product.sizes[0].width_m, product.sizes[0].height_m
    edge = op.all_edges if isinstance(op, Sew) else None
    if op.minutes is not None:
        return op.minutes.mean, edge
    if width is None or height is None or people_needed(op, centre, width, height) > 1:
        return None, edge
    return piece_minutes(op, centre, width, height, _web(scenario, product, width, height)), edge


def _web(scenario: Scenario, product: Product, width: float, height: float) -> WebPieces:
    if product.print_step is None or product.fabric is None:
        return _WHOLE
    fabric = scenario.by_id("fabrics")[product.fabric]
    overlap = scenario.supplies.panel_overlap_m
    try:
        return web_pieces(product, fabric, web_width_m(scenario, product), overlap, width, height)
    except ValueError:
        return _WHOLE


def _home_crew(scenario: Scenario, centre: WorkCentre) -> Crew | None:
    """The one crew whose first skill is this place's; None where several share it."""
    crews = [crew for crew in scenario.crews if crew.home_skill == centre.needed_skill]
    return crews[0] if len(crews) == 1 else None


def _pace(bundles: Sequence[Bundle], scenario: Scenario, centre: WorkCentre, confidence_pct: float) -> Findings:
    known = [bundle for bundle in bundles if bundle.standard_min]
    crew = _home_crew(scenario, centre)
    if crew is None or len(known) < LEAST_BUNDLES:
        why = f"{len(known)} bundles whose standard minutes are known, too few" if crew else "several crews work there"
        return Findings([], [f"efficiency at {centre.id}: {why}"])
    if crew.learning is not None:
        return Findings([], [f"efficiency at {centre.id}: the crew is still learning"])
    speed = skill_speed(crew.skills[centre.needed_skill])
    standard = np.array([bundle.standard_min for bundle in known], dtype=float) * centre.spread.mean
    minutes = np.array([bundle.minutes for bundle in known]) * speed
    try:
        line = robust_line(np.column_stack([np.ones(len(known)), standard]), minutes, standard)
    except ValueError:
        line = robust_line(standard[:, None], minutes - centre.set_up_min.mean / max(crew.efficiency_pct / 100, 0.01),
                           standard)  # fmt: skip
    slope = line.estimate(len(line.coefficients) - 1, confidence_pct)
    if slope.low <= 0:
        return Findings([], [f"efficiency at {centre.id}: minutes do not grow with the work on record"])
    efficiency = Estimate(100 / slope.value, 100 / slope.high, 100 / slope.low, len(known))
    eased = f", {line.eased} outliers eased" if line.eased else ""
    path = f"crews.{crew.id}.efficiency_pct"
    found = Findings()
    one = Fitted(path, short(min(_MOST_EFFICIENCY_PCT, efficiency.value)), f"efficiency of {crew.id} at {centre.id}, %",
                 efficiency, "bundles", f"robust least squares on standard minutes{eased}",
                 doubt_of(path, efficiency, least=0.1, most=_MOST_EFFICIENCY_PCT))  # fmt: skip
    found.take_up_to(_MOST_EFFICIENCY_PCT, one, "a unit of the log or the minutes in the file are wrong")
    if not found.fitted:
        return found
    if len(line.coefficients) == 2:
        set_up = line.ratio(0, 1, confidence_pct)
        path = f"work_centres.{centre.id}.set_up_min"
        value = short(max(0.0, set_up.value))
        found.fitted.append(Fitted(path, value, f"set-up a bundle at {centre.id}, standard minutes", set_up, "bundles",
                                   "intercept of the same line", doubt_of(path, set_up)))  # fmt: skip
    own = line.coefficients[0] if len(line.coefficients) == 2 else 0.0
    ratios = minutes / (own + slope.value * standard)
    found.add(_persons(known, ratios.tolist(), crew, confidence_pct))
    return found


def _persons(bundles: Sequence[Bundle], ratios: Sequence[float], crew: Crew, confidence_pct: float) -> Findings:
    """Each person's pace against the crew's (above 1 is slower), and the spread between people."""
    found = Findings()
    by_person: dict[str, list[float]] = {}
    for bundle, ratio in zip(bundles, ratios, strict=True):
        if len(bundle.persons) == 1:
            by_person.setdefault(bundle.persons[0], []).append(ratio)
    paces = {name: _middle(each, confidence_pct) for name, each in by_person.items() if len(each) >= _LEAST_PERSON}
    for name, pace in paces.items():
        about = f"minutes of {name} against all of {crew.id}"
        found.fitted.append(Fitted("", None, about, pace, "bundles", "median ratio; told only"))
    if len(paces) >= 3:
        values = [pace.value for pace in paces.values()]
        # Between people, less what their own scatter makes up.
        half = normal_quantile(confidence_pct)
        own = float(np.mean([((pace.high - pace.low) / 2 / half) ** 2 for pace in paces.values()]))
        between = float(np.var(values, ddof=1))
        bounds = _variance_bounds(between, len(paces), confidence_pct)
        spread, low, high = (100 * math.sqrt(max(0.0, each - own)) for each in (between, *bounds))
        path = f"crews.{crew.id}.pace_spread_pct"
        estimate = Estimate(spread, low, high, len(paces))
        found.fitted.append(Fitted(path, short(min(100.0, spread)), f"spread of pace within {crew.id}, %", estimate,
                                   "people", "standard deviation between people, chi-squared interval",
                                   doubt_of(path, estimate, most=100)))  # fmt: skip
    return found


def _middle(ratios: Sequence[float], confidence_pct: float) -> Estimate:
    found = quantile_interval(ratios, 0.5, confidence_pct)
    # Fifteen values are enough for every usual confidence.
    low, high = (
        (found.low, found.high) if found.low is not None and found.high is not None else (min(ratios), max(ratios))
    )
    return Estimate(found.estimate, low, high, found.n)


def _variance_bounds(variance: float, n: int, confidence_pct: float) -> tuple[float, float]:
    from scipy.special import chdtri

    tail = error_share(confidence_pct) / 2
    most, least = float(chdtri(n - 1, tail)), float(chdtri(n - 1, 1 - tail))
    return variance * (n - 1) / most, variance * (n - 1) / least


def _rejects(by_place: Mapping[str, Sequence[Row]], scenario: Scenario, confidence_pct: float) -> Findings:
    """Faults by cause: what is rejected, over what is seen of them.

    A mended piece is inspected again without being found faulty again, and what is made again for a print fault is not
    looked at for its seams: both are taken out of the pieces of the causes they say nothing about.
    """
    found = Findings()
    quality = scenario.policies.quality
    caught = 1 - quality.missed_pct / 100
    inspected, inspected_hits = _told_rejects(by_place, scenario, "inspection")
    cut, cut_hits = _told_rejects(by_place, scenario, "cutting")
    mended = inspected_hits["sewing"] * quality.sewing_repaired_pct / 100
    # cause: pieces, of them rejected, share of these faults that is seen there, path
    ways = (
        ("print", inspected - mended, inspected_hits["print"], (1 - quality.seen_at_printer_pct / 100) * caught,
         "print_fault_pct"),
        ("sewing", inspected - mended - inspected_hits["print"], inspected_hits["sewing"], caught, "sewing_fault_pct"),
        ("cut", cut, cut_hits["cut"] + cut_hits[""], 1.0, "cut_loss_pct"),
    )  # fmt: skip
    for cause, of, hits, seen, key in ways:
        pieces = round(of)
        about = f"pieces with a fault of {cause}, %"
        if pieces < _LEAST_REJECTS or hits > pieces or seen <= 0:
            found.left.append(f"{about}: {pieces} pieces with a count of rejects, too few")
            continue
        share = share_of(hits, pieces, confidence_pct).scaled(100 / seen)
        path = f"policies.quality.{key}"
        how = f"Wilson's interval, over the {100 * seen:.0f} % that are seen there"
        one = Fitted(path, short(min(100.0, share.value)), about, share, "pieces", how,
                     doubt_of(path, share, most=100))  # fmt: skip
        found.take_up_to(100.0, one, "the share seen there, in the file, is too low")
    return found


def _told_rejects(by_place: Mapping[str, Sequence[Row]], scenario: Scenario, kind: str) -> tuple[int, Counter[str]]:
    """Pieces at places of a kind whose rows say how many were rejected, and these by cause (empty: none named)."""
    places = {centre.id for centre in scenario.work_centres if centre.kind == kind}
    told = [
        row for place, rows in by_place.items() if place in places
        for row in rows if row.get("pieces") and row.get("rejected") is not None
    ]  # fmt: skip
    hits: Counter[str] = Counter()
    for row in told:
        hits[row.get("cause", "")] += int(row["rejected"])
    return sum(int(row["pieces"]) for row in told), hits
