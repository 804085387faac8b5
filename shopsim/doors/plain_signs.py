"""Our signs on terminals and in files that know fewer: each becomes the nearest known one, and no answer is lost."""

from __future__ import annotations

import codecs
import io
import sys
import unicodedata

_HANDLER = "shopsim.nearest"
_NEAREST = {
    "–": "-", "—": "-", "−": "-", "×": "x", "·": ".", "…": "...", "±": "+/-", "≥": ">=", "≤": "<=", "→": "->",
    "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "€": "EUR", "£": "GBP", "█": "#", "─": "-", "│": "|",
}  # fmt: skip


def nearest(text: str) -> str:
    """The text in ASCII: signs as their nearest, letters without their accents, `?` for what has no likeness."""
    return "".join(
        _NEAREST.get(sign) or unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode() or "?"
        for sign in text
    )


def speaks_unicode(stream: object) -> bool:
    """Whether any sign can be written to a stream."""
    return (getattr(stream, "encoding", None) or "utf-8").lower().startswith("utf")


def use_nearest_signs() -> None:
    """From now on standard output and errors take any text, whatever the terminal's character set."""
    codecs.register_error(_HANDLER, _known_by)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper) and not speaks_unicode(stream):
            stream.reconfigure(errors=_HANDLER)


def _known_by(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    return nearest(fault.object[fault.start : fault.end]), fault.end
