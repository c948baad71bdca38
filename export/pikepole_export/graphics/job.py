"""What a program of a child process begins with: the job it is given, and how it ends early."""

from __future__ import annotations

import json
import os
import shutil
import threading
from importlib import import_module
from pathlib import Path
from typing import Any, NoReturn

import numpy as np
from numpy.typing import NDArray


def begin(job: Path) -> tuple[dict[str, NDArray[Any]], Any, Path]:
    """Open a job once it is complete, and end with the process that gave it.

    What pictures are drawn with is loaded first. The process that gives the job says a word when
    it is complete; where it ends, nobody waits for the pictures any longer.

    Args:
        job: The folder with `arrays.npz` and `words.json`.

    Returns:
        The arrays, the words, and a new folder for what is drawn.
    """
    import_module("pyvista.plotting")

    if not os.read(0, 1):
        _end(job)
    threading.Thread(target=_end_with_parent, args=(job,), daemon=True).start()
    with np.load(job / "arrays.npz") as stored:
        arrays = dict(stored)
    words = json.loads((job / "words.json").read_text(encoding="utf-8"))
    folder = job / "drawn"
    folder.mkdir(exist_ok=True)  # several may share a job
    return arrays, words, folder


def _end_with_parent(job: Path) -> None:
    # The parent holds the other end of the pipe, and says nothing; at its end the pipe closes.
    # Not through sys.stdin, whose lock would be held when this process ends by itself.
    os.read(0, 1)
    _end(job)


def _end(job: Path) -> NoReturn:
    shutil.rmtree(job, ignore_errors=True)
    os._exit(1)
