"""What the command line says: refusals, findings, the summary. And its exit codes."""

from __future__ import annotations

import os
import re
import sys
import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from contextlib import suppress
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING

from rich.console import Console

from pikepole_export.files.whole import reason
from pikepole_model.errors import Finding, OutputError, PikepoleError, Problem, SceneError
from pikepole_model.units import Units, format_mass, plural

if TYPE_CHECKING:
    from pikepole_export.derive.inventory.mass import Mass
    from pikepole_model.building.part import Building

CAUTION = "Masses are from a model; wet wood is heavier; weigh a piece when in doubt."
SCALE = 24.0  # of a model to print: half an inch to the foot
NARROWEST, WIDEST = 40, 100  # columns; shorter and longer lines are hard to read
# No line ends between feet and inches, in a size, or between a number and its unit.
_ONE_NUMBER = re.compile(
    r"(?<=\d') (?=\d)"
    r"|(?<=\d) (?=(?:ft|in|mm|m|lb|kg|lbf|N|psi|mph|km/h|h|deg|box|fl|oz|yd3|ft2|ft3|m2|m3|gal)\b)"
    r"|(?<=[\d\"']) (?=x \d)|(?<=(?:ft|in|mm)) (?=x \d)|(?<= x) (?=\d)|(?<=fl) (?=oz)"
    r"|(?<=No\.) (?=\d)"
)
_JOINT = "\u00a0"
# Marks that turn the direction of text. Source: Unicode Standard Annex 9.
_TURNING = set("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class ExitCode(IntEnum):
    """How a command ends, for scripts."""

    DONE = 0
    FINDINGS = 1
    BAD_INPUT = 2
    NOT_MADE = 3
    INTERRUPTED = 130  # as a shell tells of a process that ended by Ctrl-C


class Output(StrEnum):
    """Kinds of output that can be asked for, in the order they are written."""

    TABLES = "tables"
    CALCULATIONS = "calculations"
    BUY = "buy"
    CUTS = "cuts"
    DRAWINGS = "drawings"
    PLANS = "plans"
    LIFTS = "lifts"
    SPREADSHEET = "spreadsheet"
    STL = "stl"
    GLB = "glb"
    THREE_MF = "3mf"
    IFC = "ifc"
    STEP = "step"  # the CAD kernel is at it meanwhile
    PAGE = "page"
    PICTURES = "pictures"
    CARDS = "cards"
    HANDBOOK = "handbook"

    @property
    def is_asked_for(self) -> bool:
        """Whether it is only written where it is named."""
        in_the_book = (Output.CALCULATIONS, Output.DRAWINGS, Output.PLANS, Output.CARDS)
        return self in (*in_the_book, Output.THREE_MF, Output.IFC)

    @property
    def called(self) -> str:
        """What it is in a sentence: "tables", "STEP file"."""
        names = {
            Output.BUY: "buying list",
            Output.CUTS: "cut plan",
            Output.LIFTS: "lift plan",
            Output.CARDS: "lift cards",
        }
        file = self in (Output.STEP, Output.STL, Output.GLB, Output.THREE_MF, Output.IFC)
        return f"{self.value.upper()} file" if file else names.get(self, self.value)


def say(lines: Iterable[str]) -> None:
    """Print lines for the user as they are: no markup, no breaking of names that can be copied."""
    _print(Console(), lines)


def complain(lines: Iterable[str]) -> None:
    """The same where errors go; there is nobody to tell where even that cannot be written to."""
    with suppress(OutputError):
        _print(Console(stderr=True), lines)


def refuse(error: PikepoleError) -> None:
    """Say why nothing more was done."""
    if isinstance(error, SceneError):
        complain(report(error))
    else:
        complain(line for problem in str(error).splitlines() for line in wrapped(problem))


def report(error: SceneError) -> list[str]:
    """Everything that is wrong with a scene: the file, then problem by problem."""
    count = len(error.problems)
    head = "one thing to put right" if count == 1 else f"{count} things to put right"
    lines = [f"{error.path}: {head}; nothing was made."]
    for problem in error.problems:
        lines += ["", *_problem(problem)]
    return lines


def findings_list(findings: Sequence[Finding]) -> list[str]:
    """What the checks found, one by one."""
    lines: list[str] = []
    for number, finding in enumerate(findings, start=1):
        lines += wrapped(f"{number}. {finding}", indent="   ", first="")
    return lines


def table(rows: Sequence[tuple[str, str]]) -> list[str]:
    """Names with what they are, lined up."""
    width = max(len(name) for name, _ in rows)
    return [f"  {name:{width}}  {text}" for name, text in rows]


def looked_at(building: Building) -> str:
    """What the checks went through: "312 parts and 1,407 joints"."""
    return f"{plural(len(building.parts), 'part')} and {plural(len(building.joints), 'joint')}"


def mass_text(mass: Mass, units: Units) -> str:
    """A mass with its range: "41.3 lb likely (38.0 lb to 52.6 lb)"."""
    low, likely, high = (
        format_mass(mass_kg, units) for mass_kg in (mass.low_kg, mass.likely_kg, mass.high_kg)
    )
    return f"{likely} likely ({low} to {high})" if low != high else likely


def wrapped(
    text: str, indent: str = "", first: str | None = None, columns: int | None = None
) -> list[str]:
    """Text as lines that fit, unless a single word is longer.

    Args:
        text: A sentence or more.
        indent: Before every line.
        first: Before the first, where that differs.
        columns: What they fit into; the terminal where that is not said.
    """
    terminal = min(max(Console(stderr=True).width, NARROWEST), WIDEST)
    lines = textwrap.wrap(
        _ONE_NUMBER.sub(_JOINT, text),
        (columns or terminal) - 1,
        initial_indent=indent if first is None else first,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_JOINT, " ") for line in lines]


def built_already(building: Building) -> list[str]:
    """Which stages the lists leave out because they are built; nothing without any."""
    from pikepole_model.building.remaining import done_stages

    done = sorted(done_stages(building))
    if not done:
        return []
    firsts = [n for n in done if n - 1 not in done]
    lasts = [n for n in done if n + 1 not in done]
    runs = (str(a) if a == b else f"{a} to {b}" for a, b in zip(firsts, lasts, strict=True))
    what = "Stage" if len(done) == 1 else "Stages"
    return [f"{what} {', '.join(runs)}: built, and not in it."]


def _problem(problem: Problem) -> list[str]:
    lines: list[str] = []
    if problem.key:
        place = f"{problem.key} = {problem.value}" if problem.value else problem.key
        lines += wrapped(place, indent="      ", first="  ")
    lines += wrapped(f"wrong: {problem.wrong}", indent="           ", first="    ")
    lines += wrapped(f"mend:  {problem.mend}", indent="           ", first="    ")
    return lines


def _print(console: Console, lines: Iterable[str]) -> None:
    for line in lines:
        try:
            console.print(
                harmless(line), markup=False, highlight=False, emoji=False, soft_wrap=True
            )
        except BrokenPipeError:
            # Whoever read it has enough, as `head` does; the command does its work all the same.
            sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123, SIM115
            return
        except OSError as error:
            raise OutputError(f"standard output: {reason(error)}; not all was said") from error


def harmless(text: str) -> str:
    """Text whose control characters, and those that turn its direction, are written out."""
    return "".join(
        f"\\u{ord(letter):04x}"
        if unicodedata.category(letter) in ("Cc", "Zl", "Zp") or letter in _TURNING
        else letter
        for letter in text
    )
