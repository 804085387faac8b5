"""What-ifs: a shop with named changes. Start reading here; everything about them is imported from here.

A what-if (`what_if_model`) is a name, a base and a list of changes to plain values (`changes`). `what_if_file` reads
and writes it, `what_if_apply` makes the changed shop, `what_if_differences` tells what differs.
"""

from shopsim.shop.changes import Change
from shopsim.shop.what_if_apply import apply
from shopsim.shop.what_if_differences import Difference, differences, differences_in_words
from shopsim.shop.what_if_file import base_path, dump_what_if, load_what_if, parse_what_if, what_if_schema
from shopsim.shop.what_if_model import Spends, WhatIf

__all__ = [
    "Change",
    "Difference",
    "Spends",
    "WhatIf",
    "apply",
    "base_path",
    "differences",
    "differences_in_words",
    "dump_what_if",
    "load_what_if",
    "parse_what_if",
    "what_if_schema",
]
