"""The engine's compiled twin, where one is built: extension modules made of the very same source files.

``shopsim compile`` puts them into the user's folder for state, under a key of the source they were made of and of the
Python that can load them. While both are the same they are loaded in place of the source; otherwise, and wherever
nothing is built, the source itself runs. Numbers are the same to the last bit. ``SHOPSIM_COMPILED=0`` switches the twin
off, a folder in its place is used as it is.
"""

import hashlib
import os
from functools import cache
from importlib.machinery import EXTENSION_SUFFIXES, ExtensionFileLoader, ModuleSpec
from importlib.util import spec_from_file_location
from pathlib import Path

SWITCH = "SHOPSIM_COMPILED"
SUFFIX = EXTENSION_SUFFIXES[0]
ROOT = Path(__file__).parent
# Where the time goes; all of the floor, because a compiled class and those derived from it belong together.
_COMPILED = ("calendars.py", "clock.py", "streams.py", "craft/layout*.py", "floor/*.py")
# What is compiled relies on the types it finds here.
_BEHIND = ("*.py", "distributions/*.py", "craft/*.py", "shop/*.py", "floor/*.py")


def state_folder() -> Path:
    """The user's folder for what shopsim keeps between two commands (XDG Base Directory)."""
    home = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(home) / "shopsim"


def sources(root: Path = ROOT) -> list[Path]:
    """The source files that are compiled."""
    found = {path for pattern in _COMPILED for path in root.glob(pattern)}
    return sorted(path for path in found if path.name != "__init__.py")


def folder(root: Path = ROOT) -> Path:
    """Where the twin of this source for this Python lies, built or not."""
    digest = hashlib.sha256(SUFFIX.encode())
    for path in sorted({path for pattern in _BEHIND for path in root.glob(pattern)}):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(path.read_bytes())
    return folder_of_all() / digest.hexdigest()[:24]


def folder_of_all() -> Path:
    """Where the twins of all versions lie."""
    return state_folder() / "compiled"


@cache
def files() -> dict[str, Path]:
    """File of each module of the twin that is to be used, by full name; none if it is switched off or not built."""
    switch = os.environ.get(SWITCH, "")
    if switch == "0" or not (switch or folder_of_all().is_dir()):
        return {}
    where = Path(switch) if switch else folder()
    return {path.name.removesuffix(SUFFIX): path for path in where.glob(f"*{SUFFIX}")}


def find(fullname: str) -> ModuleSpec | None:
    """How to load a module of the twin; None for others, which the usual finders know."""
    file = files().get(fullname)
    if file is None:
        return None
    return spec_from_file_location(fullname, file, loader=ExtensionFileLoader(fullname, str(file)))
