"""Who may import whom, and which library has which door?

``ARROWS`` has a line for every package or module right below ``planner`` and ``api``; what it does
not list may not be imported there. ``DOORS`` has a line for every library outside the standard
library. A heavy library may be imported inside a function, in its door only, so that starting the
service does not pay for it.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from graphlib import TopologicalSorter
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
ENGINE, SERVICE = "planner", "api"

NOUNS = {"planner.music", "planner.findings", "planner.rules.rulebook"}
STAGES = {"planner.analysis", "planner.licence", "planner.marks", "planner.event"}

COMMANDS = ("api.cli", "api.start")
DISPLAY = {
    "api.display", "api.display.documents", "api.display.drawing", "api.display.pages",
    "api.display.paper",
}  # fmt: skip

# Whom may each room import, beside itself? A name stands for all below it but the rooms that have a
# line of their own; ``planner`` and ``api`` stand for everything.
ARROWS: dict[str, set[str]] = {
    "planner": set(),
    "planner.errors": set(),
    "planner.findings": set(),
    "planner.music": set(),
    "planner.rules": set(),
    "planner.rules.rulebook": {"planner.findings"},
    "planner.rules.load": {"planner.errors", "planner.rules.rulebook", "planner.music"},
    "planner.workers": {"planner.errors"},
    # A set holds bars of its own in ABC: their length counts wherever the set is timed.
    "planner.event": NOUNS | {"planner.errors", "planner.notation.passage"},
    "planner.analysis": NOUNS,
    "planner.licence": NOUNS | {"planner.analysis", "planner.event"},
    "planner.marks": NOUNS | {"planner.analysis", "planner.event.event", "planner.licence"},
    "planner.plan": NOUNS | STAGES | {"planner.errors"},
    "planner.recast": {"planner.errors", "planner.music"},
    "planner.played_set": {"planner.marks", "planner.plan"},
    "planner.divide": {"planner.errors", "planner.music"},
    "planner.compare": NOUNS | STAGES | {"planner.plan"},
    "planner.notation": {
        "planner.errors", "planner.findings", "planner.music", "planner.workers",
    },
    "planner.engraving": {
        "planner.errors", "planner.marks.marks", "planner.music", "planner.workers",
    },
    "api": set(),
    "api.settings": set(),
    "api.security": {"api.settings", "api.errors", "api.sharing"},
    "api.sharing": {"api.settings"},
    "api.templating": {"api.settings"},
    "api.errors": {
        ENGINE, "api.templating", "api.settings", "api.display", "api.storage", "api.actions",
    },
    "api.storage": {ENGINE, "api.settings"},
    "api.display": {ENGINE},
    "api.display.documents": {ENGINE, "api.display"},
    "api.display.drawing": {ENGINE, "api.display"},
    "api.display.paper": {ENGINE, "api.display"},
    "api.display.pages": {ENGINE, "api.display", "api.display.drawing", "api.display.paper"},
    "api.printing": DISPLAY | {ENGINE, "api.templating", "api.settings"},
    "api.actions": DISPLAY | {ENGINE, "api.storage", "api.printing", "api.settings"},
    "api.dependencies": {
        ENGINE, "api.storage", "api.settings", "api.errors", "api.security", "api.actions",
    },
    "api.routes": {
        ENGINE, "api.actions", "api.dependencies", *DISPLAY, "api.templating", "api.errors",
        "api.security", "api.settings", "api.sharing",
    },
    "api.app": {ENGINE, SERVICE},
    **{command: {ENGINE, SERVICE} for command in COMMANDS},
}  # fmt: skip

# Through which rooms may each library be reached?
DOORS: dict[str, set[str]] = {
    "music21": {"planner.notation.imported"},
    "verovio": {"planner.engraving.engrave"},
    "weasyprint": {"api.printing"},
    "scipy": {"planner.event.filling.selection"},
    "psutil": {"planner.workers"},
    "alembic": {"api.storage"},
    "sqlmodel": {"api.storage"},
    "sqlalchemy": {"api.storage"},
    "fastapi": {"api.app", "api.dependencies", "api.errors", "api.routes", "api.security"},
    "starlette": {"api.app", "api.dependencies", "api.errors", "api.routes", "api.security"},
    "jinja2": {"api.templating"},
    "pydantic": {"api.settings", "api.routes", "api.errors"},
    "pydantic_settings": {"api.settings"},
    "platformdirs": {"api.settings"},
    "segno": {"api.printing"},
    "pypdfium2": {"api.printing.scan"},
    "PIL": {"api.printing.scan"},
    "typer": set(COMMANDS),
    "click": set(COMMANDS),
    "uvicorn": {"api.cli.serve"},
}

# Which libraries may be loaded on first use, inside a function of their door?
HEAVY = {"music21", "verovio", "weasyprint", "scipy", "alembic", "pypdfium2", "PIL"}


@dataclass(frozen=True)
class Import:
    """One import: the module it stands in, what it asks for, and when it happens."""

    module: str
    target: str
    line: int
    is_late: bool
    is_for_types_only: bool

    def __str__(self) -> str:
        return f"{self.module} line {self.line} imports {self.target}"


def all_modules() -> dict[str, Path]:
    paths = [*(ROOT / ENGINE).rglob("*.py"), *(ROOT / SERVICE).rglob("*.py")]
    return {module_name(path): path for path in sorted(paths)}


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def all_imports() -> list[Import]:
    return [each for module, path in MODULES.items() for each in imports_of(module, path)]


def imports_of(module: str, path: Path) -> Iterator[Import]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    late = inside(tree, ast.FunctionDef | ast.AsyncFunctionDef)
    for_types = inside(tree, ast.If, condition="TYPE_CHECKING")
    for node in ast.walk(tree):
        for target in targets(node, module, is_package=path.name == "__init__.py"):
            yield Import(module, target, node.lineno, node in late, node in for_types)


def inside(tree: ast.Module, kind: Any, condition: str = "") -> set[ast.AST]:
    outer = [node for node in ast.walk(tree) if isinstance(node, kind)]
    wanted = [node for node in outer if not condition or ast.unparse(node.test) == condition]
    return {inner for node in wanted for inner in ast.walk(node)}


def targets(node: ast.AST, module: str, *, is_package: bool) -> Iterator[str]:
    if isinstance(node, ast.Import):
        yield from (alias.name for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        source = absolute(node, module, is_package=is_package)
        for alias in node.names:
            below = f"{source}.{alias.name}"
            yield below if below in MODULES else source
    elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith("import_module"):
        yield ast.unparse(node.args[0]).strip("'\"")


def absolute(node: ast.ImportFrom, module: str, *, is_package: bool) -> str:
    if not node.level:
        return node.module or ""
    parents = module.split(".")
    kept = parents[: len(parents) - node.level + is_package]
    return ".".join([*kept, *([node.module] if node.module else [])])


def room_of(module: str) -> str:
    """The longest line of the table that the module stands under, itself included."""
    parts = module.split(".")
    names = (".".join(parts[:length]) for length in range(len(parts), 0, -1))
    return next((name for name in names if name in ARROWS), "")


def is_below(module: str, names: set[str]) -> bool:
    return any(module == name or module.startswith(f"{name}.") for name in names)


def is_allowed(target: str, names: set[str]) -> bool:
    room = room_of(target)
    named = {name for name in names if name == room or is_below(name, {room})}
    return is_below(target, named | (names & {ENGINE, SERVICE}))


def is_ours(target: str) -> bool:
    return target.split(".")[0] in (ENGINE, SERVICE)


def library_of(target: str) -> str:
    return target.split(".")[0]


MODULES = all_modules()
IMPORTS = all_imports()
OWN = [each for each in IMPORTS if is_ours(each.target)]
FOREIGN = [
    each
    for each in IMPORTS
    if not is_ours(each.target) and library_of(each.target) not in sys.stdlib_module_names
]


def test_every_package_has_a_line_in_the_map() -> None:
    without = {
        module for module in MODULES if module.count(".") and room_of(module) in (ENGINE, SERVICE)
    }
    assert not without, f"add a line to ARROWS for {sorted(without)}"


def test_every_line_of_the_map_is_a_room_that_exists() -> None:
    assert not {name for name in ARROWS if not any(is_below(m, {name}) for m in MODULES)}


def test_every_import_follows_an_arrow_of_the_map() -> None:
    bent = [
        str(each)
        for each in OWN
        if room_of(each.target) != (room := room_of(each.module))
        and not is_allowed(each.target, ARROWS[room])
    ]
    assert not bent, "\n".join(bent)


def test_no_room_of_the_engine_imports_the_service() -> None:
    assert not [str(e) for e in OWN if is_below(e.module, {ENGINE}) and e.target.startswith("api")]


def test_every_library_is_used_through_its_own_door_only() -> None:
    outside = [
        str(each)
        for each in FOREIGN
        if not is_below(each.module, DOORS.get(library_of(each.target), set()))
    ]
    assert not outside, "\n".join(outside)


def test_only_heavy_libraries_are_imported_inside_a_function() -> None:
    late = [str(e) for e in IMPORTS if e.is_late and library_of(e.target) not in HEAVY]
    assert not late


def test_heavy_libraries_are_never_imported_at_the_top_of_a_module() -> None:
    at_the_top = [e for e in FOREIGN if not e.is_late and not e.is_for_types_only]
    early = [str(e) for e in at_the_top if library_of(e.target) in HEAVY]
    assert not [each for each in early if not each.startswith("api.storage.migrations.")]


def test_no_module_needs_itself_by_a_circle_of_imports() -> None:
    needs: dict[str, set[str]] = {}
    for each in OWN:
        needs.setdefault(each.module, set()).add(each.target)
    assert tuple(TopologicalSorter(needs).static_order())


@pytest.mark.parametrize("module", ["planner.plan", "api.app", "api.cli.main"])
def test_importing_the_engine_or_the_service_loads_nothing_heavy(module: str) -> None:
    question = f"import sys, {module}; print(*sorted(sys.modules))"
    answer = subprocess.run(
        [sys.executable, "-c", question], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert not (HEAVY | {"numpy"}) & set(answer.stdout.split())


@pytest.mark.parametrize(
    ("source", "target"),
    [
        ("from . import beats", "planner.marks"),
        ("from .choose import choose_marks", "planner.marks.choose"),
        ("from ..music import tune", "planner.music.tune"),
        ("def late():\n    import scipy.optimize", "scipy.optimize"),
        ("importlib.import_module('music21')", "music21"),
    ],
)
def test_the_map_sees_every_way_of_importing(source: str, target: str) -> None:
    nodes = list(ast.walk(ast.parse(source)))
    found = [t for node in nodes for t in targets(node, "planner.marks.clash", is_package=False)]
    assert found == [target]
