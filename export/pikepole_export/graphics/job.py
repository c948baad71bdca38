"""What a program of a child process is handed, and how it ends with its parent."""

from __future__ import annotations

import os
import shutil
import threading
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from queue import SimpleQueue
from typing import NoReturn

# Said in place of a picture's name: what all of them need is there; all have been handed over.
READY, COMPLETE = "ready", ""


def page_file(name: str) -> str:
    """What a picture alone needs, in the folder of its job."""
    return f"{name}.page.json"


def begin(job: Path) -> tuple[Iterator[str], Path]:
    """Load what pictures are drawn with, and end with the process that gave the job.

    Args:
        job: The folder with what the pictures need.

    Returns:
        The names of the pictures, each as soon as it is handed over, and a folder for what is
        drawn.
    """
    names: SimpleQueue[str] = SimpleQueue()
    threading.Thread(target=_listen, args=(job, names), daemon=True).start()
    import_module("pyvista.plotting")
    folder = job / "drawn"
    folder.mkdir(exist_ok=True)  # several may share a job
    return iter(names.get, COMPLETE), folder


def _listen(job: Path, names: SimpleQueue[str]) -> NoReturn:
    # The parent holds the other end of the pipe; at its end the pipe closes, and nobody waits for
    # the pictures any longer. Not through sys.stdin, whose lock would be held when this process
    # ends by itself.
    rest = b""
    while heard := os.read(0, 4096):
        *lines, rest = (rest + heard).split(b"\n")
        for line in lines:
            names.put(line.decode())
    shutil.rmtree(job, ignore_errors=True)
    os._exit(1)
