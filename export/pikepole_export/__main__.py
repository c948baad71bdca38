"""`python -m pikepole_export` is `pikepole`."""

from __future__ import annotations

from pikepole_export.cli import main
from pikepole_export.files.ending import end_now


def run() -> None:
    """Run the command line, and end the process with its exit code."""
    try:
        main()
    except SystemExit as end:
        end_now(int(end.code or 0))


if __name__ == "__main__":
    run()
