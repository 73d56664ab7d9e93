"""Who imports whom: no circles, and a pure core that knows no device, disk, network or clock."""

import ast
import copy
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PURE = ("sayit.numbers", "sayit.practice")
PLAIN = set(
    "__future__ bisect collections collections.abc copy dataclasses datetime enum functools importlib itertools math operator random re "
    "statistics tomllib typing unicodedata".split()
)
"""Of the standard library, what the core may use; ``importlib`` reads the package's own data."""


@cache
def modules() -> dict[str, ast.Module]:
    found = {}
    for path in sorted((ROOT / "sayit").rglob("*.py")):
        parts = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text(encoding="utf-8"))
    return found


def imported(tree: ast.Module, name: str) -> set[str]:
    """Full names of what a module imports, at its top, in its functions and for types alone."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{name} imports by a relative name"
            for alias in node.names:
                whole = f"{node.module}.{alias.name}"
                found.add(whole if whole in modules() else str(node.module))
    return found


class _Loaded(ast.NodeTransformer):
    def visit_If(self, node):  # as ast names it
        for_types = isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
        return node.orelse if for_types else self.generic_visit(node)


def loaded(tree: ast.Module) -> ast.Module:
    """The module without what it imports for types alone: that loads nothing."""
    return _Loaded().visit(copy.deepcopy(tree))


@cache
def graph() -> dict[str, frozenset[str]]:
    return {
        name: frozenset(one for one in imported(loaded(tree), name) if one in modules() and one != name)
        for name, tree in modules().items()
    }


def circles(edges: dict[str, frozenset[str]]) -> list[list[str]]:
    """Modules that import one another, in groups (Tarjan 1972, strongly connected components)."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    found: list[list[str]] = []

    def visit(name: str) -> None:
        order[name] = low[name] = len(order)
        stack.append(name)
        for other in edges[name]:
            if other not in order:
                visit(other)
                low[name] = min(low[name], low[other])
            elif other in stack:
                low[name] = min(low[name], order[other])
        if low[name] == order[name]:
            at = stack.index(name)
            group = stack[at:]
            del stack[at:]
            if len(group) > 1:
                found.append(sorted(group))

    for name in edges:
        if name not in order:
            visit(name)
    return sorted(found)


def test_a_circle_would_be_found():
    edges = {name: frozenset(others.split()) for name, others in {"a": "b", "b": "c d", "c": "a", "d": ""}.items()}
    assert circles(edges) == [["a", "b", "c"]]


def test_no_circles():
    assert len(graph()) > 50
    assert circles(graph()) == []


@pytest.mark.parametrize("package", PURE)
def test_the_pure_core_knows_no_device_disk_network_or_clock(package):
    inside = {name: tree for name, tree in modules().items() if name.split(".")[:2] == package.split(".")}
    assert inside
    for name, tree in inside.items():
        for one in imported(tree, name):
            own = one == "sayit.errors" or one.startswith(PURE)
            assert own or one in PLAIN or one == "fsrs", f"{name} imports {one}"
        clocks = {"now", "today"} & {node.func.attr for node in calls(tree) if isinstance(node.func, ast.Attribute)}
        assert not clocks, f"{name} asks a clock"


def calls(tree):
    return [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
