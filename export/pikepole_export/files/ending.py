"""The end of a program that has done its work, and of one that it has started.

end_now(code)
end_child(child)
"""

from __future__ import annotations

import os
import subprocess
import sys
from contextlib import suppress
from typing import NoReturn


def end_now(code: int) -> NoReturn:
    """End this process without freeing what it holds piece by piece, a tenth of a run.

    Its files are closed and its children have ended before.

    Args:
        code: That it ends with.

    Raises:
        OSError: what it has said could not be written.
    """
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:  # pyright: ignore[reportUnnecessaryComparison]
            stream.flush()
    os._exit(code)


def end_child(child: subprocess.Popen[bytes]) -> None:
    """Kill a child, unless it has ended, and close what leads to it."""
    child.kill()
    child.wait()
    for pipe in (child.stdin, child.stdout):
        if pipe is not None:
            with suppress(OSError):  # what it was not told in time
                pipe.close()
