"""The solids of a building, which the CAD kernel makes in a process of its own.

The kernel takes seconds to load, and only the look at each solid and the STEP file need it: so it
loads, and works, while the building is laid out and the rest is worked out and written.

    with Solids() as solids:                  # begins to load
        ...
        solids.make(every_shape(building), assembly_of(building.finished))
        ...
        wrong, data = solids.wrong(), solids.step()
"""

from __future__ import annotations

import pickle
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from typing import Any

from pikepole_export.files.children import Child, UsesChildren, end_child, start_child
from pikepole_export.write.models import kernel
from pikepole_export.write.models.step import Assembly
from pikepole_model.errors import OutputError
from pikepole_model.geometry.shape import Shape


class Solids(UsesChildren):
    """The solids being made. Ends the process that makes them when its block is left.

    Where this process has loaded the kernel already, or can start no other, it makes them itself
    when they are asked for.
    """

    def __init__(self) -> None:
        self._child = None if "cadquery" in sys.modules else _started()
        self._shapes: Sequence[Shape] = ()
        self._answer: Callable[[], Any]
        self._answers: list[Any] = []

    def make(self, shapes: Sequence[Shape], assembly: Assembly | None = None) -> None:
        """Have solids made, looked at and written, while this process goes on.

        Args:
            shapes: Those to look at.
            assembly: What to write as STEP; None where nobody asks for it.
        """
        self._shapes = shapes
        if self._child:
            self._answer = partial(_heard, self._child)
            # Made now, for this process goes on to fill the shapes with what it works out of them.
            job = pickle.dumps((shapes, assembly))
            # It listens once it has loaded the kernel.
            threading.Thread(target=_hand, args=(self._child, job), daemon=True).start()
        else:
            self._answer = kernel.answers(shapes, assembly).__next__

    def wrong(self) -> dict[Shape, tuple[str, ...]]:
        """What is wrong with each shape; waits for it.

        Raises:
            OutputError: the kernel cannot be loaded, or stopped.
        """
        return dict(zip(self._shapes, self._told(0), strict=True))

    def step(self) -> bytes:
        """The STEP file; waits for it.

        Raises:
            OutputError: the kernel refused, cannot be loaded, or stopped.
        """
        return self._told(1)

    @property
    def child_pid(self) -> int | None:
        """The process that makes them; None where it is this one."""
        return self._child.pid if self._child else None

    def _told(self, number: int) -> Any:
        while len(self._answers) <= number:
            self._answers.append(self._answer())
        answer = self._answers[number]
        if isinstance(answer, OutputError):
            raise answer
        return answer

    def close(self) -> None:
        """End the process."""
        if self._child:
            end_child(self._child)


def _started() -> Child | None:
    with suppress(OSError):
        return start_child(kernel.__name__, complaints=subprocess.DEVNULL)
    return None


def _hand(child: Child, job: bytes) -> None:
    assert child.stdin is not None
    with suppress(OSError):  # it has ended, which is heard
        child.stdin.write(job)
        child.stdin.flush()


def _heard(child: Child) -> Any:
    assert child.stdout is not None
    try:
        return pickle.load(child.stdout)
    except (EOFError, pickle.UnpicklingError):
        return OutputError(f"the CAD kernel stopped with exit code {child.wait()}; try again")
