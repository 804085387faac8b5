"""The report in a real browser: nothing from outside, for everybody, on a phone and on paper; the page of the app."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from shopsim.report.page import WIDTH_PX, page_of
from shopsim.report.pdf import pdf_of
from tests.browser.harness import CHROMIUM, answer, go, open_demo, settled
from tests.report.demos import small_report
from tests.report.made import contents, contents_of_long_names

pytestmark = pytest.mark.e2e

# A4 at 96 dots an inch, and the margins of the page's own style.
A4_HEIGHT_PX, MARGINS_PX = 1123, 128


@pytest.fixture(scope="module", params=["of every kind", "of long names", "exhibition_supplier"])
def page_file(request: Any, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A report as a file: of every kind of question to shops of hostile and of long names, and of the largest demo."""
    path = Path(tmp_path_factory.mktemp("report")) / "report.html"
    kinds = {"of every kind": contents, "of long names": contents_of_long_names}
    made = kinds.get(request.param, lambda: small_report(request.param))()
    path.write_text(page_of(made), encoding="utf-8")
    return path


@pytest.fixture
def opened(browser: Any, page_file: Path) -> Any:
    """The report as somebody opens it; nothing may fail or be asked of elsewhere."""
    made = browser.new_context(viewport={"width": 1280, "height": 900})
    page, bad = made.new_page(), []
    page.on("console", lambda told: bad.append(told.text))
    page.on("pageerror", lambda fault: bad.append(str(fault)))
    page.on("dialog", lambda dialog: bad.append(dialog.message))
    page.on("request", lambda asked: bad.append(asked.url)
            if not asked.url.startswith(("file://", "data:", "blob:")) else None)  # fmt: skip
    page.goto(page_file.as_uri())
    page.wait_for_function("() => [...document.querySelectorAll('.plot')].every(p => p.querySelector('.main-svg'))")
    yield page
    made.close()
    assert bad == []


def test_everybody_can_read_it(opened: Any, axe: str) -> None:
    # The page's own policy lets no script in, so what reads the page comes before it.
    opened.context.add_init_script(axe)
    opened.reload()
    opened.wait_for_function("() => [...document.querySelectorAll('.plot')].every(p => p.querySelector('.main-svg'))")
    found = opened.evaluate("() => axe.run({resultTypes: ['violations']})")
    assert [(each["id"], node["html"][:200]) for each in found["violations"] for node in each["nodes"]] == []


def test_nothing_runs_that_a_name_says(opened: Any) -> None:
    assert opened.evaluate("() => document.querySelectorAll('main img, main script').length") == 0
    assert opened.evaluate("() => document.scripts.length") == 2 + opened.locator(".plot").count()


def widest(page: Any) -> list[str]:
    """What reaches beyond the right edge of the text."""
    found: list[str] = page.evaluate(
        """() => {
            const edge = document.body.getBoundingClientRect().right + 1
            return [...document.querySelectorAll('body *')].filter(e => !e.closest('svg, .skip, script') &&
                e.getBoundingClientRect().right > edge).map(e => e.outerHTML.slice(0, 120))
        }"""
    )
    return found


def test_on_paper_nothing_is_cut_off(opened: Any) -> None:
    opened.set_viewport_size({"width": WIDTH_PX, "height": 1000})
    opened.emulate_media(media="print")
    opened.reload()
    opened.wait_for_function("() => [...document.querySelectorAll('.plot')].every(p => p.querySelector('.main-svg'))")
    assert widest(opened) == []
    assert opened.locator("nav li").last.is_visible(), "the contents are printed too"
    drawn = opened.evaluate(
        "() => [...document.querySelectorAll('.plot .main-svg')].map(s => s.getBoundingClientRect().width)"
    )
    assert max(drawn) <= WIDTH_PX
    tallest = opened.evaluate("() => Math.max(...[...document.querySelectorAll('figure')].map(f => f.offsetHeight))")
    assert tallest <= A4_HEIGHT_PX - MARGINS_PX + 250, "a picture and its words fit on a page, long words may go on"
    drawing = opened.evaluate("() => document.querySelector('.drawing svg').getBoundingClientRect().height")
    assert drawing <= A4_HEIGHT_PX - MARGINS_PX


def test_a_phone_scrolls_wide_tables_alone(opened: Any) -> None:
    opened.set_viewport_size({"width": 390, "height": 844})
    opened.reload()
    opened.wait_for_function("() => [...document.querySelectorAll('.plot')].every(p => p.querySelector('.main-svg'))")
    assert opened.evaluate("() => document.documentElement.scrollWidth") == 390


def test_the_pdf_has_its_pages(page_file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SHOPSIM_CHROMIUM", CHROMIUM)
    made = pdf_of(page_file.read_text(encoding="utf-8"))
    assert made.startswith(b"%PDF-")
    pages = len(re.findall(rb"/Type /Page\b", made))
    assert 25 <= pages <= 60
    sizes = set(re.findall(rb"/MediaBox \[([^\]]*)\]", made))
    assert {tuple(round(float(x)) for x in size.split()) for size in sizes} == {(0, 0, 595, 842)}


def test_answers_become_a_page_to_download(page: Any) -> None:
    open_demo(page, 0)
    page.get_by_role("button", name="Run", exact=True).click()
    sentence = answer(page)
    page.get_by_text("10 replications of").wait_for(timeout=120_000)
    sentence = answer(page)
    go(page, "report")
    page.get_by_text(sentence).wait_for()
    with page.expect_download() as given:
        page.get_by_role("button", name="Page (HTML)").click()
    text = Path(given.value.path()).read_text(encoding="utf-8")
    assert given.value.suggested_filename == "flag_banner_shop_report.html"
    assert sentence in text
    with page.expect_download() as given:
        page.get_by_role("button", name="Workbook (XLSX)").click()
    assert Path(given.value.path()).read_bytes().startswith(b"PK")
    settled(page)
