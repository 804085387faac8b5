"""Single queues whose exact waits stand in textbooks, as shops of one step."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shopsim.craft.waits import wait_in_line_min
from shopsim.published.case import Case, Find, Finding
from shopsim.published.readings import (
    number_waiting,
    share_staying_over,
    share_waiting,
    share_waiting_over,
    share_with_inside,
)
from shopsim.published.simulated import RUNS, SIMULATED, Stated, compared, load, mean_of, measured, orders_every
from shopsim.shop.scenario import Scenario

COUNTY_HOSPITAL = (
    ("mean number of orders in the shop", 2, "work_in_process_orders"),
    ("mean number in line", 4 / 3, number_waiting),
    ("mean time in the shop, h", 1, "lead_time_mean_h"),
    ("mean wait, h", 2 / 3, "wait_mean_h.desk"),
    ("share of time at work", 2 / 3, "busy_share.desk"),
    ("share that waits", 2 / 3, share_waiting),
    ("share in the shop for over an hour", 0.367879441171, share_staying_over(60)),
    ("share that waits for over an hour", 0.245252960781, share_waiting_over(60)),
    ("share of time empty", 1 / 3, share_with_inside(0)),
)

TWO_SERVERS = (
    ("share of time empty", 0.5, share_with_inside(0)),
    ("share that waits", 1 / 6, share_waiting),
    ("mean number in line", 1 / 12, number_waiting),
    ("mean number of orders in the shop", 0.75, "work_in_process_orders"),
    ("mean wait, h", 1 / 24, "wait_mean_h.desk"),
    ("mean time in the shop, h", 0.375, "lead_time_mean_h"),
    ("share of time at work, each", 1 / 3, "busy_share.desk"),
)

EYE_CLINIC = (
    ("share of time empty", 1 / 9, share_with_inside(0)),
    ("mean number in line", 8 / 9, number_waiting),
    ("mean number of orders in the shop", 26 / 9, "work_in_process_orders"),
    ("mean wait, h", 8.88888888889 / 60, "wait_mean_h.desk"),
    ("mean time in the shop, h", 28.8888888889 / 60, "lead_time_mean_h"),
    ("share that waits", 4 / 9, share_waiting),
)

COMPACTOR = (
    ("mean wait, h", 5 / 60, "wait_mean_h.desk"),
    ("mean number in line", 2 / 3, number_waiting),
    ("mean number of orders in the shop", 4 / 3, "work_in_process_orders"),
)


def queue(
    system: str, stated: Sequence[Stated], quick: tuple[float, float], long: tuple[float, float],
    sets: Mapping[str, object] | None = None,
) -> Find:  # fmt: skip
    """A system compared with what is stated: weeks of the quick and of the full run, and how wide their intervals may
    be."""

    def find(full: bool) -> Iterator[Finding]:
        weeks, width = long if full else quick
        yield from compared(load(system, {**(sets or {}), "study.weeks": weeks}), stated, width)

    return find


# Servers, offered load in erlang, share that waits, weeks of the quick run (0: none) and of the full one (20 minutes an
# order), and how wide the full one may be: a queue at many servers lasts so long that ±2 % would take hours.
_ERLANG_C = (
    (2, 1, 0.333333333333, 4, 60, 0.02),
    (3, 2, 0.444444444444, 2, 30, 0.02),
    (5, 4, 0.554112554113, 1.2, 12, 0.02),
    (10, 8, 0.409180150796, 0, 12, 0.03),
    (20, 18, 0.550769004816, 0, 6, 0.04),
    (100, 90, 0.216940480906, 0, 1.5, 0.2),
)
# Servers, the load that a table gives for 1 % lost, the same exactly, and how wide the full run may be: one order in a
# hundred is lost, at many servers in bursts, and ±2 % would take tens of millions of orders.
_ERLANG_B = (
    (1, 0.0101, 0.0101010101010, 0.1), (2, 0.153, 0.152593292724, 0.1), (5, 1.36, 1.36078679666, 0.1),
    (10, 4.46, 4.46117685758, 0.15), (20, 12.0, 12.0306145949, 0.2), (50, 37.9, 37.9013980885, 0.3),
    (100, 84.1, 84.0641588939, 0.3),
)  # fmt: skip
# All runs together.
_ORDERS_OF_TABLE = 170_000


def _erlang(servers: int, load_erlang: float, weeks: float) -> dict[str, object]:
    """So many servers with exponential work of 20 min."""
    return {
        "work_centres.desk.seats": servers,
        "crews.servers.count": servers,
        "demand.forecast.orders_per_week": 504.0 * load_erlang,
        "study.weeks": weeks,
        "study.warm_up_weeks": 0.5,
    }


def _losing(servers: int, load_erlang: float, orders: float) -> Scenario:
    """So many servers with exponential work of 2 min, and no line: about so many orders a run."""
    sets = _erlang(servers, 10 * load_erlang, round(orders / 5040 / load_erlang, 3))
    return load("m_m_2", {
        **sets, "products.job.route[0].minutes.exponential.mean": 2.0,
        # A hundred times the mean work: the shop has long forgotten its empty start.
        "study.warm_up_weeks": 0.02,
        "policies.orders_at_once": {"most": servers, "when_full": "turn_away"},
    })  # fmt: skip


def _erlang_b_and_c(full: bool) -> Iterator[Finding]:
    for servers, load_erlang, expected, quick_weeks, full_weeks, full_width in _ERLANG_C:
        weeks, width = (full_weeks, full_width) if full else (quick_weeks, 0.16)
        if not weeks:
            continue
        name = f"share that waits, {servers} servers, {load_erlang} erlang"
        yield from compared(
            load("m_m_2", _erlang(servers, load_erlang, weeks)), ((name, expected, share_waiting),), width
        )
    lost: Stated = ("share lost, 5 servers, 3 erlang", 0.110054347826, "turned_away_share")
    yield from compared(_losing(5, 3, 24_000 if full else 1600), (lost,), 0.03 if full else 0.15)
    # One in a hundred is too rare for a short run.
    for servers, printed, exact, width in _ERLANG_B if full else ():
        lost = (f"share lost, {servers} servers, {exact:.6g} erlang (table: {printed:g})", 0.01, "turned_away_share")
        yield from compared(_losing(servers, exact, _ORDERS_OF_TABLE / RUNS), (lost,), width)


def _constant_work(full: bool) -> Iterator[Finding]:
    yield from queue("m_d_1", COMPACTOR, (2, 0.2), (70, 0.02))(full)
    if full:
        exponential = {"products.job.route[0].minutes": {"exponential": {"mean": 5.0}}, "study.weeks": 110}
        stated = (("mean wait with exponential work, h", 10 / 60, "wait_mean_h.desk"),)
        yield from compared(load("m_d_1", exponential), stated, 0.02)


def _general_work(full: bool) -> Iterator[Finding]:
    uniform = (
        ("a: share of time at work", 0.8, "busy_share.desk"),
        ("a: mean wait, uniform work, h", 8.66666666667 / 60, "wait_mean_h.desk"),
    )
    yield from queue("m_u_1", uniform, (2, 0.2), (90, 0.02))(full)
    log_normal = (("b: mean wait, log-normal work, h", 10 / 60, "wait_mean_h.desk"),)
    yield from queue("m_ln_1", log_normal, (2, 0.32), (110, 0.03))(full)
    in_batches = (("c: mean wait of a piece, orders of 1-3 pieces, h", 5.125 / 60, "wait_mean_h.desk"),)
    yield from queue("batches", in_batches, (2, 0.15), (30, 0.02))(full)


def _equal_gaps(full: bool) -> Iterator[Finding]:
    scenario = load("d_m_1", {"study.weeks": 450 if full else 5})
    found = measured(scenario, ("wait_mean_h.desk", share_waiting, "busy_share.desk"), orders_every(scenario, 10))
    width = 0.02 if full else 0.2
    roughly = wait_in_line_min(8, 1, 0.8, arrivals_cv2=0)
    yield Finding("wait by two moments, the review of `check`, min", 16, roughly, 1e-9)
    wait = mean_of("mean wait, h", 13.5418467194 / 60, found[0], width)
    yield wait
    # The root of the equation of GI/M/1 is the chance that an order finds the server at work.
    yield mean_of("share that waits (root of s = exp(-mu (1 - s) / lambda))", 0.628629796497, found[1], width)
    yield mean_of("share of time at work", 0.8, found[2], width)
    yield Finding("mean wait below Kingman's bound of 16 min", "yes", "yes" if float(wait.found) * 60 < 16 else "no")


CASES = (
    Case(
        "A-01", "M/M/1: one server, county hospital",
        "Hillier & Lieberman, Introduction to Operations Research, county hospital, s = 1 (from memory): L 2, Lq 4/3, "
        "W 1 h, Wq 2/3 h; P(W > 1 h) = exp(-(mu - lambda)) derived",
        SIMULATED, queue("m_m_1", COUNTY_HOSPITAL, (16, 0.28), (750, 0.02)), seconds=2, path="floor",
    ),
    Case(
        "A-02", "M/M/2: the same orders, two servers, one line",
        "Hillier & Lieberman, county hospital, s = 2 (from memory): p0 1/2, Lq 1/12, L 3/4, Wq 1/24 h, W 3/8 h; Erlang "
        "C 1/6",
        SIMULATED, queue("m_m_2", TWO_SERVERS, (12, 0.15), (700, 0.02)), seconds=1.4, path="floor",
    ),
    Case(
        "A-03", "Erlang B and C: orders lost or waiting at one to a hundred servers",
        "A. K. Erlang (1917), loss and delay formulas; points as in traffic tables, e.g. R. B. Cooper, Introduction to "
        "Queueing Theory, 1981 (from memory), each recomputed; a table's loads for 1 % lost are rounded",
        f"{SIMULATED}; waits at many servers last long and 1 % lost is rare, so that the widest intervals, ±20 % of a "
        "chance of waiting and ±30 % of 1 % lost at 50 and 100 servers, are those of runs of a minute",
        _erlang_b_and_c, seconds=2.9, path="floor",
    ),
    Case(
        "A-04", "M/M/3: three people on one line, eye clinic",
        "Gross & Harris, Fundamentals of Queueing Theory, city hospital eye clinic (from memory): p0 1/9, Lq 8/9, Wq "
        "8.9 min, W 28.9 min; Erlang C 4/9",
        SIMULATED, queue("m_m_3", EYE_CLINIC, (4, 0.25), (180, 0.02)), seconds=1.6, path="floor",
    ),
    Case(
        "A-06", "M/D/1: constant work halves the wait",
        "Heizer & Render, Operations Management, module D, recycling compactor (from memory): Wq 5 min; Pollaczek "
        "(1930), Khinchine (1932)",
        SIMULATED, _constant_work, seconds=0.9, path="floor",
    ),
    Case(
        "A-07", "M/G/1: uniform and log-normal work, orders of several pieces",
        "Pollaczek (1930), Khinchine (1932), derived; batches: S. M. Ross, Introduction to Probability Models, "
        "exercise on carloads of customers (text confirmed, answer recomputed)",
        f"{SIMULATED}; log-normal work to ±3 %: its long tail makes waits scatter, and ±2 % would take double the runs",
        _general_work, seconds=3.3, path="floor",
    ),
    Case(
        "A-22", "D/M/1: orders released at equal gaps, and Kingman's bound",
        "J. F. C. Kingman, Biometrika 49 (1962) 315-324; root of GI/M/1, Gross & Harris (formula from memory), "
        "recomputed",
        f"{SIMULATED}; the approximation by two moments, which the review of `check` uses: exact but for rounding",
        _equal_gaps, seconds=1.9,
        left_out="the other approximation, with the correction of Kraemer and Langenbach-Belz (13.5437 min): `check` "
        "goes without", path="floor",
    ),
)  # fmt: skip
