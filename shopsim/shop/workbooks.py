"""XLSX workbooks as rows of cells, limited in size whatever they unzip to, nothing interpreted yet."""

from __future__ import annotations

import io
import warnings
import zipfile
from itertools import islice
from typing import Any, NamedTuple

MAX_BYTES = 20_000_000
MAX_ROWS = 200_000
MAX_CELLS = 100
# What a workbook may grow to in memory; 200,000 full rows need about half of it.
_MAX_UNZIPPED_BYTES = 200_000_000
_MAX_PARTS = 1000


class Workbook(NamedTuple):
    """The rows of each sheet by its name, in order, at most two more than `MAX_ROWS`, so that a reader can tell there
    are too many; `serials_from` is the year that date numbers count from."""

    sheets: dict[str, list[tuple[Any, ...]]]
    serials_from: int


def read_workbook(content: bytes, most_sheets: int | None = None) -> Workbook:
    """The first sheets of a workbook, all unless told. Raises ValueError, with why, for what is none or is broken."""
    message = _why_no_workbook(content)
    if message:
        raise ValueError(message)
    from openpyxl import load_workbook
    from openpyxl.utils.datetime import CALENDAR_MAC_1904

    try:
        with warnings.catch_warnings():
            # Styles and extensions we never look at may be unknown to the reader.
            warnings.simplefilter("ignore")
            book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
            sheets = {
                sheet.title: list(islice(sheet.iter_rows(values_only=True, max_col=MAX_CELLS), MAX_ROWS + 2))
                for sheet in book.worksheets[:most_sheets]
            }
            serials = 1904 if book.epoch == CALENDAR_MAC_1904 else 1900
            book.close()
    except Exception as fault:
        # A broken workbook surfaces as any of a dozen errors of the reader, the XML parser and the unzipper.
        raise ValueError(f"cannot be read as a workbook: {str(fault)[:200]}") from None
    return Workbook(sheets, serials)


def _why_no_workbook(content: bytes) -> str | None:
    """Why bytes cannot be opened as a workbook: no ZIP, or one that unzips to far more than a table needs."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            sizes = [part.file_size for part in parts.infolist()]
    except Exception:
        # Not only BadZipFile: a damaged directory can raise almost anything.
        return "is not an XLSX workbook"
    if len(sizes) > _MAX_PARTS or sum(sizes) > _MAX_UNZIPPED_BYTES:
        return f"unzips to more than {_MAX_UNZIPPED_BYTES / 1e6:g} MB"
    return None
