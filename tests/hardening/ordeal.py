"""What one ordeal came to."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Ordeal:
    """Something tried so often, and in words each time it went wrong; `told` is what else there is to say of it."""

    kind: str
    name: str
    tried: int
    bad: tuple[str, ...]
    told: str = ""
