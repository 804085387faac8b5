"""Where what has been worked out is kept on this machine."""

from __future__ import annotations

from pathlib import Path

from shopsim.compiled import state_folder as state_folder


def default_store() -> Path:
    """Where replications are kept unless told otherwise."""
    return state_folder() / "replications.sqlite"
