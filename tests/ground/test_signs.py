"""Signs that steer terminals or hide text: shown as a mark, and refused in names."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.cli import main
from shopsim.errors import ScenarioError, WhatIfError
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.what_if import parse_what_if
from shopsim.signs import shown
from tests.doors.tiny import SHOP, write_shop

STEERING = ("\x1b[31m", "\x9b31m", "\u202e", "\u2066", "\x07", "\x7f")
WHAT_IF = "name: {name}\nbase: tiny.yaml\nchanges:\n  - {{set: money.packing_and_freight_per_order, to: 11}}\n"


def test_what_cannot_be_seen_is_marked() -> None:
    assert shown("a\x1b[31mb\x9bc\u202ed\ud800\u00ade\tf\n") == "a�[31mb�c�d��e�f�"
    assert shown("a\tb\nc", besides="\n") == "a�b\nc"
    # Joiners only join: of letters in Persian, of pictures.
    assert shown("می‌خواهم 👩‍🏭") == "می‌خواهم 👩‍🏭"


@pytest.mark.parametrize("sign", STEERING)
def test_names_hold_no_sign_that_steers(sign: str) -> None:
    named = f'"{sign}"'.encode("unicode_escape").decode() if sign < "\x80" else f'"{sign}"'
    with pytest.raises(ScenarioError) as fault:
        parse_scenario(SHOP.replace("name: Tiny shop", f"name: {named}"), "tiny.yaml")
    assert "\x1b" not in str(fault.value)
    with pytest.raises(WhatIfError):
        parse_what_if(WHAT_IF.format(name=named), "what_if.yaml")


def test_nothing_in_a_message_steers_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_shop(tmp_path, SHOP + '"\\e[31mkey\\N\u202e": 1\n').rename(tmp_path / "x\x1b[31m\u202e.yaml")
    for asked in (["check", str(path)], ["run", str(path), "--no-store"], ["check", f"{path}\x9b"]):
        assert main(asked) == 2
        told = capsys.readouterr().err
        assert told == shown(told, besides="\n")
        assert "x�[31m�.yaml" in told
    assert main(["demos", str(tmp_path / "\x1b[2J")]) == 0
    assert capsys.readouterr().out.startswith(f"{tmp_path}/�[2J/")
