"""Files made to do harm, each given to every reader: refused with a located message, within seconds."""

from __future__ import annotations

import io
import json
import tempfile
import zipfile
from collections.abc import Callable, Collection, Iterator
from pathlib import Path

from tests.hardening.ordeal import Ordeal
from tests.hardening.trials import FORGED, kinds, outcome_of, prepare

_MILLION = 1_000_000
LONGEST_S = 10


def _zip_bomb() -> bytes:
    """A workbook of which one sheet unzips to 400 MB of blanks."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as book:
        with book.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as sheet:
            for _ in range(400):
                sheet.write(b" " * _MILLION)
        book.writestr("[Content_Types].xml", "<Types/>")
    return made.getvalue()


def _xml_bomb() -> bytes:
    """A workbook whose strings are entities of entities of entities: a thousand million laughs."""
    entities = "".join(f'<!ENTITY l{i} "{f"&l{i - 1};" * 10}">' for i in range(1, 10))
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as book:
        book.writestr("[Content_Types].xml", "<Types/>")
        book.writestr("xl/workbook.xml", f'<!DOCTYPE x [<!ENTITY l0 "ha">{entities}]><workbook>&l9;</workbook>')
    return made.getvalue()


def _aliases() -> str:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 30)]
    return "\n".join(lines)


FILES: dict[str, Callable[[], bytes]] = {
    "a workbook that unzips to 400 MB": _zip_bomb,
    "entities of entities of entities": _xml_bomb,
    "aliases of aliases of aliases": lambda: _aliases().encode(),
    "a list in a list, a million deep": lambda: (b"[" * _MILLION) + (b"]" * _MILLION),
    "a table in a table, half a million deep": lambda: b'{"a":' * (_MILLION // 2),
    "a block in a block, two thousand deep": lambda: "".join(f"{' ' * i}a:\n" for i in range(1_900)).encode(),
    "a number of a million digits": lambda: b"version: " + b"9" * _MILLION,
    "a name of a million letters": lambda: b"shop: {name: " + b"a" * _MILLION + b"}",
    "a line of a million commas": lambda: b"," * _MILLION,
    "a million lines": lambda: b"a\n" * (_MILLION - 1),
    "signs that steer a terminal": lambda: b"shop: {name: \"\x1b[2J\x07\x08\"}\n",
    "zero bytes": lambda: b"\x00" * 10_000,
    "the end of a program's text": lambda: b"!!python/object/apply:os.system ['true']",
    "numbers beyond all numbers": lambda: json.dumps({"minute": 1}).replace("1", "1e999999999").encode(),
}  # fmt: skip


def hostile_files(names: Collection[str] = tuple(FILES)) -> Iterator[Ordeal]:
    """Hostile files for every reader; order books and exports are also given as workbooks."""
    with tempfile.TemporaryDirectory() as folder:
        demos = Path(folder) / "demos"
        prepare(demos)
        for name in names:
            bad, tried = [], 0
            content = FILES[name]()
            for kind, files in kinds().items():
                if kind == FORGED:
                    continue
                suffixes = {files[0].suffix, *([".xlsx"] if files[0].suffix == ".csv" else [])}
                for suffix in sorted(suffixes):
                    path = demos / f"hostile{suffix}"
                    path.write_bytes(content)
                    found = outcome_of(kind, 0, path)
                    tried += 1
                    if found.became not in ("refused", "read") or found.seconds > LONGEST_S:
                        bad.append(f"{kind}{suffix}: {found.became} after {found.seconds:.1f} s: {found.told[-300:]}")
            yield Ordeal("hostile file", name, tried, tuple(bad))
