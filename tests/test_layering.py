"""Imports point down only, and a worker loads nothing that a run does not need."""

from __future__ import annotations

import ast
import pickle
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest
from rigs import printing_plan

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "sitesim"

MAY_IMPORT: dict[str, set[str]] = {
    "errors": set(),
    "chance": set(),
    "hours": set(),
    "trade": set(),
    "policies": {"hours"},
    "plan": {"chance", "hours", "policies"},
    "weather": {"chance", "hours", "plan", "trade"},
    "ledger": {"chance", "hours", "plan"},
    "site": {"chance", "hours", "ledger", "plan", "policies", "trade", "weather"},
    "scenario": {"chance", "errors", "hours", "ledger", "plan", "policies", "trade", "weather"},
    "answers": {"hours", "ledger", "plan"},
    "study": {"answers", "chance", "errors", "hours", "ledger", "plan", "policies", "scenario", "site", "weather"},
    "report": {"answers", "errors", "hours", "ledger", "plan", "scenario", "site", "study", "weather"},
    "cli": {"answers", "errors", "report", "scenario", "study"},
    "__main__": {"cli"},
    "__init__": set(),
}
"""For each room those it may know: the rooms below it."""

HEAVY = ("pydantic", "ruamel", "pint", "pandas", "plotly", "scipy", "pyarrow", "typer", "rich")


def room_of(module: str) -> str:
    """Name the room of a dotted module of ours; the package itself is ``__init__``."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def modules() -> Iterator[tuple[str, Path]]:
    for path in sorted(PACKAGE.rglob("*.py")):
        dotted = ".".join(path.relative_to(ROOT).with_suffix("").parts)
        yield dotted.removesuffix(".__init__") if dotted != "sitesim.__init__" else "sitesim", path


def imports_of(path: Path, lazily_too: bool = True) -> Iterator[str]:
    """Give the dotted names that a file imports from this package.

    lazily_too: with those inside functions and those for type checkers only.
    """
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree) if lazily_too else _at_import(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names if name.name.split(".")[0] == "sitesim")
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: a relative import"
            if node.module and node.module.split(".")[0] == "sitesim":
                below = PACKAGE.joinpath(*node.module.split(".")[1:])
                for name in node.names:
                    is_module = (below / name.name).is_dir() or (below / f"{name.name}.py").is_file()
                    yield f"{node.module}.{name.name}" if is_module else node.module


def _at_import(tree: ast.AST) -> Iterator[ast.AST]:
    """Give the nodes that run when a file is imported."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda)):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            continue
        yield node
        yield from _at_import(node)


def test_every_room_is_named_here() -> None:
    assert {room_of(module) for module, _ in modules()} == set(MAY_IMPORT)


def test_the_rooms_stand_above_one_another() -> None:
    TopologicalSorter(MAY_IMPORT).prepare()  # raises CycleError if they do not


@pytest.mark.parametrize(("module", "path"), list(modules()), ids=lambda value: value if isinstance(value, str) else "")
def test_imports_point_down(module: str, path: Path) -> None:
    own = room_of(module)
    for imported in imports_of(path):
        if imported in ("sitesim", "sitesim.__version__"):
            continue
        room = room_of(imported)
        assert room == own or room in MAY_IMPORT[own], f"{module} imports {imported}"


def test_no_modules_import_each_other_in_a_circle() -> None:
    graph: dict[str, set[str]] = {}
    for module, path in modules():
        graph[module] = {imported for imported in imports_of(path, lazily_too=False) if imported != module}
    # A package's own front imports what lies in it, and what lies in it imports modules, not the front.
    TopologicalSorter(graph).prepare()


def loaded_by(code: str) -> set[str]:
    """Run code in a new interpreter and name the top-level modules that it has loaded."""
    asked = f"{code}\nimport sys\nprint('\\n'.join(sorted({{name.split('.')[0] for name in sys.modules}})))"
    found = subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True, timeout=60
    )
    return set(found.stdout.split())


def test_the_commands_start_without_what_only_some_of_them_need() -> None:
    loaded = loaded_by("import sitesim.cli")
    assert "sitesim" in loaded
    assert loaded.isdisjoint({"pandas", "plotly", "pydantic", "scipy", "pint", "ruamel", "simpy"})


@pytest.mark.parametrize("worker", ["worker", "print_day_worker"])
def test_a_worker_loads_nothing_heavy(worker: str) -> None:
    loaded = loaded_by(f"import sitesim.study.{worker}")
    assert "simpy" in loaded
    assert loaded.isdisjoint(HEAVY)


def test_playing_runs_of_a_plan_that_was_sent_loads_nothing_heavy(tmp_path: Path) -> None:
    sent = tmp_path / "plan.pickle"
    sent.write_bytes(pickle.dumps((printing_plan(), tiny_pert())))
    code = (
        "import pickle, pathlib, sitesim.study.worker as worker\n"
        f"plan, pert = pickle.loads(pathlib.Path({str(sent)!r}).read_bytes())\n"
        "worker.set_up(pickle.dumps(plan), 1, 1)\n"
        "tables = worker.play_block(range(2))\n"
        "assert tables['runs']['finished'] == [True, True]\n"
        "assert 1.0 < pert.inverse(0.5) < 4.0\n"
    )
    assert loaded_by(code).isdisjoint(HEAVY)


def tiny_pert() -> object:
    """Make the one distribution that needs scipy where it is made, and nowhere else."""
    from sitesim.chance import Pert

    return Pert(1.0, 2.0, 4.0)
