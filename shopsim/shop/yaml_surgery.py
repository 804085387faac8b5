"""Cutting and filling a YAML text at the places its tree gives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ruamel.yaml.nodes import CollectionNode, MappingNode, Node, SequenceNode

from shopsim.shop.changes import Change
from shopsim.shop.model_paths import Path
from shopsim.shop.yaml_writing import LINE_LENGTH, block, flow


def change_text(text: str, root: MappingNode, change: Change, path: Path, wanted: Any) -> str:
    """The text after a change on ``path``; ``wanted`` are the plain values it is to hold, ``root`` its tree.

    Raises ValueError for the removal of the last key of the file.
    """
    surgeon = _Surgeon(text, root, path, wanted)
    there = len(surgeon.nodes) > len(path)
    if change.action == "remove" and there:
        return surgeon.removed()
    if change.action == "add" and there and isinstance(surgeon.nodes[-1], SequenceNode) and surgeon.nodes[-1].value:
        return surgeon.appended(change.value)
    if there:
        return surgeon.replaced(len(path))
    if isinstance(surgeon.nodes[-1], MappingNode) and surgeon.nodes[-1].value:
        return surgeon.with_new_key()
    return surgeon.replaced(len(surgeon.nodes) - 1)


class _Surgeon:
    """One text with the nodes along one path, from the root to the last node that is there."""

    def __init__(self, text: str, root: MappingNode, path: Path, wanted: Any) -> None:
        self.text = text
        self.path = path
        self.wanted = wanted
        self.newline = "\r\n" if "\r\n" in text else "\n"
        self.nodes: list[Node] = [root]
        for part in path:
            child = _child(self.nodes[-1], part)
            if child is None:
                break
            self.nodes.append(child)

    def replaced(self, depth: int) -> str:
        """The value at the first ``depth`` parts of the path replaced by the wanted one."""
        node, value = self.nodes[depth], self._wanted(depth)
        if depth == 0:
            return self._lines(block(value, 0)) + self.newline
        holder = self.nodes[depth - 1]
        entry = next(each for each in holder.value if _value_of(each) is node)
        begin, end = self._begin(entry), self._end(entry)
        gap = " " if begin == end else ""
        if self._in_flow(depth):
            return self._with(begin, end, gap + flow(value))
        column = self._column(begin) + len(gap)
        as_block = isinstance(value, dict | list) and value and not _fits(value, column)
        # A list may stand right under its key, a mapping must be indented.
        outer = -1 if isinstance(holder, SequenceNode) else self._column(entry[0].start_mark.index)
        if outer < 0 or (as_block and _is_block(node) and (column > outer or isinstance(value, list))):
            new = self._lines(block(value, column)).lstrip() if as_block else flow(value)
            return self._with(begin, end, gap + new)
        colon = self._colon(entry[0])
        if as_block:
            inner = block(value, outer + 2)
            return self._with(colon, end, self.newline + self._lines(inner))
        if _is_block(node):
            return self._with(colon, end, " " + flow(value))
        return self._with(begin, end, gap + flow(value))

    def with_new_key(self) -> str:
        """The wanted key and value added behind the last key of the innermost mapping."""
        depth = len(self.nodes) - 1
        holder = self.nodes[depth]
        entry = {str(self.path[depth]): self._wanted(depth + 1)}
        end = self._end(holder.value[-1])
        if self._in_flow(depth + 1):
            return self._with(end, end, ", " + flow(entry)[1:-1])
        return self._with_lines_after(end, block(entry, holder.start_mark.column))

    def appended(self, value: Any) -> str:
        """The value added behind the last item of the list at the path's end."""
        items = self.nodes[-1]
        end = self._end(items.value[-1])
        if self._in_flow(len(self.nodes)):
            return self._with(end, end, ", " + flow(value))
        return self._with_lines_after(end, block([value], items.start_mark.column))

    def removed(self) -> str:
        """The key or item at the path's end taken out; the last one leaves an empty list or mapping behind."""
        holder = self.nodes[-2]
        if len(holder.value) == 1:
            if len(self.nodes) == 2:
                raise ValueError("is the only key of the file and cannot be removed")
            return self.replaced(len(self.nodes) - 2)
        starts = [self._entry_start(holder, entry) for entry in holder.value]
        ends = [self._end(entry) for entry in holder.value]
        at = next(i for i, entry in enumerate(holder.value) if _value_of(entry) is self.nodes[-1])
        if self._in_flow(len(self.nodes) - 1):
            if at + 1 < len(starts):
                return self._with(starts[at], starts[at + 1], "")
            return self._with(ends[at - 1], ends[at], "")
        line_start = self.text.rfind("\n", 0, starts[at]) + 1
        if self.text[line_start : starts[at]].strip():
            # It shares its line with the dash of an outer list: the next key moves up behind the dash.
            return self._with(starts[at], starts[at + 1], "")
        line_end = self.text.find("\n", ends[at]) + 1
        return self._with(line_start, line_end or len(self.text), "")

    def _wanted(self, depth: int) -> Any:
        value = self.wanted
        for part in self.path[:depth]:
            value = value[part]
        return value

    def _in_flow(self, depth: int) -> bool:
        return any(_is_flow(node) for node in self.nodes[:depth])

    def _with(self, begin: int, end: int, new: str) -> str:
        return self.text[:begin] + new + self.text[end:]

    def _with_lines_after(self, index: int, lines: Sequence[str]) -> str:
        at = self._line_end(index)
        return self._with(at, at, self.newline + self._lines(lines))

    def _lines(self, lines: Sequence[str]) -> str:
        return self.newline.join(lines)

    def _column(self, index: int) -> int:
        return index - (self.text.rfind("\n", 0, index) + 1)

    def _line_end(self, index: int) -> int:
        end = self.text.find("\n", index)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > index and self.text[end - 1] == "\r" else end

    def _entry_start(self, holder: Node, entry: Any) -> int:
        if isinstance(entry, tuple):
            return int(entry[0].start_mark.index)
        return self._begin(entry) if _is_flow(holder) else self.text.rindex("-", 0, entry.start_mark.index)

    def _colon(self, key: Node) -> int:
        return self.text.index(":", key.end_mark.index) + 1

    def _begin(self, entry: Any) -> int:
        """Index of the first character of an entry's value; for nothing at all the place behind its colon or dash."""
        node = _value_of(entry)
        begin = int(node.start_mark.index)
        if begin < node.end_mark.index:
            return begin
        # The tree puts a value that is not written anywhere up to the next word.
        return self._colon(entry[0]) if isinstance(entry, tuple) else self.text.rindex("-", 0, begin) + 1

    def _end(self, entry: Any) -> int:
        """Index behind the last character of an entry's value, comments after it left out."""
        node = _value_of(entry)
        if _is_block(node) and node.value:
            return self._end(node.value[-1])
        begin, end = self._begin(entry), node.end_mark.index
        return begin + len(self.text[begin:end].rstrip()) if node.start_mark.index < end else begin


def _value_of(entry: Any) -> Node:
    node: Node = entry[1] if isinstance(entry, tuple) else entry
    return node


def _child(holder: Node, part: str | int) -> Node | None:
    if isinstance(holder, MappingNode):
        return next((value for key, value in holder.value if key.value == part), None)
    if isinstance(holder, SequenceNode) and isinstance(part, int):
        item: Node = holder.value[part]
        return item
    return None


def _is_flow(node: Node) -> bool:
    return isinstance(node, CollectionNode) and bool(node.flow_style)


def _is_block(node: Node) -> bool:
    return isinstance(node, CollectionNode) and not node.flow_style


def _fits(value: Any, column: int) -> bool:
    return column + len(flow(value)) <= LINE_LENGTH and not (
        isinstance(value, list) and any(isinstance(item, dict) for item in value)
    )
