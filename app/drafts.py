"""Shops being worked on, kept on disk as the very files that the command line runs."""

from __future__ import annotations

import io
import json
import re
import secrets
import shutil
import time
import zipfile
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Any

from app.draft_files import MORNINGS, WHAT_IFS, slug, sorted_out, values_of, wanted_book
from app.locks import locked
from shopsim.errors import InputError, Problem, ShopsimError, WhatIfError
from shopsim.shop.file_text import write_text
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import WhatIf, dump_what_if, load_what_if, parse_what_if
from shopsim.shop.yaml_writing import flow

MOST = 40
_FORMS = "forms.json"
PAST = ".past.json"
"""Texts of the scenario before each edit, for undo."""
_LOCK = ".lock"
_ID = re.compile(r"[0-9a-f]{12}")


@dataclass(frozen=True, slots=True)
class Draft:
    """One shop in a folder of its own: `path` is the scenario's file, what-ifs lie in `what_ifs/` beside it."""

    id: str
    path: Path

    @property
    def name(self) -> str:
        """The scenario's file name."""
        return self.path.name

    @property
    def folder(self) -> Path:
        return self.path.parent

    def changing(self) -> AbstractContextManager[None]:
        """Held while something is read, changed and written again: tabs and programs wait for each other."""
        return locked(self.folder / _LOCK)

    def text(self) -> str:
        """The scenario file as it stands, sound or not."""
        return self.path.read_text(encoding="utf-8")

    def put_text(self, text: str) -> None:
        """Replace the scenario file, whole or not at all."""
        write_text(self.path, text)

    def shop(self) -> Shop:
        """The checked shop. Raises InputError with every fault, told by the names of files without their folder."""
        with_short_names = _short_names(self.folder)
        try:
            return load_shop(self.path)
        except InputError as fault:
            raise with_short_names(fault) from None

    def what_ifs(self) -> list[WhatIf]:
        """All sound what-ifs, by file name."""
        return [one for _, one in self._read_what_ifs() if isinstance(one, WhatIf)]

    def broken_what_ifs(self) -> dict[str, tuple[Problem, ...]]:
        """Every fault of the what-if files that cannot be used, by file name."""
        return {path.name: one.problems for path, one in self._read_what_ifs() if isinstance(one, InputError)}

    def _read_what_ifs(self) -> Iterator[tuple[Path, WhatIf | InputError]]:
        for path in sorted((self.folder / WHAT_IFS).glob("*.yaml")):
            try:
                yield path, load_what_if(path, self.path)
            except InputError as fault:
                yield path, _short_names(self.folder)(fault)

    def save_what_if(self, what_if: WhatIf) -> Path:
        """Keep a what-if; one of the same name is replaced."""
        folder = self.folder / WHAT_IFS
        folder.mkdir(exist_ok=True)
        with self.changing():
            path = self._file_of(what_if.name)
            write_text(path, dump_what_if(replace(what_if, base=f"../{self.name}")))
        return path

    def rename_what_if(self, old: str, new: str) -> None:
        """Give a what-if another name; comments in its file stay. Raises InputError for a name that is taken or none
        a what-if can bear."""
        with self.changing():
            known = {one.name: (path, one) for path, one in self._read_what_ifs() if isinstance(one, WhatIf)}
            if new in known:
                raise WhatIfError([Problem(new, None, None, "name", "there is a what-if of this name already")])
            path, one = known[old]
            write_text(path, _renamed(path.read_text(encoding="utf-8"), replace(one, name=new)))

    def delete_what_if(self, name: str) -> None:
        """Throw a what-if away, by its name or, of one that cannot be read, by the name of its file."""
        with self.changing():
            for path, one in list(self._read_what_ifs()):
                if name == (one.name if isinstance(one, WhatIf) else path.name):
                    path.unlink()

    def _file_of(self, name: str) -> Path:
        """Where the what-if of this name lies; names alike but for signs no file name holds have files of their own."""
        folder = self.folder / WHAT_IFS
        for one in self.what_ifs():
            if one.name == name and one.source is not None:
                return folder / Path(one.source.file).name
        free = (folder / f"{slug(name)}{'' if i == 1 else f'_{i}'}.yaml" for i in count(1))
        return next(path for path in free if not path.exists())

    def forms(self) -> dict[str, Any]:
        """What was entered on the pages, by page."""
        try:
            read = json.loads((self.folder / _FORMS).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return read if isinstance(read, dict) else {}

    def put_forms(self, forms: Mapping[str, Any]) -> None:
        """Keep what was entered on the pages."""
        write_text(self.folder / _FORMS, json.dumps(forms))

    def zipped(self) -> bytes:
        """The scenario, its order book and its what-ifs, as the command line wants them."""
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
            for path in sorted({self.path, *self._books(), *(self.folder / WHAT_IFS).glob("*.yaml"),
                                *(self.folder / MORNINGS).glob("*.yaml")}):  # fmt: skip
                made.write(path, path.relative_to(self.folder))
        return out.getvalue()

    def _books(self) -> list[Path]:
        """The order book that the scenario asks for; books taken before stay here."""
        try:
            wanted = wanted_book(values_of(self.name, self.path.read_bytes()))
        except ShopsimError:
            return [path for path in self.folder.iterdir() if path.suffix.lower() in (".csv", ".xlsx")]
        path = self.folder / wanted
        return [path] if wanted and path.is_file() else []

    @property
    def changed_at(self) -> float:
        """Seconds since the epoch at which any of its files was last written."""
        return max(path.stat().st_mtime for path in self.folder.rglob("*") if path.is_file())

    @property
    def is_untouched(self) -> bool:
        """Whether nobody has edited it, or entered anything on a page, since it was begun."""
        return not any((self.folder / name).exists() for name in (_FORMS, PAST))


class Drafts:
    """All drafts of this user."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def listed(self) -> list[Draft]:
        """The one last changed first."""
        found = [draft for path in self._folder.glob("*") if (draft := self.open(path.name)) is not None]
        return sorted(found, key=lambda draft: -draft.changed_at)

    def open(self, draft_id: str) -> Draft | None:
        """The draft of this id, if there is one."""
        folder = self._folder / draft_id
        if not _ID.fullmatch(draft_id) or not folder.is_dir():
            return None
        paths = sorted(folder.glob("*.yaml"))
        return Draft(draft_id, paths[0]) if paths else None

    def new(self, files: Mapping[str, bytes]) -> Draft:
        """A draft of files somebody gave: one scenario, its order book, what-ifs. Raises InputError with every fault.

        Names of files are those given, without any folder but `what_ifs`.
        """
        placed = sorted_out(files)
        draft_id = secrets.token_hex(6)
        folder = self._folder / draft_id
        (folder / WHAT_IFS).mkdir(parents=True)
        try:
            for name, content in placed.items():
                (folder / name).parent.mkdir(parents=True, exist_ok=True)
                (folder / name).write_bytes(content)
            draft = Draft(draft_id, next(folder.glob("*.yaml")))
            draft.shop()
            _check_what_ifs(draft)
        except BaseException:
            shutil.rmtree(folder)
            raise
        for old in self.listed()[MOST:]:
            if old.is_untouched:
                shutil.rmtree(old.folder, ignore_errors=True)
        return draft


def age(seconds_ago: float) -> str:
    """How long ago, in words."""
    for size, unit in ((86_400, "day"), (3_600, "hour"), (60, "minute")):
        if seconds_ago >= size:
            count = int(seconds_ago // size)
            return f"{count} {unit}{'s' if count > 1 else ''} ago"
    return "just now"


def ago(draft: Draft) -> str:
    """How long ago a draft was changed."""
    return age(time.time() - draft.changed_at)


def _renamed(text: str, wanted: WhatIf) -> str:
    """The text of a what-if with its new name; written anew where that takes more than another line."""
    made = re.sub(r"(?m)^name:.*$", lambda _: f"name: {flow(wanted.name)}", text, count=1)
    try:
        same = parse_what_if(made, wanted.name) == wanted
    except InputError:
        same = False
    return made if same else dump_what_if(wanted)


def _check_what_ifs(draft: Draft) -> None:
    for path in (draft.folder / WHAT_IFS).glob("*.yaml"):
        try:
            load_what_if(path, draft.path)
        except InputError as fault:
            raise _short_names(draft.folder)(fault) from None


def _short_names(folder: Path) -> Any:
    def renamed(fault: InputError) -> InputError:
        cut = f"{folder}/"
        return type(fault)(
            replace(each, file=each.file.replace(cut, ""), message=each.message.replace(cut, ""))
            for each in fault.problems
        )

    return renamed
