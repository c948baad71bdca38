"""How a command writes into the folder that the user names, and what it says of that.

folder_option(help)                      -o DIR
writing(folder, scene) -> Staging        a block in which files are prepared
placed_list(placed, folder)              what was written, and what was set aside
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Generator
from contextlib import ExitStack, contextmanager
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any

import typer

from pikepole_export.cli.words import ExitCode, plural, refuse, wrapped
from pikepole_model.errors import OutputError

if TYPE_CHECKING:
    from pikepole_export.files.folder import Placed, Staging
    from pikepole_model.scene.schema import Scene

MOST_NAMED = 12  # of what was set aside


def folder_option(about: str) -> Any:
    """The option that names the folder to write into."""
    return typer.Option("-o", "--output", metavar="DIR", parser=_folder, help=about)


def _folder(text: str) -> Path:
    if not text.strip():
        raise typer.BadParameter("name a folder; the one you are in is .")
    return Path(text)


@contextmanager
def writing(folder: Path, scene: Scene) -> Generator[Staging]:
    """Files prepared in a folder beside the one that is meant; they go in when they are placed.

    Ends the command where the folder cannot be written into.

    Raises:
        OutputError: a file could not be written or put in its place; says how the folder is.
    """
    from pikepole_export.files.folder import prepare

    with ExitStack() as block:
        try:
            staging = block.enter_context(prepare(folder, _scene_id(scene)))
        except OutputError as error:
            refuse(error)
            raise typer.Exit(ExitCode.BAD_INPUT) from None
        try:
            yield staging
        except OutputError as error:
            left = "has only part of the new files: run it again to finish that"
            state = left if staging.is_unfinished else "is as it was"
            raise OutputError(f"{staging.told(str(error))}; {folder} {state}") from error


def _scene_id(scene: Scene) -> str:
    """What tells scenes apart, and versions that may make other files of the same scene."""
    from importlib.metadata import version

    text = f"{version('pikepole')} {scene.model_dump_json()}"
    return hashlib.sha256(text.encode()).hexdigest()


def placed_list(placed: Placed, folder: Path) -> list[str]:
    """What is in the folder now, and what is out of the way."""
    names = [name for name in placed.files if "/" not in name]
    inside = Counter(PurePosixPath(name).parts[0] for name in placed.files if "/" in name)
    named = [*names, *(f"{plural(count, 'file')} in {name}" for name, count in inside.items())]
    return [
        "",
        *wrapped(f"Written to {folder}: {', '.join(named)}"),
        *set_aside_list(placed, folder),
    ]


def set_aside_list(placed: Placed, folder: Path) -> list[str]:
    """What was there before and is not of this scene, or not as it was written."""
    if not placed.set_aside:
        return []
    first = ", ".join(placed.set_aside[:MOST_NAMED])
    rest = len(placed.set_aside) - MOST_NAMED
    more = f" and {plural(rest, 'more file')}" if rest > 0 else ""
    return wrapped(
        f"Set aside in {folder / placed.aside}, since they belong to another scene or were changed "
        f"by somebody: {first}{more}."
    )
