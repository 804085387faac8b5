"""Pages with their answers: everybody can use them, a phone shows all of them, and they print."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from tests.browser.asking import ASKS, ask, open_short_demo
from tests.browser.harness import SENTENCE, found_by_axe_in_light_and_dark, settled, visited

pytestmark = pytest.mark.e2e

_PHONE = {"width": 390, "height": 844}
# What sticks out of the page to the right, unless something around it moves sideways; text cut off in pictures too, and
# text of a legend wider than its entry, which Plotly cuts off at the end or sets over the next.
_STICKING_OUT = """wide => {
    const moves = each => {
        for (let at = each.parentElement; at; at = at.parentElement)
            if (['auto', 'scroll'].includes(getComputedStyle(at).overflowX) && at.scrollWidth > at.clientWidth
                && at.dataset.testid !== 'stMain') return true
        return false
    }
    return [...document.querySelectorAll('[data-testid=stMain] *')].filter(each => {
        const box = each.getBoundingClientRect()
        if (!box.width || !box.height || moves(each) || each.closest('.gdg-wmyidgi, [data-testid=stDataFrame]'))
            return false
        const entry = each.matches('.legendtext') && each.closest('.traces').querySelector('.legendtoggle')
        if (entry && box.right > entry.getBoundingClientRect().right + 1)
            return true
        return box.right > wide + 1 || (each.tagName === 'text' && box.left < -1)
    }).map(each => [each.tagName, each.textContent.slice(0, 60)])
}"""


@pytest.fixture(scope="module")
def draft(browser: Any, url: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    with visited(browser, url) as page:
        draft = open_short_demo(page, tmp_path_factory.mktemp("short"))
        # Short runs differ much: a point would take hundreds of them.
        page.goto(f"/sewing_crew?shop={draft}")
        settled(page)
        field = page.get_by_role("spinbutton", name="Closer than this")
        field.fill("15")
        field.press("Enter")
        # The page is left right after: what was typed has to be on its way by then.
        page.wait_for_timeout(500)
        settled(page)
        for name in ASKS:
            ask(page, name, draft, 240)
    return draft


@contextmanager
def shown(browser: Any, url: str, name: str, draft: str, **context: Any) -> Iterator[Any]:
    """The page with its answer, everything on it unfolded."""
    with visited(browser, url, **context) as page:
        page.goto(f"/{name}?shop={draft}")
        settled(page)
        page.locator(SENTENCE).first.wait_for()
        if name == "as_we_are":
            page.get_by_text("Look at one run day by day").click()
            page.get_by_text("The way through the shop").wait_for(timeout=60_000)
        for each in page.locator("[data-testid=stMain] summary").all():
            each.click()
        page.locator(".js-plotly-plot").first.wait_for()
        settled(page)
        page.wait_for_timeout(500)
        yield page


def sticking_out(page: Any) -> Any:
    """What is wider than a phone, once the style of the page has come."""
    page.wait_for_function(
        "() => getComputedStyle(document.querySelector('[data-testid=stMainBlockContainer]')).maxWidth === '1160px'"
    )
    return page.evaluate(_STICKING_OUT, _PHONE["width"])


def replay(page: Any) -> None:
    """Press all buttons of the plan of the floor, each while the one before still plays: its clock goes on and stands
    still, and nothing is a fault."""
    plan = page.locator(".js-plotly-plot").filter(has_text="The floor, moment by moment")
    # The day stands before the hour there, and the day is the same all the time.
    clock = plan.locator("text.slider-label").filter(has_text=", ").first

    def after(words: str, for_ms: int) -> str:
        plan.get_by_text(words, exact=True).click()
        page.wait_for_timeout(for_ms)
        return str(clock.text_content())

    begun = str(clock.text_content())
    played, paused, still = after("play", 700), after("pause", 100), after("pause", 500)
    fast, slow = after("fast", 300), after("slow", 900)
    stopped, at_last = after("pause", 100), after("pause", 700)
    assert begun < played <= paused == still < fast < slow <= stopped == at_last


@pytest.mark.parametrize("name", ASKS)
def test_everybody_can_use_the_answer(browser: Any, url: str, draft: str, axe: str, name: str) -> None:
    with shown(browser, url, name, draft) as page:
        assert found_by_axe_in_light_and_dark(page, axe) == []


@pytest.mark.parametrize("name", [*ASKS, "shop", "orders"])
def test_nothing_is_cut_off_on_a_phone(browser: Any, url: str, draft: str, name: str) -> None:
    if name in ASKS:
        with shown(browser, url, name, draft, viewport=_PHONE) as page:
            if name == "as_we_are":
                replay(page)
            assert sticking_out(page) == []
        return
    with visited(browser, url, viewport=_PHONE) as page:
        page.goto(f"/{name}?shop={draft}")
        settled(page)
        page.get_by_text("Of the hours there are").wait_for()
        page.get_by_text("Hours", exact=True).last.click()
        page.get_by_role("cell", name="keeps up").first.wait_for()
        assert sticking_out(page) == []


def test_an_answer_prints_whole_without_what_is_only_for_the_screen(browser: Any, url: str, draft: str) -> None:
    with shown(browser, url, "as_we_are", draft) as page:
        page.emulate_media(media="print")
        for only_here in ("stSidebar", "stButton", "stHeader"):
            assert not any(each.is_visible() for each in page.get_by_test_id(only_here).all()), only_here
        # A page of A4 between margins of 10 mm is 718 px wide.
        widths = "all => all.map(each => each.getBoundingClientRect().width)"
        assert max(page.locator(".main-svg").evaluate_all(widths)) <= 718
        kept = "each => getComputedStyle(each).breakInside"
        assert {each.evaluate(kept) for each in page.get_by_test_id("stPlotlyChart").all()} == {"avoid"}
        # Seven pictures and a day on the floor do not fit on the one page that a frame of one screen would give.
        printed = page.pdf(format="A4", margin=dict.fromkeys(("top", "bottom", "left", "right"), "10mm"))
        assert len(re.findall(rb"/Type ?/Page\b", printed)) > 4
