"""A child process that draws pictures, and the moving of what it drew to its place.

The graphics library ends the whole process, without an exception, where the machine lacks what it
draws with; so it never runs in the process that writes the other files.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from types import TracebackType

from pikepole_export.files.whole import make_folder, put
from pikepole_model.errors import OutputError

PATIENCE_S = 600.0

# Large arrays are given back to the system as soon as they are free, 100 MiB less at a time: else
# the C library keeps them for later, each time for larger ones. Source: mallopt(3) of glibc.
_GIVES_BACK = {"MALLOC_MMAP_THRESHOLD_": str(2**20)}


class Pictures:
    """Pictures being drawn. Ends the child and clears up when its block is left.

    Args:
        job: The folder with what the child needs; removed at the end.
        program: The module that it runs; it leaves its pictures in `drawn`.
        names: Of the pictures, without their folder.
        folder: Where they go, below the one that is named at the end.
        size: Width and height of each, px.
        after: Those that are drawn first: two at once take twice the memory.
    """

    def __init__(
        self,
        job: Path,
        program: str,
        names: list[str],
        folder: str,
        size: tuple[int, int],
        after: Pictures | None = None,
    ) -> None:
        self._job = job
        self._program = program
        self._names = names
        self._folder = folder
        self._size = size
        self._complaints = (job / "complaints.txt").open("wb")
        self._turn = threading.Lock()
        self._given_up = False
        self._child: subprocess.Popen[bytes] | None = None
        self._failure: OSError | None = None
        self._drawn = threading.Event()
        if after is None:
            self._start()
        threading.Thread(target=self._draw, args=(after,), daemon=True).start()

    def _start(self) -> None:
        self._child = subprocess.Popen(
            # -P: no module from the folder that the command happens to be run in.
            [sys.executable, "-P", "-m", self._program, str(self._job)],
            env={**os.environ, **_GIVES_BACK},
            stdin=subprocess.PIPE,  # it ends when this closes
            stdout=self._complaints,
            stderr=self._complaints,
        )

    def _draw(self, after: Pictures | None) -> None:
        """Wait for the turn, and until all is drawn."""
        if after is not None:
            after._drawn.wait()
            with self._turn:
                if not self._given_up:
                    try:
                        self._start()
                    except OSError as error:
                        self._failure = error
        if self._child is not None:
            self._child.wait()
        self._drawn.set()

    @property
    def child_pid(self) -> int | None:
        """The process that draws; None before its turn."""
        return self._child.pid if self._child else None

    def __enter__(self) -> Pictures:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        with self._turn:
            self._given_up = True
        if self._child is not None:
            if self._child.poll() is None:
                self._child.kill()
            self._child.communicate()
        self._complaints.close()
        shutil.rmtree(self._job, ignore_errors=True)

    def finish(self, folder: Path) -> list[str]:
        """Wait for the child and move its pictures into their folder below `folder`.

        Returns:
            The names written, relative to the folder.

        Raises:
            OutputError: the child died or its pictures are not whole; none was moved.
        """
        if not self._drawn.wait(PATIENCE_S):
            if self._child is not None:
                self._child.kill()  # others wait for their turn
            raise OutputError(f"no picture was written: no answer in {PATIENCE_S:.0f} s")
        if self._failure or not self._child:
            raise OutputError(f"no picture was written: {self._failure}")
        code = self._child.returncode
        if code != 0:
            raise OutputError(_why(code, self._job / "complaints.txt"))
        # All are looked at before the first is put in its place.
        drawn = {name: _read(self._job / "drawn" / name, self._size) for name in self._names}
        below = make_folder(folder / self._folder)
        for name, data in drawn.items():
            put(below / name, data)
        return [f"{self._folder}/{name}" for name in self._names]


def _why(code: int, complaints: Path) -> str:
    """One line: no pictures, and what to do about it."""
    mend = "on Debian or Ubuntu: sudo apt-get install libegl1 libgl1; then run it again"
    if code == -9:  # SIGKILL, which not every system has a name for
        return (
            "no picture was written: drawing was killed, for want of memory or by hand; try again"
        )
    if code < 0:
        # How the graphics library ends where it finds nothing to draw with.
        return f"no picture was written: drawing stopped with signal {-code}; {mend}"
    lines = complaints.read_text(encoding="utf-8", errors="replace").split("\n")
    said = next((line.strip() for line in reversed(lines) if line.strip()), f"exit code {code}")
    return f"no picture was written: drawing stopped ({said[:200]}); {mend}"


def _read(path: Path, size_px: tuple[int, int]) -> bytes:
    """A whole PNG of the right size.

    Raises:
        OutputError: it is not there from its first byte to its last.

    Source: PNG specification (ISO/IEC 15948): signature, IHDR chunk first, IEND chunk last.
    """
    data = path.read_bytes() if path.is_file() else b""
    size = b"".join(n.to_bytes(4, "big") for n in size_px)
    if data[:8] != b"\x89PNG\r\n\x1a\n" or data[16:24] != size or data[-8:-4] != b"IEND":
        raise OutputError(f"no picture was written: {path.name} did not come out whole")
    return data
