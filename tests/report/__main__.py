"""`python -m tests.report DIR`: the real reports of all demos; `--digests`: what the tests compare small ones with."""

import sys
from pathlib import Path

from shopsim.cli import main
from tests.report.demos import DEMOS, DIGESTS, NAMES, small_report
from tests.report.digest import digest

if sys.argv[1:] == ["--digests"]:
    for name in NAMES:
        (DIGESTS / f"{name}.txt").write_text(digest(small_report(name)), encoding="utf-8")
elif len(sys.argv) == 2:
    codes = [main(["report", str(DEMOS / f"{name}.yaml"), "--out", str(Path(sys.argv[1]) / name)]) for name in NAMES]
    raise SystemExit(max(codes))
else:
    raise SystemExit("usage: python -m tests.report DIR | --digests")
