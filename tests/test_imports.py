"""Who may import whom, and what must not be imported before it is needed."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# From bottom to top. A module may import what stands on a line above its own, and nothing on its
# own line or below: a layout no other layout, a writer no other writer, the model no exporter.
LAYERS = """
model.errors  model.placement  model.spacing  model.units
model.anchors  model.shape  model.stock.rows
model.stock.catalogue  model.stock.fastenings  model.stock.materials
model.rules.faults  model.outline  model.quantity  model.sheet_metal
model.scene.types
model.scene.buying  model.scene.cladding  model.scene.crew  model.scene.fill  model.scene.roofing
model.scene.timber
model.scene.schema
model.plan.levels  model.part  model.scene.words  model.sequence
model.contact  model.plan.framed  model.piece  model.rules.buying  model.rules.crew
model.joints  model.plan.slope
model.plan.roof
model.practice  model.plan.roof_cover  model.plan.ties  model.plan.wall
model.plan.beams  model.rules.existing  model.plan.filling  model.fit  model.rules.openings
model.plan.faces
model.plan.corners  model.plan.roof_section  model.plan.wall_metal
model.plan.cladding
model.rules.cladding  model.plan.joinery  model.plan.wall_legs
model.plan.leaf
model.rules.fill  model.layout.*  model.rules.roof
model.build  model.rules.whole
model.scene.file

export.colours  export.derive.mass  export.eye  export.files  export.meshes
export.derive.amounts  export.derive.parts  export.derive.shadow  export.write._captions
export.write._child  export.write._columns
export.write._lettering
export.derive.bends  export.derive.features  export.write._sheet  export.write._svg
export.derive.anchor_bolts  export.derive.areas  export.derive.concrete  export.derive.counts
export.derive.hardware
export.derive.hung  export.derive.screws  export.derive.slab_joints  export.derive.touching
export.derive.weights
export.derive.reinforcement  export.derive.schedule  export.derive.templates  export.write._both
export.write._drafting
export.derive.outlines  export.write._cut_words  export.write._render  export.write._title
export.derive.bolts  export.write._bent  export.write._cut_lists  export.write._details
export.write._outlines  export.write._pattern_names  export.write._patterns
export.write._cut_plans  export.write._tiles
export.derive.fasteners  export.derive.ground  export.derive.lifting.asked
export.derive.lifting.loads  export.derive.paint
export.derive.coverings  export.derive.summary
export.derive.lifting.hands  export.derive.lifting.niosh  export.derive.lifting.statics
export.derive.lifting.bracing  export.derive.lifting.by_hand  export.derive.lifting.gear
export.derive.lifting.things  export.derive.lifting.truck  export.derive.lifting.wind
export.derive.lifting.braced  export.derive.lifting.holds
export.derive.lifting.moved  export.derive.lifting.rollers
export.derive.lifting.before_moving  export.derive.lifting.floor_frame
export.derive.lifting.moving
export.derive.lifting.tilting
export.derive.lifting.ways
export.derive.lifting.ends  export.derive.lifting.machines  export.derive.lifting.poses
export.derive.lifting.left_out  export.derive.lifting.lift
export.derive.lifting.cautions  export.derive.lifting.days
export.derive.lifting.plan
export.derive.lifting.records
export.cards.holding  export.cards.labels  export.cards.marks  export.cards.render
export.cards.solids  export.cards.words
export.cards.gear
export.cards.crew  export.cards.texts
export.cards.scene
export.cards.page
export.derive.cutting.hush  export.derive.cutting.patterns  export.derive.cutting.ticks
export.derive.cutting.programmes  export.derive.cutting.rectangles
export.derive.cutting.columns
export.derive.cutting.bars  export.derive.cutting.dive
export.derive.cutting.search
export.derive.cutting.guillotine  export.derive.cutting.lengths
export.derive.cutting.placing  export.derive.cutting.saw_order  export.derive.cutting.sheet_bounds
export.derive.cutting.nest_search
export.derive.cutting.cuts  export.derive.cutting.nesting
export.derive.cutting.marks  export.derive.cutting.sheets  export.derive.purchase
export.write._nested
export.derive.pieces_bought  export.derive.proof  export.derive.supplies
export.derive.prices
export.derive.findings
export.derive.buying
export.view  export.write.[!_]*
export.cli.earlier  export.cli.words
export.cli.work
export.cli.planning
export.cli.buy_words  export.cli.cut_words  export.cli.lift_words  export.cli.outputs
export.cli.part_words
export.cli.build  export.cli.buy  export.cli.check  export.cli.cut  export.cli.lift
export.cli.view
export.cli
export.__main__
"""
LINES = [line.split() for line in LAYERS.strip().splitlines() if line]

# Loading any of these takes longer than a refusal may.
HEAVY = {
    "OCP",
    "cadquery",
    "gmsh",
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


def _layer(module: str) -> int | None:
    """The line a module stands on, from 0 at the bottom."""
    places = [
        number for number, line in enumerate(LINES) if any(fnmatch(module, name) for name in line)
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
    layer = _layer(module)
    assert layer is not None, f"{module} must stand on one line of the table: give it its place"
    for other in imports:
        below = _layer(other)
        assert below is not None, f"{module} imports {other}, which is no module"
        assert below < layer, f"{module} may not import {other}: it is not below it"


def test_table_has_no_name_without_a_module() -> None:
    for line in LINES:
        for name in line:
            assert any(fnmatch(module, name) for module in MODULES), f"there is no {name}"


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
        if module not in ("export.__main__", "export.write._render")
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
    loaded = _loaded_after("import pikepole_export.write._render")
    assert not loaded & {"OCP", "cadquery", "trimesh", "pikepole_model"}
