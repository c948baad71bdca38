"""Child processes that draw pictures, and the moving of what they drew to its place.

The graphics library ends the whole process, without an exception, where the machine lacks what it
draws with; so it never runs in the process that writes the other files.
"""

from __future__ import annotations

import shutil
import tempfile
import threading
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from pikepole_export.files.children import Child, UsesChildren, end_child, start_child
from pikepole_export.files.whole import make_folder, put
from pikepole_export.graphics import drawer
from pikepole_export.graphics.drawer import COMPLETE, END, READY
from pikepole_model.errors import OutputError

PATIENCE_S = 600.0


class Pictures(UsesChildren):
    """Pictures being drawn. Ends the children and clears up when its block is left.

    The children begin at once to load what they draw with, which takes a second. A picture is drawn
    once it has been handed to them, while the next is prepared.

    Args:
        program: The module that a child draws with: its `draw(names, job)` leaves them in `drawn`.
        folder: Where they go, below the one that is named at the end.
        size: Width and height of each, px.
        children: How many share the pictures, at most.
        after: Those that are drawn first; their children draw these then. Its block is left last.

    Attributes:
        job: The folder for what the children need; removed at the end.
        size: Width and height of each picture, px.
        count: How many children share them.
    """

    def __init__(
        self,
        program: str,
        folder: str,
        size: tuple[int, int],
        *,
        children: int = 1,
        after: Pictures | None = None,
    ) -> None:
        self.job = Path(tempfile.mkdtemp(prefix="pikepole-", dir=after._clear if after else None))
        self._clear: Path = after._clear if after else self.job  # for children left without parent
        self._program = program
        self._names: list[str] = []
        self._drawers: list[int] = []  # the child that draws each
        self._folder = folder
        self.size = size
        self._after = after
        self._turn = threading.Lock()
        self._given_up = False
        self._started: list[Child] = []
        self._lent: list[Child] | None = []  # to those that come after; None when all have ended
        self._failure: OSError | None = None
        self._drawn = threading.Event()
        self._code = 0
        self._complaints = self.job / "complaints.txt"
        self._children = after.lend(children) if after else []
        if after and self._children:
            self._complaints = after._complaints
        else:
            self._start(children)
        self.count = children if self._failure else len(self._children)
        if after is None:
            self._begin()

    def _start(self, children: int) -> None:
        try:
            with self._complaints.open("ab") as complaints:
                for _ in range(children):
                    started = start_child(drawer.__name__, str(self._clear), complaints=complaints)
                    self._started.append(started)
        except OSError as error:
            self._failure = error
        self._children = self._started

    def lend(self, most: int) -> list[Child]:
        """Children that draw others when these are drawn; none where they have ended."""
        with self._turn:
            if self._lent is None or self._given_up:
                return []
            self._lent = self._children[:most]
            return self._lent

    def _begin(self) -> None:
        for child in self._children:
            _say(child, drawer.job_line(self._program, self.job))

    def ready(self) -> None:
        """What all pictures need is in the job's folder; the children prepare to draw."""
        for child in self._children:
            _say(child, READY)

    def hand(self, name: str, child: int | None = None) -> None:
        """Have a picture drawn: what it needs is in the job's folder, what all need and its own.

        Args:
            name: Of the picture, without its folder.
            child: The one of them that draws it; where none is named, they take turns.
        """
        self._drawers.append(len(self._names) % self.count if child is None else child)
        self._names.append(name)
        if self._after is None:
            self._pass_on(len(self._names) - 1)

    def _pass_on(self, number: int) -> None:
        if self._children:
            _say(self._children[self._drawers[number]], self._names[number])

    def complete(self) -> None:
        """No more pictures will be handed over."""
        threading.Thread(target=self._draw, daemon=True).start()

    def _draw(self) -> None:
        """Wait for the turn, and until all is drawn."""
        if self._after is not None:
            self._after._drawn.wait()
        with self._turn:
            if not self._given_up:
                if self._after is not None:
                    if self._children is not self._started and _any_ended(self._children):
                        self._start(self.count)  # what ended them need not end these
                    self._begin()
                    for number in range(len(self._names)):
                        self._pass_on(number)
                for child in self._children:
                    _say(child, COMPLETE)
        self._code = next(filter(None, [_code_when_drawn(child) for child in self._children]), 0)
        self._drawn.set()
        with self._turn:
            for child in [] if self._given_up else self._children:
                if child not in (self._lent or ()):
                    _say(child, END)
            if not self._lent:
                self._lent = None

    @property
    def child_pids(self) -> list[int]:
        """The processes that draw."""
        return [child.pid for child in self._children]

    def close(self) -> None:
        """End the children and clear up."""
        with self._turn:
            self._given_up = True
            for child in self._started:
                end_child(child)
        shutil.rmtree(self.job, ignore_errors=True)

    def finish(self, folder: Path) -> list[str]:
        """Wait for the children and move their pictures into their folder below `folder`.

        Returns:
            The names written, relative to the folder.

        Raises:
            OutputError: a child died or its pictures are not whole; none was moved.
        """
        if not self._drawn.wait(PATIENCE_S):
            for child in self._children:
                child.kill()  # others wait for their turn
            raise OutputError(f"no picture was written: no answer in {PATIENCE_S:.0f} s")
        if self._failure:
            raise OutputError(f"no picture was written: {self._failure}")
        if self._code:
            raise OutputError(_why(self._code, self._complaints))
        # All are looked at before the first is put in its place.
        drawn = {name: _read(self.job / "drawn" / name, self.size) for name in self._names}
        below = make_folder(folder / self._folder)
        for name, data in drawn.items():
            put(below / name, data)
        return [(Path(self._folder) / name).as_posix() for name in self._names]


def _any_ended(children: Iterable[Child]) -> bool:
    return any(child.poll() is not None for child in children)


def _code_when_drawn(child: Child) -> int:
    """Wait for a child to say that it is done; what it ended with where it never says so."""
    assert child.stdout is not None
    with suppress(ValueError):  # closed, for all was given up
        if child.stdout.readline():
            return 0
    return child.wait() or 1


def _say(child: Child, line: str) -> None:
    assert child.stdin is not None
    try:
        child.stdin.write(f"{line}\n".encode())
        child.stdin.flush()
    except OSError:
        pass  # it has died already, which its exit code tells


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
