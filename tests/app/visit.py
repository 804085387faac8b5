"""A visit to the front end without a browser: a shop opened, a page shown, a question answered."""

from __future__ import annotations

import time
from pathlib import Path

from streamlit.testing.v1 import AppTest

from app import state
from app.drafts import Draft
from tests.doors.tiny import write_shop

MAIN = Path(__file__).resolve().parents[2] / "app" / "main.py"
WHAT_IF = """\
name: Quick seams
base: ../tiny.yaml
changes:
  - {set: "products.flag.route[1].minutes", to: 0.5}
"""


def tiny(folder: Path, *what_ifs: str) -> Draft:
    """The shop of `tests/doors/tiny.py` as a draft, with what-ifs."""
    path = write_shop(folder)
    files = {each.name: each.read_bytes() for each in folder.iterdir() if each.suffix in (".yaml", ".csv")}
    assert path.name in files
    files |= {f"what_if_{number}.yaml": text.encode() for number, text in enumerate(what_ifs)}
    return state.drafts().new(files)


def visit(page: str = "start", draft: Draft | None = None) -> AppTest:
    """The page as it is first shown, with the draft open."""
    at = AppTest.from_file(str(MAIN), default_timeout=60)
    if draft is not None:
        at.query_params["shop"] = draft.id
    at.run()
    if page != "start":
        at.switch_page(f"views/{page}.py").run()
    assert not at.exception, at.exception[0].value
    return at


def answered(at: AppTest, page: str) -> AppTest:
    """Press the page's button and wait until its job has ended."""
    at.button(key=f"{page}.run").click().run()
    end = time.monotonic() + 120
    while state.jobs().going_on():
        assert time.monotonic() < end
        time.sleep(0.05)
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def said(at: AppTest) -> str:
    """All text of the page, without the marks that escape it; hard spaces are spaces."""
    parts = [*at.title, *at.header, *at.subheader, *at.markdown, *at.caption, *at.info, *at.warning, *at.error]
    return "\n".join(part.value.replace("\\", "").replace("\u00a0", " ") for part in parts)


def sentence(at: AppTest) -> str:
    """The answer's sentence."""
    (found,) = [one.value for one in at.markdown if one.value.startswith("## ")]
    return found.removeprefix("## ").replace("\\", "").replace("\u00a0", " ")
