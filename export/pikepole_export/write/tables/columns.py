"""What the columns of a table are, said once for people and for programs.

    heads(columns, units) -> list[str]             the header of a CSV table
    cells(columns, row, units) -> list[Cell]       a line of it
    lines(columns, rows, units)                    both together
    record(columns, row) -> dict[str, Any]         the same row in JSON
    key_of(name) -> str                            what a row's attribute is called there
    rounded(value), masses(mass)                   numbers in JSON

A column is named as people read it, "total length", and reads what its row has under that name with
the unit of the program, `total_length_mm`, which is its key in JSON too. Where British and American
differ, people read their own in each country, and a key has words that are both.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal, TypeAlias

from pikepole_export.derive.buying.wording import in_words
from pikepole_export.derive.inventory.mass import Mass
from pikepole_model.scene.buying import Words
from pikepole_model.units import Quantity, Units, format_length, in_units, unit_symbol

Cell: TypeAlias = str | int | float

# Far below what anybody measures or weighs, far above the noise of the arithmetic.
DECIMALS = 6
# For people: a sixteenth is 0.0625 in, a letter weighs 0.02 kg.
_PEOPLE_DECIMALS: Mapping[Quantity, int] = {
    "length": 2,
    "run": 2,
    "area": 2,
    "volume": 4,
    "mass": 2,
    "force": 1,
    "stress": 1,
    "speed": 1,
    "angle": 1,
}
_UNITS: Mapping[Quantity, str] = {
    "length": "_mm",
    "run": "_mm",
    "area": "_mm2",
    "volume": "_mm3",
    "mass": "_kg",
    "force": "_n",
    "stress": "_n_mm2",
    "speed": "_m_s",
    "angle": "_deg",
}
_TAPE = "ft and in"
# What keys say in place of words that are spelled one way here and another there.
_KEYS = {
    "centre_of_gravity": "balance",
    "load_centre": "fork_face_to_load",
    "past_centre": "past_balance",
    "centre_from": "balance_from",
}


@dataclass(frozen=True)
class Column:
    """One thing that a table says of each of its rows.

    Attributes:
        name: As people read it.
        quantity: What it measures; None for words and for counts of pieces.
        numbers: Where it holds several numbers, what people read over each.
        tape: Whether people are also shown it as it is read off a tape, where that has feet.
        to: Who is told; None for everybody.
    """

    name: str
    quantity: Quantity | None = None
    numbers: tuple[str, ...] = ()
    tape: bool = False
    to: Literal["people"] | None = None

    @cached_property
    def key(self) -> str:
        """Its key in JSON."""
        return key_of(self._with_unit)

    @cached_property
    def attribute(self) -> str:
        """What a row calls it; a Mass says for itself that it is in kg."""
        return self.name if self.quantity == "mass" else self._with_unit

    @property
    def _with_unit(self) -> str:
        return self.name.replace(" ", "_") + (_UNITS[self.quantity] if self.quantity else "")


MASS = Column("mass", "mass", ("mass low", "mass likely", "mass high"))
CENTRE = Column("centre of gravity", "length", tuple(f"centre of gravity {a}" for a in "xyz"))


def key_of(name: str) -> str:
    """What a row's attribute is called in JSON, in British and American alike."""
    for ours, neutral in _KEYS.items():
        name = name.replace(ours, neutral)
    return name


def heads(columns: Iterable[Column], units: Units, words: Words | None = None) -> list[str]:
    """What stands over the columns of a CSV table, each number with its unit.

    Args:
        columns: In order.
        units: Of what stands under them.
        words: Whose words they are in; None where none of these is another one elsewhere.
    """
    found: list[str] = []
    for column in columns:
        if column.tape and units == "imperial":
            found.append(f"{column.name} ({_TAPE})")
        unit = f" ({unit_symbol(column.quantity, units)})" if column.quantity else ""
        found += [name + unit for name in column.numbers or (column.name,)]
    return [in_words(head, words) for head in found] if words else found


def cells(columns: Iterable[Column], row: object, units: Units) -> list[Cell]:
    """What stands under them for a row, in the units given; blank where it does not apply.

    Args:
        columns: In order.
        row: Has the attributes that they name.
        units: Of the cells.
    """
    found: list[Cell] = []
    for column in columns:
        value = getattr(row, column.attribute)
        if column.tape and units == "imperial":
            found.append("" if value is None else format_length(value, units))
        if value is None:
            found += [""] * max(1, len(column.numbers))
        elif column.quantity is None:
            found.append(value)
        else:
            for number in _several(value):
                people = in_units(number, column.quantity, units)
                found.append(rounded(people, _PEOPLE_DECIMALS[column.quantity]))
    return found


def lines(
    columns: Sequence[Column], rows: Iterable[object], units: Units, words: Words | None = None
) -> list[Sequence[Cell]]:
    """The whole of a CSV table: its header and a line for each row.

    Args:
        columns: In order.
        rows: Have the attributes that they name.
        units: Of the cells.
        words: Whose words the header is in, as `heads` takes them.
    """
    return [heads(columns, units, words), *(cells(columns, row, units) for row in rows)]


def record(columns: Iterable[Column], row: object) -> dict[str, Any]:
    """The row for programs: mm, mm2, mm3 and kg; None where it does not apply."""
    return {
        column.key: _for_programs(getattr(row, column.attribute))
        for column in columns
        if column.to != "people"
    }


def masses(mass: Mass) -> dict[str, float]:
    """A mass for programs, kg."""
    low, likely, high = map(rounded, _several(mass))
    return {"low": low, "likely": likely, "high": high}


def rounded(value: float, decimals: int = DECIMALS) -> float:
    """A number without the noise of the arithmetic and without minus zero."""
    return round(float(value), decimals) + 0.0


def _for_programs(value: Any) -> Any:
    if isinstance(value, Mass):
        return masses(value)
    if isinstance(value, float):
        return rounded(value)
    return [rounded(number) for number in value] if isinstance(value, tuple) else value  # pyright: ignore[reportUnknownVariableType]


def _several(value: Mass | tuple[float, ...] | float) -> Sequence[float]:
    if isinstance(value, Mass):
        return value.low_kg, value.likely_kg, value.high_kg
    return value if isinstance(value, tuple) else (value,)
