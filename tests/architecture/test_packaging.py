"""What an installation holds: every package of the tree, the front end, the demos and the published systems."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SETUP = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["setuptools"]
# Pages thin enough to be read at a glance; what grows longer belongs on a floor below.
LONGEST_PAGE = 150


def folder_of(package: str) -> Path:
    moved = SETUP["package-dir"].get(package)
    if moved is not None:
        return ROOT / moved
    parent, _, name = package.rpartition(".")
    return (folder_of(parent) if parent else ROOT) / name


def test_every_folder_of_code_is_a_package_of_the_wheel() -> None:
    tops = {ROOT / "shopsim": "shopsim", ROOT / "app": "shopsim.app", ROOT / "demo_scenarios": "shopsim.demo_scenarios"}
    found = set()
    for top, name in tops.items():
        for path in top.rglob("*.py"):
            inside = path.parent.relative_to(top).parts
            found.add(".".join([name, *inside]))
    # The script that draws the icon is for us alone.
    assert found - {"shopsim.app.static"} == set(SETUP["packages"])


@pytest.mark.parametrize("package", sorted(SETUP["package-data"]))
def test_every_other_file_goes_with_its_package(package: str) -> None:
    folder = folder_of(package)
    taken = {path for pattern in SETUP["package-data"][package] for path in folder.glob(pattern)}
    there = {path for path in folder.rglob("*") if path.is_file() and path.suffix not in (".py", ".pyc")}
    assert there == taken


def test_pages_are_thin() -> None:
    long = {path.name: lines for path in sorted((ROOT / "app" / "views").glob("*.py"))
            if (lines := len(path.read_text(encoding="utf-8").splitlines())) > LONGEST_PAGE}  # fmt: skip
    assert long == {}
