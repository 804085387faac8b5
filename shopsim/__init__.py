"""shopsim: will this shop send its printed textiles out on time, and what would change that.

`__all__` is the promise; everything else may change. Names are loaded when they are first used, so that importing the
package costs nothing.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from importlib.machinery import ModuleSpec

    from shopsim.answers.question import option_of
    from shopsim.errors import (
        AuditError,
        EngineError,
        ExportError,
        InputError,
        MappingError,
        OrderBookError,
        RangesError,
        ScenarioError,
        ShopsimError,
        StoppedError,
        StoreError,
        TodayError,
        WhatIfError,
    )
    from shopsim.floor.record import RunLog
    from shopsim.floor.run import simulate
    from shopsim.measures.kpis import measures_of
    from shopsim.sentences import as_we_are
    from shopsim.sentences.comparison import compared
    from shopsim.sentences.crews import crew_found
    from shopsim.sentences.doubting import hangs_on
    from shopsim.sentences.fitting import fitted_sentence
    from shopsim.sentences.growing import grown
    from shopsim.sentences.paying import paid
    from shopsim.sentences.promising import promised
    from shopsim.sentences.reading import rows_read
    from shopsim.sentences.shifts import patterns_weighed
    from shopsim.shop.exports.mapping import load_mapping
    from shopsim.shop.exports.reading import read_export
    from shopsim.shop.exports.suggestion import suggest_mapping
    from shopsim.shop.ranges_file import InputRange, check_ranges, load_ranges
    from shopsim.shop.rough_cut import rough_cut
    from shopsim.shop.scenario import Scenario
    from shopsim.shop.scenario_file import load_scenario
    from shopsim.shop.shop_file import Shop, load_shop
    from shopsim.shop.today_file import load_today
    from shopsim.shop.today_model import OpenLine, OpenOrder, Today
    from shopsim.shop.what_if import Change, Spends, WhatIf, apply, differences, load_what_if
    from shopsim.studies.cash_flow import Spending
    from shopsim.studies.cluster import ClusterEngine, TlsFiles
    from shopsim.studies.comparison import Plan, compare_options
    from shopsim.studies.crew import CrewPlan, Sizes, smallest_crew
    from shopsim.studies.engine import LocalEngine
    from shopsim.studies.fit_shop import fit_shop
    from shopsim.studies.growth import GrowthPlan, growth
    from shopsim.studies.option import Option
    from shopsim.studies.payback import payback
    from shopsim.studies.payback_inputs import PaybackPlan
    from shopsim.studies.precision import Interval, interval
    from shopsim.studies.promise import PromisePlan, promise
    from shopsim.studies.replicate import Replications, replicate
    from shopsim.studies.replication import one_log
    from shopsim.studies.runner import Ask, Runner
    from shopsim.studies.sensitivity import SensitivityPlan, sensitivity
    from shopsim.studies.shift_patterns import judge_patterns
    from shopsim.studies.store import Store

__version__ = "0.1.0"

__all__ = [
    "Ask",
    "AuditError",
    "Change",
    "ClusterEngine",
    "CrewPlan",
    "EngineError",
    "ExportError",
    "GrowthPlan",
    "InputError",
    "InputRange",
    "Interval",
    "LocalEngine",
    "MappingError",
    "OpenLine",
    "OpenOrder",
    "Option",
    "OrderBookError",
    "PaybackPlan",
    "Plan",
    "PromisePlan",
    "RangesError",
    "Replications",
    "RunLog",
    "Runner",
    "Scenario",
    "ScenarioError",
    "SensitivityPlan",
    "Shop",
    "ShopsimError",
    "Sizes",
    "Spending",
    "Spends",
    "StoppedError",
    "Store",
    "StoreError",
    "TlsFiles",
    "Today",
    "TodayError",
    "WhatIf",
    "WhatIfError",
    "__version__",
    "apply",
    "as_we_are",
    "check_ranges",
    "compare_options",
    "compared",
    "crew_found",
    "differences",
    "fit_shop",
    "fitted_sentence",
    "grown",
    "growth",
    "hangs_on",
    "interval",
    "judge_patterns",
    "load_mapping",
    "load_ranges",
    "load_scenario",
    "load_shop",
    "load_today",
    "load_what_if",
    "measures_of",
    "one_log",
    "option_of",
    "paid",
    "patterns_weighed",
    "payback",
    "promise",
    "promised",
    "read_export",
    "replicate",
    "rough_cut",
    "rows_read",
    "sensitivity",
    "simulate",
    "smallest_crew",
    "suggest_mapping",
]

_HOMES = {
    "shopsim.answers.question": ("option_of",),
    "shopsim.errors": (
        "AuditError",
        "EngineError",
        "ExportError",
        "InputError",
        "MappingError",
        "OrderBookError",
        "RangesError",
        "ScenarioError",
        "ShopsimError",
        "StoppedError",
        "StoreError",
        "TodayError",
        "WhatIfError",
    ),
    "shopsim.floor.record": ("RunLog",),
    "shopsim.floor.run": ("simulate",),
    "shopsim.measures.kpis": ("measures_of",),
    "shopsim.sentences": ("as_we_are",),
    "shopsim.sentences.comparison": ("compared",),
    "shopsim.sentences.crews": ("crew_found",),
    "shopsim.sentences.doubting": ("hangs_on",),
    "shopsim.sentences.fitting": ("fitted_sentence",),
    "shopsim.sentences.growing": ("grown",),
    "shopsim.sentences.paying": ("paid",),
    "shopsim.sentences.promising": ("promised",),
    "shopsim.sentences.reading": ("rows_read",),
    "shopsim.sentences.shifts": ("patterns_weighed",),
    "shopsim.shop.exports.mapping": ("load_mapping",),
    "shopsim.shop.exports.reading": ("read_export",),
    "shopsim.shop.exports.suggestion": ("suggest_mapping",),
    "shopsim.shop.ranges_file": ("InputRange", "check_ranges", "load_ranges"),
    "shopsim.shop.rough_cut": ("rough_cut",),
    "shopsim.shop.scenario": ("Scenario",),
    "shopsim.shop.scenario_file": ("load_scenario",),
    "shopsim.shop.shop_file": ("Shop", "load_shop"),
    "shopsim.shop.today_file": ("load_today",),
    "shopsim.shop.today_model": ("OpenLine", "OpenOrder", "Today"),
    "shopsim.shop.what_if": ("Change", "Spends", "WhatIf", "apply", "differences", "load_what_if"),
    "shopsim.studies.cash_flow": ("Spending",),
    "shopsim.studies.cluster": ("ClusterEngine", "TlsFiles"),
    "shopsim.studies.comparison": ("Plan", "compare_options"),
    "shopsim.studies.crew": ("CrewPlan", "Sizes", "smallest_crew"),
    "shopsim.studies.engine": ("LocalEngine",),
    "shopsim.studies.fit_shop": ("fit_shop",),
    "shopsim.studies.growth": ("GrowthPlan", "growth"),
    "shopsim.studies.option": ("Option",),
    "shopsim.studies.payback": ("payback",),
    "shopsim.studies.payback_inputs": ("PaybackPlan",),
    "shopsim.studies.precision": ("Interval", "interval"),
    "shopsim.studies.promise": ("PromisePlan", "promise"),
    "shopsim.studies.replicate": ("Replications", "replicate"),
    "shopsim.studies.replication": ("one_log",),
    "shopsim.studies.runner": ("Ask", "Runner"),
    "shopsim.studies.sensitivity": ("SensitivityPlan", "sensitivity"),
    "shopsim.studies.shift_patterns": ("judge_patterns",),
    "shopsim.studies.store": ("Store",),
}
_HOME = {name: module for module, names in _HOMES.items() for name in names}


class _CompiledTwin:
    """Gives the engine's modules as ``shopsim compile`` has built them, if it has; see ``compiled``."""

    _names = ("shopsim.calendars", "shopsim.clock", "shopsim.streams", "shopsim.craft.", "shopsim.floor.")

    def find_spec(self, name: str, path: object = None, target: object = None) -> "ModuleSpec | None":
        if not name.startswith(self._names) and not name.endswith("__mypyc"):
            return None
        from shopsim.compiled import find

        return find(name)


sys.meta_path.insert(0, _CompiledTwin())


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'shopsim' has no attribute {name!r}")


def __dir__() -> list[str]:
    return __all__
