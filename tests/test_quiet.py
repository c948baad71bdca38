"""What a C library prints never reaches standard output."""

from __future__ import annotations

import ctypes
import sys

import pytest

from pikepole_export.files.quiet import quiet


def test_what_a_library_prints_is_thrown_away(capfd: pytest.CaptureFixture[str]) -> None:
    library = ctypes.CDLL(None)
    with quiet():
        library.puts(b"a note of the solver")
    sys.stdout.write("said\n")
    library.puts(b"another")
    library.fflush(None)
    out = capfd.readouterr().out
    assert "solver" not in out
    assert {"said", "another"} <= set(out.split())
