"""A week of questions in miniature: two hundred studies, one after the other, in one server; memory stays flat."""

from __future__ import annotations

import tempfile
from pathlib import Path
from statistics import median

from app.jobs import Jobs
from shopsim.answers.as_we_are import AsWeAre
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.pool import Pool
from tests.evidence.slices import ROOT
from tests.hardening.ordeal import Ordeal

# Until then libraries load, caches fill and the pool starts its processes.
_SETTLED = 40
_AT_ONCE = 10
MOST_MORE_MB, MOST_MORE_FILES = 12.0, 4


def soak(studies: int) -> Ordeal:
    """So many studies, each of another seed and kept; memory and open files of the server, early against late."""
    bad: list[str] = []
    memory_mb, files = [], []
    base = load_shop(ROOT / "demo_scenarios" / "flag_banner_shop.yaml")
    with tempfile.TemporaryDirectory() as folder:
        pool = Pool(2)
        try:
            jobs = Jobs(Path(folder) / "answers", Path(folder) / "kept.sqlite", pool)
            for number in range(studies):
                question = AsWeAre(scenario="flags.yaml", shop=_short(base, number), count=4)
                job = jobs.start(question, "as_we_are")
                if not job.ended.wait(120) or job.stage != "done" or jobs.answer(question.key) is None:
                    bad.append(f"study {number}: {job.stage}, {job.fault}")
                memory_mb.append(_resident_mb())
                files.append(len(list(Path("/proc/self/fd").iterdir())))
        finally:
            pool.close()
    early, late = (median(memory_mb[at : at + _AT_ONCE]) for at in (_SETTLED, -_AT_ONCE - 1))
    bad += grown(early, late, files[_SETTLED], files[-1])
    told = (
        f"{early:.0f} MB after {_SETTLED} studies, {late:.0f} MB in the end; "
        f"{files[_SETTLED]} and {files[-1]} open files"
    )
    return Ordeal("soak", "studies in a row in one server", studies, tuple(bad), told)


def grown(early_mb: float, late_mb: float, early_files: int, late_files: int) -> list[str]:
    """What grew more than by chance."""
    told = []
    if late_mb - early_mb > MOST_MORE_MB:
        told.append(f"memory grew from {early_mb:.0f} to {late_mb:.0f} MB")
    if late_files - early_files > MOST_MORE_FILES:
        told.append(f"open files grew from {early_files} to {late_files}")
    return told


def _short(base: Shop, seed: int) -> Shop:
    values = scenario_values(base.scenario)
    values["study"] = {**values["study"], "weeks": 1.0, "warm_up_weeks": 0.0, "seed": seed}
    return Shop(check_values(values, "short"), base.order_lines)


def _resident_mb() -> float:
    """What this process holds in memory; its workers are other processes."""
    status = Path("/proc/self/status").read_text(encoding="utf-8")
    return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmRSS")) / 1024
