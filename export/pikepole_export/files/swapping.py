"""Two folders that change places in one rename."""

from __future__ import annotations

import ctypes
import os
import stat
import sys
from pathlib import Path

# More files of the user's own than this are not linked one by one into a prepared folder.
MOST_ENTRIES = 2000

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2  # linux/fs.h


def can_change_places(folder: Path) -> bool:
    """Whether a folder may be exchanged for another one whole.

    Not one that somebody works in, whose shell would go on in the old one; not a mounted one; not
    one with very many files of the user's own, or with what is no file, folder or link.
    """
    if Path.cwd().is_relative_to(folder) or os.path.ismount(folder):
        return False
    count = 0
    for below, folders, files in os.walk(folder):
        count += len(folders) + len(files)
        if count > MOST_ENTRIES:
            return False
        modes = (os.lstat(Path(below) / name).st_mode for name in (*folders, *files))
        if not all(stat.S_ISREG(m) or stat.S_ISDIR(m) or stat.S_ISLNK(m) for m in modes):
            return False
    return True


def change_places(new: Path, old: Path, aside: Path) -> None:
    """Put a folder where another is, and that one aside.

    Args:
        new: The folder that is prepared.
        old: The one whose place it takes.
        aside: Where that goes, a name that nothing bears, on the same file system.

    Raises:
        OSError: the system refuses; both are where they were.
    """
    new.chmod(stat.S_IMODE(old.stat().st_mode))
    if sys.platform == "linux" and _exchange(new, old):
        new.rename(aside)
        return
    old.rename(aside)
    try:
        new.rename(old)
    except OSError:
        aside.rename(old)
        raise


def _exchange(a: Path, b: Path) -> bool:
    """Whether two folders changed places at once, as some file systems can."""
    try:
        rename = ctypes.CDLL(None).renameat2
    except (OSError, AttributeError):
        return False
    return not rename(_AT_FDCWD, os.fsencode(a), _AT_FDCWD, os.fsencode(b), _RENAME_EXCHANGE)
