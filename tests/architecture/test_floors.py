"""The house plan of design section 2, enforced: imports go down only, libraries stay in their rooms."""

import ast
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

FLOORS = {
    "shopsim.errors": 0,
    "shopsim.compiled": 0,
    "shopsim.clock": 0,
    "shopsim.signs": 0,
    "shopsim.calendars": 0,
    "shopsim.shift_plans": 0,
    "shopsim.streams": 0,
    "shopsim.distributions": 0,
    "shopsim.craft": 1,
    "shopsim.shop": 2,
    "shopsim.floor": 3,
    "shopsim.measures": 4,
    "shopsim.studies": 5,
    "shopsim.pictures": 6,
    "shopsim.sentences": 6,
    "shopsim.figures": 6,
    "shopsim.answers": 6,
    "shopsim.cautions": 6,
    "shopsim.terminal": 6,
    "shopsim.report": 6,
    "shopsim.published": 6,
    "shopsim.cli": 7,
    "shopsim.doors": 7,
    "shopsim.__main__": 7,
    "app": 7,
}

LIBRARY_ROOMS = {
    "simpy": {"shopsim.floor"},
    "pandas": {place for place, floor in FLOORS.items() if floor >= 4},
    "plotly": {"shopsim.pictures", "shopsim.report"},
    "streamlit": {"app"},
    "ruamel": {"shopsim.shop", "shopsim.report"},
    "openpyxl": {"shopsim.shop", "shopsim.report"},
}

# The ground and the craft stand on numbers alone.
LOW_FLOOR_LIBRARIES = {0: {"numpy"}, 1: {"numpy"}}

# Measures read records; they must not be able to run anything.
MEASURES_SEE_OF_FLOOR = "shopsim.floor.record"

# The version is part of the key of every stored replication, and it lives at the top of the house.
FREE_NAMES = {"shopsim.__version__"}

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "shopsim", "app", "tests", "demo_scenarios"}
TOP_LEVEL_DOT = {".ci", ".git", ".github", ".gitignore"}


def modules(root: Path) -> dict[str, Path]:
    """Dotted name to file of every module of the package and the front end."""
    found = {}
    for top in ("shopsim", "app"):
        for path in sorted((root / top).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imported(name: str, path: Path) -> Iterator[tuple[int, str]]:
    """Line and full dotted name of everything a module imports, inside functions and type checks too."""
    package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            source = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                yield node.lineno, f"{source}.{alias.name}"


def place_of(name: str) -> str | None:
    """The room of the house that holds a module or one of its names."""
    return next((place for place in FLOORS if name == place or name.startswith(f"{place}.")), None)


def faults(root: Path) -> list[str]:
    """Everything that breaks the plan, one ``file:line: what`` each."""
    found = []
    for name, path in modules(root).items():
        where = path.relative_to(root).as_posix()
        place = place_of(name)
        if place is None and name != "shopsim":
            found.append(f"{where}: has no floor in the plan")
            continue
        # The package itself only opens doors: it may see all of the house, and no library.
        floor = FLOORS[place] if place else 7
        for line, target in imported(name, path):
            complaint = _complaint(place or "shopsim", floor, target)
            if complaint:
                found.append(f"{where}:{line}: {complaint}")
    return found


def _complaint(place: str, floor: int, target: str) -> str | None:
    library = target.split(".")[0]
    if library in ("shopsim", "app"):
        return _complaint_inside(place, floor, target)
    if place not in LIBRARY_ROOMS.get(library, {place}):
        return f"{library} is not for {place}"
    allowed = LOW_FLOOR_LIBRARIES.get(floor)
    if allowed is not None and library not in allowed and library not in sys.stdlib_module_names:
        return f"{library} is not for floor {floor}"
    return None


def _complaint_inside(place: str, floor: int, target: str) -> str | None:
    if target in FREE_NAMES:
        return None
    aim = place_of(target)
    if aim is None and target.startswith("app"):
        return None
    if FLOORS.get(aim or "", 7) > floor:
        return f"floor {floor} imports {target} of floor {FLOORS.get(aim or '', 7)}"
    if place == "shopsim.measures" and aim == "shopsim.floor" and not target.startswith(MEASURES_SEE_OF_FLOOR):
        return f"measures may see only {MEASURES_SEE_OF_FLOOR} of the floor, not {target}"
    return None


def strangers(root: Path) -> list[str]:
    """Entries at the top that are neither in the plan nor ignored by git."""
    ignored = [line.strip("/") for line in (root / ".gitignore").read_text(encoding="utf-8").split()]
    known = TOP_LEVEL | TOP_LEVEL_DOT
    return sorted(
        entry.name
        for entry in root.iterdir()
        if entry.name not in known and not any(fnmatch(entry.name, pattern) for pattern in ignored)
    )


def test_imports_keep_to_the_plan() -> None:
    assert faults(ROOT) == []


def test_top_level_holds_only_what_the_plan_names() -> None:
    assert strangers(ROOT) == []


@pytest.fixture
def house(tmp_path: Path) -> Path:
    for folder in ("shopsim/craft", "shopsim/floor", "shopsim/measures", "shopsim/pictures", "app/views"):
        (tmp_path / folder).mkdir(parents=True)
        (tmp_path / folder / "__init__.py").touch()
    (tmp_path / "shopsim/__init__.py").write_text("from shopsim.floor import run\n", encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize(
    ("file", "code", "expected"),
    [
        ("shopsim/clock.py", "import numpy\nimport math\n", []),
        ("shopsim/clock.py", "import scipy.stats\n", ["shopsim/clock.py:1: scipy is not for floor 0"]),
        ("shopsim/streams.py", "from shopsim.distributions import Fixed\n", []),
        ("shopsim/errors.py", "from shopsim import craft\n", ["{file}:1: floor 0 imports shopsim.craft of floor 1"]),
        ("shopsim/craft/sewing.py", "from shopsim.clock import stamp\n", []),
        (
            "shopsim/craft/sewing.py",
            "def f():\n    from ..floor.run import simulate\n",
            ["{file}:2: floor 1 imports shopsim.floor.run.simulate of floor 3"],
        ),
        ("shopsim/craft/sewing.py", "from . import printing\n", []),
        ("shopsim/floor/run.py", "import simpy\nfrom shopsim import __version__\n", []),
        ("shopsim/floor/run.py", "import pandas as pd\n", ["{file}:1: pandas is not for shopsim.floor"]),
        ("shopsim/floor/run.py", "import shopsim\n", ["{file}:1: floor 3 imports shopsim of floor 7"]),
        ("shopsim/measures/kpis.py", "import pandas\nfrom shopsim.floor.record import RunLog\n", []),
        (
            "shopsim/measures/kpis.py",
            "from shopsim.floor.run import simulate\n",
            ["{file}:1: measures may see only shopsim.floor.record of the floor, not shopsim.floor.run.simulate"],
        ),
        ("shopsim/measures/kpis.py", "import simpy\n", ["{file}:1: simpy is not for shopsim.measures"]),
        ("shopsim/pictures/gantt.py", "import plotly.graph_objects as go\n", []),
        ("shopsim/cli.py", "import plotly\n", ["{file}:1: plotly is not for shopsim.cli"]),
        ("shopsim/cli.py", "import streamlit\n", ["{file}:1: streamlit is not for shopsim.cli"]),
        ("shopsim/cli.py", "from ruamel.yaml import YAML\n", ["{file}:1: ruamel is not for shopsim.cli"]),
        ("app/views/run.py", "import streamlit\nfrom app import state\nimport shopsim\n", []),
        ("shopsim/cli.py", "import app.main\n", []),
        ("shopsim/pictures/gantt.py", "import app.main\n", ["{file}:1: floor 6 imports app.main of floor 7"]),
        ("shopsim/extra.py", "", ["{file}: has no floor in the plan"]),
    ],
)
def test_forbidden_imports_are_reported(house: Path, file: str, code: str, expected: list[str]) -> None:
    (house / file).write_text(code, encoding="utf-8")
    assert faults(house) == [text.format(file=file) for text in expected]


def test_strangers_at_the_top_are_reported(tmp_path: Path) -> None:
    (tmp_path / ".gitignore").write_text(".venv/\n*.egg-info/\n", encoding="utf-8")
    for name in (".venv", "shopsim.egg-info", "shopsim", ".ci", "notes"):
        (tmp_path / name).mkdir()
    assert strangers(tmp_path) == ["notes"]
