"""The command line: `pikepole build`, `buy`, `check`, `cut`, `lift` and `view`.

One module for each command; what they share is in `work` (a scene file into a building, steps
shown as they are done) and `words` (what is said to the user). Nothing is decided here but the
order of the work and what the exit code is.
"""

from __future__ import annotations

import gc
import io
import signal
import sys
from typing import Annotated

import typer

from pikepole_export.cli.build import build_command
from pikepole_export.cli.buy import buy_command
from pikepole_export.cli.check import check_command
from pikepole_export.cli.cut import cut_command
from pikepole_export.cli.lift import lift_command
from pikepole_export.cli.view import view_command
from pikepole_export.cli.words import ExitCode, complain, refuse
from pikepole_export.files.whole import reason
from pikepole_model.errors import CatalogueError, PikepoleError, SceneError

app = typer.Typer(
    name="pikepole",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command("build")(build_command)
app.command("buy")(buy_command)
app.command("check")(check_command)
app.command("cut")(cut_command)
app.command("lift")(lift_command)
app.command("view")(view_command)


def _say_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"pikepole {version('pikepole')}")
        raise typer.Exit


@app.callback()
def pikepole(
    _version: Annotated[
        bool,
        typer.Option("--version", callback=_say_version, is_eager=True, help="Say which version."),
    ] = False,
) -> None:
    """See a small timber building, piece by piece, before you cut anything.

    Describe the building in a scene file, a text file with its sizes. Every stud, joist, rafter and
    sheet is then worked out as it will be cut, counted, weighed and drawn.

    Start from a copy of a scene in scenes/, where every line is explained.
    """


class _Interrupt(BaseException):
    """Ctrl-C. Not KeyboardInterrupt, which the parser of arguments takes for an answer."""

    came = False


def _interrupt(*_: object) -> None:
    _Interrupt.came = True
    raise _Interrupt


def main() -> None:
    """Run the command line.

    Raises:
        SystemExit: always, with the exit code.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a title may not fit the terminal's alphabet
    signal.signal(signal.SIGINT, _interrupt)
    # One short run that makes next to no reference cycles: looking for them costs a tenth of it.
    gc.disable()
    sys.exit(_exit_code())


def _exit_code() -> int:
    try:
        app()
        return ExitCode.DONE
    except BaseException as error:
        # All is done: what the interpreter has left to clear up would end without a word.
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        # What is being imported may end with an error of its own instead.
        if _Interrupt.came:
            complain(["Interrupted."])
            return ExitCode.INTERRUPTED
        match error:
            case SystemExit():
                return int(error.code or 0)
            case SceneError() | CatalogueError():
                refuse(error)
                return ExitCode.BAD_INPUT
            case PikepoleError():
                refuse(error)
                return ExitCode.NOT_MADE
            case OSError():
                complain([f"{reason(error)}; not all was said or done"])
                return ExitCode.NOT_MADE
            case _:
                raise
