"""The shops that come with the program: listed, copied whole, never over anything."""

import errno
import json
from pathlib import Path

import pytest

from shopsim.cli import main

ROOT = Path(__file__).resolve().parents[2] / "demo_scenarios"
Output = pytest.CaptureFixture[str]


def test_they_are_listed(capsys: Output) -> None:
    assert main(["demos"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1] == "Demo shops"
    assert [line.split()[0] for line in lines if ".yaml" in line] == [
        "flag_banner_shop.yaml", "frame_fabric_shop.yaml", "exhibition_supplier.yaml",
    ]  # fmt: skip


def test_copies_run_where_they_are(tmp_path: Path, capsys: Output) -> None:
    folder = tmp_path / "mine"
    assert main(["demos", str(folder)]) == 0
    assert capsys.readouterr().out.splitlines()[1] == str(folder / "frame_fabric_shop.yaml")
    copied = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    shipped = {path.relative_to(ROOT).as_posix() for path in ROOT.rglob("*.yaml")} | {
        "frame_fabric_orders.csv", "exports/frame_fabric_list.csv",
    }  # fmt: skip
    assert copied == shipped
    assert all((folder / name).read_bytes() == (ROOT / name).read_bytes() for name in copied)
    shop, what_if = folder / "frame_fabric_shop.yaml", folder / "what_ifs" / "frame_fabric_one_more_sewer.yaml"
    few = ["--weeks", "1", "--replications", "2", "--workers", "1", "--no-store", "--json", "-"]
    assert main(["compare", str(shop), str(what_if), *few]) in (0, 3)
    assert json.loads(capsys.readouterr().out)["replications"] == 2


def test_nothing_is_written_over(tmp_path: Path, capsys: Output) -> None:
    (tmp_path / "exhibition_supplier.yaml").write_text("mine", encoding="utf-8")
    assert main(["demos", str(tmp_path)]) == 2
    there = tmp_path / "exhibition_supplier.yaml"
    assert capsys.readouterr().err == f"{there}: is there already; name another folder\n"
    assert [path.name for path in tmp_path.iterdir()] == [there.name]
    assert main(["demos", str(there)]) == 2
    assert capsys.readouterr().err == f"{there}: cannot be written: File exists\n"


def test_half_a_copy_is_taken_back(tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    real, left = Path.write_bytes, [3]

    def until_full(path: Path, content: bytes) -> int:
        left[0] -= 1
        if left[0] < 0:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(path, content)

    monkeypatch.setattr(Path, "write_bytes", until_full)
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    for folder in (tmp_path / "new", tmp_path):
        left[0] = 3
        assert main(["demos", str(folder)]) == 2
        assert capsys.readouterr().err == f"{folder}: cannot be written: No space left on device\n"
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == ["mine.txt"]
    assert not (tmp_path / "new").exists()
