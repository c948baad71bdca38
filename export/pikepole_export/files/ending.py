"""The end of a program that has done its work.

end_now(code)
"""

from __future__ import annotations

import os
import sys
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
