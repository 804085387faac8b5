"""Signs that cannot be seen: they steer terminals, turn lines round and hide text, so no text of others keeps them."""

from __future__ import annotations

import unicodedata

_HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn")
# They join letters and pictures and do nothing else.
_JOINERS = "\u200c\u200d"


def shown(text: object, besides: str = "") -> str:
    """Any text with `�` for each sign that cannot be seen, but for those named."""
    keeps = _JOINERS + besides
    return "".join("�" if sign not in keeps and unicodedata.category(sign) in _HIDDEN else sign for sign in str(text))
