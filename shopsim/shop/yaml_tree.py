"""YAML text to a tree with places: YAML 1.2 without anchors, aliases, tags and directives.

Everything that could surprise a reader of the file, or blow up a reader of ours, is refused before any value is made.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.error import MarkedYAMLError, YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)
from ruamel.yaml.nodes import MappingNode, Node, SequenceNode
from ruamel.yaml.parser import Parser
from ruamel.yaml.reader import ReaderError

from shopsim.errors import InputError, Problem, ScenarioError
from shopsim.shop.file_text import MAX_BYTES

MAX_DEPTH = 40
MAX_LINES = 50_000
"""Many short lines take long to read; the largest shop has a few thousand."""

# The parser's words on the left, ours on the right.
_PLAIN = (
    ("found character '\\t'", "a tab may not indent a line; use spaces"),
    ("found a tab character", "a tab may not indent a line; use spaces"),
    ("mapping values are not allowed here", "a colon where none may stand; check the indentation or use quotes"),
    ("could not find expected ':'", "a key without its colon, or a line indented wrongly"),
    ("expected <block end>", "this line is indented unlike the lines it belongs to"),
    ("found unexpected end of stream", "this quote is never closed"),
)


class _RefusedError(MarkedYAMLError):
    """Sound YAML that we do not take."""


class _GuardedParser(Parser):
    """Refuses while the text is still a row of events, before a tree can grow deep or large."""

    def __init__(self, loader: Any) -> None:
        super().__init__(loader)
        self.levels = 0
        self.documents = 0

    def get_event(self) -> Any:
        event = super().get_event()
        message = _refusal_of(event)
        if isinstance(event, MappingStartEvent | SequenceStartEvent):
            self.levels += 1
            if self.levels > MAX_DEPTH:
                message = f"nested deeper than {MAX_DEPTH} levels"
        elif isinstance(event, MappingEndEvent | SequenceEndEvent):
            self.levels -= 1
        elif isinstance(event, DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                message = "a second document begins here (---); a file holds one"
        if message:
            raise _RefusedError(problem=message, problem_mark=event.start_mark)
        return event


def compose(text: str, name: str, error: type[InputError] = ScenarioError) -> MappingNode:
    """The tree of a text whose root is a mapping, each node with its place in the text.

    Raises ``error`` for text that is not sound YAML or uses what we refuse (see the module's first lines), for nesting
    deeper than MAX_DEPTH, for more than MAX_LINES and for a root that is no mapping.
    """
    if len(text) > MAX_BYTES:
        raise error([Problem(name, None, None, "", f"must be at most {MAX_BYTES / 1e6:g} MB")])
    lines = len(text.splitlines())
    if lines > MAX_LINES:
        raise error([Problem(name, None, None, "", f"must have at most {MAX_LINES:,} lines, found {lines:,}")])
    try:
        reader = YAML(typ="safe", pure=True)
        reader.Parser = _GuardedParser
        root = reader.compose(text)
    except MarkedYAMLError as fault:
        raise error([_syntax_problem(fault, name)]) from None
    except ReaderError as fault:
        line, column = line_and_column(text, int(fault.position))
        code = fault.character if isinstance(fault.character, int) else ord(fault.character)
        message = f"the control character U+{code:04X} is not allowed"
        raise error([Problem(name, line, column, "", message)]) from None
    except (YAMLError, ValueError, IndexError, AttributeError, AssertionError, TypeError, KeyError) as fault:
        # The parser trips over some broken texts with errors that are not its own.
        raise error([Problem(name, None, None, "", f"is not sound YAML: {fault}")]) from None
    if root is None:
        raise error([Problem(name, None, None, "", "the file is empty")])
    if not isinstance(root, MappingNode):
        kind = "a list" if isinstance(root, SequenceNode) else "a single value"
        line, column = place(root)
        raise error([Problem(name, line, column, "", f"must hold `key: value` lines, found {kind}")])
    return root


def _refusal_of(event: Event) -> str:
    if isinstance(event, AliasEvent) or (isinstance(event, NodeEvent) and event.anchor is not None):
        return "anchors and aliases (& and *) are not allowed; write the value out"
    if getattr(event, "ctag", None) is not None:
        return "tags (!) are not allowed; write the plain value"
    if isinstance(event, DocumentStartEvent) and (event.version or event.tags):
        return "directives (%) are not allowed"
    return ""


def _syntax_problem(fault: MarkedYAMLError, name: str) -> Problem:
    problem, context = str(fault.problem or ""), str(fault.context or "")
    mark = fault.problem_mark or fault.context_mark
    if isinstance(fault, _RefusedError):
        return Problem(name, mark.line + 1, mark.column + 1, "", problem)
    message = next((ours for theirs, ours in _PLAIN if theirs in problem), f"is not sound YAML: {problem or context}")
    if context.startswith("while parsing a flow") and fault.context_mark is not None and "node" not in context:
        mark, message = fault.context_mark, "this bracket is not closed, or a comma is missing inside it"
    elif context == "while parsing a flow node" and "stream end" in problem:
        message = "the text ends inside an open bracket"
    elif message == "this quote is never closed":
        mark = fault.context_mark or mark
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (None, None)
    return Problem(name, line, column, "", message)


def line_and_column(text: str, index: int) -> tuple[int, int]:
    """Line and column, from 1, of a character of the text."""
    return text.count("\n", 0, index) + 1, index - (text.rfind("\n", 0, index) + 1) + 1


def place(node: Node) -> tuple[int, int]:
    """Line and column, from 1, where a node begins."""
    return node.start_mark.line + 1, node.start_mark.column + 1


def locate(root: Node, path: Sequence[str | int]) -> tuple[int, int]:
    """Line and column, from 1, of what a path leads to; of its last part that is there, if not all is."""
    node, found = root, place(root)
    for part in path:
        if isinstance(node, MappingNode):
            pair = next(((key, value) for key, value in node.value if key.value == part), None)
            if pair is None:
                break
            found, node = place(pair[0]), pair[1]
        elif isinstance(node, SequenceNode) and isinstance(part, int) and part < len(node.value):
            node = node.value[part]
            found = place(node)
        else:
            break
    return found


def places_in(node: Node, path: tuple[str | int, ...] = ()) -> dict[tuple[str | int, ...], tuple[int, int]]:
    """Line and column, as `locate` gives them, of everything under a node, by its path."""
    found = {}
    pairs = node.value if isinstance(node, MappingNode) else []
    items = node.value if isinstance(node, SequenceNode) else []
    for part, marked, below in [*((key.value, key, value) for key, value in pairs),
                                *((index, item, item) for index, item in enumerate(items))]:  # fmt: skip
        found[(*path, part)] = place(marked)
        found.update(places_in(below, (*path, part)))
    return found
