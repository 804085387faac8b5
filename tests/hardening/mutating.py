"""Spoils a file in one of the ways in which files get spoiled: by hand, by other software, by an enemy."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

_NUMBERS = (
    "-1", "0", "1e308", "1e-320", "-0.0", ".nan", ".inf", "-.inf", "99999999999999999999", "1e400", "0x1F", "1_000",
    "07", "1,5", "true", "null", "~", '""', "[]", "{}", "2026-02-30", "25:61", "1000000", "0.0000001", "1e9",
)  # fmt: skip
_TEXTS = (
    "=1+1", "@SUM(A1)", "+cmd", "-2+3", "<script>alert(1)</script>", "[bold]x[/bold]", "{{7*7}}", "${HOME}", "../../x",
    "\u202ereversed", "\U0001f9f5", "a" * 5_000, "\x1b[31mred", "'; drop table x; --", "%s%n", "NaN", "None", "\ufeff",
)  # fmt: skip
_ENEMIES = (
    "? *a : &a [*a]", "bomb: &b [x, x]\nmore: [*b, *b]", "[" * 3_000, "{" * 3_000, "- " * 3_000,
    "!!python/object:os.system x",
    "<<: {id: twice}", "---\nsecond: document", "%YAML 9.9", "\x00", "\x07", "\t\tkey: value", "key: [1, 2", "'",
)  # fmt: skip
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")
_WORD = re.compile(r"[A-Za-z_]{2,}")
Spoil = Callable[[str, random.Random], str]


def mutated(content: bytes, number: int) -> bytes:
    """The file spoiled in one to three ways, by the number of the trial."""
    chance = random.Random(number)
    text = content.decode("utf-8")
    for _ in range(chance.randint(1, 3)):
        text = chance.choice(_SPOILS)(text, chance)
    spoiled = text.encode("utf-8", errors="surrogatepass")
    return _with_a_byte_turned(spoiled, chance) if chance.random() < 0.05 else spoiled


def _with_a_byte_turned(content: bytes, chance: random.Random) -> bytes:
    if not content:
        return content
    at = chance.randrange(len(content))
    return content[:at] + bytes([content[at] ^ (1 << chance.randrange(8))]) + content[at + 1 :]


def _lines(text: str, chance: random.Random, change: Callable[[list[str], int], None]) -> str:
    lines = text.splitlines(keepends=True)
    if lines:
        change(lines, chance.randrange(len(lines)))
    return "".join(lines)


def _line_gone(text: str, chance: random.Random) -> str:
    return _lines(text, chance, lambda lines, at: lines.__delitem__(at))


def _line_twice(text: str, chance: random.Random) -> str:
    return _lines(text, chance, lambda lines, at: lines.insert(at, lines[at]))


def _line_moved(text: str, chance: random.Random) -> str:
    return _lines(text, chance, lambda lines, at: lines.insert(chance.randrange(len(lines)), lines.pop(at)))


def _indented(text: str, chance: random.Random) -> str:
    def change(lines: list[str], at: int) -> None:
        lines[at] = lines[at].removeprefix("  ") if chance.random() < 0.5 else f"  {lines[at]}"

    return _lines(text, chance, change)


def _enemy(text: str, chance: random.Random) -> str:
    return _lines(text, chance, lambda lines, at: lines.insert(at, f"{chance.choice(_ENEMIES)}\n"))


def _token(pattern: re.Pattern[str], text: str, chance: random.Random, other: str) -> str:
    found = list(pattern.finditer(text))
    if not found:
        return text
    token = chance.choice(found)
    return text[: token.start()] + other + text[token.end() :]


def _number(text: str, chance: random.Random) -> str:
    return _token(_NUMBER, text, chance, chance.choice(_NUMBERS))


def _another_number(text: str, chance: random.Random) -> str:
    return _token(_NUMBER, text, chance, chance.choice(_NUMBER.findall(text) or ["1"]))


def _word(text: str, chance: random.Random) -> str:
    return _token(_WORD, text, chance, chance.choice([*_WORD.findall(text)[:400], "x"]))


def _text(text: str, chance: random.Random) -> str:
    return _token(_WORD, text, chance, chance.choice(_TEXTS))


def _mark(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice(":,;#&*!|>'\"%@`{}[]-\n\t\r \u00a0") + text[at:]


def _cut_short(text: str, chance: random.Random) -> str:
    return text[: chance.randrange(len(text) + 1)]


_SPOILS: tuple[Spoil, ...] = (
    _number, _number, _number, _another_number, _another_number, _word, _word, _text, _mark, _line_gone, _line_twice,
    _line_moved, _indented, _enemy, _cut_short,
)  # fmt: skip
