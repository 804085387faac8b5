"""HTML as values: text is always escaped, and only what is made here counts as markup."""

from __future__ import annotations

import html
import json
from typing import Any

from shopsim import signs


class Markup(str):
    """Text that is HTML already. Nothing but this module makes it from text of others."""

    __slots__ = ()


def shown(text: object) -> str:
    """Any text without signs that cannot be seen: each stands as `�`, white space as one space."""
    return signs.shown(" ".join(str(text).split()))


def escaped(text: object) -> Markup:
    """Any text as HTML that shows exactly this text; markup stays as it is."""
    return text if isinstance(text, Markup) else Markup(html.escape(shown(text)))


def element(tag: str, *children: object, **attributes: object) -> Markup:
    """An element with its children, text among them escaped; attributes without a value (None) are left out.

    A trailing underscore of an attribute's name is dropped and other ones become hyphens: `class_`, `aria_label`.
    """
    given = "".join(
        f' {name.rstrip("_").replace("_", "-")}="{html.escape(shown(value))}"'
        for name, value in attributes.items()
        if value is not None
    )
    return Markup(f"<{tag}{given}>{joined(*children)}</{tag}>")


def joined(*parts: object) -> Markup:
    """Parts one after the other, text among them escaped."""
    return Markup("".join(escaped(part) for part in parts if part is not None))


def preformatted(text: str) -> Markup:
    """Lines as they stand, signs that cannot be seen as `�`."""
    lines = (signs.shown(line, besides="\t") for line in text.splitlines())
    # Focusable, because a long line makes it scroll.
    return Markup(f'<pre tabindex="0">{html.escape(chr(10).join(lines))}</pre>')


def script_json(value: Any) -> Markup:
    """A value as JSON that may stand inside a script: nothing in it can end the script."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
    for sign, code in (("<", "\\u003c"), (">", "\\u003e"), ("&", "\\u0026"), ("\u2028", "\\u2028"),
                       ("\u2029", "\\u2029")):  # fmt: skip
        text = text.replace(sign, code)
    return Markup(text)
