"""Programs that work beside this one, and end with the block in which they are used.

start_child(module, *words, complaints=file) -> Child
end_child(child)
"""

from __future__ import annotations

import subprocess
import sys
from abc import ABC, abstractmethod
from contextlib import suppress
from typing import IO, Self, TypeAlias

Child: TypeAlias = subprocess.Popen[bytes]


class UsesChildren(ABC):
    """What closes when its block is left."""

    @abstractmethod
    def close(self) -> None:
        """End the children and clear up."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def start_child(module: str, *words: str, complaints: IO[bytes] | int) -> Child:
    """Start a module as a program that is told and answers through pipes.

    Args:
        module: Its name.
        words: What it is started with.
        complaints: Where its standard error goes.

    Raises:
        OSError: no process can be started.
    """
    return subprocess.Popen(
        # -P: no module from the folder that the command happens to be run in.
        [sys.executable, "-P", "-m", module, *words],
        stdin=subprocess.PIPE,  # it ends when this closes
        stdout=subprocess.PIPE,
        stderr=complaints,
    )


def end_child(child: Child) -> None:
    """Kill a child, unless it has ended, and close what leads to it."""
    child.kill()
    child.wait()
    for pipe in (child.stdin, child.stdout):
        if pipe is not None:
            with suppress(OSError):  # what it was not told in time
                pipe.close()
