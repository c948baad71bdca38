"""What an earlier build left in a folder, taken away where it is no more.

renewed(files, inside, folder) -> list[Path]
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path


def renewed(files: Sequence[Path], inside: str, folder: Path) -> list[Path]:
    """The same files, once those that an earlier build wrote beside them are gone.

    Only what the summary of that build says it wrote is taken away.

    Args:
        files: What has been written now.
        inside: The folder that it is in: "stages".
        folder: Where the output goes; `inside` is below it.
    """
    for earlier in _earlier(inside, folder):
        if earlier not in files:
            with suppress(OSError):  # what cannot be taken away does no harm
                earlier.unlink()
    return list(files)


def _earlier(inside: str, folder: Path) -> list[Path]:
    """What summary.json lists in one folder; nothing where there is none to be read."""
    try:
        files = json.loads((folder / "summary.json").read_bytes())["files"]
        names = [Path(file).name for file in files if Path(file).parent == Path(inside)]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [folder / inside / name for name in names]
