"""Which names of the package are reached from which: read off the source, so that no list of them can go stale."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

Name = tuple[str, str]
"""A module and a name at its top."""


@dataclass
class _Module:
    imports: dict[str, Name] = field(default_factory=dict)
    """Local name to what it stands for; a module itself has no name at its top: ("shopsim.craft.rolls", "")."""
    uses: dict[str, set[Name]] = field(default_factory=dict)
    """Name at the top to what its own code mentions; "" is the code of the module outside of them."""


class Source:
    """The modules of a tree, and what their code mentions."""

    def __init__(self, modules: dict[str, Path]) -> None:
        self._read = {name: _read(name, path, modules) for name, path in modules.items()}
        self.uses: dict[Name, set[Name]] = {
            (module, top): {self._made_at(each) for each in used}
            for module, found in self._read.items()
            for top, used in found.uses.items()
        }

    def mentioned(self, node: ast.AST, module: str) -> set[Name]:
        """What a piece of a module's code mentions."""
        found = self._read[module]
        return {self._made_at(each) for each in _mentioned(node, module, set(found.uses), found.imports)}

    def _made_at(self, name: Name) -> Name:
        # Names may be handed on: `layout` gives what `layout_skyline` makes.
        module, top = name
        while top and module in self._read and top not in self._read[module].uses:
            if top not in self._read[module].imports:
                break
            module, top = self._read[module].imports[top]
        return module, top


def reached(uses: dict[Name, set[Name]], roots: Iterable[Name]) -> set[Name]:
    """All that can be come to from the roots, themselves included. A module that is come to runs its own code."""
    found: set[Name] = set()
    ahead = list(roots)
    while ahead:
        name = ahead.pop()
        if name in found:
            continue
        found.add(name)
        ahead.append((name[0], ""))
        ahead.extend(uses.get(name, ()))
    return found


def _read(name: str, path: Path, modules: dict[str, Path]) -> _Module:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
    read = _Module()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            source = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                whole = f"{source}.{alias.name}"
                read.imports[alias.asname or alias.name] = (whole, "") if whole in modules else (source, alias.name)
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name in modules and alias.asname:
                    read.imports[alias.asname] = (alias.name, "")
    tops = {top for statement in tree.body for top in _names_of(statement)}
    for statement in tree.body:
        if isinstance(statement, ast.Import | ast.ImportFrom):
            continue
        used = set(_mentioned(statement, name, tops, read.imports))
        for top in _names_of(statement) or [""]:
            read.uses.setdefault(top, set()).update(used)
    return read


def _names_of(statement: ast.stmt) -> list[str]:
    """The names that a statement at the top of a module gives."""
    if isinstance(statement, ast.FunctionDef | ast.ClassDef | ast.AsyncFunctionDef):
        return [statement.name]
    targets = statement.targets if isinstance(statement, ast.Assign) else [getattr(statement, "target", None)]
    return [node.id for target in targets if target for node in ast.walk(target) if isinstance(node, ast.Name)]


def _mentioned(
    node: ast.AST, module: str, tops: set[str], imports: dict[str, Name], local: frozenset[str] = frozenset()
) -> Iterator[Name]:
    """What the code below a node mentions; a parameter or local name hides what has the same name outside."""
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
        local |= _own_names(node)
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id not in local:
        whole = imports.get(node.value.id)
        if whole is not None and not whole[1]:
            yield whole[0], node.attr
    elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Load) and node.id not in local:
        if node.id in imports:
            yield imports[node.id]
        elif node.id in tops:
            yield module, node.id
    for below in ast.iter_child_nodes(node):
        yield from _mentioned(below, module, tops, imports, local)


def _own_names(function: ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda) -> frozenset[str]:
    """Parameters and what is assigned within."""
    nodes = list(ast.walk(function))
    assigned = {node.id for node in nodes if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}
    return frozenset(assigned | {node.arg for node in nodes if isinstance(node, ast.arg)})
