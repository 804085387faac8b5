"""The page: what stands where, nothing from outside, names as text, readable by machines that read pages aloud."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from html.parser import HTMLParser
from importlib.resources import files
from itertools import pairwise
from typing import Any

import pytest

from shopsim import load_shop
from shopsim.cautions import STANDING_TEXT
from shopsim.report.blocks import Lines, Para, Picture, Section, Table
from shopsim.report.cautions_section import cautions_section
from shopsim.report.logic_words import logic_in_words
from shopsim.report.money import _crossing
from shopsim.report.options_table import first_of
from shopsim.report.page import page_of
from shopsim.report.stress import ITEMS, open_items
from shopsim.report.stress_experiments import run_length
from shopsim.report.whole import sections_of
from shopsim.shop.review.shop_review import shop_review
from tests.report.demos import DEMOS
from tests.report.made import ASKED, answers, contents

# What belongs to a bundle that draws pictures, without which a page is short enough to look into.
BUNDLE = re.compile(r"<script>(?!const CONFIG).*?</script>", re.DOTALL)
VOID = {"meta", "wbr", "br"}


class Reader(HTMLParser):
    """The page as a tree of tags that must close, its text, and its headings."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.headings: list[tuple[int, str]] = []
        self.text: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)
        if self.open and re.fullmatch("h[1-6]", self.open[-1]):
            self.headings.append((int(self.open[-1][1]), data))


@pytest.fixture(scope="module")
def page() -> str:
    return page_of(contents())


@pytest.fixture(scope="module")
def read(page: str) -> Reader:
    return Reader(BUNDLE.sub("", page))


def test_the_page_needs_nothing_from_outside(page: str, read: Reader) -> None:
    assert page.count("plotly.js v") == 1
    for tag, attributes in read.tags:
        assert tag not in ("link", "img", "iframe", "object", "embed", "base", "form")
        assert "src" not in attributes
        assert not str(attributes.get("href", "#")).startswith(("http", "//", "javascript"))
        assert not any(name.startswith("on") for name in attributes)
    (policy,) = [a["content"] for t, a in read.tags if a.get("http-equiv") == "Content-Security-Policy"]
    assert str(policy).startswith("default-src 'none'; ")
    assert "'unsafe-eval'" not in str(policy)


def test_every_tag_closes_and_headings_go_down_one_by_one(read: Reader) -> None:
    assert read.open == []
    levels = [level for level, _ in read.headings]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_ids_are_there_once_and_every_link_leads_to_one(read: Reader) -> None:
    ids = [a["id"] for _, a in read.tags if "id" in a]
    assert len(set(ids)) == len(ids)
    links = [str(a["href"])[1:] for t, a in read.tags if t == "a"]
    assert set(links) <= set(ids)
    assert len(links) == 1 + len(ASKED) + 6


def test_names_of_the_file_are_text(page: str) -> None:
    seen = BUNDLE.sub("", page)
    assert "<script>alert" not in seen
    assert "<img" not in seen
    assert "\u202e" not in seen
    assert "<h1>&lt;script&gt;alert(&#x27;a&#x27;)&lt;/script&gt;�&quot;&amp;=1+1</h1>" in seen
    assert "=A faster sewer&lt;img src=x onerror=alert(1)&gt;" in seen
    assert "@SUM(1) &lt;/script&gt;&lt;script&gt;alert(2)&lt;/script&gt;" in seen


def test_page_one_holds_every_sentence_the_key_figures_and_who_decides() -> None:
    first = sections_of(contents())[0]
    assert first.title == "In short"
    paragraphs = [block.text for block in first.blocks if isinstance(block, Para)]
    assert paragraphs[-1] == STANDING_TEXT
    assert [text for text in paragraphs if text in {a.document["sentence"] for a in contents().answers}] == [
        a.document["sentence"] for a in contents().answers
    ]
    tables = {block.title: block for block in first.blocks if isinstance(block, Table)}
    assert tables["The shop as it stands"].rows[0] == ("On time, of orders due", "66.7", "%")
    assert "Cloth wasted: all of the cloth used but the pieces" in tables["The shop as it stands"].note
    assert tables["The options of question 2"].columns == (
        "", "what it changes", "on time, %", "surely?", "what is left over, CU a week", "surely?"
    )  # fmt: skip
    stands, _, second = tables["The options of question 2"].rows
    assert stands[:4] == ("as it stands", "", "66.7", "")
    assert second[:4] == ("A second sewer", "crew “=HYPERLINK(1)”: 2 people instead of 1", "66.7", "alike")
    assert second[5] == "less"
    (before,) = [block for block in first.blocks if isinstance(block, Lines)]
    assert "No records of this shop have been set beside the simulation yet." in before.lines
    assert before.lines[-2].startswith("To look at in the file, worst first: ")
    assert before.lines[-1] == (
        "To be careful about in this shop: burns; fumes and vapour; heavy rolls; and 3 more, see risks and cautions."
    )


def test_risks_name_what_the_review_of_check_finds_worst_first() -> None:
    section = next(each for each in sections_of(contents()) if each.id == "cautions")
    tables = {block.title: block for block in section.blocks if isinstance(block, Table)}
    found = tables["What to look at in the file, worst first"]
    assert found.rows == tuple(
        (each.grade_text, each.headline, each.found, each.do, each.basis) for each in shop_review(contents().shop)
    )
    assert len(found.rows) > 1
    assert tables["Cautions in this shop"].rows[0][:2] == ("SAF-01", "burns")


def test_many_changes_of_an_option_are_counted() -> None:
    assert first_of(["a"]) == "a"
    assert first_of(["a", "b", "c"]) == "a; and 2 more"
    assert first_of(["word " * 20]) == f"{'word ' * 11}…"


def test_an_answer_tells_options_cautions_pictures_and_tables() -> None:
    section = next(each for each in sections_of(contents()) if each.id == "answer_2")
    assert section.title == "2. Which of 2 changes helps, by how much, and how sure is that?"
    captions = {block.caption: block.lines for block in section.blocks if isinstance(block, Lines)}
    assert captions["A second sewer: what is different"] == ("crew “=HYPERLINK(1)”: 2 people instead of 1",)
    assert captions["=A faster sewer<img src=x onerror=alert(1)>: what to heed"] == (
        "@SUM(1) </script><script>alert(2)</script>",
    )
    assert len([block for block in section.blocks if isinstance(block, Picture)]) == 3
    assert next(block.title for block in section.blocks if isinstance(block, Table)).startswith("All changes: ")


@pytest.mark.parametrize("number", range(1, len(ASKED) + 1))
def test_every_question_asked_holds_its_pictures_with_their_words(number: int, page: str) -> None:
    section = next(each for each in sections_of(contents()) if each.id == f"answer_{number}")
    drawn = [block for block in section.blocks if isinstance(block, Picture)]
    assert [each.words for each in drawn] == [each["words"] for each in contents().answers[number - 1].pictures]
    assert len(drawn) >= 1
    # A name's special signs are written otherwise on the page.
    assert all(html.escape(each.words.split(":")[0]) in page for each in drawn)


def test_welchs_curve_and_bars_stand_where_the_annex_says_so(page: str) -> None:
    (hangs_on,) = answers(ASKED[6])[0].pictures
    (settling,) = answers(ASKED[7])[0].pictures
    assert hangs_on["words"].startswith(
        "On-time delivery, %, 66.7 now: crews.sewer.efficiency pct from 80 to 120 moves "
    )
    assert [trace["name"] for trace in hangs_on["figure"]["data"]] == ["input low", "input high"]
    assert [trace["name"] for trace in settling["figure"]["data"]] == ["mean of the day", "smoothed"]
    assert page.count("How long the shop takes to settle") == 1


def test_bars_of_letters_stand_on_terminals_alone() -> None:
    tables = {table["title"]: table for answer in contents().answers for table in answer.tables}
    drives = tables["What drives the mean net present value, one input at a time"]
    assert (drives["columns"], drives["note"]) == (["", "range", "at low", "at high"], "")
    assert not [cell for table in tables.values() for row in table["rows"] for cell in row if "==" in cell]


def test_money_of_all_answers() -> None:
    money = next(each for each in sections_of(contents()) if each.id == "money")
    tables = {block.title: block for block in money.blocks if isinstance(block, Table)}
    stands = {row[0]: row[1:] for row in tables["As it stands"].rows}
    assert stands["Price of orders dispatched"] == ("2,600", "CU a week")
    worth = {row[0]: row[1:] for row in tables["A second sewer (question 6)"].rows}
    assert worth["Paid at the start"] == ("1,000", "CU")
    assert worth["Has paid back after"] == ("not within 4 years", "")
    assert worth["Pays from demand"] == ("not up to 150 % of today's", "")
    assert worth["Pays from orders won"] == ("not up to 50 % of today's", "")
    assert worth["Has paid back within its life"] == ("0", "% of cases by luck")
    assert worth[""] == ("0", "% of cases by both")
    assert "  without the orders won" not in worth
    assert tables["Crews (question 4)"].columns[1] == "pay, CU a week"
    changes = tables["Against the shop as it stands (question 2)"].rows[3:]
    assert [row[:2] for row in changes] == [
        ("A second sewer", "Price of orders dispatched"), ("", "All categories of cost together"),
        ("", "What is left over"),
    ]  # fmt: skip


def test_a_report_of_one_answer_has_no_others() -> None:
    titles = [section.title for section in sections_of(contents("run --replications 2"))]
    assert titles == [
        "In short", "1. How does the shop do as it stands?", "Money", "Risks and cautions", "What was assumed",
        "What is uncertain", "How to run it again", "Annex: the model, by the reporting list STRESS-DES",
    ]  # fmt: skip


def test_the_annex_has_every_item_filled_or_open() -> None:
    annex = sections_of(contents())[-1]
    items = [section for section in annex.walk() if section.level == 4]
    assert [section.title for section in items] == [f"{item.number} {item.title}" for item in ITEMS]
    assert [item.number for item in ITEMS] == [
        "1.1", "1.2", "1.3", "2.1", "2.2", "2.3", "2.4", "2.5.1", "2.5.2", "2.5.3", "2.5.4", "2.5.5", "3.1", "3.2",
        "3.3", "3.4", "4.1", "4.2", "4.3", "5.1", "5.2", "5.3", "5.4", "6.1",
    ]  # fmt: skip
    assert all(len(section.blocks) > 1 for section in items)
    assert list(open_items(contents())) == ["1.1", "1.3", "3.1", "3.2", "3.4", "6.1"]
    assert "4.1" not in open_items(contents("run --replications 2")), "an empty start needs no length of a warm-up"


def blocks_of(number: str) -> str:
    """All text of an item of the annex."""
    annex = sections_of(contents())[-1]
    section: Section = next(each for each in annex.walk() if each.id == f"stress_{number.replace('.', '_')}")
    return "\n".join(_text(block) for block in section.blocks)


def _text(block: object) -> str:
    if isinstance(block, Table):
        return "\n".join([block.title, *(" | ".join(row) for row in block.rows)])
    return "\n".join(block.lines) if isinstance(block, Lines) else str(getattr(block, "text", ""))


@pytest.mark.parametrize(("number", "said"), [
    ("1.2", ("on_time_share | % | Orders due, taken and not cancelled, and dispatched by then; still inside is "
            "late; NaN if none due")),
    ("1.3", "A second sewer | crew “=HYPERLINK(1)”: 2 people instead of 1 | "),
    ("1.3", ("(B) Design: each input at both ends of its range; crews.sewer.efficiency_pct from 80 to 120; 3 "
            "points of 2 replications.")),
    ("1.1", "a shop that prints textiles by dye sublimation and packs, order by order and day by day."),
    ("2.2", "Faults come by chance a piece: 0 % in print. What is lost, or found and not mended, is made again"),
    ("2.5.2", "Work for people besides: roll changes, warm-up, "),
    ("2.4", "first that fits (E. G. Coffman"),
    ("2.5.1", "flag | knit | 1 × 1 (100 %) | 1000 | 5"),
    ("2.5.2", "flag | print in mode std at p1; work at sewing table; pack at bench"),
    ("2.5.3", "sewer | 1 | sewing 3 | day with break | 100"),
    ("2.5.3", "day with break | mon to fri 07:00-15:00 with 30 min of breaks"),
    ("2.5.4", "sewing table | by due date |  | "),
    ("2.5.5", "Orders of the order book enter at the minute they were received."),
    ("2.5.5", "An order leaves with the collection at 15:00 on mon, tue, wed, thu, fri."),
    ("3.1", "order book | orders.csv | 3 order lines, sha256 "),
    ("3.3", "crews: wage | 20 CU/h | sewer, packer | "),
    ("3.3", "products: bought-in sewing"),
    ("3.1", "trade handbook | our own collection of usual values of the trade, for what the file leaves out | "),
    ("3.3", "Rows of the trade handbook behind these values"),
    ("4.1", "Terminating: the shop opens empty on the first day"),
    ("4.2", "1 week counts, from 2026-01-05 on. The clock runs in minutes."),
    ("4.3", ("1 | 2 | as many as were asked for | 95 | a mean and a Student interval over replications | each "
            "replication has its own")),
    ("4.3", ("4 | as told there | until it is clear which crew is the cheapest that meets the target, at most 400 a "
            "crew")),
    ("4.3", "see 1.3 (B) | replication k of every point has the same"),
    ("5.2", "Seed 1."),
    ("5.4", "One replication of the shop as it stands: 0.12 s on one core."),
    ("5.3", "Event scheduling on SimPy's list of events, no processes: "),
    ("5.4", ("The questions asked for 20 replications: 5 were run for this report, in 12 s; 12 of these served another "
            "question too; 3 were kept from earlier studies.")),
])  # fmt: skip
def test_items_are_filled_from_the_shop_and_the_study(number: str, said: str) -> None:
    assert (said in blocks_of(number)) is (said != "products: bought-in sewing")


def test_weeks_that_count_begin_after_the_warm_up() -> None:
    about = contents().shop.scenario
    study = about.study.model_copy(update={"weeks": 8, "opening": "warm", "warm_up_weeks": 2})
    warm = replace(contents(), shop=replace(contents().shop, scenario=about.model_copy(update={"study": study})))
    (told,) = run_length(warm)
    assert isinstance(told, Para)
    assert told.text.startswith("8 weeks count, from 2026-01-19 on; each run begins 2 weeks before. ")


def test_different_shops_of_one_name_are_told_apart_everywhere() -> None:
    (two,) = answers("compare what_ifs/second.yaml --replications 2")
    changed = {**two.about["options"]["A second sewer"], "scenario_hash": "other", "differs": ["crew sewer: 3 people"],
               "notes": ["Mind the gap."]}  # fmt: skip
    three = replace(two, about={**two.about, "options": {"A second sewer": changed}})
    both = replace(contents(), answers=(two, three, two))
    assert {name: option["differs"] for name, option in both.options.items()} == {
        "A second sewer (question 1)": ["crew “=HYPERLINK(1)”: 2 people instead of 1"],
        "A second sewer (question 2)": ["crew sewer: 3 people"],
    }
    lines = [block for block in cautions_section(both).blocks if isinstance(block, Lines)]
    assert [(block.caption, block.lines) for block in lines] == [
        ("With “A second sewer (question 2)” as well", ("Mind the gap.",))
    ]


@pytest.mark.parametrize(("root", "told"), [
    ({"mean": 1.2, "low": 1.1, "high": 1.34, "beyond": 0, "tried": [0.8, 1.5]}, ("120 (110 to 134)", "%")),
    ({"mean": None, "low": 1.5, "high": None, "beyond": 1, "tried": [0.8, 1.5]}, ("not up to 150", "")),
    ({"mean": None, "low": None, "high": 0.8, "beyond": -1, "tried": [0.8, 1.5]}, ("even at 80", "")),
    ({"mean": None, "low": 1.4, "high": None, "beyond": 1, "tried": [0.8, 1.5]}, ("cannot be told", "")),
])  # fmt: skip
def test_a_crossing_outside_what_was_tried_is_told_in_words(root: dict[str, Any], told: tuple[str, str]) -> None:
    assert _crossing(root, 100, "%", "not up to {}", "even at {}") == told


def test_a_shop_without_printers_is_told_without_them() -> None:
    path = files("shopsim") / "published" / "systems" / "m_m_1.yaml"
    shop = load_shop(str(path))
    made = replace(contents(), shop=shop, scenario_text=path.read_text(encoding="utf-8"), answers=())
    annex = sections_of(made)[-1]
    sections = [each for each in annex.walk() if each.id not in ("stress_1_2", "stress_3_3")]
    told = "\n".join(_text(block) for section in sections for block in section.blocks)
    assert "M/M/1, a shop that works off orders step by step, order by order" in told
    words = set(re.findall("[a-z]+", told.lower()))
    assert not words & {"printer", "printers", "textiles", "sewing", "nozzle", "roll", "rolls", "dye"}


def test_faults_are_those_of_the_steps_there_are() -> None:
    shop = load_shop(DEMOS / "flag_banner_shop.yaml")
    (told,) = [text for text in logic_in_words(shop.scenario) if text.startswith("Faults")]
    assert told == (
        "Faults come by chance a piece: 4.7 % in print, 0.6 % lost in cutting, 2 % in sewing. Inspection misses 12 % "
        "of them. Sewing faults are mended in 80 % of cases. What is lost, or found and not mended, is made again "
        "from the printer on."
    )
