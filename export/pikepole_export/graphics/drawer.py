"""The program that draws, and how it is told what to draw.

    python -m pikepole_export.graphics.drawer FOLDER

It loads what pictures are drawn with, then does one job after another. It is told, a line each: the
module to draw with and the folder of a job, the names of pictures as they are handed over, an empty
line when there are no more. When they are all in `drawn` it answers with a line. Where the process
that started it ends before it, it ends too, and clears up its folder.
"""

from __future__ import annotations

import json
import os
import shutil
import sys
import threading
from collections import deque
from importlib import import_module
from pathlib import Path
from queue import SimpleQueue
from typing import NoReturn

# Said in place of a picture's name: what all of them need is there; all have been handed over.
READY, COMPLETE = "ready", ""
# Said in place of a job: there are no more.
END = "end"


def job_line(module: str, job: Path) -> str:
    """What begins a job.

    Args:
        module: Its `draw(names, job)` draws.
        job: The folder with what the pictures need.
    """
    return json.dumps([module, str(job)])


def page_file(name: str) -> str:
    """What a picture alone needs, in the folder of its job."""
    return f"{name}.page.json"


def main(folder: Path) -> NoReturn:
    """Do job after job."""
    answers = os.fdopen(os.dup(1), "w", encoding="ascii")
    os.dup2(2, 1)  # what a library prints of its own accord is no answer
    lines: SimpleQueue[str] = SimpleQueue()
    threading.Thread(target=_listen, args=(folder, lines), daemon=True).start()
    import_module("pyvista.plotting")
    for line in iter(lines.get, END):
        module, job = json.loads(line)
        (Path(job) / "drawn").mkdir(exist_ok=True)  # several may share a job
        names = iter(lines.get, COMPLETE)
        import_module(module).draw(names, Path(job))
        deque(names, maxlen=0)  # what it did not ask for is no job
        print(file=answers, flush=True)
    os._exit(0)  # what it holds need not be freed piece by piece


def _listen(folder: Path, lines: SimpleQueue[str]) -> NoReturn:
    # The parent holds the other end of the pipe; at its end the pipe closes, and nobody waits for
    # the pictures any longer. Not through sys.stdin, whose lock would be held when this process
    # ends by itself.
    rest = b""
    while heard := os.read(0, 4096):
        *whole, rest = (rest + heard).split(b"\n")
        for line in whole:
            lines.put(line.decode())
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(1)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
