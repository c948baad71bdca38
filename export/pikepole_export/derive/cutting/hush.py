"""Nothing on standard output while the solver works.

    with hushed(): ...

HiGHS can print a line of its own past Python, straight to the stream of the process, where it
would stand in the middle of a list that a person or a program reads.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Generator
from contextlib import contextmanager, suppress

_STDOUT = 1  # its file descriptor, whatever Python's own stream is


@contextmanager
def hushed() -> Generator[None]:
    """Sends what is written to standard output nowhere; a process without one is left as it is."""
    with suppress(AttributeError, OSError, ValueError):
        sys.stdout.flush()
    try:
        kept = os.dup(_STDOUT)
    except OSError:  # closed
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, _STDOUT)
        yield
    finally:
        os.dup2(kept, _STDOUT)
        os.close(nowhere)
        os.close(kept)
