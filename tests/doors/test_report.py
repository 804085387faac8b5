"""`shopsim report`: the folder it writes, what is in it, that its files run to the same numbers; what is refused."""

from __future__ import annotations

import hashlib
import json
import re
import shlex
from importlib.metadata import version
from pathlib import Path

import pytest

from shopsim.cli import main
from tests.report.made import HOSTILE, write_all

Output = pytest.CaptureFixture[str]
QUIET = ("--workers", "1", "--no-store", "--no-pdf")


def test_without_questions_it_tells_how_the_shop_does_and_what_the_what_ifs_beside_it_change(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_all(tmp_path)
    (tmp_path / "what_ifs" / "of_another.yaml").write_text(
        "name: Of another\nbase: ../other.yaml\nchanges:\n  - {set: study.seed, to: 2}\n", encoding="utf-8"
    )
    (tmp_path / "other.yaml").write_text("shop: {}\n", encoding="utf-8")
    (tmp_path / "what_ifs" / "unsound.yaml").write_text("name: [", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    assert main(["report", "tiny.yaml", *QUIET, "--replications", "2"]) == 0
    out, err = capsys.readouterr()
    text = " ".join(out.split())
    assert text.startswith("How does the shop do as it stands? On time 67 % of orders in every run")
    assert "Which of 2 changes helps, by how much, and how sure is that? " in text
    assert (
        "Written into tiny_report: answers.json, files/, records/, replications.csv, report.html, workbook.xlsx."
        in text
    )
    assert (
        "Of 24 items of the reporting list 6 have something for you to fill in: 1.1, 1.3, 3.1, 3.2, 3.4, 6.1." in text
    )
    assert "note: left out, because it is not sound: what_ifs/unsound.yaml:1:8: " in err
    folder = tmp_path / "tiny_report"
    found = sorted(path.relative_to(folder).as_posix() for path in (folder / "files").rglob("*") if path.is_file())
    assert found == [
        "files/orders.csv", "files/requirements.txt", "files/tiny.yaml", "files/what_ifs/faster.yaml",
        "files/what_ifs/second.yaml",
    ]  # fmt: skip
    assert (folder / "records" / "orders.parquet").is_file()
    assert (folder / "records" / "dictionary.csv").is_file()
    assert "<script>alert" not in (folder / "report.html").read_text(encoding="utf-8")


def test_its_files_run_to_the_same_numbers_by_the_commands_it_tells(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_all(tmp_path)
    asked = [part for text in ("run", f"crew --crew sewer=1..2 --what-if {tmp_path}/what_ifs/faster.yaml --target 60",
                               "sensitivity --range crews.sewer.efficiency_pct=80..120 --replications 2")
             for part in ("--ask", text)]  # fmt: skip
    given = ["--seed", "5", "--confidence", "90", "--out", str(tmp_path / "out"), "--no-records", "--json", "-"]
    assert main(["report", str(path), *asked, *given, *QUIET]) == 3, "no input of a shop without luck can be told"
    told = json.loads(capsys.readouterr().out)
    assert [each["kind"] for each in told["answers"]] == ["as_we_are", "crew", "sensitivity"]
    assert told == json.loads((tmp_path / "out" / "answers.json").read_text(encoding="utf-8"))
    runs = (tmp_path / "out" / "replications.csv").read_text(encoding="utf-8").splitlines()
    assert runs[:2] == ["question,option,replication,measure,unit,value", runs[1]]
    assert "4,as it stands,0,on_time_share,1," not in runs
    assert any(line.startswith("1,as it stands,2,on_time_share,1,0.666") for line in runs)
    files = tmp_path / "out" / "files"
    assert "seed: 5" in (files / "tiny.yaml").read_text(encoding="utf-8")
    for name, digest in told["files"].items():
        assert hashlib.sha256((files / name).read_bytes()).hexdigest() == digest
    monkeypatch.chdir(files)
    for each in told["answers"]:
        program, *command = each["command"]
        assert program == "shopsim"
        assert main([*command, "--workers", "1", "--no-store", "--json", "-"]) in (0, 3)
        again = json.loads(capsys.readouterr().out)
        assert again == {**each["answer"], "scenario": "tiny.yaml"}, shlex.join(each["command"])
    assert f"simpy=={version('simpy')}" in (files / "requirements.txt").read_text(encoding="utf-8").splitlines()
    again = ["report", "tiny.yaml", "--compare", "../answers.json", "--workers", "1", "--no-store"]
    assert main(again) == 0
    assert re.fullmatch(r"All \d{3,} numbers of 3 answers are the same\.\n", capsys.readouterr().out)
    told["answers"][0]["answer"]["measures"]["revenue_per_week"]["mean"] += 1
    (files.parent / "answers.json").write_text(json.dumps(told), encoding="utf-8")
    assert main(again) == 2
    assert "question 1, measures.revenue_per_week.mean: 2601.0 then, 2600.0 now" in capsys.readouterr().err


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"answers": [1], "program": {}}',
        '{"answers": [], "program": {"Code that makes numbers": ""}}',
        "[" * 100_000,
    ],
)
def test_what_is_no_earlier_report_is_refused(tmp_path: Path, capsys: Output, text: str) -> None:
    path, earlier = write_all(tmp_path), tmp_path / "answers.json"
    earlier.write_text(text, encoding="utf-8")
    assert main(["report", str(path), "--compare", str(earlier)]) == 2
    why = "is no answers.json of a report" if text else "the file is empty"
    assert capsys.readouterr().err == f"{earlier}: {why}\n"


def test_what_ifs_named_and_questions_go_together(tmp_path: Path, capsys: Output) -> None:
    path = write_all(tmp_path)
    given = [str(tmp_path / "what_ifs" / "second.yaml"), "--ask", "warm-up --replications 2", "--replications", "2"]
    assert (
        main(["report", str(path), *given, "--out", str(tmp_path / "out"), "--no-records", "--json", "-", *QUIET]) == 0
    )
    told = json.loads(capsys.readouterr().out)
    assert [each["question"] for each in told["answers"]] == [
        "How does the shop do as it stands?", "Does “A second sewer” help, by how much, and how sure is that?",
        "How long does the shop take to settle from empty?",
    ]  # fmt: skip
    assert not (tmp_path / "out" / "records").exists()


def test_title_and_author_are_text(tmp_path: Path) -> None:
    path = write_all(tmp_path)
    given = ["--ask", "run --replications 2", "--title", HOSTILE, "--author", "=cmd\x1b[31m", "--no-records"]
    assert main(["report", str(path), *given, "--out", str(tmp_path / "out"), *QUIET]) == 0
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "<h1>&lt;script&gt;alert(&#x27;a&#x27;)&lt;/script&gt;�&quot;&amp;=1+1</h1>" in page
    assert "by =cmd�[31m, from tiny.yaml" in page


@pytest.mark.parametrize(("given", "message"), [
    (("--ask", "fly"), ("--ask 'fly': must begin with one of run, compare, crew, shifts, growth, payback, sensitivity, "
                       "warm-up, match, promise, then what that command takes")),
    (("--ask", "compare nowhere.yaml"), "nowhere.yaml: there is no such file"),
    (("--ask", "run", "--out", "{full}"), "{full}: --out: must be a new or an empty folder"),
    (("--replications", "1"), "--replications: must be at least 2, because one gives no interval, found 1"),
])  # fmt: skip
def test_what_does_not_do_is_refused_before_anything_runs(
    tmp_path: Path, capsys: Output, given: tuple[str, ...], message: str
) -> None:
    path = write_all(tmp_path)
    full = str(tmp_path)
    words = [part.replace("{full}", full) for part in given]
    out = [] if "--out" in words else ["--out", str(tmp_path / "out")]
    assert main(["report", str(path), *words, *out, *QUIET]) == 2
    assert capsys.readouterr().err == message.replace("{full}", full) + "\n"
    assert not (tmp_path / "out").exists()


def test_a_folder_nobody_can_write_into_is_told_and_left(tmp_path: Path, capsys: Output) -> None:
    path = write_all(tmp_path)
    (tmp_path / "file").write_text("", encoding="utf-8")
    out = str(tmp_path / "file" / "out")
    assert main(["report", str(path), "--ask", "run --replications 2", "--out", out, *QUIET]) == 2
    assert "cannot be written: " in capsys.readouterr().err


@pytest.mark.parametrize(("browser", "told"), [
    (None, "note: no Chromium found on this machine"), ("/bin/false", "note: /bin/false did not print the page: it "),
])  # fmt: skip
def test_without_a_pdf_it_says_so_and_writes_all_else(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch, browser: str | None, told: str
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    if browser is not None:
        monkeypatch.setenv("SHOPSIM_CHROMIUM", browser)
    path = write_all(tmp_path)
    given = ["--ask", "run --replications 2", "--out", str(tmp_path / "out"), "--no-records", *QUIET[:-1]]
    assert main(["report", str(path), *given]) == 0
    assert told in capsys.readouterr().err
    assert sorted(each.name for each in (tmp_path / "out").iterdir()) == [
        "answers.json", "files", "replications.csv", "report.html", "workbook.xlsx",
    ]  # fmt: skip


def test_a_question_that_is_not_settled_is_told_by_code_and_words(tmp_path: Path, capsys: Output) -> None:
    path = write_all(tmp_path)
    given = [
        "--ask",
        "run --replications 2",
        "--ask",
        "sensitivity --range crews.sewer.efficiency_pct=99..101 --replications 2",
    ]
    given += ["--out", str(tmp_path / "out")]
    assert main(["report", str(path), *given, "--no-records", *QUIET]) == 3
    assert "Question 2 could not be settled by the runs made." in capsys.readouterr().out
    assert (tmp_path / "out" / "report.html").exists()


def test_two_different_files_of_one_name_are_refused_before_anything_runs(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write_all(tmp_path)
    other = tmp_path / "other" / "second.yaml"
    other.parent.mkdir()
    other.write_text((tmp_path / "what_ifs" / "second.yaml").read_text().replace("to: 2", "to: 3"), encoding="utf-8")
    monkeypatch.setattr("shopsim.doors.report.study_runner", lambda _: pytest.fail("nothing may run"))
    asked = [part for file in (tmp_path / "what_ifs" / "second.yaml", other) for part in ("--ask", f"compare {file}")]
    assert main(["report", str(path), *asked, "--out", str(tmp_path / "out"), *QUIET]) == 2
    assert capsys.readouterr().err == ("what_ifs/second.yaml: two different files of this name go into one report\n")
