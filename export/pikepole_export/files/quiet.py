"""What a library written in C prints of its own accord, kept from standard output.

with quiet(): ...
"""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Generator
from contextlib import contextmanager


@contextmanager
def quiet() -> Generator[None, None, None]:
    """Throw away what is written to standard output past Python, such as notes of a solver."""
    sys.stdout.flush()
    try:
        kept = os.dup(1)
    except OSError:  # it is closed: nothing can get there
        yield
        return
    away = os.open(os.devnull, os.O_WRONLY)
    os.dup2(away, 1)
    try:
        yield
    finally:
        # What the library still holds back would come out later.
        ctypes.CDLL(None).fflush(None)
        os.dup2(kept, 1)
        os.close(kept)
        os.close(away)
