"""How a command writes into the folder that the user names, and what it says of that.

folder_option(help)                      -o DIR
writing(folder, scene) -> Staging        a block in which files are prepared
Attempts(staging)                        outputs none of which costs another
tell_missing(missing)                    what could not be made; ends the command
placed_list(placed, folder)              what was written, and what was set aside
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Generator, Sequence
from contextlib import ExitStack, contextmanager
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, Any, TypeVar

import typer

from pikepole_export.cli.words import ExitCode, complain, plural, refuse, wrapped
from pikepole_model.errors import OutputError, PikepoleError

if TYPE_CHECKING:
    from pikepole_export.files.folder import Placed, Staging
    from pikepole_model.scene.schema import Scene

MOST_NAMED = 12  # of what was set aside

Result = TypeVar("Result")


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


class Attempts:
    """Outputs that are made one after the other: what fails in one costs no other.

    Attributes:
        missing: For each that could not be made, why.
    """

    def __init__(self, staging: Staging) -> None:
        self._staging = staging
        self.missing: list[str] = []

    def __call__(self, called: str, work: Callable[[], Result]) -> Result | None:
        """What the work gives; None where it fails, whatever the reason."""
        try:
            return work()
        except Exception as error:
            why = self._staging.told(f"{called}: {_in_one_line(error)}")
            if why not in self.missing:  # several outputs may want the same
                self.missing.append(why)
            return None


def _in_one_line(error: Exception) -> str:
    text = ". ".join(str(error).splitlines())
    return text if isinstance(error, PikepoleError) else f"{type(error).__name__}: {text}"


def tell_missing(missing: Sequence[str]) -> None:
    """Say what could not be made, and end the command with its exit code, where anything is."""
    if missing:
        complain(["", *(line for why in missing for line in wrapped(f"Not made: {why}."))])
        complain(["All else that was asked for is written and complete."])
        raise typer.Exit(ExitCode.NOT_MADE)


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
