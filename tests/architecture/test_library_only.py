"""Which functions only published cases and their tests use, and by which path each case is found: read off the source.

`LIBRARY_ONLY` is the one list of what no command uses yet; `shopsim verify` counts values that rest on it apart.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator

from shopsim.published.cases import CASES
from tests.architecture.reach import Name, Source, reached
from tests.architecture.test_floors import ROOT, modules

LIBRARY_ONLY = {
    "craft.changeovers": ("best_changeover_order", "changeover_total", "nearest_changeover_order"),
    "craft.depreciation": ("declining_balance_cu", "fixed_declining_cu", "straight_line_cu", "years_digits_cu"),
    "craft.finance": ("after_tax_flows", "equivalent_annual_cu", "mirr", "profitability_index"),
    "craft.line_balance": ("balance_efficiency", "balance_line", "cycle_min", "places_bound"),
    "craft.loans": ("future_value_cu", "interest_cu", "payment_cu", "periods_needed", "present_value_cu"),
    "craft.roll_allocation": ("allocate_rolls", "first_fit_decreasing"),
    "craft.rolls": ("length_on_core_m",),
    "craft.sequencing": (
        "fewest_late", "insertion_order", "johnson_order", "longest_first", "longest_first_bound", "makespan_min",
    ),
    "craft.sewers": ("average_learning_factor", "learning_factor"),
    "craft.sewing": ("needle_speed_m_per_min", "standard_minutes", "thread_m"),
    "craft.time_study": (
        "basic_time_min", "cycles_needed", "observations_needed", "sampling_half_width", "standard_min_of_total",
    ),
    "measures.iso_terms": ("oee_after_nakajima",),
    "measures.yields": ("chance_of_enough", "starts_needed", "yield_with_rework"),
    "studies.allocation": ("budget_shares",),
    "studies.batch_means": ("batch_interval", "summary", "von_neumann_ratio"),
    "studies.compare": ("independent_difference",),
    "studies.constants": ("rinott_constant",),
    "studies.feasibility": ("meets_target",),
    "studies.precision": ("replications_for_share",),
    "studies.quantiles": ("wilks_size",),
    "studies.run_length": ("asymptotic_variance", "replicate_until", "run_length_for"),
    "studies.selection": ("kn_constants", "second_stage_sizes", "select_best", "select_best_in_two_stages"),
}  # fmt: skip

_MODULES = modules(ROOT)
_TESTS = {f"tests.published.{path.stem}": path for path in sorted((ROOT / "tests" / "published").glob("*.py"))}
_SOURCE = Source({**_MODULES, **_TESTS})
_PUBLISHED = "shopsim.published"
_DOORS = ("shopsim.doors", "shopsim.answers", "app", "shopsim.cli", "shopsim.__main__")
# It judges the program and not a shop.
_VERIFY = ("shopsim.doors.verify", "shopsim.terminal.verify_page")
# Records written by hand need a shop to belong to, in which nothing happens.
_BY_HAND = "shopsim.published.recorded"
_SIMULATE = ("shopsim.floor.run", "simulate")


def _below(name: Name, *places: str) -> bool:
    return any(name[0] == place or name[0].startswith(f"{place}.") for place in places)


def _promised() -> Iterator[Name]:
    """What the package gives to scripts."""
    for node in ast.walk(ast.parse(_MODULES["shopsim"].read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module is not None:
            yield from ((node.module, alias.name) for alias in node.names)


def _used_by_commands() -> set[Name]:
    aside = (_PUBLISHED, "tests.published", *_VERIFY)
    uses = {name: used for name, used in _SOURCE.uses.items() if not _below(name, *aside)}
    return reached(uses, [*(name for name in uses if _below(name, *_DOORS)), *_promised()])


def _used_by_cases() -> set[Name]:
    return reached(_SOURCE.uses, [name for name in _SOURCE.uses if _below(name, _PUBLISHED, "tests.published")])


def _functions() -> set[Name]:
    """Public functions at the top of the modules that the cases stand on."""
    found = set()
    for module, path in _MODULES.items():
        if _below((module, ""), "shopsim") and not _below((module, ""), _PUBLISHED, *_VERIFY):
            for node in ast.parse(path.read_text(encoding="utf-8")).body:
                if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                    found.add((module, node.name))
    return found


_COMMANDS, _CASES = _used_by_commands(), _used_by_cases()
_LIBRARY = (_functions() & _CASES) - _COMMANDS


def test_the_list_of_what_no_command_uses_is_the_source_s() -> None:
    listed = {(f"shopsim.{module}", name) for module, names in LIBRARY_ONLY.items() for name in names}
    assert sorted(_LIBRARY - listed) == []
    assert sorted(listed - _LIBRARY) == []


def test_no_arithmetic_of_the_trade_is_there_for_its_own_tests_alone() -> None:
    assert sorted(name for name in _functions() - _CASES - _COMMANDS if _below(name, "shopsim.craft")) == []


def test_each_case_says_by_which_path_it_is_found() -> None:
    assert {case.id: case.path for case in CASES} == dict(_paths())


def _paths() -> Iterator[tuple[str, str]]:
    for module, path in _MODULES.items():
        if not _below((module, ""), _PUBLISHED):
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Case":
                assert isinstance(node.args[0], ast.Constant)
                used = _beneath(_SOURCE.mentioned(node, module))
                library, floor = used & _LIBRARY, _SIMULATE in used
                yield str(node.args[0].value), "library" if library else "floor" if floor else "commands"


def _beneath(names: set[Name]) -> set[Name]:
    """What the cases' own code calls of the house, followed through that code."""
    found: set[Name] = set()
    seen: set[Name] = set()
    ahead = list(names)
    while ahead:
        name = ahead.pop()
        if name not in seen:
            seen.add(name)
            if _below(name, _PUBLISHED):
                ahead.extend(() if _below(name, _BY_HAND) else _SOURCE.uses.get(name, ()))
            else:
                found.add(name)
    return found
