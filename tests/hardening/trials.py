"""One trial: a spoiled file is read as its reader reads it and, where it is accepted, run for a week."""

from __future__ import annotations

import signal
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from shopsim.errors import AuditError, InputError
from shopsim.shop.exports.mapping import load_mapping
from shopsim.shop.exports.reading import read_export
from shopsim.shop.order_book import load_order_book
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, load_scenario
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import apply, base_path, load_what_if
from shopsim.studies.replication import one_replication
from tests.hardening.mutating import mutated

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
# What one file may take: far more than any sound one does, far less than anybody waits.
MOST_S = 60


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a spoiled file: `refused`, `read` (no shop to run), `run`, or `crash`, `slow`, `not located`."""

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
    }


def trial(kind: str, number: int, demos: Path) -> Outcome:
    """Spoil a file of a kind by the trial's number, and see what becomes of it, in a copy of the demos."""
    files = kinds()[kind]
    source = files[number % len(files)]
    path = demos / source.parent.relative_to(DEMOS) / f"spoiled{source.suffix}"
    path.write_bytes(mutated(source.read_bytes(), number))
    began = time.monotonic()
    before = signal.signal(signal.SIGALRM, _too_slow)
    signal.alarm(MOST_S)
    try:
        became, told = _READ[kind](path)
    except InputError as fault:
        located = all(str(path.name) in problem.file or problem.path for problem in fault.problems)
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
    return Outcome(kind, number, became, time.monotonic() - began, told[-2_000:])


def _too_slow(_: int, __: FrameType | None) -> None:
    raise TooSlowError


def _week(shop: Shop) -> None:
    """A week of the shop, its books audited."""
    values = scenario_values(shop.scenario)
    values["study"] = {**values["study"], "weeks": 1.0, "warm_up_weeks": 0.0, "opening": "empty"}
    one_replication(check_values(values, "a week"), shop.order_lines)


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


_READ: dict[str, Callable[[Path], tuple[str, str]]] = {
    "scenario": _scenario, "what-if": _what_if, "order book": _order_book, "mapping": _mapping, "export": _export,
}  # fmt: skip
