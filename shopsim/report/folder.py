"""A report as files: the page, the PDF, the workbook, the answers as JSON, and what it was made from."""

from __future__ import annotations

import io
import zipfile
from pathlib import PurePosixPath

from shopsim import __version__
from shopsim.answers.plain import json_text
from shopsim.measures.formula_safe import formula_safe
from shopsim.report.contents import Contents
from shopsim.report.page import page_of
from shopsim.report.rerun import ANSWERS, FILES, digest_of, files_of, programs
from shopsim.report.sheets import replications_sheet
from shopsim.report.stress import open_items
from shopsim.report.workbook import workbook_of

PAGE, PDF, WORKBOOK, REPLICATIONS, RECORDS = (
    "report.html", "report.pdf", "workbook.xlsx", "replications.csv", "records",
)  # fmt: skip


def document_of(contents: Contents) -> dict[str, object]:
    """The report as plain values: every answer as `--json` of its command, and what it was made from."""
    return {
        "scenario": contents.scenario_file,
        "scenario_hash": contents.shop.scenario.content_hash,
        "version": __version__,
        "made_on": contents.made_on.isoformat(),
        "answers": [
            {"question": each.about["question"], "command": each.about["command"], "kind": each.about["kind"],
             "answer": each.document}
            for each in contents.answers
        ],
        "files": {name: digest_of(content) for name, content in files_of(contents).items()},
        "program": programs(contents),
        "open_items": open_items(contents),
    }  # fmt: skip


def folder_of(contents: Contents) -> dict[str, bytes]:
    """All files but the PDF and the records, by their path in the folder. Raises InputError as `page_of`."""
    made = {
        PAGE: page_of(contents).encode(),
        WORKBOOK: workbook_of(contents),
        REPLICATIONS: _replications_csv(contents),
        ANSWERS: json_text(document_of(contents)).encode(),
    }
    for name, content in files_of(contents).items():
        made[str(PurePosixPath(FILES, *PurePosixPath(name).parts))] = content
    return made


def zipped(made: dict[str, bytes]) -> bytes:
    """Files by their path as one archive."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in made.items():
            archive.writestr(name, content)
    return out.getvalue()


def _replications_csv(contents: Contents) -> bytes:
    import pandas as pd

    sheet = replications_sheet(contents)
    frame = pd.DataFrame(sheet.rows, columns=[column.name for column in sheet.columns])
    return formula_safe(frame).to_csv(index=False).encode()
