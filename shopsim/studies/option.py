"""An option: a shop that can be run, under a name, and the key under which its replications are kept."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from functools import cached_property

from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.studies.replication import Replication, one_replication

# How many replications there are and how they are judged changes none of their numbers.
_ABOUT_THE_STUDY = ("replications", "confidence_pct", "on_time_target_pct")


@dataclass(frozen=True)
class Option:
    """One of the shops that a study compares: the base as it stands, or a what-if.

    `in_detail` asks for what became of every order as well, which makes rows long.
    """

    name: str
    scenario: Scenario
    order_lines: tuple[OrderLine, ...] = ()
    in_detail: bool = False

    def replication(self, number: int) -> Replication:
        """One replication of it. Raises AuditError if its books do not balance."""
        return one_replication(self.scenario, self.order_lines, number, self.in_detail)

    @cached_property
    def key(self) -> str:
        """sha256 over all that a replication's numbers depend on, besides its own number and the program."""
        values = self.scenario.model_dump(mode="json")
        for name in _ABOUT_THE_STUDY:
            del values["study"][name]
        body = json.dumps(values, sort_keys=True, separators=(",", ":"), allow_nan=False)
        digest = hashlib.sha256(body.encode())
        for line in self.order_lines:
            digest.update(repr(line).encode())
        if self.in_detail:
            digest.update(b"in detail")
        digest.update(self._further().encode())
        return digest.hexdigest()

    def _further(self) -> str:
        """What else than shop and orders its numbers depend on, in words."""
        return ""
