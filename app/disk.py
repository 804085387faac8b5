"""Whether what is entered can be kept: told before anything is lost."""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

LEAST_FREE_BYTES = 20_000_000
"""More than any edit, upload or answer takes."""


def complaint(folder: Path) -> str:
    """Why nothing can be kept in a folder, and what to do; empty where all is well."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            free = shutil.disk_usage(folder).free
    except OSError as fault:
        return f"Nothing can be kept in {folder}: {fault.strerror}. Give shopsim the right to write there, then reload."
    if free < LEAST_FREE_BYTES:
        left = f"{free / 1e6:.0f} MB free"
        return f"The disk of {folder} is full ({left}). Make room there, then reload; nothing is lost."
    return ""
