"""Faults in reading exports and in fitting inputs from them."""

from tests.mutations.mutant import Mutant

UGLY, ESTIMATES, RECOVERY = (
    "shop/exports/test_ugly_files.py",
    "studies/test_fit_estimates.py",
    "studies/test_fit_shop.py",
)

RECORDS = (
    Mutant(
        "a date that could be two is guessed",
        "shop/exports/dates.py",
        '    raise ValueError(f"{found(cell)} could be day or month first; give `date_order`")',
        "    return first, second",
        (UGLY,),
    ),
    Mutant(
        "spreadsheet numbers are counted a day late",
        "shop/exports/dates.py",
        "1900: datetime.datetime(1899, 12, 30)",
        "1900: datetime.datetime(1899, 12, 31)",
        (UGLY,),
    ),
    Mutant(
        "a number that could be two is guessed",
        "shop/exports/quantities.py",
        "if mark is None and len(set(known.values())) > 1:",
        "if False:",
        (UGLY,),
    ),
    Mutant(
        "the mapping's unit goes before the one in the cell",
        "shop/exports/quantities.py",
        "value = _scaled(number, own or unit, units, kind, cell)",
        "value = _scaled(number, unit or own, units, kind, cell)",
        (UGLY,),
    ),
    Mutant(
        "sums are taken for orders",
        "shop/exports/reading.py",
        "        if first in _TOTALS:",
        "        if False:",
        (UGLY,),
    ),
    Mutant(
        "rows that stand there twice count twice",
        "shop/exports/doubles.py",
        "        if first is not row:",
        "        if False:",
        (UGLY,),
    ),
    Mutant(
        "lines of one order may contradict each other",
        "shop/exports/doubles.py",
        'if rule == "reject" and any(names for _, names in apart):',
        "if False:",
        (UGLY,),
    ),
    Mutant(
        "a heading over several columns names only the first",
        "shop/exports/headings.py",
        "                upper[i] = over",
        "                pass",
        (UGLY,),
    ),
    Mutant(
        "the life still running is left out of a Weibull",
        "studies/fit_estimates.py",
        "    logs = np.log(np.asarray(lives, dtype=float))\n",
        "    logs = np.log(np.asarray(lives, dtype=float))[list(ended)]\n    ended = [True] * len(logs)\n",
        (ESTIMATES,),
    ),
    Mutant(
        "an interval of a life without the one still running",
        "studies/fit_estimates.py",
        "chdtri(2 * failures + 2, tail)",
        "chdtri(2 * failures, tail)",
        (ESTIMATES,),
    ),
    Mutant(
        "outliers pull a line",
        "studies/fit_estimates.py",
        "        weights = np.minimum(1.0, HUBER_K * spread / np.maximum(np.abs(residual), 1e-300))",
        "        weights = np.ones(n)",
        (ESTIMATES,),
    ),
    Mutant(
        "weeks only partly on record count as whole ones",
        "studies/fit_history.py",
        "first = begin if begin.weekday() == 0 else begin + datetime.timedelta(days=7 - begin.weekday())",
        "first = begin - datetime.timedelta(days=begin.weekday())",
        (RECOVERY,),
    ),
    Mutant(
        "pieces are fitted as if nothing had been rounded up",
        "studies/fit_rounded_up.py",
        "chances = _cdf(name, parameters, seen) - _cdf(name, parameters, seen - 1)",
        "chances = _cdf(name, parameters, seen + 0.5) - _cdf(name, parameters, seen - 0.5)",
        (ESTIMATES,),
    ),
    Mutant(
        "faults that inspection misses are forgotten",
        "studies/fit_work.py",
        "caught = 1 - quality.missed_pct / 100",
        "caught = 1.0",
        ("studies/test_fit_work.py",),
    ),
    Mutant(
        "checks after a long idle time are counted with the others",
        "studies/fit_printers.py",
        'return bool(check["start"] - last["end"] >= datetime.timedelta(hours=idle_h))',
        "return False",
        (RECOVERY,),
    ),
)
