"""Tables on a terminal: exact for the tiny shop, whole at 80 columns for the demos, names never read as markup."""

import io
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from rich.console import Console

from shopsim.cautions import cautions
from shopsim.pictures.why_late import CAUSES
from shopsim.sentences import as_we_are, sound
from shopsim.shop.print_speeds import print_speeds
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.rough_cut import Load
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.replicate import Replications, replicate
from shopsim.terminal.check_page import mark, print_check, share_text, strip
from shopsim.terminal.run_page import _REASONS, _print_web, print_run
from shopsim.terminal.tables import chunks, print_table
from tests.doors.tiny import write_shop
from tests.shop.reviewed import JOB, calm, hand
from tests.stories.shops import order
from tests.telling.rows import replications

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"


def run_text(found: Replications, width: int = 80) -> str:
    out = io.StringIO()
    print_run(Console(file=out, width=width, highlight=False), found, as_we_are(found))
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


def check_text(shop: Shop, width: int = 80) -> str:
    out = io.StringIO()
    cut, findings = shop.rough_cut, shop_review(shop)
    print_check(
        Console(file=out, width=width, highlight=False), shop.scenario, sound(shop.scenario, cut, findings), findings,
        print_speeds(shop.scenario), cut, cautions(shop.scenario, cut),
    )  # fmt: skip
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines())


@pytest.fixture
def tiny(tmp_path: Path) -> Shop:
    return load_shop(write_shop(tmp_path))


# Hours are those of the story in `tests.doors.tiny`: 130 min of printing and two tails of 3 min; five mornings of 20
# min warm-up; lead times 8, 7.17 and 29 h; 130 m of pieces, 4 m of leader, two blank tails of 3 m.
PARTS = [
    "On time 67 % of orders in every run, half of them out within 8 hours;",
    (
        "Orders and dates\n"
        "                                  mean   95 % interval\n"
        "─────────────────────────────────────────────────────────────────\n"
        "Orders received                      3  all runs alike  a week\n"
        "Orders dispatched                    3  all runs alike  a week\n"
        "On time, of orders due              67  all runs alike  %\n"
        "Late or overdue                      1  all runs alike  in 1 week\n"
    ),
    (
        "Printers, hours a week\n"
        "                              p1\n"
        "────────────────────────────────\n"
        "printing, tail included     2.27\n"
        "changing rolls, heat, mode  0.33\n"
        "warming up                  1.67\n"
        "waiting for a job           35.7\n"
        "off, or nobody there         128\n"
        "The rows add up to the 168 hours of a week."
    ),
    (
        "          people  at work  no work  absent\n"
        "──────────────────────────────────────────\n"
        "operator       1      0.8     99.2       0\n"
    ),
    (
        "under printed pieces                130  130               93\n"
        "gaps between pieces and edges         0    0                0\n"
        "leaders for threading                 4    4                3\n"
        "blank behind the last print           6    6                4\n"
    ),
    "Sales of orders dispatched    2,600  all runs alike  CU a week\n",
]


def test_the_run_page_of_a_shop_followed_by_hand(tiny: Shop) -> None:
    text = run_text(replicate(tiny.scenario, tiny.order_lines, 2))
    for part in PARTS:
        assert part in text


def test_one_replication_shows_no_column_of_intervals(tiny: Shop) -> None:
    text = run_text(replicate(tiny.scenario, tiny.order_lines, 1))
    assert "interval  " not in text and "±" not in text and "all runs alike" not in text
    assert "Orders received                      3  a week" in text


def test_the_check_page_of_a_shop_followed_by_hand(tiny: Shop) -> None:
    text = check_text(tiny)
    # 130 min of printing; 40 h less five warm-ups of 20 min. 390 min of sewing; 37.5 h after breaks.
    assert "p1            machine     2.2   38.3       6        6   05 Jan" in text
    assert "sewing_table  people      6.5   37.5      17       17   05 Jan" in text
    # 60 m2/h at 1 m; a plate of 0.8 m at 40 s of dwell takes 72 m/h; the roll is 205 g x 300 m2 + 6 kg.
    assert "  knit, std     60    60       -     72      72  head" in text
    assert "knit  lift or trolley (SAF-03)            1 x 300            68" in text
    assert "SAF-01 burns               heat plate of p1, up to" in text
    assert text.endswith("This tool does not make any practice safe or\nlegal.")


@pytest.mark.parametrize("demo", ["flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"])
@pytest.mark.parametrize("width", [80, 120, 160])
def test_check_pages_of_the_demos_fit(demo: str, width: int) -> None:
    text = check_text(load_shop(DEMOS / f"{demo}.yaml"), width)
    assert max(map(len, text.splitlines())) <= width


def test_the_run_page_of_a_demo_fits() -> None:
    shop = load_shop(DEMOS / "flag_banner_shop.yaml")
    found = replicate(shop.scenario, shop.order_lines, 2)
    for width in (80, 120, 160):
        assert max(map(len, run_text(found, width).splitlines())) <= width


def load(asked: list[float], kind: str = "work_centre") -> Load:
    return Load("x", kind, "seats", tuple(asked), (10.0,) * len(asked))  # type: ignore[arg-type]


@pytest.mark.parametrize(("asked", "kind", "word"), [
    ([8.0, 8.4], "work_centre", ""), ([8.0, 8.6], "work_centre", "tight"), ([8.0, 10.1], "work_centre", "OVERFULL"),
    ([10.0, 10.1], "work_centre", "TOO MUCH"), ([6.6], "printer", "long"), ([6.5], "printer", ""),
])  # fmt: skip
def test_loads_are_marked_in_words(asked: list[float], kind: str, word: str) -> None:
    assert mark(load(asked, kind)) == word


def test_weeks_are_signs() -> None:
    assert strip([0.0, 0.01, 0.5, 0.99, 1.0, 1.01, float("inf")]) == ".▁▅██!!"
    assert share_text(float("inf")) == "nobody"


def test_names_from_files_are_never_markup() -> None:
    out = io.StringIO()
    print_table(Console(file=out, width=80), "[bold]title", ("[red]head",), [("[/x] :smile: [link=a]b",)])
    assert "[bold]title" in out.getvalue() and "[/x] :smile: [link=a]b" in out.getvalue()


def test_columns_are_cut_into_groups() -> None:
    assert chunks(["a", "b", "c"], 30, 14) == [["a", "b"], ["c"]]
    assert chunks(["a", "b"], 1, 14) == [["a"], ["b"]]


@pytest.mark.parametrize(("shares", "told"), [
    ((0.40, 0.41), True), ((0.30, 0.45), False), ((0.20, 0.21), False), ((0.05, 0.06), True), ((0.41,), False),
])  # fmt: skip
def test_a_loss_of_cloth_that_is_surely_unusual_is_told(shares: tuple[float, ...], told: bool) -> None:
    made = replications([0.9] * len(shares), [8.0] * len(shares), {})
    rows = tuple(
        replace(row, measures={**row.measures, "fabric_waste_share": share},
                web_per_week={("gaps_and_edges", "m"): 10.0, ("gaps_and_edges", "m2"): 31.0})
        for row, share in zip(made.rows, shares, strict=True)
    )  # fmt: skip
    out = io.StringIO()
    _print_web(Console(file=out, width=120), Replications(made.scenario, rows))
    usual = "Shops usually lose 12 to 32 % of their cloth, all causes together (MAT-37, from memory)."
    assert (usual in out.getvalue()) is told


def test_a_shop_on_paper_with_nothing_to_look_at_and_no_work() -> None:
    text = " ".join(check_text(Shop(calm(), ())).split())
    assert text.startswith(
        "The file is sound; on paper nothing in it calls for a second look. No work is asked of anybody in the weeks "
        "studied. Printing speeds of the modes in use"
    )
    assert "What to look at" not in text
    bare = calm(fabrics=[], printers=[], crews=[hand("op", "bench")], products=[JOB])
    text = check_text(Shop(bare, (order("Mon 07:00", "job", pieces=12),)))
    assert "The orders ask most of" in text
    assert "Printing speeds" not in text
    assert "Rolls" not in text


def test_what_is_asked_of_nobody_and_of_the_print_room_is_said() -> None:
    scenario = calm()
    for limit, there, told in (
        ("people", 0.0, "Work is asked of the people watching the printers, but nobody is ever there for it."),
        ("people", 10.0, "The orders ask most of the people watching the printers: 80 % of the time there is"),
    ):
        watched = Load("print room", "print_room", limit, (8.0,), (there,))  # type: ignore[arg-type]
        assert sound(scenario, SimpleNamespace(loads=(watched,), mondays=(1,)), ()).below.startswith(told)  # type: ignore[arg-type]


def test_a_cause_of_lateness_has_one_name_in_table_and_picture() -> None:
    told = {cause: _REASONS[reasons[0]] for cause, (_, reasons) in CAUSES.items() if len(reasons) == 1}
    assert {cause: words for cause, words in told.items() if not words.startswith(cause)} == {}
    assert (told["nobody there"], told["lost to faults"]) == (
        "nobody there: nights, breaks, weekends", "lost to faults: made again, repaired"
    )  # fmt: skip
