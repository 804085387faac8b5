"""shopsim: will this shop send its printed textiles out on time, and what would change that.

`__all__` is the promise; everything else may change. Names are loaded when they are first used, so that importing the
package costs nothing.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from importlib.machinery import ModuleSpec

    from shopsim.errors import AuditError, InputError, OrderBookError, ScenarioError, ShopsimError, WhatIfError
    from shopsim.floor.record import RunLog
    from shopsim.floor.run import simulate
    from shopsim.measures.kpis import measures_of
    from shopsim.sentences import as_we_are
    from shopsim.shop.rough_cut import rough_cut
    from shopsim.shop.scenario import Scenario
    from shopsim.shop.scenario_file import load_scenario
    from shopsim.shop.shop_file import Shop, load_shop
    from shopsim.studies.precision import Interval, interval
    from shopsim.studies.replicate import Replications, replicate
    from shopsim.studies.replication import one_log

__version__ = "0.1.0"

__all__ = [
    "AuditError",
    "InputError",
    "Interval",
    "OrderBookError",
    "Replications",
    "RunLog",
    "Scenario",
    "ScenarioError",
    "Shop",
    "ShopsimError",
    "WhatIfError",
    "__version__",
    "as_we_are",
    "interval",
    "load_scenario",
    "load_shop",
    "measures_of",
    "one_log",
    "replicate",
    "rough_cut",
    "simulate",
]

_HOMES = {
    "shopsim.errors": ("AuditError", "InputError", "OrderBookError", "ScenarioError", "ShopsimError", "WhatIfError"),
    "shopsim.floor.record": ("RunLog",),
    "shopsim.floor.run": ("simulate",),
    "shopsim.measures.kpis": ("measures_of",),
    "shopsim.sentences": ("as_we_are",),
    "shopsim.shop.rough_cut": ("rough_cut",),
    "shopsim.shop.scenario": ("Scenario",),
    "shopsim.shop.scenario_file": ("load_scenario",),
    "shopsim.shop.shop_file": ("Shop", "load_shop"),
    "shopsim.studies.precision": ("Interval", "interval"),
    "shopsim.studies.replicate": ("Replications", "replicate"),
    "shopsim.studies.replication": ("one_log",),
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
