"""What every command does first, and how it shows what it is doing.

Imports stand in the functions that need them, so that help comes at once, and a refusal nearly so.
"""

from __future__ import annotations

import signal
from collections.abc import Callable, Generator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeAlias

import typer
from rich.console import Console

from pikepole_export.cli.examples import scene_file
from pikepole_model.errors import SceneError

if TYPE_CHECKING:
    from pikepole_model.building.contact import Contact
    from pikepole_model.building.part import Building
    from pikepole_model.scene.schema import Scene

SceneFile = Annotated[
    Path,
    typer.Argument(
        metavar="SCENE",
        parser=scene_file,
        help="The scene file, or an example by name: honey-house.",
    ),
]

# Called with what is about to be done: "Writing the STEP file".
Step: TypeAlias = Callable[[str], None]


@contextmanager
def steps(count: int) -> Generator[Step]:
    """A progress bar of so many steps, where there is a terminal to show it on."""
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    console = Console(stderr=True)
    bar = Progress(
        TextColumn("{task.description}"),
        BarColumn(),
        TimeElapsedColumn(),
        console=console,
        transient=True,
        disable=not console.is_terminal,
    )
    task = bar.add_task("", total=count)
    done = -1

    def step(what: str) -> None:
        nonlocal done
        done += 1
        bar.update(task, description=what, completed=done)

    with bar:
        yield step


def read(path: Path) -> Scene:
    """A scene file, read and checked.

    Raises:
        SceneError: something in it is wrong.
    """
    with _uninterrupted():  # it brings NumPy and Shapely in
        from pikepole_model.reading.file import load_scene

    return load_scene(path)


def lay_out(path: Path, scene: Scene, step: Step) -> tuple[Building, tuple[Contact, ...]]:
    """The building of a scene that was read, and what touches what, in one step.

    Raises:
        SceneError: the scene is too large to be built.
    """
    from pikepole_model.build import build_with_contacts

    step("Laying out the pieces")
    try:
        return build_with_contacts(scene)
    except SceneError as error:
        raise SceneError(str(path), error.problems) from None  # it knows the title only


@contextmanager
def _uninterrupted() -> Generator[None]:
    """Ctrl-C waits for the end of the block: modules of C++ that are cut short end the process."""
    came = False

    def wait(*_: object) -> None:
        nonlocal came
        came = True

    before = signal.signal(signal.SIGINT, wait)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        if came:
            signal.raise_signal(signal.SIGINT)
