"""The folder that a command writes into: one building's files, all old or all new.

Files are prepared beside it and put in its place at the end:

    with prepare(folder, scene_id) as staging:
        staging.add("step", [write_step(building, staging.path / "building.step")])
        placed = staging.put_in_place()

`written.json` is the record of what was written into a folder, with a hash of each file. What it
does not name, and what was changed since, is the user's: that is never taken away or written over.
The whole folder changes places with the prepared one in one rename where the system can; elsewhere
files move one by one, and what is cut off then is finished by the next command.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Generator, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath

from pydantic import TypeAdapter

from pikepole_export.files.swapping import can_change_places, change_places
from pikepole_export.files.whole import make_folder, put, reason
from pikepole_model.errors import OutputError

RECORD = "written.json"
SET_ASIDE = "set-aside"
UNFINISHED = ".pikepole-unfinished"
_FILES, _PLAN, _OLD = "files", "plan.json", "old"


@dataclass(frozen=True, slots=True)
class Record:
    """What was written into a folder.

    Attributes:
        scene_id: Of the scene and the version that it was written from.
        files: For each output its files, as paths from the folder, with the SHA-256 of each.
    """

    scene_id: str = ""
    files: Mapping[str, Mapping[str, str]] = field(default_factory=dict[str, Mapping[str, str]])

    def unchanged(self, folder: Path) -> dict[str, str]:
        """The files that are there as they were written, each with its output."""
        return {
            name: output
            for output, files in self.files.items()
            for name, digest in files.items()
            if _hash(folder / name) == digest and not _is_behind_link(folder, name)
        }


@dataclass(frozen=True, slots=True)
class Placed:
    """What came of a folder.

    Attributes:
        files: What was written now, as paths from the folder.
        set_aside: What was there and does not belong to this scene, or stood in the way and was
            not as this tool wrote it, as paths from the folder before it was moved.
        aside: The folder inside where that is now.
    """

    files: tuple[str, ...]
    set_aside: tuple[str, ...]
    aside: str


@dataclass(frozen=True, slots=True)
class _Changes:
    """What becomes of a folder, as paths from it.

    Attributes:
        remove: What goes, as it was written by an earlier command.
        aside: What is set aside, and where to.
        place: What is new; what bears its name goes.
        record: The record as it will be.
    """

    remove: tuple[str, ...]
    aside: Mapping[str, str]
    place: tuple[str, ...]
    record: Record


@dataclass(slots=True)
class Staging:
    """A folder being prepared.

    Attributes:
        path: Where to write.
    """

    path: Path
    _folder: Path
    _scene_id: str
    _written: dict[str, list[str]] = field(default_factory=dict[str, list[str]])

    def add(self, output: str, files: Iterable[Path]) -> None:
        """Say which files, written into `path`, an output has; all that it had before goes.

        An output that has none is one that could not be made: what it had before is kept, or set
        aside, as that of outputs that nobody asked for.
        """
        names = [file.relative_to(self.path).as_posix() for file in files]
        if names:
            self._written.setdefault(output, []).extend(names)

    @property
    def files(self) -> list[str]:
        """What was added so far, as paths from the folder."""
        return [name for names in self._written.values() for name in names]

    @property
    def is_unfinished(self) -> bool:
        """Whether files were moving one by one when that was cut off."""
        return (self._folder / UNFINISHED).exists()

    def told(self, text: str) -> str:
        """A message about a prepared file, as one about the file that it will be."""
        return text.replace(str(self.path), str(self._folder))

    def put_in_place(self) -> Placed:
        """Make the prepared files those of the folder.

        Raises:
            OutputError: something is in the way, or the system refuses; the folder is as it was,
                unless it is unfinished.
        """
        root = self.path.parent
        try:
            changes = self._changes()
            self._drop_unnamed()
            if root.parent != self._folder and can_change_places(self._folder):
                _take_along(self._folder, self.path, changes)
                put(self.path / RECORD, _as_json(changes.record))
                change_places(self.path, self._folder, root / _OLD)
            else:
                put(root / _PLAN, TypeAdapter(_Changes).dump_json(changes))
                # From here on nothing is written: no disk is too full for it.
                put(root / RECORD, _as_json(changes.record))
                root.rename(self._folder / UNFINISHED)
                _finish(self._folder)
        except OutputError:
            raise
        except OSError as error:
            raise OutputError(f"{error.filename or self._folder}: {reason(error)}") from error
        aside = next(iter(changes.aside.values()), SET_ASIDE)
        return Placed(changes.place, tuple(changes.aside), PurePosixPath(aside).parts[0])

    def _drop_unnamed(self) -> None:
        """Leave nothing of an output that was begun and could not be made."""
        named = set(self.files)
        for path in reversed(list(_below(self.path))):
            if path.is_dir():
                with suppress(OSError):  # where something is left in it
                    path.rmdir()
            elif path.relative_to(self.path).as_posix() not in named:
                path.unlink()

    def _changes(self) -> _Changes:
        folder = self._folder
        old = read_record(folder)
        new = {
            output: {name: _hash(self.path / name) or "" for name in names}
            for output, names in self._written.items()
        }
        place = tuple(name for files in new.values() for name in files)
        ours = old.unchanged(folder)
        stays = old.scene_id == self._scene_id
        kept: dict[str, dict[str, str]] = {}
        remove: list[str] = []
        aside: list[str] = []
        for name, output in ours.items():
            if name in place:
                continue
            if output in new:
                remove.append(name)
            elif stays:
                kept.setdefault(output, {})[name] = old.files[output][name]
            else:
                aside.append(name)
        for files in new.values():
            for name, digest in files.items():
                _check_room(folder, name)
                is_there = os.path.lexists(folder / name)
                if is_there and name not in ours and _hash(folder / name) != digest:
                    aside.append(name)
        _check_room(folder, RECORD)
        if os.path.lexists(folder / RECORD) and _parsed(folder) is None:
            aside.append(RECORD)
        into = _free_name(folder)
        record = Record(self._scene_id, dict(sorted({**kept, **new}.items())))
        return _Changes(tuple(remove), {name: f"{into}/{name}" for name in aside}, place, record)


@contextmanager
def prepare(folder: Path, scene_id: str) -> Generator[Staging]:
    """A folder beside the one that is meant; gone when the block is left.

    Args:
        folder: What the user named; made if need be.
        scene_id: Of the scene and the version, for the record.

    Raises:
        OutputError: a file is in the way, or the folder may not be written into.
    """
    try:
        _clear_up(Path(os.path.realpath(folder)))
        folder = make_folder(folder).resolve()
        _finish(folder)
        root = _room(folder)
        (root / _FILES).mkdir()
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(
            f"{folder}: cannot be written into ({reason(error)}); choose another folder"
        ) from error
    try:
        yield Staging(root / _FILES, folder, scene_id)
    finally:
        shutil.rmtree(root, ignore_errors=True)


def read_record(folder: Path) -> Record:
    """What was written into a folder; nothing where there is no record that can be believed."""
    return _parsed(folder) or Record()


def _parsed(folder: Path) -> Record | None:
    path = folder / RECORD
    if path.is_symlink() or not path.is_file():
        return None
    try:
        record = TypeAdapter(Record).validate_json(path.read_bytes())
        for files in record.files.values():
            for name in files:
                _check_name(name)
    except (OSError, ValueError):
        return None
    return record


def _check_name(name: str) -> None:
    """Raise ValueError for a path that leads out of its folder."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts:
        raise ValueError(f"{name} is no path inside a folder")


def _check_room(folder: Path, name: str) -> None:
    """Raise OutputError where a folder stands for a file, or anything else for a folder."""
    path = folder / name
    if path.is_dir():
        raise OutputError(f"{path}: is a folder; move it away, a file goes here")
    for above in path.relative_to(folder).parents:
        there = folder / above
        if os.path.lexists(there) and ((above.parts and there.is_symlink()) or not there.is_dir()):
            raise OutputError(f"{there}: is no folder; move it away, one goes here")


def _is_behind_link(folder: Path, name: str) -> bool:
    """Whether a link on the way leads what is named so out of its folder."""
    return any((folder / above).is_symlink() for above in PurePosixPath(name).parents[:-1])


def _free_name(folder: Path) -> str:
    """A name for what is set aside, which nothing in the folder bears."""
    number = 1
    name = SET_ASIDE
    while os.path.lexists(folder / name):
        number += 1
        name = f"{SET_ASIDE}-{number}"
    return name


def _hash(path: Path) -> str | None:
    """SHA-256 of a file, in hexadecimal; None where no plain file is."""
    if path.is_symlink() or not path.is_file():
        return None
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _as_json(record: Record) -> bytes:
    return TypeAdapter(Record).dump_json(record, indent=1) + b"\n"


def _take_along(folder: Path, into: Path, changes: _Changes) -> None:
    """Link all that stays into the prepared folder, and what is set aside too."""
    gone = {*changes.remove, *changes.place, RECORD} - set(changes.aside)
    for path in _below(folder):
        name = path.relative_to(folder).as_posix()
        if name in gone:
            continue
        there = into / changes.aside.get(name, name)
        there.parent.mkdir(parents=True, exist_ok=True)
        if path.is_dir() and not path.is_symlink():
            there.mkdir(exist_ok=True)
        else:
            os.link(path, there, follow_symlinks=False)


def _below(folder: Path) -> Iterator[Path]:
    """Everything in a folder, folders before what is in them; links are not followed."""
    for path in sorted(folder.iterdir()):
        yield path
        if path.is_dir() and not path.is_symlink():
            yield from _below(path)


def _finish(folder: Path) -> None:
    """Carry out the changes that are prepared inside a folder, from where they were cut off."""
    unfinished = folder / UNFINISHED
    if not unfinished.is_dir():
        return
    try:
        changes = TypeAdapter(_Changes).validate_json((unfinished / _PLAN).read_bytes())
        for name in (*changes.remove, *changes.aside, *changes.aside.values(), *changes.place):
            _check_name(name)
    except (OSError, ValueError):
        raise OutputError(f"{unfinished}: cannot be made use of; move it away") from None
    for name in changes.remove:
        (folder / name).unlink(missing_ok=True)
    for name, to in changes.aside.items():
        if not os.path.lexists(folder / to) and os.path.lexists(folder / name):
            (folder / to).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).rename(folder / to)
    for name in changes.place:
        if (unfinished / _FILES / name).exists():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (unfinished / _FILES / name).replace(folder / name)
    for name in changes.remove:
        with suppress(OSError):  # where something is left in it
            (folder / name).parent.rmdir()
    if (unfinished / RECORD).exists():
        (unfinished / RECORD).replace(folder / RECORD)
    shutil.rmtree(unfinished, ignore_errors=True)


def _room(folder: Path) -> Path:
    """A new folder beside one, or inside it where it can have none beside on the same disk."""
    beside = folder.parent / f".{folder.name}.pikepole-{os.getpid()}"
    if not os.path.ismount(folder):
        with suppress(OSError):
            beside.mkdir()
            return beside
    inside = folder / f".pikepole-{os.getpid()}"
    inside.mkdir()
    return inside


def _clear_up(folder: Path) -> None:
    """Take away what commands that were killed had begun to prepare for a folder."""
    beside = re.compile(rf"\.{re.escape(folder.name)}\.pikepole-(\d+)")
    inside = re.compile(r"\.pikepole-(\d+)")
    for where, begun in ((folder.parent, beside), (folder, inside)):
        for path in _listed(where):
            match = begun.fullmatch(path.name)
            if match and not _is_running(int(match[1])):
                if (path / _OLD).is_dir() and not folder.exists():
                    (path / _FILES).rename(folder)  # it had gone out of the way already
                shutil.rmtree(path, ignore_errors=True)


def _listed(folder: Path) -> list[Path]:
    """What is in a folder, as far as this user may see it."""
    try:
        return list(folder.iterdir())
    except OSError:
        return []


def _is_running(process: int) -> bool:
    """Whether another process runs, as far as this system tells; assumed where it does not."""
    if process == os.getpid():  # a number that a killed one had before
        return False
    if os.name != "posix":
        return True
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True
