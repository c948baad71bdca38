"""Scene files as nobody means to write them: by slips, by broken editors, by malice.

fuzzed(seed) -> Fuzzed                    a scene of the project, spoilt in one to three ways
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass

from conftest import FORMS, SCENES

MEGABYTE = 10**6
BUILDS = "tables,buy,cuts,lifts,step,stl,glb"  # what takes no graphics process

# Values in place of those that stand there: wrong in size, in kind, in unit, in script, in manners.
_NASTY = (
    *("-1", "0", "7", "12.5", "1e999", "-inf", "nan", "9" * 400, "9" * 5000, "0x" + "f" * 9000),
    *("true", "[]", "[[]]", '["8 ft", 3]', "{}", "{ a = 1 }", "{ a.b.c = [{}] }"),
    *("1979-05-27", "1979-05-27T07:32:00Z", "1979-13-41", "25:61:00", "07:32:00"),
    *('""', '" "', '"."', '"12"', '"8"', '"NaN ft"', '"inf mm"', '"-3 ft"', '"0 mm"'),
    *('"1e308 m"', '"1e-320 mm"', '"' + "9" * 500 + ' ft"', '"8 parsecs"', '"5 kg"', '"8 ft 2 m"'),
    *('"3:0"', '"0:12"', '"1/0 in"', '"12:12"', '"89.9 deg"', '"100 ft"', '"1 mm"', '"500 mm"'),
    *('"\\u202e8 ft"', '"\\u0000"', '"\\n"', '"\\u001b[31mred"', '"\\u2028"', '"\\U000E0041"'),
    *('"٣ ft"', '"８ ft"', '"8\u00a0ft"', '"½ in"', '"8′"', '"Bienenhäuschen"', '"蜂の家"', '"🐝"'),
    *('"' + "x" * 100_000 + '"', '"' + "9 ft " * 20_000 + '"', '"{0}"', '"%s %n"', '"[bold]x[/]"'),
    *(
        '"../../etc/passwd"',
        '"/"',
        '"a/b"',
        '"nul"',
        '"-o"',
        "'''\nmany\nlines'''",
        '"""x',
        "'",
        "=",
    ),
)

_KEY = re.compile(r"^(\w+)( = )(.+)$")
_TABLE = re.compile(r"^\[+[\w.]+\]+$")


@dataclass(frozen=True)
class Fuzzed:
    """One hostile try.

    Attributes:
        words: The command and its options, without scene and folder.
        writes: Whether it is given a folder to write into.
        data: The scene file.
        about: From which scene and how it was made.
    """

    words: tuple[str, ...]
    writes: bool
    data: bytes
    about: str


def fuzzed(seed: int) -> Fuzzed:
    """The same for the same seed."""
    draw = random.Random(seed)
    small = draw.random() < 0.9
    scenes = {**SCENES, **FORMS}
    names = [name for name, path in scenes.items() if (path.stat().st_size < 2000) == small]
    name = draw.choice(names)
    text = scenes[name].read_text(encoding="utf-8")
    done: list[str] = []
    for change in draw.choices(_CHANGES, _OFTEN, k=draw.choice((1, 1, 2, 3))):
        text = change(text, draw)
        done.append(change.__name__)
        if change is huge:
            break  # there may be no line left to change
    data = text.encode("utf-8", "surrogatepass")
    if draw.random() < 0.2:
        spoil = draw.choice(_SPOILT)
        data = spoil(data, draw)
        done.append(spoil.__name__)
    words, writes = draw.choices(_COMMANDS, _COMMON)[0]
    return Fuzzed(words, writes, data, f"seed {seed}: {name}, {', '.join(done)}, {words[0]}")


_COMMANDS: tuple[tuple[tuple[str, ...], bool], ...] = (
    (("check",), False),
    (("build", "--only", BUILDS), True),
    (("buy",), True),
    (("cut",), False),
    (("lift", "--by", "weight"), False),
)
_COMMON = (80, 5, 5, 5, 5)


def line_dropped(text: str, draw: random.Random) -> str:
    lines = text.splitlines()
    lines.pop(draw.choice(_said(lines)))
    return "\n".join(lines)


def line_doubled(text: str, draw: random.Random) -> str:
    lines = text.splitlines()
    at = draw.choice(_said(lines))
    lines.insert(at, lines[at])
    return "\n".join(lines)


def lines_swapped(text: str, draw: random.Random) -> str:
    lines = text.splitlines()
    a, b = draw.choices(_said(lines), k=2)
    lines[a], lines[b] = lines[b], lines[a]
    return "\n".join(lines)


def value_replaced(text: str, draw: random.Random) -> str:
    value = draw.choice(_NASTY)
    return _line_changed(text, draw, lambda key, _: f"{key} = {value}")


def value_exchanged(text: str, draw: random.Random) -> str:
    """A value that is right elsewhere."""
    value = draw.choice([found[3] for found in map(_KEY.match, text.splitlines()) if found])
    return _line_changed(text, draw, lambda key, _: f"{key} = {value}")


def number_changed(text: str, draw: random.Random) -> str:
    """A size that can be read and may even be allowed."""
    factor = draw.choice((0.1, 0.5, 0.9, 1.1, 1.7, 3, 30))

    def scaled(found: re.Match[str]) -> str:
        return f"{float(found[0]) * factor:g}"

    return _line_changed(
        text, draw, lambda key, value: f"{key} = {re.sub('[0-9]+', scaled, value)}"
    )


def key_misspelt(text: str, draw: random.Random) -> str:
    def misspelt(key: str, value: str) -> str:
        at = draw.randrange(len(key))
        return f"{key[:at]}{draw.choice(('', 'x', '-', key[at] * 2))}{key[at + 1 :]} = {value}"

    return _line_changed(text, draw, misspelt)


def key_moved(text: str, draw: random.Random) -> str:
    """A key in another table."""
    lines = text.splitlines()
    line = lines.pop(draw.choice([n for n, line in enumerate(lines) if _KEY.match(line)]))
    heads = [n for n, line in enumerate(lines) if _TABLE.match(line)]
    lines.insert(draw.choice(heads) + 1, line)
    return "\n".join(lines)


def table_renamed(text: str, draw: random.Random) -> str:
    lines = text.splitlines()
    at = draw.choice([n for n, line in enumerate(lines) if _TABLE.match(line)])
    name = lines[at].strip("[]")
    lines[at] = draw.choice(
        (f"[{name}.{name}]", f"[[{name}]]", f"[{name}]", f"[x{name}]", f"[{'a.' * 3000}a]", "[]")
    )
    return "\n".join(lines)


def huge(text: str, draw: random.Random) -> str:
    """Ten megabytes, a million brackets, a thousand tables."""
    return draw.choice(
        (
            "[" * MEGABYTE,
            text + "\nx = " + "[" * MEGABYTE,
            text + "\nx = " + "{ a = " * 1000 + "1" + " }" * 1000,
            "x." * 50_000 + "x = 1\n" + text,
            text + '\n[[opening]]\nname = "x"' * 1000,
            text + "\n# " + "x" * 10 * MEGABYTE,
            'note = "' + "x" * 10 * MEGABYTE + '"\n' + text,
        )
    )


def bytes_flipped(data: bytes, draw: random.Random) -> bytes:
    spoilt = bytearray(data)
    for _ in range(draw.choice((1, 1, 5, 50))):
        spoilt[draw.randrange(len(spoilt))] ^= 1 << draw.randrange(8)
    return bytes(spoilt)


def nul_inserted(data: bytes, draw: random.Random) -> bytes:
    at = draw.randrange(len(data))
    return data[:at] + b"\0" + data[at:]


def cut_short(data: bytes, draw: random.Random) -> bytes:
    return data[: draw.randrange(len(data))]


def saved_otherwise(data: bytes, draw: random.Random) -> bytes:
    """As editors of other systems save it."""
    text = data.decode("utf-8", "replace")
    return draw.choice(
        (
            text.encode("utf-8-sig"),
            text.encode("utf-16"),
            text.encode("utf-16-le"),
            text.encode("latin-1", "replace"),
            data.replace(b"\n", b"\r\n"),
            data.replace(b"\n", b"\r"),
            data.replace(b'"', "”".encode()),
        )
    )


def _said(lines: list[str]) -> list[int]:
    """The lines that say something."""
    return [n for n, line in enumerate(lines) if line.strip() and not line.startswith("#")]


def _line_changed(text: str, draw: random.Random, to: Callable[[str, str], str]) -> str:
    lines = text.splitlines()
    at = draw.choice([n for n, line in enumerate(lines) if _KEY.match(line)])
    found = _KEY.match(lines[at])
    assert found
    lines[at] = to(found[1], found[3])
    return "\n".join(lines)


_CHANGES: tuple[Callable[[str, random.Random], str], ...] = (
    *(value_replaced, value_exchanged, number_changed, key_misspelt, key_moved),
    *(line_dropped, line_doubled, lines_swapped, table_renamed, huge),
)
_OFTEN = (8, 4, 6, 2, 3, 2, 1, 2, 1, 0.5)
_SPOILT: tuple[Callable[[bytes, random.Random], bytes], ...] = (
    *(bytes_flipped, nul_inserted, cut_short, saved_otherwise),
)
