"""How the house is built: which room may lean on which, who may call on the big libraries, and how things are kept."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from solids.cuts import CUTS
from solids.fit.rules import RULES
from solids.joints import JOINTS
from solids.report.manual import RULE_PAGES

ROOT = Path(__file__).parents[1]
HOUSE = ROOT / "solids"
FILES = sorted(HOUSE.rglob("*.py"))

# Imports run downward only: a room may lean on those above it in this list and on no other.
ROOMS = (
    "units",  # lengths as text; leans on nothing
    "data",  # woods, sheets and fasteners, by name
    "model",  # plain values: what a piece is
    "cuts",  # numbers of one cut each, from the model
    "joints",  # from where parts stand to cuts
    "assemblies",  # from a few sizes to the text of parts and joints
    "spec",  # text to a piece: knows every cut and joint by name
    "lumber",  # what parts are sawn out of, and how they lie on the boards there are
    "kernel",  # a piece's numbers to meshes and solids; must not know that there was a text
    "fit",  # measures what the kernel made
    "export",  # writes what the kernel made
    "drawing",  # parts and the whole on paper, from the numbers that cut the wood
    "shop",  # the bench's papers, from the numbers and from what the fit measured
    "picture",  # shaded pictures of what the fit placed
    "report",  # tells what the fit found, and writes the manual from the tables of cuts, joints and rules
    "client",  # the page that goes to the client
    "watching",  # a spec followed while it is written, served to this machine alone
    "notebook",  # how a piece shows itself in a notebook
    "output",  # a folder, whole or not at all
    "compare",  # two states of a piece beside each other
    "vary",  # one spec at many sizes
    "making",  # a checked piece, its solids made once for all writers
    "writers",  # every kind of output by name
    "pipeline",  # the one file that knows all the rooms
    "commands",  # commands with a file of their own, and how all of them speak
    "cli",  # options in, pipeline called, exit status out
    "__main__",
)
# Each exception has its reason.
MAY = {
    ("kernel", "spec"): False,  # solids are made of numbers, whoever wrote them
    ("fit", "spec"): False,  # a finding speaks of places that the piece carries
    ("export", "fit"): False,  # a model is written whether it fits or not
}
# The libraries that are slow to load, or that we may want to exchange, live in few files.
ONLY_IN = {
    "ezdxf": {"drawing/dxf.py"},
    "fontTools": {"drawing/lettering.py", "drawing/svg.py"},
    "cadquery": {"kernel/solid.py", "kernel/trace.py", "kernel/triangles.py", "export/step.py"},
    "OCP": {"kernel/solid.py", "kernel/projection.py", "kernel/trace.py", "kernel/triangles.py", "export/step.py"},
    "rectpack": {"lumber/packing.py"},
    "ruamel": {"spec/events.py"},
    "click": {
        "cli.py",
        "commands/comparing.py",
        "commands/papers.py",
        "commands/terminal.py",
        "commands/varying.py",
        "commands/watching.py",
    },
    "rich": {"commands/terminal.py"},
    "PIL": {"picture/draw.py", "picture/write.py"},
    "distributed": {"vary/running.py"},
}
# The reference is written by `python -m solids.report.reference`, which says on standard error what is out of date.
MAY_PRINT = {"report/reference.py"}


def name_of(path: Path) -> str:
    return path.relative_to(HOUSE).as_posix()


def room_of(path: Path) -> str:
    first = path.relative_to(HOUSE).parts[0]
    return first.removesuffix(".py")


def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def is_for_types(node: ast.stmt) -> bool:
    """`if TYPE_CHECKING:`, whose imports nothing runs."""
    return isinstance(node, ast.If) and isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"


def imports(node: ast.AST) -> Iterator[str]:
    """Every module that is imported, in functions too, but for types only."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.stmt) and is_for_types(child):
            continue
        if isinstance(child, ast.Import):
            yield from (a.name for a in child.names)
        elif isinstance(child, ast.ImportFrom):
            assert child.level == 0, "imports say where they come from in full"
            yield from (f"{child.module}.{a.name}" for a in child.names)
        yield from imports(child)


def rooms_used(path: Path) -> set[str]:
    found = {m.split(".")[1] for m in imports(tree_of(path)) if m.startswith("solids.")}
    return found & {*ROOMS}


def is_downward(room: str, used: str) -> bool:
    return MAY.get((room, used), ROOMS.index(used) <= ROOMS.index(room))


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_imports_run_downward_only(path: Path) -> None:
    if path == HOUSE / "__init__.py":
        assert rooms_used(path) == set()  # it loads what is asked for when it is asked for
        return
    wrong = [used for used in rooms_used(path) if not is_downward(room_of(path), used)]

    assert wrong == []


def test_every_file_belongs_to_a_room() -> None:
    assert {room_of(p) for p in FILES} - {"__init__", "new"} == set(ROOMS)


def test_an_upward_import_would_be_seen() -> None:
    code = (
        "def f():\n    from solids.fit import check\nif TYPE_CHECKING:\n    from solids.cli import main\nimport click"
    )
    assert list(imports(ast.parse(code))) == ["solids.fit.check", "click"]
    assert not is_downward("model", "fit")
    assert not is_downward("fit", "spec")
    assert is_downward("pipeline", "fit")


@pytest.mark.parametrize("library", ONLY_IN)
def test_a_library_is_called_on_in_its_own_files_only(library: str) -> None:
    users = {name_of(p) for p in FILES if any(m.split(".")[0] == library for m in imports(tree_of(p)))}

    assert users <= ONLY_IN[library]
    assert users  # else the row says nothing


# Keeping -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_a_file_has_three_hundred_lines_at_most(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 300


def undocumented(tree: ast.Module) -> Iterator[str]:
    """The module, its public functions and its public classes that have no docstring."""
    if not ast.get_docstring(tree):
        yield "the module"
    for node in tree.body:
        documented = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef)
        if documented and not node.name.startswith("_") and not ast.get_docstring(node):
            yield node.name


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_everything_public_says_what_it_is(path: Path) -> None:
    assert list(undocumented(tree_of(path))) == []


def careless(path: Path) -> Iterator[str]:
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ExceptHandler) and node.type is None:
            yield f"a bare except in line {node.lineno}"
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "eval", "exec"):
            yield f"{node.func.id} in line {node.lineno}"
    text = path.read_text(encoding="utf-8")
    yield from (f"{m[0]} at {m.start()}" for m in re.finditer(r"\b(TODO|FIXME|XXX|breakpoint|pdb)\b", text))


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_nothing_is_left_lying_about(path: Path) -> None:
    found = [c for c in careless(path) if not (c.startswith("print") and name_of(path) in MAY_PRINT)]

    assert found == []


# Tables ------------------------------------------------------------------------------------------


def files_in(room: str) -> set[str]:
    return {p.stem for p in (HOUSE / room).glob("*.py")} - {"__init__"}


def test_every_rule_stands_in_the_table_once_with_a_page_of_its_own() -> None:
    assert sorted(r.name for r in RULES) == sorted(files_in("fit/rules"))
    assert dict(sorted(RULE_PAGES.items())) == dict(sorted((r.name, r.kinds) for r in RULES))
    for rule in RULES:
        headings = re.findall(r"^([A-Z][a-z ]+)$", rule.page, re.MULTILINE)
        assert headings == ["What it checks", "Why it matters", "Findings", "Known limits", "What to do"], rule.name
        told = re.search(r"^Findings\n((?: {4}.*\n)+)", rule.page, re.MULTILINE)
        assert told, rule.name
        assert set(re.findall(r"^ {4}([a-z-]+)", told[1], re.MULTILINE)) == set(rule.kinds), rule.name


def test_every_cut_and_joint_is_called_by_its_kind_in_the_table() -> None:
    assert {name: c.kind for name, c in {**CUTS, **JOINTS}.items()} == {name: name for name in {**CUTS, **JOINTS}}
    assert len(CUTS) == 16
    assert set(JOINTS) <= files_in("joints")
