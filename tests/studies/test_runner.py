"""The runner: what is kept is not run again, jobs are worth handing over, progress is told, stopping keeps all."""

from __future__ import annotations

import math
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopsim.errors import StoppedError, StoreError
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Progress, Runner
from shopsim.studies.store import Store
from tests.studies.given import GivenEngine, option, row

FULL = Replication(
    3, {"on_time_share": 0.1 + 0.2, "wait_mean_h.sewing": math.nan}, {("printer", "p1", "off"): 1 / 3},
    {("p1", "printing"): 0.25}, {"sewing people": 0.5}, {("leader", "m"): 4.0}, {("late", "work"): 2.5},
    {"wages": 1000.0}, (1.5, 2.5), (3.0,), (2.0,),
)  # fmt: skip


def made(which: Option, number: int) -> Replication:
    return row(number, {"heads": which.scenario.crews[0].count + number / 100})


def heads(rows: tuple[Replication, ...]) -> list[float]:
    return [one.measures["heads"] for one in rows]


def test_rows_come_back_by_ask_and_number() -> None:
    engine = GivenEngine(made)
    one, two = option("one"), option("two", heads=2)
    found = Runner(engine).run([Ask(two, 2, first=1), Ask(one, 1), Ask(two, 1)])
    assert [heads(rows) for rows in found] == [[2.01, 2.02], [1.0], [2.0]]


def test_options_of_equal_values_are_run_once_whatever_they_are_called() -> None:
    engine = GivenEngine(made)
    found = Runner(engine).run([Ask(option("one"), 2), Ask(option("the same", replications=50), 2)])
    assert found[0] == found[1]
    assert engine.jobs == [("the same", (0,)), ("the same", (1,))]


def test_jobs_grow_once_the_pace_is_known_but_leave_work_for_every_worker() -> None:
    # 0.05 s each: four make 0.2 s. The first is alone, since nothing is known of it; of the last three each worker of
    # two gets a share.
    engine = GivenEngine(made, seconds_each=0.05)
    Runner(engine).run([Ask(option("quick"), 12)])
    assert [len(numbers) for _, numbers in engine.jobs] == [1, 4, 4, 2, 1]


def test_options_with_few_replications_each_are_taken_to_be_as_fast_as_others() -> None:
    # Four of 0.05 s make 0.2 s: once the pace of one option is known, both of another go together.
    engine = GivenEngine(made, seconds_each=0.05)
    engine.workers = 1
    Runner(engine).run([Ask(option(f"heads {n}", heads=n), 2) for n in range(1, 5)])
    assert [len(numbers) for _, numbers in engine.jobs] == [1, 1, 2, 2, 2]


def test_kept_replications_are_not_run_again(tmp_path: Path) -> None:
    path = tmp_path / "deep" / "kept.sqlite"
    with Store(path) as store:
        first = Runner(GivenEngine(made), store).run([Ask(option("one"), 3)])
    engine = GivenEngine(made)
    with Store(path) as store:
        again = Runner(engine, store).run([Ask(option("one"), 5), Ask(option("one", seed=9), 1)])
    assert again[0][:3] == first[0]
    assert engine.jobs == [("one", (3,)), ("one", (4,)), ("one", (0,))]


def test_what_the_store_had_before_is_told_from_what_is_given_once_more(tmp_path: Path) -> None:
    with Store(tmp_path / "store") as store:
        Runner(GivenEngine(made), store).run([Ask(option("one"), 2)])
        runner = Runner(GivenEngine(made), store)
        runner.run([Ask(option("one"), 5)])
        runner.run([Ask(option("one"), 4)])
        assert (runner.finished, runner.newly_run, runner.kept_before) == (9, 3, 4)


def test_progress_counts_what_was_kept_and_what_was_run(tmp_path: Path) -> None:
    told: list[Progress] = []
    with Store(tmp_path / "kept.sqlite") as store:
        Runner(GivenEngine(made), store).run([Ask(option("one"), 2)])
        Runner(GivenEngine(made), store, told.append).run([Ask(option("one"), 4)])
    assert [(one.finished, one.asked, one.kept) for one in told] == [(2, 4, 2), (3, 4, 3), (4, 4, 4)]
    assert told[0].seconds_left is None
    assert told[-1].seconds_left == 0.0


def test_progress_counts_a_replication_once_however_often_it_is_asked_for(tmp_path: Path) -> None:
    told: list[Progress] = []
    with Store(tmp_path / "kept.sqlite") as store:
        runner = Runner(GivenEngine(made), store, told.append)
        for count in (2, 3, 3):
            runner.run([Ask(option("one"), count)])
    assert [(one.finished, one.asked, one.kept) for one in told[-3:]] == [(2, 3, 2), (3, 3, 3), (3, 3, 3)]


def test_stopping_keeps_what_is_finished(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    engine = GivenEngine(made)
    with Store(path) as store, pytest.raises(StoppedError) as stopped:
        Runner(engine, store, stop=lambda: len(engine.jobs) == 3).run([Ask(option("one"), 10)])
    assert str(stopped.value) == "stopped"
    with Store(path) as store:
        assert [kept.replications for kept in store.listed()] == [3]


def test_every_bit_of_a_row_survives_the_store(tmp_path: Path) -> None:
    with Store(tmp_path / "kept.sqlite") as store:
        store.keep("key", 7, [FULL])
        found = store.kept([("key", 3), ("key", 4), ("other", 3)])
    # NaN is unequal to itself, its text is not; the text of a float tells all its bits.
    assert repr(found) == repr({("key", 3): FULL})


def test_rows_of_a_study_share_their_keys_wherever_they_come_from(tmp_path: Path) -> None:
    def made_elsewhere(_: Option, number: int) -> Replication:
        # As from a worker: every row brings its own copies.
        cause = ("late", "printer 1".replace("1", str(number % 1 + 1)))
        return row(number, {f"measure {number // 1000}": number / 4}, reasons_h={cause: 1.0}, lead_days=(1.0, 2.5))

    with Store(tmp_path / "kept.sqlite") as store:
        (rows,) = Runner(GivenEngine(made_elsewhere), store).run([Ask(option("base"), 3)])
        (again,) = Runner(GivenEngine(made_elsewhere), store).run([Ask(option("base"), 3)])
    assert repr(again) == repr(rows) == repr(tuple(made_elsewhere(option("base"), number) for number in range(3)))
    for found in (rows, again):
        assert len({id(key) for each in found for key in each.reasons_h}) == 1
        assert len({id(key) for each in found for key in each.measures}) == 1


def test_rows_of_other_programs_are_not_used_and_can_be_pruned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Store(tmp_path / "kept.sqlite") as store:
        store.keep("key", 7, [FULL])
        monkeypatch.setattr("shopsim.studies.store.code_version", lambda: "0.2.0+other")
        assert store.kept([("key", 3)]) == {}
        store.keep("key", 7, [row(1, {}), row(2, {})])
        assert next((kept.program, kept.seed, kept.replications) for kept in store.listed()) == ("0.2.0+other", 7, 2)
        assert [kept.name for kept in store.listed()] == ["", ""]
        assert store.prune(other_programs=True) == 1
        assert [kept.replications for kept in store.listed()] == [2]
        assert store.prune(older_than_days=1) == 0
        assert store.prune(older_than_days=0) == 2
        assert store.listed() == []


def test_options_are_listed_by_the_name_a_study_gave_them(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with Store(path) as store:
        Runner(GivenEngine(made), store).run([Ask(option("one more sewer", heads=2), 2), Ask(option("base"), 1)])
        assert {kept.name: kept.replications for kept in store.listed()} == {
            "Hand-made: one more sewer": 2,
            "Hand-made: base": 1,
        }


def test_stores_of_earlier_versions_have_no_names(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with Store(path) as store:
        store.keep("key", 7, [FULL], "a name")
        store._db.execute("alter table replications drop column name")
    with Store(path) as store:
        assert [(kept.name, kept.replications) for kept in store.listed()] == [("", 1)]
        store.keep("key", 7, [row(1, {})], "a name")
        assert sorted(store.kept([("key", 3), ("key", 1)])) == [("key", 1), ("key", 3)]


def test_two_writers_share_a_file(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with Store(path) as one, Store(path) as other:
        one.keep("key", 1, [row(0, {"a": 1.0})])
        other.keep("key", 1, [row(0, {"a": 2.0}), row(1, {"a": 3.0})])
        # Whoever came first stays.
        assert [one.kept([("key", k)])["key", k].measures["a"] for k in (0, 1)] == [1.0, 3.0]


def test_a_study_ends_though_its_disk_is_full(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with Store(path) as store:
        store.keep(option("one").key, 1, [made(option("one"), 0)])
        # No page more than there are: what SQLite is told where a disk is full.
        store._db.execute(f"pragma max_page_count={store._db.execute('pragma page_count').fetchone()[0]}")
        large = GivenEngine(lambda _, number: row(number, {"heads": float(number), "x" * 9_000: 1.0}))
        told: list[Progress] = []
        runner = Runner(large, store, told.append)
        (rows,) = runner.run([Ask(option("one"), 4)])
        assert (heads(rows), runner.not_kept) == (
            [1.0, 1.0, 2.0, 3.0], f"{path}: cannot keep replications here: database or disk is full",
        )  # fmt: skip
        assert [(one.finished, one.kept) for one in told] == [(1, 1), (2, 1), (3, 1), (4, 1)]
    with Store(path) as store:
        # What was kept before is still there, and the file takes more once there is room.
        assert [kept.replications for kept in store.listed()] == [1]
        runner = Runner(GivenEngine(made), store)
        assert heads(runner.run([Ask(option("one"), 4)])[0]) == [1.0, 1.01, 1.02, 1.03]
        assert (runner.newly_run, runner.not_kept) == (3, "")


def test_a_file_that_is_no_store_is_told(tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("this is not a store, and long enough to be read as one" * 20, encoding="utf-8")
    with pytest.raises(StoreError) as error:
        Store(path)
    assert str(error.value) == f"{path}: cannot keep replications here: file is not a database"


def test_a_damaged_row_is_made_again(tmp_path: Path) -> None:
    with Store(tmp_path / "kept.sqlite") as store:
        store.keep("key", 7, [FULL, row(4, {"a": 1.0})])
        store._db.execute("update replications set numbers='{' where number=3")
        assert list(store.kept([("key", 3), ("key", 4)])) == [("key", 4)]
        # The row made again takes the place of the damaged one; the sound one stays as it was.
        store.keep("key", 7, [FULL, row(4, {"a": 2.0})])
        found = store.kept([("key", 3), ("key", 4)])
        assert [found["key", 3].states, found["key", 4].measures] == [FULL.states, {"a": 1.0}]
        assert [kept.replications for kept in store.listed()] == [2]


@pytest.mark.parametrize("text", ["{", "{}", "[]", '{"number": 1}'])
def test_a_study_mends_a_damaged_row_once_and_for_all(tmp_path: Path, text: str) -> None:
    with Store(tmp_path / "kept.sqlite") as store:
        Runner(GivenEngine(made), store).run([Ask(option("one"), 3)])
        store._db.execute("update replications set numbers=? where number=1", (text,))
        for newly_run in (1, 0):
            runner = Runner(GivenEngine(made), store)
            assert heads(runner.run([Ask(option("one"), 3)])[0]) == [1.0, 1.01, 1.02]
            assert runner.newly_run == newly_run


def test_a_store_of_another_layout_is_told(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with closing(sqlite3.connect(path)) as other:
        other.execute("create table replications(a text)")
    with Store(path) as store:
        for use in (lambda: store.kept([("key", 3)]), store.listed):
            with pytest.raises(StoreError) as error:
                use()
            assert str(error.value).startswith(f"{path}: cannot be read as a store of replications: no such column: ")
        with pytest.raises(StoreError) as error:
            store.prune(older_than_days=0)
        assert str(error.value) == f"{path}: cannot be pruned now: no such column: kept_at"


def test_a_full_disk_is_told(tmp_path: Path) -> None:
    with Store(tmp_path / "kept.sqlite") as store:
        store._db.execute("pragma query_only=on")
        with pytest.raises(StoreError) as error:
            store.keep("key", 1, [FULL])
    assert "cannot keep replications here: attempt to write a readonly database" in str(error.value)
    assert isinstance(error.value.__cause__, sqlite3.Error)
