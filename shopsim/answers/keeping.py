"""Where what has been worked out is kept on this machine."""

from __future__ import annotations

import os
from pathlib import Path


def state_folder() -> Path:
    """The user's folder for state (XDG Base Directory)."""
    home = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(home) / "shopsim"


def default_store() -> Path:
    """Where replications are kept unless told otherwise."""
    return state_folder() / "replications.sqlite"
