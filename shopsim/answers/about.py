"""What a question was, as plain values: for whoever reads the answer later, and for whoever wants to ask it again."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath
from typing import Any

from shopsim.answers.question import Changed, Question, notes_of, shop_key
from shopsim.shop.what_if import WhatIf, differences_in_words, dump_what_if

WHAT_IFS = "what_ifs"
_HASH_LETTERS = 8


def about(question: Question[Any]) -> dict[str, Any]:
    """Kind, the question in words, its shop, its options with their changes and files, when its runs are enough, and
    the command that asks it.

    Files of what-ifs are named as they lie beside the scenario when a report is written: `what_ifs/NAME.yaml`.
    """
    files = WhatIfFiles(question)
    before = {f"{WHAT_IFS}/{name}": text for name, text in files.texts(question.made_before()).items()}
    return {
        "kind": question.kind,
        "question": question.in_words(),
        "shop_key": shop_key(question.shop),
        "options": {one.name: _option(question, one, files) for one in question.options()},
        "files": {**question.files(), **before},
        "enough": question.enough(),
        "command": ["shopsim", *question.command(files.joined)],
    }


class WhatIfFiles:
    """The files of a question's what-ifs: named as those they were read from, with a hash where two texts would share
    one name."""

    def __init__(self, question: Question[Any]) -> None:
        self._base = f"../{question.scenario_file}"
        of_options = [what_if for one in question.options() for what_if in one.what_ifs]
        own_names = {self._text(each): _own_name(each) for each in (*question.made_before(), *of_options)}
        sharing = Counter(own_names.values())
        self._names = {text: f"{name}_{_hash(text)}" if sharing[name] > 1 else name for text, name in own_names.items()}

    def texts(self, what_ifs: Sequence[WhatIf]) -> dict[str, str]:
        """The texts of what-ifs by the names of their files."""
        return {f"{self._names[text]}.yaml": text for text in map(self._text, what_ifs)}

    def joined(self, what_ifs: Sequence[WhatIf]) -> str:
        """The what-ifs of one option as a command line takes them."""
        return "+".join(f"{WHAT_IFS}/{name}" for name in self.texts(what_ifs))

    def _text(self, what_if: WhatIf) -> str:
        return dump_what_if(replace(what_if, base=self._base))


def _own_name(what_if: WhatIf) -> str:
    """A file name of letters, digits and underscores: that of the file it was read from, or its name and a hash."""
    if what_if.source is not None and what_if.source.file:
        return _slug(PurePath(what_if.source.file).stem)
    return f"{_slug(what_if.name)}_{_hash(dump_what_if(replace(what_if, base='base.yaml')))}"


def _option(question: Question[Any], one: Changed, files: WhatIfFiles) -> dict[str, Any]:
    return {
        "differs": differences_in_words(question.shop.scenario, one.shop.scenario, one.what_ifs),
        "notes": notes_of(question.shop, one),
        "scenario_hash": one.shop.scenario.content_hash,
        "files": files.texts(one.what_ifs),
    }


def _slug(name: str) -> str:
    return re.sub(r"[\W_]+", "_", name.lower()).strip("_")[:60] or "what_if"


def _hash(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:_HASH_LETTERS]
