"""Text is text wherever it stands: in elements, attributes, scripts and lines of code."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopsim.report.markup import Markup, element, escaped, preformatted, script_json


@pytest.mark.parametrize(("text", "shown"), [
    ("<b>&amp;", "&lt;b&gt;&amp;amp;"),
    ("a \n\t b", "a b"),
    ("bell\x07 and \u202eback\u200b", "bell� and �back�"),
    ('"quoted" \'too\'', "&quot;quoted&quot; &#x27;too&#x27;"),
    (3.5, "3.5"),
])  # fmt: skip
def test_text_is_escaped_and_what_cannot_be_seen_is_shown(text: object, shown: str) -> None:
    assert escaped(text) == shown


def test_elements_nest_and_their_attributes_are_escaped() -> None:
    made = element("p", "1 < 2 ", element("b", "so"), class_="x", aria_label='a "b"', hidden=None)
    assert made == '<p class="x" aria-label="a &quot;b&quot;">1 &lt; 2<b>so</b></p>'
    assert escaped(made) is made


def test_lines_of_code_keep_their_lines() -> None:
    assert preformatted("one  <two>\n\x1bthree") == '<pre tabindex="0">one  &lt;two&gt;\n�three</pre>'


@given(st.text(max_size=40))
def test_nothing_in_a_script_ends_the_script(text: str) -> None:
    made = script_json({"name": text})
    assert isinstance(made, Markup)
    assert not set("<>&\u2028\u2029") & set(made)
    assert json.loads(made) == {"name": text}
