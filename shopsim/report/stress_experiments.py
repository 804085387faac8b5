"""STRESS-DES 4.1 to 6.1: how runs begin, how long and how many they are, programs, machine, sharing."""

from __future__ import annotations

from datetime import timedelta

from shopsim.report.blocks import Block, Lines, Open, Para, table
from shopsim.report.contents import Contents
from shopsim.report.rerun import machine, programs
from shopsim.sentences import weeks_text

STOPS: dict[str, str] = {
    "compare": "differences to the shop as it stands, paired replication by replication, all intervals at once "
               "(Bonferroni)",
    "shifts": "patterns set beside each other (constrained intervals with the best: J. C. Hsu, Multiple "
              "Comparisons, 1996)",
    "crew": "runs go to the cheapest crews of which it is not clear whether they meet the target (S. Andradóttir "
            "and S.-H. Kim, Naval Research Logistics 57, 2010, 403–421)",
    "growth": "the demand at which the mean share on time crosses the target, by retrospective approximation (H. "
              "Chen and B. W. Schmeiser, IIE Transactions 33, 2001, 259–275); interval after E. C. Fieller (1954)",
    "payback": "cash flow of each replication against the same replication of the base; doubt about inputs by Latin "
               "hypercube",
    "sensitivity": "see 1.3 (B)",
    "as_we_are": "a mean and a Student interval over replications",
    "match": "the weeks on record run again with the recorded orders, figure by figure within its tolerance or not",
    "promise": "futures from one morning on, each with draws of its own for what is still to come",
    "warm_up": "orders in the shop by day, averaged over replications that start empty",
}  # fmt: skip
"""How each kind of question spends its runs."""


def initialisation(contents: Contents) -> list[Block]:
    promised = contents.of_kind("promise")
    morning = [Para(f"Promises start from the morning of {each.document['now']}, with the orders, rolls and people "
                    "as they were then.") for each in promised]  # fmt: skip
    return [*_long_run(contents), *morning]


def _long_run(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    stocked = ", with its rolls on the shelf" if scenario.fabrics else ""
    if scenario.warm_up_min == 0:
        return [Para(
            f"Terminating: the shop opens empty on the first day{stocked}, and the run ends with the weeks of the "
            "study. Nothing is left out."
        )]  # fmt: skip
    blocks: list[Block] = [Para(
        f"Non-terminating: the shop opens empty, and the first {weeks_text(scenario.study.warm_up_weeks)} are left out."
    )]  # fmt: skip
    found = contents.of_kind("warm_up")
    if found:
        blocks.append(Para(
            "Asked of the runs by the rule MSER in batches of a week (K. P. White, Simulation 69, 1997, 323–334), "
            f"shown with Welch's curve: {found[0].document['sentence']}"
        ))  # fmt: skip
    else:
        blocks.append(Open("How that length was chosen: `shopsim warm-up` was not asked for this report."))
    return blocks


def run_length(contents: Contents) -> list[Block]:
    scenario = contents.shop.scenario
    weeks, warm_up_weeks = scenario.study.weeks, scenario.study.warm_up_weeks
    first = scenario.shop.starts + timedelta(minutes=scenario.warm_up_min)
    before = f"; each run begins {weeks_text(warm_up_weeks)} before" if scenario.warm_up_min else ""
    return [Para(
        f"{weeks_text(weeks)} count{'s' if weeks == 1 else ''}, from {first.isoformat()} on{before}. The clock runs in "
        "minutes. Orders still inside at the end count as late once they are overdue."
    )]  # fmt: skip


_PAIRED = "replication k of every option has the same, so they meet the same orders"
RANDOM_NUMBERS: dict[str, str] = {
    **dict.fromkeys(("compare", "shifts", "crew", "growth", "payback"), _PAIRED),
    **dict.fromkeys(("as_we_are", "match", "warm_up"), "each replication has its own"),
    "promise": "each future has its own, the same with and without a request or a way to be earlier",
}
"""Which random numbers the runs of each kind of question share."""
_OF_METHODS = {
    "bars": "replication k of every point has the same",
    "morris": "each trajectory has its own, the same at all of its points",
    "sobol": "each base sample has its own, the same at all of its points",
}


def estimation(contents: Contents) -> list[Block]:
    rows = []
    for number, answer in enumerate(contents.answers, start=1):
        document, kind = answer.document, answer.about["kind"]
        runs = document.get("replications")
        confidence = f"{document['confidence'] * 100:g}" if "confidence" in document else ""
        rows.append((
            str(number), "as told there" if runs is None else str(runs), answer.about["enough"], confidence,
            STOPS[kind], RANDOM_NUMBERS.get(kind) or _OF_METHODS[document["method"]],
        ))  # fmt: skip
    return [
        Para("Independent replications, numbered from 0."),
        table("", ("question", "replications", "so many because", "confidence, %", "how", "random numbers"), rows,
              left=(2, 4, 5)),
        Para("The numbers of each replication stand in the workbook, sheet Replications, and in replications.csv."),
    ]  # fmt: skip


def software(contents: Contents) -> list[Block]:
    rows = list({**programs(contents), **machine()}.items())
    return [table("", ("", ""), [row for row in rows if row[0] not in ("Seed", "Processor")], left=(0, 1))]


def sampling(contents: Contents) -> list[Block]:
    return [Para(
        "Generator PCG64 of numpy. A stream of its own for every purpose (say, the gaps between orders, the "
        "faults of a product, the breakdowns of a machine), made from seed, replication and the hash of the "
        f"purpose's name; so a new purpose moves no other. Seed {contents.shop.scenario.study.seed}. Numbers of an "
        "order are drawn before the run, in tables by order and piece: options meet the same orders (common "
        "random numbers)."
    )]  # fmt: skip


def execution(_: Contents) -> list[Block]:
    return [Para(
        "Event scheduling on SimPy's list of events, no processes: whatever is still to come (the end of a stretch of "
        "work or of a shift, a failure, an order) is planned for its minute, and when it comes it plans what follows. "
        "Events of the same minute go in the order in which they were planned; a shift's end comes before what would "
        "begin then, so a job that ends with the shift is finished. Which work goes first stands in 2.5.4. "
        "Replications run side by side in processes of the computer (joblib) or on a cluster (Dask), with the same "
        "numbers."
    )]  # fmt: skip


def system(contents: Contents) -> list[Block]:
    told = [f"{key}: {value}" for key, value in machine().items()]
    effort = contents.effort
    if effort is None:
        return [Lines(tuple(told)), Open("How long the runs took: this report was made of answers kept from before.")]
    if effort.one_run_s is not None:
        told.append(f"One replication of the shop as it stands: {effort.one_run_s:.2g} s on one core.")
    again = effort.replications - effort.newly_run - effort.kept_before
    told.append(
        f"The questions asked for {effort.replications:,} replications: {effort.newly_run:,} were run for this report, "
        f"in {effort.seconds:.0f} s; {again:,} of these served another question too; {effort.kept_before:,} were kept "
        "from earlier studies."
    )
    return [Lines(tuple(told))]


def sharing(_: Contents) -> list[Block]:
    return [
        Para("shopsim is open under the MIT licence. The files of this shop lie beside this report, see “How to run it "
             "again”."),
        Open("Where readers find the program and these files, and who may use the shop's data."),
    ]  # fmt: skip
