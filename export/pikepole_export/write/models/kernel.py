"""The program that makes solids.

    python -m pikepole_export.write.models.kernel

It loads the CAD kernel, is handed shapes and perhaps an assembly, and answers what is wrong with
each shape, then the assembly as STEP. What is handed and answered is pickled.
"""

from __future__ import annotations

import os
import pickle
import sys
import threading
from collections.abc import Callable, Iterator, Sequence
from typing import Any, NoReturn

from pikepole_export.write.models.step import Assembly, step_bytes
from pikepole_model.checks.sound import wrong_with
from pikepole_model.errors import OutputError
from pikepole_model.geometry.shape import Shape


def answers(shapes: Sequence[Shape], assembly: Assembly | None) -> Iterator[Any]:
    """What is wrong with each shape, then the assembly as STEP; each an OutputError where it fails.

    Args:
        shapes: Those to look at.
        assembly: What to write; None where nobody asks for it.
    """
    yield _tried(lambda: [wrong_with(shape) for shape in shapes])
    if assembly:
        yield _tried(lambda: step_bytes(assembly))


def _tried(make: Callable[[], Any]) -> Any:
    try:
        _load()
        return make()
    except OutputError as error:
        return error
    except Exception as error:  # the kernel's own errors share no narrower class
        return OutputError(f"{type(error).__name__}: {error}")


def _load() -> None:
    """Import the kernel, which needs a graphics library of the system even to calculate.

    Raises:
        OutputError: the library is not there; says what to install.
    """
    try:
        import cadquery  # noqa: F401  # pyright: ignore[reportUnusedImport]
        import OCP.STEPCAFControl  # noqa: F401  # pyright: ignore[reportUnusedImport]
    except ImportError as error:
        if ".so" not in str(error):
            raise
        library = str(error).partition(":")[0]
        raise OutputError(
            f"the CAD kernel needs {library}, which this machine lacks; "
            "on Debian or Ubuntu: sudo apt-get install libgl1 libegl1"
        ) from None


def main() -> None:
    """Answer what is asked, then end."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # the kernel prints of its own accord
    _tried(_load)  # while nobody asks yet
    try:
        shapes, assembly = pickle.load(sys.stdin.buffer)
    except EOFError:
        return  # nobody will
    threading.Thread(target=_end_with_parent, daemon=True).start()
    for answer in answers(shapes, assembly):
        pickle.dump(answer, out)
        out.flush()


def _end_with_parent() -> NoReturn:
    # The parent holds the other end of the pipe; at its end nobody waits any longer.
    os.read(0, 1)
    os._exit(1)


if __name__ == "__main__":
    main()
