"""How one value of a scene is read and refused: lengths, slopes, masses, volumes, names.

A marker stands in the type of a field (`Annotated[float, Measure(...)]`), reads what the person
wrote, and carries the allowed range for the documents.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection
from dataclasses import dataclass
from enum import Enum
from typing import Any, Literal, NoReturn, TypeAlias, get_args

from pydantic import GetCoreSchemaHandler, ValidationInfo
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from pikepole_model.stock.catalogue import nearest_names
from pikepole_model.stock.rows import RollUse
from pikepole_model.units import (
    HOW_TO_WRITE_A_BEARING,
    HOW_TO_WRITE_A_LENGTH,
    HOW_TO_WRITE_A_LOAD,
    HOW_TO_WRITE_A_MASS,
    HOW_TO_WRITE_A_SLOPE,
    HOW_TO_WRITE_A_SPEED,
    HOW_TO_WRITE_A_SPREAD,
    HOW_TO_WRITE_A_VOLUME,
    Units,
    format_length,
    format_number,
    parse_bearing,
    parse_length,
    parse_load,
    parse_mass,
    parse_slope,
    parse_speed,
    parse_spread,
    parse_volume,
)

StockKind: TypeAlias = (
    Literal["lumber", "sheet", "species", "panel", "flat", "pane", "window", "mesh", "bar"]
    | RollUse
)

Measured: TypeAlias = Literal[
    "length", "slope", "mass", "volume", "spread", "load", "speed", "bearing"
]


@dataclass(frozen=True, slots=True)
class _Writing:
    """How people write a sort of number: its reader, the advice, and a bare number mended."""

    parse: Callable[[str], float]
    how: str
    with_unit: str


_WRITINGS: dict[Measured, _Writing] = {
    "length": _Writing(parse_length, HOW_TO_WRITE_A_LENGTH, '"{0} in" or "{0} mm"'),
    "slope": _Writing(parse_slope, HOW_TO_WRITE_A_SLOPE, '"{0}:12" or "14 deg"'),
    "mass": _Writing(parse_mass, HOW_TO_WRITE_A_MASS, '"{0} lb" or "{0} kg"'),
    "volume": _Writing(parse_volume, HOW_TO_WRITE_A_VOLUME, '"{0} yd3" or "{0} m3"'),
    "spread": _Writing(parse_spread, HOW_TO_WRITE_A_SPREAD, '"{0} ft2/gal" or "{0} m2/l"'),
    "load": _Writing(parse_load, HOW_TO_WRITE_A_LOAD, '"{0} psf" or "{0} kN/m2"'),
    "speed": _Writing(parse_speed, HOW_TO_WRITE_A_SPEED, '"{0} mph" or "{0} km/h"'),
    "bearing": _Writing(parse_bearing, HOW_TO_WRITE_A_BEARING, '"{0} deg"'),
}


class Unknown(Enum):
    """Stands where a measure could not be read, so that the rest can still be checked."""

    MEASURE = "unknown"


def refuse(wrong: str, mend: str) -> NoReturn:
    """Refuse a value, in a builder's words.

    Args:
        wrong: What is wrong with it, in one clause.
        mend: How to put it right, in one clause.

    Raises:
        PydanticCustomError: always; carries both clauses for the problem report.
    """
    # The clauses go in as values: a brace in what the person wrote must not be taken for a field.
    raise PydanticCustomError("refused", "{wrong}; {mend}", {"wrong": wrong, "mend": mend})


@dataclass(frozen=True, slots=True)
class Measure:
    """A number that is written as text with its unit.

    Attributes:
        what: "length" (mm), "slope" (degrees), "mass" (kg), "volume" (mm3), "spread" (m2/l),
            "load" (kN/m2), "speed" (m/s) or "bearing" (degrees).
        low: The smallest allowed, in its unit above.
        high: The largest allowed, in its unit above.
    """

    what: Measured
    low: float
    high: float

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_plain_validator_function(
            lambda value, info: self.read(value, (info.context or {}).get("units", "imperial"))
        )

    def read(self, value: object, units: Units) -> float:
        """The value in the unit of `what`, refused unless it is text, has a unit and is in range.

        Args:
            value: What the person wrote.
            units: The system that a refusal gives the allowed range in.

        Returns:
            The number; not-a-number for Unknown.MEASURE, which no comparison finds wrong.
        """
        if value is Unknown.MEASURE:
            return math.nan
        writing = _WRITINGS[self.what]
        if isinstance(value, bool) or not isinstance(value, (str, int, float)):
            refuse(f"is no {self.what}", writing.how)
        if not isinstance(value, str):
            if value - value != 0:
                refuse(f"is no {self.what} that could be measured", writing.how)
            mended = writing.with_unit.format(value)
            refuse("has no unit", f"write it with its unit, such as {mended}")
        try:
            number = writing.parse(value)
        except ValueError as error:
            refuse(f"cannot be read as a {self.what}", str(error))
        if self.low <= number <= self.high:
            return number
        if number < 0:
            wrong = "is negative"
        elif number == 0:
            wrong = "is zero"
        else:
            wrong = "is too small" if number < self.low else "is too large"
        refuse(wrong, f"give {self.allowed(units)}")

    def allowed(self, units: Units) -> str:
        """The range in words."""
        match self.what:
            case "slope" | "bearing":
                low, high = f"{self.low:g} deg", f"{self.high:g} deg"
            case "length":
                low = format_length(self.low, units, "up")
                high = format_length(self.high, units, "down")
            case _:
                low = format_number(self.low, self.what, units, "up")
                high = format_number(self.high, self.what, units, "down")
        return f"at least {low} and at most {high}"


@dataclass(frozen=True, slots=True)
class Metric:
    """What a number is in a metric scene that does not give it.

    Attributes:
        value: In the program's unit.
    """

    value: float


@dataclass(frozen=True, slots=True)
class StockName:
    """A text that must name something in the catalogue.

    Looked up only when the reader passes the names that there are, as the validation context's
    "names": a scene can add its own.

    Attributes:
        kind: Which of the catalogue's tables it is looked up in.
    """

    kind: StockKind

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.with_info_after_validator_function(self._known, handler(source))

    def _known(self, value: str, info: ValidationInfo) -> str:
        names: Collection[str] | None = (info.context or {}).get("names", {}).get(self.kind)
        if names is not None and value not in names:
            table = "roll" if self.kind in get_args(RollUse) else self.kind
            refuse(
                f"the catalogue has no such {self.kind}",
                f"give {nearest_names(value, names)}, or add the table [[stock.{table}]]",
            )
        return value
