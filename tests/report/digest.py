"""A report in a few lines of text: its sentences, a hash of all its numbers, what it holds. Kept beside the tests."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator
from typing import Any

from shopsim.report.blocks import Drawing, Picture, Table
from shopsim.report.contents import Contents
from shopsim.report.flow import flow_of
from shopsim.report.inputs import inputs_of
from shopsim.report.stress import open_items
from shopsim.report.whole import sections_of

# Sums may differ in their last digits from machine to machine.
_DIGITS = 9


def digest(contents: Contents) -> str:
    """The digest, a fact a line."""
    return "\n".join(_lines(contents)) + "\n"


def _lines(contents: Contents) -> Iterator[str]:
    yield f"shop: {contents.name}"
    yield f"scenario: {contents.shop.scenario.content_hash}"
    for answer in contents.answers:
        yield f"asked: {answer.about['question']}"
        yield f"told: {answer.document['sentence']}"
        numbers = [f"{path} {value:.{_DIGITS}g}" for path, value in _numbers(answer.document)]
        yield f"numbers: {len(numbers)}, sha256 {hashlib.sha256(chr(10).join(numbers).encode()).hexdigest()}"
    inputs = inputs_of(contents.shop.scenario)
    counts = Counter(one.basis or one.origin for one in inputs)
    yield f"inputs: {', '.join(f'{count} {name}' for name, count in sorted(counts.items()))}"
    flow = flow_of(contents.shop.scenario)
    loops = sum(bool(way.loop) for way in flow.ways)
    yield f"flow: {len(flow.places)} places, {len(flow.ways) - loops} ways, {loops} loops"
    sections = [each for section in sections_of(contents) for each in section.walk()]
    blocks = Counter(type(block) for each in sections for block in each.blocks)
    yield (
        f"page: {len(sections)} sections, {blocks[Picture]} pictures, {blocks[Drawing]} drawing, {blocks[Table]} tables"
    )
    yield f"open: {', '.join(open_items(contents))}"


def _numbers(value: Any, path: str = "") -> Iterator[tuple[str, float]]:
    """Every number of a document with its path, in order."""
    if isinstance(value, dict):
        for key, item in value.items():
            yield from _numbers(item, f"{path}/{key}")
    elif isinstance(value, list):
        for number, item in enumerate(value):
            yield from _numbers(item, f"{path}/{number}")
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path, value
