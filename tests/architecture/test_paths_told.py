"""Files that DEVELOPERS.md and README.md name are there, so that nobody is sent to what was removed or renamed."""

from __future__ import annotations

import re
from fnmatch import fnmatch
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAPERS = ("DEVELOPERS.md", "README.md")
TOPS = ("shopsim", "app", "tests", "demo_scenarios", ".ci", ".github")
# What a reader is to write, what a user brings along, what the program writes for one, a name that stands for any, the
# front end's place in the wheel, a library.
NOT_OURS = {
    "tests/report/test_ink.py", "orders.csv", "what_ifs/", "forms.json", ".past.json", "replications.csv",
    "files/requirements.txt", "records/TABLE.csv", "TABLE.map.yaml", "views/NAME.py", "shopsim/app",
    "ruamel.yaml",
}  # fmt: skip
BLOCK = re.compile(r"^```.*?^```", re.DOTALL | re.MULTILINE)
TOLD = re.compile(r"`([^`\s]+)`")
COMMAND = re.compile(r"python -m (tests[\w.]*)")
# In a block or a command only what begins with a folder of the tree is one of its paths.
IN_BLOCK = re.compile(rf"(?<![\w/.])((?:{'|'.join(map(re.escape, TOPS))})/[\w./*-]*[\w/*])")
A_PATH = re.compile(r"[\w.*-]+(/[\w.*-]+)*/?")
SUFFIXES = (".py", ".csv", ".md", ".yaml", ".json", ".txt", ".svg", ".png", ".toml")


def told_in(text: str) -> set[str]:
    """The paths a text names: in backticks by suffix or slash, in blocks by a folder of the tree at their begin."""
    blocks = "\n".join(BLOCK.findall(text))
    prose = BLOCK.sub("", text)
    single = {each for each in TOLD.findall(prose) if A_PATH.fullmatch(each)}
    paths = {each for each in single if "/" in each or each.endswith(SUFFIXES)}
    linked = set(re.findall(r"\]\(([^)\s]+)\)", prose))
    modules = {f"{name.replace('.', '/')}" for name in COMMAND.findall(text)}
    return (paths | linked | modules | set(IN_BLOCK.findall(blocks))) - NOT_OURS


@cache
def tree() -> frozenset[str]:
    """Every file and folder (with a slash at its end) of the tree, from its root."""
    found = set()
    for top in TOPS:
        for path in (ROOT / top).rglob("*"):
            inside = path.relative_to(ROOT).as_posix()
            if "__pycache__" not in inside:
                found.add(inside + ("/" if path.is_dir() else ""))
    return frozenset(found | {f"{top}/" for top in TOPS} | {path.name for path in ROOT.iterdir() if path.is_file()})


def is_there(path: str) -> bool:
    """Whether the tree has it, from its root or below a folder; a module may be told without its `.py`."""
    ends = (path, f"{path}.py", f"{path}/") if not path.endswith("/") else (path,)
    return any(fnmatch(f"/{each}", f"*/{end}") for each in tree() for end in ends)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_path_told_is_there(paper: str) -> None:
    told = told_in((ROOT / paper).read_text(encoding="utf-8"))
    assert len(told) >= 10
    assert sorted(path for path in told if not is_there(path)) == []


def test_a_path_that_is_gone_is_found_out() -> None:
    text = "See `studies/gone.py`, `gone.py`, `studies/gone`, `studies/runner.py`, `int / float` and `a.b`.\n"
    text += "Run `python -m tests.evidence.gone --first 0`.\n"
    text += "```sh\npytest tests/gone.py .venv/bin/gone x/app/gone\n```\n"
    told = told_in(text)
    assert sorted(path for path in told if not is_there(path)) == [
        "gone.py", "studies/gone", "studies/gone.py", "tests/evidence/gone", "tests/gone.py",
    ]  # fmt: skip
    assert told - {path for path in told if not is_there(path)} == {"studies/runner.py"}
