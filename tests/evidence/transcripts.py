"""What the owner, the planner and the consultant are told on each demo: `python -m tests.evidence.transcripts`.

Writes `demo_scenarios/README.md`: command, answer and seconds from cold (an empty store, a fresh process), one after
the other on this machine; `--only WORDS` asks the questions with these words in their command anew and keeps the rest.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import subprocess
import sys
import tempfile
import textwrap
import time

from shopsim.shop.shop_file import load_shop
from tests.evidence.slices import ROOT

PAGE = ROOT / "demo_scenarios" / "README.md"
QUESTIONS = {
    "flag_banner_shop": (
        ("The owner", "compare SHOP what_ifs/flag_banner_second_printer.yaml"),
        ("The owner", "payback SHOP what_ifs/flag_banner_second_printer.yaml --orders-won 30 --replications 20"),
        ("The planner", "crew SHOP --crew sewer=1..3"),
        ("The consultant", "shifts SHOP what_ifs/flag_banner_early_late.yaml what_ifs/flag_banner_four_tens.yaml"),
    ),
    "frame_fabric_shop": (
        ("The owner", "compare SHOP what_ifs/frame_fabric_third_printer.yaml"),
        ("The owner", "payback SHOP what_ifs/frame_fabric_printer_for_more_orders.yaml --replications 20"),
        ("The planner", "crew SHOP --crew sewers=2..10"),
        ("The consultant", "shifts SHOP what_ifs/frame_fabric_early_late.yaml what_ifs/frame_fabric_four_tens.yaml"),
    ),
    "exhibition_supplier": (
        ("The owner", "compare SHOP what_ifs/exhibition_sixth_printer.yaml"),
        ("The planner", "crew SHOP --crew frame_sewers=4..7 --target 90"),
        ("The consultant", "shifts SHOP what_ifs/exhibition_staggered_start.yaml what_ifs/exhibition_four_tens.yaml"),
    ),
}  # fmt: skip
_HEAD = """\
# What three people are told

The owner who thinks of another printer, the planner who sizes a crew, the consultant who compares shift patterns: what
each types on each of the demos, what the answer begins with, and how long it took from cold, nothing kept, on two cores
with the compiled engine. Tables and pictures follow each answer. Made by `python -m tests.evidence.transcripts`. The
shops are invented: what holds for them holds for no other.
"""
_ENDS = {0: "", 3: "; the runs cannot settle it"}


def asked(demo: str, words: str) -> str:
    """One question: the command, its answer and what it took, as they stand on the page."""
    words = words.replace("SHOP", f"{demo}.yaml")
    with tempfile.TemporaryDirectory() as cold:
        environment = {**os.environ, "XDG_STATE_HOME": cold, "PYTHONPATH": str(ROOT)}
        began = time.monotonic()
        command = [sys.executable, "-m", "shopsim", *words.split(), "--json", "-"]
        run = subprocess.run(command, cwd=ROOT / "demo_scenarios", env=environment, capture_output=True, text=True)
        took_s = time.monotonic() - began
    if run.returncode not in _ENDS:
        raise SystemExit(run.stderr)
    sentence = textwrap.fill(json.loads(run.stdout)["sentence"], 118, break_on_hyphens=False)
    return f"```text\nshopsim {words}\n\n{sentence}\n```\n\n{took_s:.0f} s{_ENDS[run.returncode]}.\n"


def main() -> None:
    """Write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="", metavar="WORDS")
    only = parser.parse_args().only
    kept = PAGE.read_text(encoding="utf-8") if PAGE.exists() else ""
    parts = [_HEAD]
    for demo, questions in QUESTIONS.items():
        parts.append(f"\n## {load_shop(ROOT / 'demo_scenarios' / f'{demo}.yaml').scenario.shop.name}\n")
        for who, words in questions:
            typed = f"shopsim {words.replace('SHOP', f'{demo}.yaml')}\n"
            before = re.search(rf"```text\n{re.escape(typed)}.*?\n```\n\n.*?\n", kept, re.DOTALL)
            told = asked(demo, words) if only in words or before is None else before[0]
            sys.stdout.write(f"{told}\n")
            parts.append(f"\n**{who}**\n\n{told}")
            PAGE.write_text("".join(parts), encoding="utf-8")


if __name__ == "__main__":
    main()
