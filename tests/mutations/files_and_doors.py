"""Faults in what is read, what is told and how a command ends."""

from tests.mutations.mutant import Mutant

FILES_AND_DOORS = (
    Mutant(
        "text in an order book is taken for a formula by a spreadsheet",
        "shop/order_rows.py",
        'return "\'" + text if text.startswith(_FORMULA_STARTS) else text',
        "return text",
        ("shop/test_order_books.py", "properties/test_files.py"),
    ),
    Mutant(
        "decimal commas are read where commas part the columns",
        "shop/order_tables.py",
        'decimal_comma=separator == ";")',
        "decimal_comma=True)",
        ("shop/test_broken_files.py", "shop/test_order_books.py"),
    ),
    Mutant(
        "faults behind a cell of two lines are told a line too early",
        "shop/order_tables.py",
        "line = reader.line_num + 1",
        "line += 1",
        ("shop/test_order_books.py",),
    ),
    Mutant(
        "an order may be due before it is received",
        "shop/order_checks.py",
        'if "due" in values and values["due"] < received.date():',
        "if False:",
        ("shop/test_broken_files.py",),
    ),
    Mutant(
        "an order book is read from outside the scenario's folder",
        "shop/shop_file.py",
        "if not beside.resolve().is_relative_to(path.parent.resolve()):",
        "if False:",
        ("shop/test_order_books.py",),
    ),
    Mutant(
        "faults are told without their column",
        "errors.py",
        'place += f":{self.column}"',
        "pass",
        ("ground/test_errors.py",),
    ),
    Mutant(
        "a what-if changes the base itself",
        "shop/changes.py",
        "made: dict[str, Any] = copy.deepcopy(values)",
        "made: dict[str, Any] = values",
        ("shop/test_scenario_files.py",),
    ),
    Mutant(
        "the rough cut forgets what is made again",
        "shop/rough_work.py",
        "pieces = flow.pieces * (work.remakes if product.print_step else 1.0)",
        "pieces = flow.pieces",
        ("shop/test_rough_cut.py::test_what_is_made_again_asks_for_its_hours_again",),
    ),
    Mutant(
        "two people at a piece take its minutes each",
        "shop/rough_work.py",
        "factor = centre.two_person_labour_factor / 2 if people == 2 else 1.0",
        "factor = 1.0",
        ("shop/test_rough_cut.py::test_two_people_at_a_piece_share_its_minutes",),
    ),
    Mutant(
        "a target is met as soon as the mean reaches it",
        "sentences/standing.py",
        "if share.low * 100 >= target_pct:",
        "if share.mean * 100 >= target_pct:",
        ("telling/test_sentences.py",),
    ),
    Mutant(
        "bad input leaves with the code of a fault of ours",
        "cli.py",
        "DONE, OUR_FAULT, BAD_INPUT, STOPPED = 0, 1, 2, 130",
        "DONE, OUR_FAULT, BAD_INPUT, STOPPED = 0, 1, 1, 130",
        ("doors/test_check.py", "doors/test_run.py"),
    ),
    Mutant(
        "a mistake of ours leaves as if all were well",
        "cli.py",
        "return _said(_our_fault(fault, arguments), OUR_FAULT)",
        "return _said(_our_fault(fault, arguments), DONE)",
        ("doors/test_cli.py",),
    ),
    Mutant(
        "a mean that is not known well enough agrees with a published one",
        "published/case.py",
        "<= self.allowed and not self.too_wide",
        "<= self.allowed",
        ("published/test_findings.py",),
    ),
)
