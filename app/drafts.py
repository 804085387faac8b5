"""Shops being worked on, kept on disk as the very files that the command line runs."""

from __future__ import annotations

import io
import json
import re
import secrets
import shutil
import time
import zipfile
from collections.abc import Mapping
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Any

from app.locks import locked
from shopsim.errors import InputError, Problem, ScenarioError, ShopsimError
from shopsim.shop.file_text import MAX_BYTES, decode, write_text
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import WhatIf, dump_what_if, load_what_if
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value

MOST = 40
_LONGEST_NAME = 120
_FORMS = "forms.json"
PAST = ".past.json"
"""Texts of the scenario before each edit, for undo."""
_WHAT_IFS = "what_ifs"
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
        found = []
        for path in sorted((self.folder / _WHAT_IFS).glob("*.yaml")):
            try:
                found.append(load_what_if(path, self.path))
            except InputError:
                continue
        return found

    def save_what_if(self, what_if: WhatIf) -> Path:
        """Keep a what-if; one of the same name is replaced."""
        folder = self.folder / _WHAT_IFS
        folder.mkdir(exist_ok=True)
        with self.changing():
            path = self._file_of(what_if.name)
            write_text(path, dump_what_if(replace(what_if, base=f"../{self.name}")))
        return path

    def _file_of(self, name: str) -> Path:
        """Where the what-if of this name lies; names alike but for signs no file name holds have files of their own."""
        folder = self.folder / _WHAT_IFS
        for one in self.what_ifs():
            if one.name == name and one.source is not None:
                return folder / Path(one.source.file).name
        free = (folder / f"{_slug(name)}{'' if i == 1 else f'_{i}'}.yaml" for i in count(1))
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
            for path in sorted({self.path, *self._books(), *(self.folder / _WHAT_IFS).glob("*.yaml")}):
                made.write(path, path.relative_to(self.folder))
        return out.getvalue()

    def _books(self) -> list[Path]:
        """The order book that the scenario asks for; books taken before stay here."""
        try:
            wanted = _wanted_book(_values(self.name, self.path.read_bytes()))
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
        sorted_out = _sorted_out(files)
        draft_id = secrets.token_hex(6)
        folder = self._folder / draft_id
        (folder / _WHAT_IFS).mkdir(parents=True)
        try:
            for name, content in sorted_out.items():
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


def _sorted_out(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """Files by the place they belong to; the order book under the name that the scenario has for it."""
    yamls = {name: data for name, data in files.items() if name.lower().endswith((".yaml", ".yml"))}
    values = {name: _values(name, data) for name, data in yamls.items()}
    shops = [name for name in yamls if "changes" not in values[name]]
    if len(shops) != 1:
        found = "none" if not shops else ", ".join(shops)
        raise ScenarioError([Problem("", None, None, "", f"one scenario file (.yaml) is needed, found {found}")])
    made = {f"{_slug(Path(shops[0]).stem)}.yaml": yamls[shops[0]]}
    books = {name: data for name, data in files.items() if name not in yamls}
    wanted = _wanted_book(values[shops[0]])
    if wanted and books:
        fits = [name for name in books if Path(name).name == Path(wanted).name]
        fits = fits or [name for name in books if Path(name).suffix.lower() == Path(wanted).suffix.lower()]
        if fits:
            made[wanted] = books[fits[0]]
    base = next(iter(made))
    for name in yamls:
        if name not in shops:
            made[f"{_WHAT_IFS}/{_slug(Path(name).stem)}.yaml"] = _with_base(name, yamls[name], f"../{base}")
    return made


def _values(name: str, data: bytes) -> dict[str, Any]:
    if len(data) > MAX_BYTES:
        raise ScenarioError([Problem(name, None, None, "", f"must be at most {MAX_BYTES / 1e6:g} MB")])
    return plain_value(compose(decode(data, name), name), name)


def _wanted_book(values: Mapping[str, Any]) -> str:
    """The file of the order book, if it is one below the scenario's folder."""
    demand = values.get("demand")
    book = demand.get("order_book") if isinstance(demand, dict) else None
    name = book.get("file") if isinstance(book, dict) else None
    if not isinstance(name, str) or len(name) > _LONGEST_NAME or not name.isprintable():
        return ""
    if Path(name).is_absolute() or ".." in Path(name).parts:
        return ""
    return name


def _with_base(name: str, data: bytes, base: str) -> bytes:
    """A what-if file that starts from the scenario as it is called here."""
    text = decode(data, name)
    return re.sub(r"(?m)^base:.*$", lambda _: f"base: {base}", text, count=1).encode()


def _check_what_ifs(draft: Draft) -> None:
    for path in (draft.folder / _WHAT_IFS).glob("*.yaml"):
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


def _slug(name: str) -> str:
    """A file name made of letters, digits and underscores."""
    return re.sub(r"[^a-z0-9]+", "_", name.lower()).strip("_")[:60] or "shop"
