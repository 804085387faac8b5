"""From a question to its answer on a page: run, progress and stop, the sentence first, and whether it still holds."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

import streamlit as st

from app import state
from app.jobs import Finished, Job, fault_lines
from app.say import noted, option_cautions, picture, plain
from shopsim.answers.question import Question
from shopsim.studies.runner import Progress

_EVERY_S = 0.5
_MOVED_ON = "Inputs have moved on: this is the answer to what was asked before"
_OTHER_PROGRAM = "shopsim itself has changed since this answer: run again to see what it says now"


@contextmanager
def what_to_ask(page: str, label: str = "What to ask") -> Iterator[None]:
    """The form of a page: open until there is an answer, then folded above it, so that the sentence comes first."""
    answered = state.jobs().answered(str(state.entered(page).get("answered", "")))
    with st.expander(label, expanded=not answered, icon=":material/tune:"):
        yield


def ask_panel(question: Question[Any], page: str, button: str = "Run") -> Finished | None:
    """Show the answer of a question, or what is needed to get it; None while there is nothing to show.

    The sentence is shown here; tables and pictures are the page's. An answer to an earlier question of the same page
    is shown with a mark that inputs have moved on, or the program; what the runs tell so far with one that says so.
    """
    jobs = state.jobs()
    finished = jobs.answer(question.key)
    if finished is not None:
        if state.entered(page).get("answered") != question.key:
            state.keep_entered(page, answered=question.key)
            # The form above was drawn as if there were no answer.
            st.rerun()
        _sentence(finished)
        return finished
    job = _job_of(page, question)
    if job is not None and job.going_on:
        if job.key != question.key:
            st.warning("Inputs have changed since this run began.", icon=":material/history:")
        _watch(job.key, job.so_far)
        # Beside what is watched, not in it: so the whole page answers to one click.
        st.button("Stop", key=f"stop.{job.key[:12]}", icon=":material/stop_circle:", on_click=_stop, args=(job.key,))
    else:
        _offer(question, page, button, job)
    if job is not None and job.key == question.key and job.so_far is not None:
        _so_far(job)
        return job.so_far
    before = jobs.answer(str(state.entered(page).get("answered", "")))
    if before is not None:
        st.badge(_MOVED_ON if before.asked != question.asked else _OTHER_PROGRAM, icon=":material/history:",
                 color="orange")  # fmt: skip
        _sentence(before)
    return before


def ask_with_cautions(question: Question[Any], page: str, button: str, notes: Mapping[str, Sequence[str]],
                      below: Callable[[Finished], None] | None = None) -> None:  # fmt: skip
    """As `ask_panel`, with all the answer shows. `notes` by option are of what the form asks for: they stand by it as
    long as the answer below is not to that; an answer brings its own. `below` is drawn under the sentence."""
    by_form = st.container()
    answer = ask_panel(question, page, button)
    if answer is None or answer.key != question.key:
        with by_form:
            option_cautions(notes)
    if answer is not None:
        if below is not None:
            below(answer)
        own = _notes_of(answer.document)
        pictures_and_tables(answer, lambda: option_cautions(own))


def _notes_of(document: Mapping[str, Any]) -> dict[str, list[str]]:
    """The notes of an answer, by option."""
    notes = document.get("notes")
    if isinstance(notes, Mapping):
        return dict(notes)
    if notes is not None:
        return {document["option"]: notes}
    return {name: option.get("notes", []) for name, option in document["options"].items()}


def pictures_and_tables(finished: Finished, between: Callable[[], None] | None = None) -> None:
    """What an answer shows below its sentence: pictures first, the tables of the command line folded in below them;
    `between` is drawn after the first picture."""
    for number, each in enumerate(finished.pictures):
        if number == 1 and between is not None:
            between()
        picture(each["figure"], each["words"], f"picture.{finished.key[:8]}.{number}")
    if len(finished.pictures) < 2 and between is not None:
        between()
    with st.expander("All numbers", icon=":material/table_rows:", expanded=not finished.pictures):
        noted(finished.tables)


def running(here: str) -> None:
    """For the sidebar: what is being answered now, of whichever shop and on whichever page it was asked, with a way
    there and a stop; the page `here` has its own."""
    draft = state.draft()
    for job in state.jobs().going_on():
        _side_line(job.key)
        if draft is not None and (job.page, job.draft) == (here, draft.id):
            continue
        # Beside what is watched, not in it: so the whole page answers to one click.
        with st.container(horizontal=True):
            there = st.button("Go there", key=f"side.go.{job.key[:12]}", icon=":material/arrow_forward:")
            st.button("Stop", key=f"side.stop.{job.key[:12]}", icon=":material/stop_circle:", on_click=_stop,
                      args=(job.key,))  # fmt: skip
        asked_of = state.drafts().open(job.draft)
        if there and asked_of is not None:
            state.open_draft(asked_of)
            st.switch_page(f"views/{job.page}.py")


@st.fragment(run_every=_EVERY_S * 2)
def _side_line(key: str) -> None:
    job = state.jobs().job(key)
    if job is None or not job.going_on:
        st.rerun()
    st.caption(f"{plain(_asked_where(job))}: {plain(_progress_text(job))}")


def _asked_where(job: Job) -> str:
    """`Sewing crew, of the shop's name`."""
    asked_of = state.drafts().open(job.draft)
    page = job.page.replace("_", " ").capitalize()
    return page if asked_of is None else f"{page}, {state.title_of(asked_of)}"


def _job_of(page: str, question: Question[Any]) -> Job | None:
    jobs = state.jobs()
    own = jobs.job(question.key)
    if own is not None:
        return own
    draft = state.required().id
    return next((job for job in jobs.going_on() if (job.page, job.draft) == (page, draft)), None)


def _offer(question: Question[Any], page: str, button: str, job: Job | None) -> None:
    if job is not None and job.stopped:
        st.info(_stopped(job.progress), icon=":material/pause:")
    if job is not None and job.fault is not None:
        st.error("\n".join(f"- {plain(line)}" for line in fault_lines(job.fault)), icon=":material/error:")
    if st.button(button, type="primary", key=f"{page}.run"):
        state.jobs().start(question, page, state.required().id)
        state.note_job(question.key)
        st.rerun()


def _stopped(progress: Progress | None) -> str:
    if progress is None or progress.kept == progress.finished:
        return "Stopped. What was finished is kept: running again goes on from there."
    if not progress.kept:
        return "Stopped. What was finished could not be kept: running again begins anew."
    part = f"{progress.kept:,} of {progress.finished:,} finished replications are kept"
    return f"Stopped. {part}: running again goes on from these."


@st.fragment(run_every=_EVERY_S)
def _watch(key: str, shown: Finished | None) -> None:
    job = state.jobs().job(key)
    if job is None or not job.going_on:
        state.note_job(None)
        st.rerun()
    if job.so_far is not shown:
        st.rerun()
    share = 0.0
    if job.progress is not None and job.progress.asked:
        share = min(1.0, job.progress.finished / job.progress.asked)
    st.progress(share, plain(_progress_text(job)))


def _stop(key: str) -> None:
    state.jobs().stop(key)
    state.note_job(None)


def _progress_text(job: Job) -> str:
    if job.stage == "waiting":
        first = next((one for one in state.jobs().going_on() if one.stage == "running"), None)
        return f"waiting for {'another run' if first is None else f'“{_asked_where(first)}”'} to end"
    if job.progress is None:
        return "starting"
    left, rounds = job.progress.seconds_left, job.question.in_rounds
    so_far = f"{job.progress.finished:,}{'' if rounds else f' of {job.progress.asked:,}'} runs"
    # How many rounds there will be only the runs can tell.
    return so_far if left is None else f"{so_far}, about {_duration(left)} left{' of this round' if rounds else ''}"


def _duration(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 100 else f"{seconds / 60:.0f} min"


def _so_far(job: Job) -> None:
    if job.so_far is not None and job.progress is not None:
        told = "Runs go on: this is what the first of them tell"
        if not job.question.in_rounds and not job.question.options():
            ended = job.so_far.document["replications"]
            told = f"{job.progress.asked:,} runs asked, this is after the first {ended:,}"
        st.badge(told, icon=":material/hourglass_top:", color="blue")
        _sentence(job.so_far)


def _sentence(finished: Finished) -> None:
    # A heading of the second order for who listens to the page; its style keeps it from shouting.
    with st.container(key=f"answer_{finished.key[:8]}"):
        st.markdown(f"## {plain(finished.document['sentence'])}")
    st.caption(plain(finished.document["below"]))
    if finished.document.get("settled") is False:
        st.badge("The runs cannot settle this", icon=":material/question_mark:", color="orange")
