"""One trial: a spoiled file is read as its reader reads it and, where it is accepted, run for a week."""

from __future__ import annotations

import json
import shutil
import signal
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from shopsim.doors.state import gone_on
from shopsim.errors import AuditError, InputError
from shopsim.floor.snapshot import run_until
from shopsim.floor.snapshot.file import write_snapshot
from shopsim.shop.exports.mapping import load_mapping
from shopsim.shop.exports.reading import read_export
from shopsim.shop.order_book import load_order_book
from shopsim.shop.ranges_file import load_ranges, with_values
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, load_scenario
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.today_file import load_today
from shopsim.shop.today_start import Start
from shopsim.shop.what_if import apply, base_path, load_what_if
from shopsim.studies.futures import morning_option
from shopsim.studies.replication import one_replication
from tests.hardening.forging import forged
from tests.hardening.mutating import mutated

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
# What one file may take: far more than any sound one does, far less than anybody waits.
MOST_S = 60
FORGED = "forged state"
_STATE = "flag_banner_state.json"
_HERE = Path(__file__).resolve().parent
STATE_AT_MIN = 3 * 1440 + 10 * 60
"""Thursday at 10:00 of the first week: the minute of the state that is spoiled."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a spoiled file: `refused`, `read` (no shop to run), `run`, or `crash`, `slow`, `not located`.

    `seconds` are the processor's, whatever else the machine is at.
    """

    kind: str
    number: int
    became: str
    seconds: float
    told: str

    @property
    def good(self) -> bool:
        """Whether it is one of the ways a file may end."""
        return self.became in ("refused", "read", "run")


class TooSlowError(Exception):
    """A trial took longer than anybody waits."""


def kinds() -> dict[str, list[Path]]:
    """What can be spoiled: the reader's name and the demo files it reads."""
    return {
        "scenario": sorted(DEMOS.glob("*.yaml")),
        "what-if": sorted((DEMOS / "what_ifs").glob("*.yaml")),
        "order book": [DEMOS / "frame_fabric_orders.csv"],
        "mapping": [DEMOS / "exports" / "frame_fabric_list.map.yaml"],
        "export": [DEMOS / "exports" / "frame_fabric_list.csv"],
        "morning": sorted((DEMOS / "mornings").glob("frame_fabric_2*.yaml")),
        "ranges": [_HERE / "flag_banner_ranges.yaml"],
        "state": [DEMOS / _STATE],
        FORGED: [DEMOS / _STATE],
    }


def prepare(demos: Path) -> None:
    """A copy of the demos with a state of the flag shop beside them, which no demo brings along."""
    shutil.copytree(DEMOS, demos)
    shop = _short(load_shop(demos / "flag_banner_shop.yaml"))
    path = demos / _STATE
    write_snapshot(path, run_until(shop.scenario, shop.order_lines, STATE_AT_MIN, 0)[1])
    # A value a line, as the other files have them: whole lines are spoiled too.
    path.write_text(json.dumps(json.loads(path.read_text(encoding="utf-8")), indent=1), encoding="utf-8")


def trial(kind: str, number: int, demos: Path) -> Outcome:
    """Spoil a file of a kind by the trial's number, and see what becomes of it, in a copy of the demos."""
    files = kinds()[kind]
    source = files[number % len(files)]
    inside = source.is_relative_to(DEMOS)
    beside = demos / source.relative_to(DEMOS) if inside else demos / source.name
    path = beside.with_name(f"spoiled{source.suffix}")
    content = (beside if inside else source).read_bytes()
    path.write_bytes(forged(content, number) if kind == FORGED else mutated(content, number))
    return outcome_of(kind, number, path)


def outcome_of(kind: str, number: int, path: Path) -> Outcome:
    """What becomes of a file that is given for one of a kind."""
    began = time.process_time()
    before = signal.signal(signal.SIGALRM, _too_slow)
    signal.alarm(MOST_S)
    try:
        became, told = _READ[kind](path)
    except InputError as fault:
        located = all(problem.file or problem.path for problem in fault.problems)
        became, told = ("refused" if located else "not located"), str(fault)
    except AuditError as fault:
        became, told = "crash", f"books do not balance: {fault}"
    except TooSlowError:
        became, told = "slow", traceback.format_exc()
    except BaseException:
        became, told = "crash", traceback.format_exc()
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
    return Outcome(kind, number, became, time.process_time() - began, told[-2_000:])


def _too_slow(_: int, __: FrameType | None) -> None:
    raise TooSlowError


def _short(shop: Shop) -> Shop:
    values = scenario_values(shop.scenario)
    values["study"] = {**values.get("study", {}), "weeks": 1.0, "warm_up_weeks": 0.0, "opening": "empty"}
    return Shop(check_values(values, "a week"), shop.order_lines)


def _week(shop: Shop) -> None:
    """A week of the shop, its books audited."""
    short = _short(shop)
    one_replication(short.scenario, short.order_lines)


def _scenario(path: Path) -> tuple[str, str]:
    _week(load_shop(path))
    return "run", ""


def _what_if(path: Path) -> tuple[str, str]:
    what_if = load_what_if(path)
    _week(apply(load_shop(base_path(path, what_if)), what_if))
    return "run", ""


def _order_book(path: Path) -> tuple[str, str]:
    scenario = load_scenario(DEMOS / "frame_fabric_shop.yaml")
    _week(Shop(scenario, load_order_book(path, scenario)))
    return "run", ""


def _mapping(path: Path) -> tuple[str, str]:
    return _export_with(DEMOS / "exports" / "frame_fabric_list.csv", path)


def _export(path: Path) -> tuple[str, str]:
    return _export_with(path, DEMOS / "exports" / "frame_fabric_list.map.yaml")


def _export_with(export: Path, mapping: Path) -> tuple[str, str]:
    found = read_export(export, load_mapping(mapping))
    return "read", f"{len(found.usable)} usable rows"


def _morning(path: Path) -> tuple[str, str]:
    shop = load_shop(DEMOS / "frame_fabric_shop.yaml")
    today, _ = load_today(path, shop.scenario)
    morning_option("spoiled", shop.scenario, shop.order_lines, Start(today)).replication(0)
    return "run", ""


def _ranges(path: Path) -> tuple[str, str]:
    shop = load_shop(DEMOS / "flag_banner_shop.yaml")
    ranges = load_ranges(path, shop.scenario)
    for values in ([one.given.low for one in ranges], [one.given.high for one in ranges]):
        _week(Shop(with_values(shop.scenario, ranges, values), shop.order_lines))
    return "run", ""


def _state(path: Path) -> tuple[str, str]:
    shop = _short(load_shop(DEMOS / "flag_banner_shop.yaml"))
    gone_on(path, shop, None)
    return "run", ""


_READ: dict[str, Callable[[Path], tuple[str, str]]] = {
    "scenario": _scenario, "what-if": _what_if, "order book": _order_book, "mapping": _mapping, "export": _export,
    "morning": _morning, "ranges": _ranges, "state": _state,
    FORGED: _state,
}  # fmt: skip
