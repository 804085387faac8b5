"""Faults in the report: in what it claims, in what it makes of names, in what it leaves out."""

from tests.mutations.mutant import Mutant

REPORTS = (
    Mutant(
        "names of a file are markup in the report",
        "report/markup.py",
        "Markup(html.escape(shown(text)))",
        "Markup(shown(text))",
        ("report/test_markup.py",),
    ),
    Mutant(
        "a name can end a script of the report",
        "report/markup.py",
        'for sign, code in (("<", "\\\\u003c"),',
        "for sign, code in (",
        ("report/test_markup.py",),
    ),
    Mutant(
        "text in the workbook is taken for a formula",
        "report/workbook.py",
        '    cell.data_type = "s"\n',
        "",
        ("report/test_workbook.py",),
    ),
    Mutant(
        "a default counts as a value of the file",
        "report/inputs.py",
        "given = written and name in model.model_fields_set",
        "given = written",
        ("report/test_inputs.py",),
    ),
    Mutant(
        "a range of handbook rows stands on its best row",
        "report/handbook_rows.py",
        "weakest = min(known",
        "weakest = max(known",
        ("report/test_inputs.py",),
    ),
    Mutant(
        "printers without a plate lead past their calender in the flow",
        "report/flow.py",
        'if fixation.kind == "offline" else [box]',
        'if fixation.kind == "nothing" else [box]',
        ("report/test_flow.py",),
    ),
    Mutant(
        "an answer to a shop that has changed since goes into a report",
        "answers/question.py",
        "return hashlib.sha256(repr((shop.scenario.content_hash, shop.order_lines)).encode()).hexdigest()",
        "return hashlib.sha256(repr(shop.scenario.shop.name).encode()).hexdigest()",
        ("app/test_report_page.py",),
    ),
    Mutant(
        "the command a report tells leaves out the demands that were asked",
        "answers/growth.py",
        '"--demand", ",".join(typed_pct(factor) for factor in plan.factors),',
        "",
        ("answers/test_about.py",),
    ),
    Mutant(
        "a report changes a value of its files in place of the file's own, but not in the file",
        "doors/report.py",
        'changes = [Change("set", f"study.{name}", value) for name, value in _in_place_of(arguments).items()]',
        "changes: list[Change] = []",
        ("doors/test_report.py",),
    ),
)
