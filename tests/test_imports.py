"""Who may import whom, and what must not be imported before it is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# Folders, and modules that stand in none, from bottom to top. What stands on a line may import
# what stands on a line above its own, and its own folder; nothing else on its line: a writer no
# other writer, the model no exporter.
LAYERS = """
model.errors  model.units
model.geometry
model.stock
model.scene
model.building
model.plan
model.checks  model.layout
model.build  model.rules
model.reading
export.files
export.derive.inventory
export.derive.views
export.derive.measures  export.derive.cutting
export.derive.buying
export.derive.strength
export.derive.lifting
export.derive.moving
export.derive.findings  export.derive.strengths
export.graphics
export.view
export.write.book  export.write.cards  export.write.drawings  export.write.models
export.write.page  export.write.pictures  export.write.plans  export.write.tables
export.cli
export.__main__
"""
LINES = [line.split() for line in LAYERS.strip().splitlines()]

# Loading any of these takes longer than a refusal may.
HEAVY = {
    "OCP",
    "cadquery",
    "ezdxf",
    "gmsh",
    "highspy",
    "ifcopenshell",
    "manifold3d",
    "matplotlib",
    "pyvista",
    "scipy",
    "trimesh",
    "vtk",
    "vtkmodules",
}


def _modules() -> dict[str, Path]:
    """Every module by its name in the table above."""
    found: dict[str, Path] = {}
    for root in ("model", "export"):
        package = ROOT / root / f"pikepole_{root}"
        for path in sorted(package.rglob("*.py")):
            steps = path.relative_to(package).with_suffix("").parts
            found[".".join((root, *(step for step in steps if step != "__init__")))] = path
    return found


MODULES = _modules()


def _place(module: str) -> tuple[int, str] | None:
    """The line a module stands on, from 0 at the bottom, and its folder as named there."""
    places = [
        (number, name)
        for number, line in enumerate(LINES)
        for name in line
        if module == name or module.startswith(f"{name}.")
    ]
    return places[0] if len(places) == 1 else None


def _imported(path: Path) -> Iterator[str]:
    """What a module imports of the project, at its top or inside, for types or for use."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: write the whole name, not dots"
            module = node.module or ""
            # What is imported may be a module itself: from pikepole_export.write import step
            names = [
                f"{module}.{alias.name}" if _short(f"{module}.{alias.name}") in MODULES else module
                for alias in node.names
            ]
        yield from (_short(name) for name in names if name.startswith("pikepole_"))


def _short(name: str) -> str:
    return name.removeprefix("pikepole_")


@pytest.mark.parametrize("module", MODULES)
def test_module_imports_only_from_below(module: str) -> None:
    path = MODULES[module]
    imports = set(_imported(path))
    if path.name == "__init__.py" and module != "export.cli":
        assert not imports, f"{module} only marks a package: import from its modules"
        return
    place = _place(module)
    assert place is not None, f"{module} must stand in one folder of the table: give it its place"
    line, folder = place
    for other in imports:
        below = _place(other)
        assert below is not None, f"{module} imports {other}, which is no module"
        assert below[0] < line or below[1] == folder, (
            f"{module} may not import {other}: it is not below it"
        )


def test_modules_of_a_folder_import_one_way() -> None:
    graph = {module: set(_imported(path)) for module, path in MODULES.items()}
    TopologicalSorter(graph).prepare()  # raises CycleError, with the circle


def test_what_is_built_is_read_and_not_planned_again() -> None:
    for module, path in MODULES.items():
        if module.startswith(("export.", "model.checks.")):
            planned = {name for name in _imported(path) if name.startswith("model.plan.")}
            # The figures of a rule of the code, by which bolts are both placed and judged.
            assert planned <= {"model.plan.anchor_bolts"}, f"{module} reads it off the parts"


def test_table_has_no_name_without_a_module() -> None:
    for name in (name for line in LINES for name in line):
        assert any(place[1] == name for place in map(_place, MODULES) if place), name


def _loaded_after(code: str) -> set[str]:
    """Top-level modules that a fresh interpreter holds when it ends after some code."""
    at_end = "import atexit, sys\natexit.register(lambda: print('\\nloaded', *sys.modules))\n"
    run = subprocess.run(
        [sys.executable, "-c", at_end + code],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    last = run.stdout.strip().splitlines()[-1]
    assert last.startswith("loaded "), run.stderr
    return {name.partition(".")[0] for name in last.split()[1:]}


def test_importing_everything_loads_nothing_heavy() -> None:
    # The child that draws is a program of its own and may load what it draws with.
    names = [
        f"pikepole_{module}"
        for module in MODULES
        if module
        not in ("export.__main__", "export.write.cards.render", "export.write.pictures.render")
    ]
    loaded = _loaded_after("\n".join(f"import {name}" for name in names))
    assert {"pikepole_model", "pikepole_export"} <= loaded
    assert not loaded & HEAVY


@pytest.mark.parametrize(
    "words",
    [
        ["--help"],
        ["--version"],
        ["build", "--help"],
        ["lift", "--help"],
        ["lift", "nowhere.toml"],
        ["buy", "nowhere.toml"],
        ["check", "nowhere.toml"],
        ["check", "."],
    ],
    ids=" ".join,
)
def test_answer_comes_without_loading_anything_heavy(words: list[str]) -> None:
    loaded = _loaded_after(
        f"import sys; sys.argv = ['pikepole', *{words!r}]\n"
        "from pikepole_export.cli import main\nmain()"
    )
    assert "pikepole_export" in loaded
    assert not loaded & HEAVY


def test_help_loads_neither_the_model_nor_numbers() -> None:
    loaded = _loaded_after(
        "import sys; sys.argv = ['pikepole', '--help']\n"
        "from pikepole_export.cli import main\nmain()"
    )
    assert not loaded & {"numpy", "pydantic"}


def test_refused_scene_loads_nothing_heavy(tmp_path: Path) -> None:
    scene = tmp_path / "scene.toml"
    scene.write_text('title = "No building"\n', encoding="utf-8")
    loaded = _loaded_after(
        f"import sys; sys.argv = ['pikepole', 'build', {str(scene)!r}, '-o', 'out']\n"
        "from pikepole_export.cli import main\nmain()"
    )
    assert "pydantic" in loaded
    assert not loaded & HEAVY


def test_child_that_draws_needs_neither_kernel_nor_model() -> None:
    loaded = _loaded_after("import pikepole_export.write.pictures.render")
    assert not loaded & {"OCP", "cadquery", "trimesh", "pikepole_model"}
