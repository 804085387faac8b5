"""Which program made a number: replications kept by other code are never mixed with new ones."""

from __future__ import annotations

import hashlib
import platform
import re
from collections.abc import Sequence
from functools import cache
from importlib.metadata import version
from pathlib import Path

from shopsim import __version__

# Whatever these modules import, directly or not, can change a replication's numbers; nothing else can.
_STARTS = ("shopsim.studies.replication", "shopsim.studies.futures")
_LIBRARIES = ("numpy", "pandas", "scipy", "simpy")
_IMPORT = re.compile(
    r"^\s*(?:from\s+(shopsim[\w.]*)\s+import\s+\(?([^)#]*?)\)?|import\s+(shopsim[\w.]*))\s*$", re.MULTILINE
)


@cache
def code_version() -> str:
    """The version and a hash of the source files and libraries that a replication's numbers can depend on."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256(platform.python_version().encode())
    for library in _LIBRARIES:
        digest.update(f"{library} {version(library)}".encode())
    for path, text in sorted(_behind(_STARTS, root).items()):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(text)
    return f"{__version__}+{digest.hexdigest()[:16]}"


def _behind(starts: Sequence[str], root: Path) -> dict[Path, bytes]:
    """The source files of modules and of all they import; the package's own door is none of them."""
    found: dict[Path, bytes] = {}
    to_do = list(starts)
    while to_do:
        name = to_do.pop()
        path = _file_of(name, root)
        if path is None or path in found or name == "shopsim":
            continue
        found[path] = path.read_bytes()
        for module, names, plain in _IMPORT.findall(found[path].decode("utf-8")):
            to_do.append(module or plain)
            # Of `from shopsim.studies import morris` the name may be a module as well.
            to_do += [f"{module}.{each.split()[0]}" for each in names.split(",") if each.strip()]
    return found


def _file_of(name: str, root: Path) -> Path | None:
    place = root.joinpath(*name.split(".")[1:])
    for path in (place.with_suffix(".py"), place / "__init__.py"):
        if path.is_file():
            return path
    return None
