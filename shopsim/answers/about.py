"""What a question was, as plain values: for whoever reads the answer later, and for whoever wants to ask it again."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import Any

from shopsim.answers.question import Changed, Question, notes_of, shop_key
from shopsim.shop.what_if import WhatIf, differences, dump_what_if

WHAT_IFS = "what_ifs"
_HASH_LETTERS = 8


def about(question: Question[Any]) -> dict[str, Any]:
    """Kind, the question in words, its shop, its options with their changes and files, and the command that asks it.

    Files of what-ifs are named as they lie beside the scenario when a report is written: `what_ifs/NAME.yaml`.
    """
    return {
        "kind": question.kind,
        "question": question.in_words(),
        "shop_key": shop_key(question.shop),
        "options": {one.name: _option(question, one) for one in question.options()},
        "files": {**question.files(), **_files(question, question.made_before(), f"{WHAT_IFS}/")},
        "command": ["shopsim", *question.command(joined_files)],
    }


def joined_files(what_ifs: Sequence[WhatIf]) -> str:
    """The what-ifs of one option as a command line takes them."""
    return "+".join(f"{WHAT_IFS}/{file_name(what_if)}" for what_if in what_ifs)


def file_name(what_if: WhatIf) -> str:
    """A file name of letters, digits and underscores; that of the file it was read from, where there is one."""
    if what_if.source is not None and what_if.source.file:
        return f"{_slug(PurePath(what_if.source.file).stem)}.yaml"
    told = hashlib.sha256(dump_what_if(replace(what_if, base="base.yaml")).encode()).hexdigest()[:_HASH_LETTERS]
    return f"{_slug(what_if.name)}_{told}.yaml"


def _option(question: Question[Any], one: Changed) -> dict[str, Any]:
    return {
        "differs": [str(each) for each in differences(question.shop.scenario, one.shop.scenario)],
        "notes": notes_of(question.shop, one),
        "scenario_hash": one.shop.scenario.content_hash,
        "files": _files(question, one.what_ifs),
    }


def _files(question: Question[Any], what_ifs: Sequence[WhatIf], folder: str = "") -> dict[str, str]:
    """The texts of what-ifs by file, as they lie in the folder beside the scenario."""
    base = f"../{question.scenario_file}"
    return {f"{folder}{file_name(each)}": dump_what_if(replace(each, base=base)) for each in what_ifs}


def _slug(name: str) -> str:
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:60] or "what_if"
