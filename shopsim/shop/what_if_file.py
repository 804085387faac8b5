"""Reading and writing what-if files: text in, one `WhatIf` out, or every fault at once with its place."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from shopsim.errors import WhatIfError
from shopsim.shop.file_text import read_text
from shopsim.shop.located_faults import read_model
from shopsim.shop.what_if_model import Source, WhatIf, WhatIfFile, file_values
from shopsim.shop.yaml_tree import places_in
from shopsim.shop.yaml_writing import block


def load_what_if(path: str | Path, scenario: str | Path | None = None) -> WhatIf:
    """The what-if in a file, whose base must be there; with ``scenario``, its base must be that file.

    Raises WhatIfError with every fault found, sorted by line.
    """
    path = Path(path)
    what_if = parse_what_if(read_text(path, error=WhatIfError), str(path))
    message = _why_not_base(what_if.base, base_path(path, what_if), scenario)
    if message:
        raise WhatIfError([what_if.problem(("base",), "base", message)])
    return what_if


def parse_what_if(text: str, name: str) -> WhatIf:
    """The what-if in a text; ``name`` stands for the file in messages. Raises WhatIfError with every fault found."""
    file = read_model(WhatIfFile, text, name, WhatIfError)
    read = file.model
    changes = tuple(each.change() for each in read.changes)
    return WhatIf(read.name, changes, read.base, read.note, read.spends, Source(name, places_in(file.root)))


def dump_what_if(what_if: WhatIf) -> str:
    """YAML of a what-if; reading it gives an equal one."""
    return "\n".join(block(file_values(what_if), 0)) + "\n"


def base_path(path: str | Path, what_if: WhatIf) -> Path:
    """Where the base scenario of a what-if lies that was read from ``path``."""
    return Path(path).parent / what_if.base


def what_if_schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of what-if files, for completion in editors."""
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **WhatIfFile.model_json_schema()}


def _why_not_base(base: str, beside: Path, scenario: str | Path | None) -> str:
    if Path(base).is_absolute():
        return "must be a path as seen from this file, not one from the root"
    try:
        if not beside.is_file():
            return f"there is no such file: {beside}"
        if scenario is not None and not beside.samefile(scenario):
            return f"this what-if starts from {beside}, not from {scenario}"
    except (OSError, ValueError) as fault:
        return f"cannot be read: {getattr(fault, 'strerror', None) or fault}"
    return ""
