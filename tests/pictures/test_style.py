"""The look: contrast by the formula of WCAG 2.2, nothing told by colour alone, no way out of the page."""

from __future__ import annotations

import pytest

from shopsim.pictures import style
from shopsim.pictures.states import GROUPS, group_of
from shopsim.pictures.style import CONFIG, DARK, Fill, dressed, faint, filled, nothing, picture
from shopsim.pictures.why_late import CAUSES

PAPERS = (style.LIGHT_PAPER, style.DARK_PAPER)


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_itself() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 is the lightest grey that reaches 4.5:1 on white.
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") >= 4.5 > contrast("#777777", "#FFFFFF")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("colour", style.SERIES)
def test_colours_stand_out_from_both_papers(colour: str, paper: str) -> None:
    assert contrast(colour, paper) >= 3


def test_text_is_easy_to_read() -> None:
    assert contrast(style.LIGHT_INK, style.LIGHT_PAPER) >= 7
    assert contrast(style.DARK_INK, style.DARK_PAPER) >= 7
    assert contrast(style.LIGHT_INK, style.BUTTON) >= 7


def test_nothing_is_told_by_colour_alone() -> None:
    # "printing" is of printers, "at work" of people and seats: they never stand in one picture.
    fills = [fill for name, fill in GROUPS.items() if name != "at work"]
    assert len(set(fills)) == len(fills)
    causes = [fill for fill, _ in CAUSES.values()]
    assert len(set(causes)) == len(causes)
    assert len(set(zip(style.SERIES, style.DASHES, strict=True))) == 5
    assert len(set(style.DASHES)) == len(set(style.SYMBOLS)) == 5


@pytest.mark.parametrize(
    ("kind", "state", "group"),
    [
        ("printer", "printing", "printing"),
        ("printer", "cleaning", "stops and breakdowns"),
        ("person", "cleaning", "set-up"),
        ("person", "sew", "at work"),
        ("place", "set_aside", "lying aside"),
        ("printer", "off", None),
        ("person", "off_shift", None),
        ("place", "closed", None),
    ],
)
def test_groups_of_states(kind: str, state: str, group: str | None) -> None:
    assert group_of(kind, state) == group


def test_every_state_on_record_has_a_group_or_is_off() -> None:
    from shopsim.floor.record import STATES
    from shopsim.measures.spans import PERSON_STATES, SEAT_STATES

    of_all = [("printer", STATES), ("person", PERSON_STATES), ("place", SEAT_STATES)]
    none = {state for kind, states in of_all for state in states if group_of(kind, state) is None}
    assert none == {"off", "off_shift", "closed"}
    assert {group_of(kind, state) for kind, states in of_all for state in states} == {*GROUPS, None}


def test_every_reason_has_one_cause() -> None:
    from shopsim.measures.why_late import REASONS

    reasons = [reason for _, reasons in CAUSES.values() for reason in reasons]
    assert sorted(reasons) == sorted(REASONS)


def test_no_button_sends_a_figure_away() -> None:
    assert CONFIG["showSendToCloud"] is False
    assert CONFIG["displaylogo"] is False


def test_buttons_leave_a_title_free_on_a_phone() -> None:
    # Image, zoom, pan and reset are left of nine, 25 px each, of the 358 px beside a title of some 30 letters.
    names = "toImage zoom2d pan2d select2d lasso2d zoomIn2d zoomOut2d autoScale2d resetScale2d"
    assert set(names.split()) - set(CONFIG["modeBarButtonsToRemove"]) == {"toImage", "zoom2d", "pan2d", "resetScale2d"}


def test_dressed_changes_the_paper_and_not_the_data() -> None:
    figure = picture("Title")
    figure.add_bar(x=[1], y=[2], marker=filled(Fill(style.BLUE, "/")))
    dark = dressed(figure, dark=True)
    assert dark.layout.template == DARK
    assert dark.data == figure.data
    assert figure.layout.template.layout.paper_bgcolor == style.LIGHT_PAPER
    assert dark.layout.template.layout.paper_bgcolor == style.DARK_PAPER
    assert dark.data[0].marker.pattern.shape == "/"


def test_nothing_says_why() -> None:
    assert nothing("Title", "No order.").layout.annotations[0].text == "No order."
    assert faint("#0072B2") == "rgba(0,114,178,0.34)"
