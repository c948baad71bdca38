"""Files that appear whole or not at all.

A file is written beside its place under a temporary name, looked at, and only then renamed over
what was there. Whatever goes wrong on the way, the old file is untouched and nothing is left over.

    make_folder(path)                    the folder, made if need be, or one clear error
    put(path, data)                      bytes that are at hand
    with whole(path, begins=b"...") as aside:
        library.write(str(aside))        what a library writes by itself

Both return or yield what was meant to be written; a caller that lists its files lists those.
"""

from __future__ import annotations

import os
import re
import unicodedata
from collections.abc import Generator
from contextlib import contextmanager
from pathlib import Path

from pikepole_model.errors import OutputError

# Of any file system, whatever stands before and behind it: in UTF-8 up to four bytes a letter.
LONGEST_SLUG = 48


def make_folder(folder: Path) -> Path:
    """The folder, made with its parents where it is not there yet.

    Raises:
        OutputError: a file is in the way, or the folder may not be made or written into.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (FileExistsError, NotADirectoryError):
        above = (folder, *folder.parents)
        path = next(path for path in above if os.path.lexists(path) and not path.is_dir())
        what = "is a file"
        if path.is_symlink():
            what = "is a link to a file" if path.exists() else "is a link to nothing"
        raise OutputError(f"{folder}: {path} {what}; name a folder to write into") from None
    except OSError as error:
        raise OutputError(
            f"{folder}: cannot be made ({reason(error)}); choose another folder"
        ) from error
    if not os.access(folder, os.W_OK | os.X_OK):
        raise OutputError(f"{folder}: may not be written into; choose another folder")
    return folder


def put(path: Path, data: bytes) -> Path:
    """Write bytes as a whole file.

    Args:
        path: The file, in a folder that is there.
        data: All of it, at least one byte.

    Returns:
        The path.

    Raises:
        OutputError: the file could not be written whole; what was there before still is.
    """
    with whole(path) as aside:
        aside.write_bytes(data)
        written = aside.stat().st_size
        if written != len(data):
            raise OutputError(
                f"{path}: {written} of {len(data)} bytes were written; see whether the disk is full"
            )
    return path


@contextmanager
def whole(path: Path, *, begins: bytes = b"", ends: bytes = b"") -> Generator[Path]:
    """A place beside `path` to write to; what is written there becomes `path` if it is whole.

    Args:
        path: The file that is meant, in a folder that is there.
        begins: What every file of this format starts with.
        ends: What every file of this format ends with, white space aside.

    Yields:
        The temporary path, with the same suffix.

    Raises:
        OutputError: nothing was written, or it is empty or not of this format, or it could not
            take its place. Errors of the writer pass through, an OSError as an OutputError.
    """
    if path.is_dir():
        raise OutputError(f"{path}: is a folder; move it away, a file goes here")
    if not path.parent.is_dir():
        raise OutputError(f"{path}: there is no folder {path.parent}; make it first")
    aside = path.with_name(f".{path.stem}.{os.getpid()}{path.suffix}")
    try:
        yield aside
        _check(path, aside, begins, ends)
        aside.replace(path)
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(
            f"{path}: could not be written ({reason(error)}); "
            "see whether it is open elsewhere, or the disk is full"
        ) from error
    finally:
        aside.unlink(missing_ok=True)


def _check(path: Path, aside: Path, begins: bytes, ends: bytes) -> None:
    """Raise OutputError unless the file aside is there, not empty, and starts and ends right."""
    size = aside.stat().st_size if aside.is_file() else 0
    if size == 0:
        raise OutputError(f"{path}: nothing was written; see whether the disk is full")
    with aside.open("rb") as file:
        head = file.read(len(begins))
        file.seek(max(0, size - len(ends) - 16))
        tail = file.read().rstrip()
    if head != begins or not tail.endswith(ends):
        raise OutputError(f"{path}: came out broken or cut short; see whether the disk is full")


def reason(error: OSError) -> str:
    """Why the system refused, in its own words."""
    return (error.strerror or str(error)).lower()


def slug(name: str) -> str:
    """A name as part of a file name: lower case, letters and digits of any script, hyphens."""
    plain = unicodedata.normalize("NFKC", name).lower()
    return re.sub(r"[\W_]+", "-", plain)[:LONGEST_SLUG].strip("-") or "unnamed"
