"""The only file that knows the session's keys: which shop is open, what was entered, what was asked.

The shop itself lies on disk (`drafts.py`), so a reload, a second tab and another day find it again; its id stands in
the address. Pages ask here and never touch `st.session_state` for anything but their own widgets.
"""

from __future__ import annotations

import hashlib
import threading
from functools import lru_cache
from typing import Any

import streamlit as st

from app.disk import complaint
from app.drafts import Draft, Drafts
from app.fault_list import fault_list
from app.jobs import Jobs
from shopsim.answers.keeping import default_store, state_folder
from shopsim.errors import InputError, Problem
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import WhatIf
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value
from shopsim.studies.pool import Pool

_DRAFT, _IN_ADDRESS, _JOB = "draft", "shop", "job"
_READ, _SHOWN = "read", "shown"
MOST_RUNS = 400
"""More runs than this are for the command line."""


@st.cache_resource(show_spinner=False)
def _pool() -> Pool:
    made = Pool()
    # The first visit is before the first question: its processes are ready by then.
    threading.Thread(target=made.warm, daemon=True).start()
    return made


@st.cache_resource(show_spinner=False)
def jobs() -> Jobs:
    """The jobs of this process, the same for every tab."""
    return Jobs(state_folder() / "answers", default_store(), _pool())


def drafts() -> Drafts:
    """The shops kept on this machine."""
    return Drafts(state_folder() / "drafts")


def disk_complaint() -> str:
    """Why nothing can be kept on this machine; empty where all is well."""
    return complaint(state_folder())


def begin() -> None:
    """Once a run, before the page: find the shop of the address again, and put the open one into the address."""
    if _DRAFT not in st.session_state:
        st.session_state[_DRAFT] = st.query_params.get(_IN_ADDRESS, "")
    asked = st.query_params.get(_JOB)
    if asked is not None and not any(job.key.startswith(asked) for job in jobs().going_on()):
        note_job(None)
    found = draft()
    st.session_state[_READ] = None if found is None else _mark(found.text())
    if found is None:
        st.query_params.pop(_IN_ADDRESS, None)
    elif st.query_params.get(_IN_ADDRESS) != found.id:
        st.query_params[_IN_ADDRESS] = found.id


def drawn() -> None:
    """Once a run, after the page: what this tab shows now is the shop as it was when the run began."""
    st.session_state[_SHOWN] = st.session_state[_READ]


def is_shown(text: str) -> bool:
    """Whether this is the shop's file as this tab shows it: an edit to anything else might hit another row."""
    return st.session_state.get(_SHOWN) in (None, _mark(text))


def now_shown(text: str) -> None:
    """This tab itself has changed the file."""
    st.session_state[_READ] = st.session_state[_SHOWN] = _mark(text)


def draft() -> Draft | None:
    """The shop being worked on."""
    return drafts().open(st.session_state.get(_DRAFT, ""))


def open_draft(made: Draft) -> None:
    """Work on this shop from now on."""
    st.session_state[_DRAFT] = made.id
    st.query_params[_IN_ADDRESS] = made.id


def required() -> Draft:
    """The shop being worked on; a page that needs one ends here if there is none, with a way to the start."""
    found = draft()
    if found is None:
        st.info("No shop is open yet.", icon=":material/info:")
        st.page_link("views/start.py", label="Choose one on the start page")
        st.stop()
    return found


def shop() -> Shop | None:
    """The open shop if it is sound."""
    found = _checked()
    return found if isinstance(found, Shop) else None


def faults() -> tuple[Problem, ...]:
    """Every fault that keeps the open shop from being sound."""
    found = _checked()
    return found if isinstance(found, tuple) else ()


def sound_shop() -> Shop:
    """The open shop; a page that needs a sound one ends here with the faults if it is not."""
    required()
    found = _checked()
    if not isinstance(found, Shop):
        draft = required()
        fault_list(draft.text(), draft.name, found or ())
        st.stop()
    return found


def title() -> str:
    """The name of the open shop."""
    found = draft()
    return "" if found is None else title_of(found)


def title_of(one: Draft) -> str:
    """The name of a shop, of its file if it has none or cannot be read."""
    try:
        about = _values(one.text(), one.name).get("shop")
    except InputError:
        return one.name
    return str(about.get("name") or one.name) if isinstance(about, dict) else one.name


def what_ifs() -> list[WhatIf]:
    """The what-ifs kept with the open shop."""
    found = draft()
    return [] if found is None else found.what_ifs()


def save_what_if(what_if: WhatIf) -> None:
    """Keep a what-if with the open shop; one of the same name is replaced."""
    required().save_what_if(what_if)


def broken_what_ifs() -> dict[str, tuple[Problem, ...]]:
    """What-if files of the open shop that cannot be used, with their faults."""
    found = draft()
    return {} if found is None else found.broken_what_ifs()


def rename_what_if(old: str, new: str) -> None:
    """Give a what-if another name, also where it is chosen. Raises InputError as `Draft.rename_what_if`."""
    found = required()
    found.rename_what_if(old, new)
    with found.changing():
        found.put_forms({page: _renamed(entries, old, new) for page, entries in found.forms().items()})


def _renamed(entries: dict[str, Any], old: str, new: str) -> dict[str, Any]:
    """What was entered on a page, with a what-if's new name: chosen alone, and made together with others."""
    together = entries.get("together", [])
    names = {old: new}
    renamed = [[new if name == old else name for name in each] for each in together]
    names |= {" + ".join(before): " + ".join(after) for before, after in zip(together, renamed, strict=True)}
    found = {**entries, "together": renamed} if together else dict(entries)
    return found | ({"chosen": [names.get(one, one) for one in entries["chosen"]]} if "chosen" in entries else {})


def delete_what_if(name: str) -> None:
    """Throw a kept what-if away."""
    required().delete_what_if(name)


def entered(page: str) -> dict[str, Any]:
    """What was entered on a page of the open shop, on this or another day."""
    found = draft()
    kept = found.forms().get(page, {}) if found else {}
    return kept if isinstance(kept, dict) else {}


def runs_entered(page: str) -> int:
    """Runs asked for on a page, at first as many as the file wants, within what pages offer."""
    wanted = int(entered(page).get("count", sound_shop().scenario.study.replications))
    return max(2, min(MOST_RUNS, wanted))


def keep_entered(page: str, **entries: Any) -> None:
    """Keep what is entered on a page: plain values by name."""
    found = required()
    if {**entered(page), **entries} == entered(page):
        return
    with found.changing():
        forms = found.forms()
        found.put_forms({**forms, page: {**forms.get(page, {}), **entries}})


def note_job(key: str | None) -> None:
    """Put the question that is being answered into the address, or take it out."""
    if key is None:
        st.query_params.pop(_JOB, None)
    else:
        st.query_params[_JOB] = key[:12]


def _mark(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _checked() -> Shop | tuple[Problem, ...] | None:
    found = draft()
    if found is None:
        return None
    stamps = tuple((path.name, path.stat().st_mtime_ns, path.stat().st_size) for path in sorted(found.folder.iterdir())
                   if path.is_file() and path.name != "forms.json")  # fmt: skip
    return _read(found, stamps)


@lru_cache(maxsize=64)
def _values(text: str, name: str) -> dict[str, Any]:
    return plain_value(compose(text, name), name)


@lru_cache(maxsize=16)
def _read(found: Draft, stamps: tuple[tuple[str, int, int], ...]) -> Shop | tuple[Problem, ...]:  # noqa: ARG001
    try:
        return found.shop()
    except InputError as fault:
        return fault.problems
