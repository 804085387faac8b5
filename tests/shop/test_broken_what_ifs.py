"""Each broken what-if of the collection gives exactly the messages written down in `broken_what_if_messages.txt`.

Their base is `what_if_base/shop.yaml`, a sound shop with an order book.
"""

from pathlib import Path

import pytest

from shopsim.errors import WhatIfError
from shopsim.shop.shop_file import load_shop
from shopsim.shop.what_if import apply, base_path, load_what_if

HERE = Path(__file__).parent
BROKEN = HERE / "broken_what_ifs"
BASE = HERE / "what_if_base" / "shop.yaml"


def expected_messages() -> dict[str, list[str]]:
    messages: dict[str, list[str]] = {}
    for line in (HERE / "broken_what_if_messages.txt").read_text(encoding="utf-8").splitlines():
        messages.setdefault(line.split(":", 1)[0], []).append(line)
    return messages


MESSAGES = expected_messages()


def test_the_collection_is_complete() -> None:
    assert sorted(MESSAGES) == sorted(file.name for file in BROKEN.iterdir())


def apply_file(name: str) -> None:
    what_if = load_what_if(name)
    apply(load_shop(base_path(name, what_if)), what_if)


@pytest.mark.parametrize("name", MESSAGES)
def test_a_broken_what_if_gives_its_messages(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(BROKEN)
    with pytest.raises(WhatIfError) as caught:
        apply_file(name)
    assert str(caught.value).splitlines() == MESSAGES[name]


def complaint(path: Path, scenario: Path | None = None) -> str:
    with pytest.raises(WhatIfError) as caught:
        load_what_if(path, scenario)
    return str(caught.value).replace(str(path.parent), "HERE")


def test_the_base_must_be_the_scenario_that_is_asked_about(tmp_path: Path) -> None:
    for name in ("mine.yaml", "other.yaml"):
        (tmp_path / name).write_bytes(BASE.read_bytes())
    path = tmp_path / "more.yaml"
    path.write_text("name: More\nbase: mine.yaml\nchanges: [{remove: study}]\n", encoding="utf-8")
    assert load_what_if(path, tmp_path / "mine.yaml") == load_what_if(path)
    assert (
        complaint(path, tmp_path / "other.yaml")
        == "HERE/more.yaml:2:1: base: this what-if starts from HERE/mine.yaml, not from HERE/other.yaml"
    )
    assert (
        complaint(path, tmp_path / "none.yaml") == "HERE/more.yaml:2:1: base: cannot be read: No such file or directory"
    )


def test_files_too_large_or_not_there_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "huge.yaml"
    assert complaint(path) == "HERE/huge.yaml: there is no such file"
    with path.open("wb") as file:
        file.truncate(3_000_000)
    assert complaint(path) == "HERE/huge.yaml: must be at most 2 MB, found 3.0 MB"
    path.write_bytes(b"\xff\xfe\x00")
    assert complaint(path) == "HERE/huge.yaml: is a binary file, not text"
    path.write_text("name: \xe9", encoding="latin-1")
    assert complaint(path) == "HERE/huge.yaml:1: is not UTF-8 text; save the file as UTF-8"
