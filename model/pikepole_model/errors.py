"""What can be wrong: errors that stop the work, findings that do not."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

# What a mend gives for a length that hangs on another one which cannot be read.
NOT_YET = "a length yet to be given"


class PikepoleError(Exception):
    """Base of every error this project raises on purpose."""


# Keys and positions (from 0) in a scene file's tables.
KeyPath: TypeAlias = tuple[str | int, ...]


def key_text(path: KeyPath) -> str:
    """A key path for people, items counted from 1: `opening[2].width`."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step + 1}]"
        else:
            text += f".{step}" if text else step
    return text


def any_of(names: Iterable[str]) -> str:
    """Names of which one has to be given: `"skids", "piers" or "pad"`."""
    return one_of(f'"{name}"' for name in names)


def one_of(values: Iterable[str]) -> str:
    """Values of which one has to be given, as they are written: `8' 0" or 10' 0"`."""
    *before, last = values
    return f"{', '.join(before)} or {last}" if before else last


def either(*mends: str) -> str:
    """Mends of which one is enough; those that do not apply are empty."""
    return ", or ".join(mend for mend in mends if mend)


def leave_out(path: KeyPath) -> str:
    """The mend for what should not stand in a scene."""
    return f"leave out {key_text(path)}"


def change_several(paths: Iterable[KeyPath]) -> str:
    """Where to look when no one value was found that mends what is wrong."""
    among = ", ".join(dict.fromkeys(map(key_text, paths)))
    return f"no one value mends it; change several of {among}"


def in_turn(paths: Iterable[KeyPath]) -> list[KeyPath]:
    """Keys with the items and tables that they are in, each key's from the inside out, once."""
    inside = (path[:end] for path in paths for end in range(len(path), 0, -1))
    return list(dict.fromkeys(inside))


@dataclass(frozen=True, slots=True)
class Try:
    """A key whose value may mend a problem: which value does is found by trying.

    Attributes:
        path: The key.
        towards: Where to look from what it is now; or whether the scene does without.
        start: Where to begin, in the key's own unit, where it has no value yet.
    """

    path: KeyPath
    towards: Literal["less", "more", "other", "without"]
    start: float | None = None


def less(*path: str | int) -> Try:
    """Something smaller at a key."""
    return Try(path, "less")


def more(*path: str | int) -> Try:
    """Something larger at a key."""
    return Try(path, "more")


def other(*path: str | int) -> Try:
    """Something else at a key."""
    return Try(path, "other")


def without(*path: str | int) -> Try:
    """Nothing at a key."""
    return Try(path, "without")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with what a person wrote.

    Attributes:
        key: Where it is, as a key path (`roof.slope`, `opening[2].width`); "" for the whole file.
        value: What stands there, as text; "" when nothing does.
        wrong: What is wrong with it, in one clause.
        mend: How to put it right, in one clause.
        path: The key for programs, where it is one of a scene.
        tries: Keys of which one more may mend it, before anyone tried.
    """

    key: str
    value: str
    wrong: str
    mend: str
    path: KeyPath = field(default=(), compare=False)
    tries: tuple[Try, ...] = field(default=(), compare=False)

    @classmethod
    def at(cls, path: KeyPath, wrong: str, mend: str, *tries: Try) -> Problem:
        """What is wrong with the value at a key of a scene, before anyone looked up the value.

        Args:
            path: Keys and positions, from 0, in the scene's tables.
            wrong: What is wrong, in one clause.
            mend: How to put it right, in one clause; empty where only trying can tell.
            tries: Keys that may mend it too, the likeliest first.
        """
        return cls(key_text(path), "", wrong, mend, path, tries)

    def __str__(self) -> str:
        place = f"{self.key} = {self.value}" if self.value else self.key
        return f"{place}: {self.wrong}; {self.mend}" if place else f"{self.wrong}; {self.mend}"


class SceneError(PikepoleError, ValueError):
    """A scene cannot be read or built. Carries every problem found, not only the first."""

    def __init__(self, path: str, problems: tuple[Problem, ...]) -> None:
        self.path = path
        self.problems = problems
        super().__init__("\n".join(f"{path}: {problem}" for problem in problems))


class CatalogueError(PikepoleError, LookupError):
    """A name is not in the catalogue, or a catalogue row is wrong."""


class LayoutError(PikepoleError, ValueError):
    """The parts do not make a building: a bug of ours or of a hand-made part list."""


class OutputError(PikepoleError, OSError):
    """A file could not be written, or did not come out whole."""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something a check found in a building that could be made all the same.

    Attributes:
        kind: Parts in one another's place, a part that nothing holds, or something else.
        text: What is wrong, in one clause.
        parts: Names of the parts concerned, the one that speaks for all first.
        at_mm: The place in the building's frame, mm, or None where there is no single place; the
            first where there are several.
        key: The keys of the scene it hangs on, as a person reads them ("roof.slope"); "" where it
            is about the parts alone.
        mend: How to put it right, in one clause; "" where only the program can be mended.
        tries: Keys of which one may mend it where the mend does not, before anyone tried.
    """

    kind: Literal["overlap", "loose", "other"]
    text: str
    parts: tuple[str, ...]
    at_mm: tuple[float, float, float] | None = None
    key: str = ""
    mend: str = ""
    tries: tuple[Try, ...] = field(default=(), compare=False)

    @property
    def is_fault(self) -> bool:
        """Whether the program is to blame for it, not what the scene gives."""
        return self.kind != "other"

    def __str__(self) -> str:
        place = self.key or and_more(self.parts)
        return ": ".join(filter(None, (place, "; ".join(filter(None, (self.text, self.mend))))))


def and_more(names: Sequence[str]) -> str:
    """The first of some names, and how many more there are: "rafter 1 and 3 more"."""
    first, *more = names or ("",)
    return f"{first} and {len(more)} more" if more else first
