"""Where the numbers of the trade handbook come from: each row that the models cite, and what it stands on."""

from __future__ import annotations

import csv
import re
from functools import cache
from importlib.resources import files
from typing import NamedTuple

# The weakest first: what a range of rows stands on is what its weakest row stands on.
BASES = ("from memory", "common practice", "worked out", "partly published", "published")
"""How well a row is founded; `partly published` means that a source gives a range or one of several numbers."""


class HandbookRow(NamedTuple):
    """One row: what it is about, what it stands on (one of `BASES`), the kind of source if there is one, and what is
    usual where no field of the models holds that."""

    quantity: str
    basis: str
    source: str
    usual: str = ""


@cache
def handbook_rows() -> dict[str, HandbookRow]:
    """All rows that a value of a scenario may rest on, by id."""
    text = files("shopsim.report").joinpath("handbook_rows.csv").read_text(encoding="utf-8")
    return {
        line["row"]: HandbookRow(line["quantity"], line["basis"], line["source"], line["usual"])
        for line in csv.DictReader(text.splitlines())
    }


def founded_on(cited: str) -> HandbookRow | None:
    """What a citation such as `PRN-01` or `CHG-02..09` stands on; None for one that is no row (`section 0`)."""
    known = [handbook_rows()[row] for row in rows_of(cited) if row in handbook_rows()]
    if not known:
        return None
    weakest = min(known, key=lambda row: BASES.index(row.basis))
    sources, usual = ("; ".join(dict.fromkeys(text for text in texts if text))
                      for texts in ([row.source for row in known], [row.usual for row in known]))  # fmt: skip
    quantity = known[0].quantity if len(known) == 1 else f"{known[0].quantity}, and the rows after it"
    return HandbookRow(quantity, weakest.basis, sources, usual)


def rows_of(cited: str) -> list[str]:
    """The rows of a citation: `CHG-02..04` is three of them."""
    found = re.fullmatch(r"([A-Z]{3})-(\d\d)(?:\.\.(\d\d))?", cited)
    if found is None:
        return []
    first, last = int(found[2]), int(found[3] or found[2])
    return [f"{found[1]}-{number:02d}" for number in range(first, last + 1)]
