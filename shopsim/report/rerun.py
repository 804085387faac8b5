"""How to run it again: files with their hashes, versions, seed, and the command of each answer."""

from __future__ import annotations

import hashlib
import platform
import re
import shlex
from collections.abc import Iterable, Mapping
from importlib.metadata import requires, version
from os import cpu_count
from typing import Any

from shopsim import __version__
from shopsim.answers.about import WHAT_IFS
from shopsim.errors import InputError, Problem
from shopsim.report.blocks import Block, Para, Section, Verbatim, table
from shopsim.report.contents import Contents
from shopsim.studies.code_version import code_version

LIBRARIES = ("simpy", "numpy", "scipy", "pandas", "pydantic", "plotly")
ANSWERS, REQUIREMENTS = "answers.json", "requirements.txt"
FILES = "files"
"""The folder beside the report that holds what it was made from."""


def rerun_section(contents: Contents) -> Section:
    """The section."""
    rows = [(name, f"{len(content):,}", digest_of(content)) for name, content in files_of(contents).items()]
    blocks: list[Block] = [
        Para(
            f"In the folder “{FILES}” that was delivered with this report, install the libraries of {REQUIREMENTS} and "
            f"shopsim {code_version()} (`shopsim --version` tells which it is), and run a command below. The same "
            "files, program, libraries and seed give the same numbers, on however many cores. The first command asks "
            "all questions again and compares every number with those of this report."
        ),
        Verbatim(shlex.join(["shopsim", "report", contents.scenario_file, "--compare", f"../{ANSWERS}"])),
        Verbatim("\n".join(shlex.join(answer.about["command"]) for answer in contents.answers)),
        table("Files", ("file", "bytes", "sha256"), rows, left=(0, 2)),
        table("Program", ("", ""), tuple(programs(contents).items()), left=(0, 1)),
    ]
    return Section("rerun", "How to run it again", tuple(blocks))


def programs(contents: Contents) -> dict[str, str]:
    """What must be the same for the same numbers."""
    libraries = ", ".join(f"{name} {version(name)}" for name in LIBRARIES)
    return {
        "shopsim": __version__,
        "Code that makes numbers": code_version(),
        "Scenario, all values": contents.shop.scenario.content_hash,
        "Seed": str(contents.shop.scenario.study.seed),
        "Python": f"{platform.python_implementation()} {platform.python_version()}",
        "Libraries": libraries,
    }


def machine() -> dict[str, str]:
    """What it ran on; nothing that names a person or a network."""
    return {
        "Operating system": f"{platform.system()} {platform.release()}",
        "Processor": f"{platform.machine()}, {cpu_count() or 1} cores",
    }


def files_of(contents: Contents) -> dict[str, bytes]:
    """Everything the answers rest on, as it lies beside the report: scenario, order books, what-ifs, ranges.

    Raises InputError as `files_with`.
    """
    return files_with(contents, [answer.about for answer in contents.answers])


def files_with(contents: Contents, asked: Iterable[Mapping[str, Any]]) -> dict[str, bytes]:
    """The same for questions told as in `answers.about`, answered or not.

    Raises InputError for two different files of one name.
    """
    found: dict[str, bytes] = {
        contents.scenario_file: contents.scenario_text.encode(), **contents.books, REQUIREMENTS: _requirements(),
    }  # fmt: skip
    for about in asked:
        of_options = [(f"{WHAT_IFS}/{name}", text) for option in about["options"].values()
                      for name, text in option["files"].items()]  # fmt: skip
        for name, text in (*of_options, *about["files"].items()):
            content = text.encode()
            if found.setdefault(name, content) != content:
                raise InputError([Problem(name, None, None, "", "two different files of this name go into one report")])
    return found


def _requirements() -> bytes:
    """The libraries that shopsim stands on, as pip takes them, in the versions that made the answers."""
    names = [re.split(r"[^\w.-]", each, maxsplit=1)[0] for each in requires("shopsim") or () if "extra ==" not in each]
    lines = [f"# shopsim {code_version()}", *(f"{name}=={version(name)}" for name in sorted(names))]
    return "\n".join(lines).encode() + b"\n"


def digest_of(content: bytes) -> str:
    """sha256, as `sha256sum` writes it."""
    return hashlib.sha256(content).hexdigest()
