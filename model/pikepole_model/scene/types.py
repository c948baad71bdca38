"""What the fields of a scene are made of: a table's base, and the sorts of values in it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from typing import Annotated, Any, Literal, Self, TypeAlias

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ModelWrapValidatorHandler,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    model_validator,
)

from pikepole_model.scene.quantity import Measure, Metric, StockName
from pikepole_model.stock.metric import usual, usual_mm
from pikepole_model.units import Units


class Section(BaseModel):
    """A table of the scene file. Nothing in it is converted quietly, nothing unknown passes."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        strict=True,
        allow_inf_nan=False,
        str_strip_whitespace=True,
    )

    @model_validator(mode="wrap")
    @classmethod
    def _in_its_units(
        cls, data: Any, read: ModelWrapValidatorHandler[Self], info: ValidationInfo
    ) -> Self:
        """What a metric scene leaves out is what a builder by the metre would take."""
        section = read(data)
        return section.metric() if (info.context or {}).get("units") == "metric" else section

    def metric(self) -> Self:
        """This table with metric stock and sizes for what it does not give."""
        usual_values = _metric_values(type(self)).items()
        changed = {name: value for name, value in usual_values if name not in self.model_fields_set}
        if not changed:
            return self
        return self.model_construct(self.model_fields_set, **{**dict(self), **changed})

    @classmethod
    def left_out(cls, name: str, units: Units) -> object:
        """What stands at a key of this table where a scene does not give it."""
        value = cls.model_fields[name].get_default(call_default_factory=True)
        return _metric_values(cls).get(name, value) if units == "metric" else value


@cache
def _metric_values(table: type[Section]) -> dict[str, object]:
    """The defaults of a table that are others in a metric scene."""
    return {
        name: value
        for name, field in table.model_fields.items()
        if (value := _metric(field.get_default(), field.metadata)) is not None
    }


def _metric(value: object, limits: Sequence[object]) -> object:
    """A default as a metric scene has it; None where that is the same."""
    match value:
        case Section():
            metric = value.metric()
        case str():
            metric = usual(value, "metric")
        case float():
            own = (one.value for one in limits if isinstance(one, Metric))
            metric = next(own, usual_mm(value, "metric") if _is_length(limits) else value)
        case _:
            metric = value
    return None if metric == value else metric


def _is_length(limits: Iterable[object]) -> bool:
    """Whether a number is a length: of what may be left out, its limits are not told here."""
    return all(one.what == "length" for one in limits if isinstance(one, Measure))


# Leaves a piece out: TOML has no null.
NONE = "none"


def _none_if_told(value: object) -> object:
    return None if value == NONE else value


def _or_none(value: Any, known: ValidatorFunctionWrapHandler) -> Any:
    return value if value == NONE else known(value)


# Long edges of the sheets of a floor.
SheetEdge: TypeAlias = Literal["tongue-and-groove", "square"]

# The walls, and the sides of the building that they stand at.
Eave: TypeAlias = Literal["front", "back"]
Wall: TypeAlias = Literal["front", "back", "left", "right"]
# Those, and the strip under the upper roof of a clerestory.
AnyWall: TypeAlias = Literal["front", "back", "left", "right", "clerestory"]
# The way round the building: the right end of each, seen from outside, meets the next one's left.
ROUND: tuple[Wall, ...] = ("front", "right", "back", "left")


def neighbours(wall: Wall) -> tuple[Wall, Wall]:
    """The walls at the left and the right end of one, seen from outside."""
    at = ROUND.index(wall)
    return ROUND[at - 1], ROUND[(at + 1) % len(ROUND)]


# The slopes that a roof may have.
FLATTEST_DEG, STEEPEST_DEG = 1.0, 60.0

# Text with a unit in the file, mm or degrees in the model.
Length: TypeAlias = Annotated[float, Measure("length", 1.0, 100_000.0)]
Offset: TypeAlias = Annotated[float, Measure("length", 0.0, 100_000.0)]
Side: TypeAlias = Annotated[float, Measure("length", 600.0, 100_000.0)]
Height: TypeAlias = Annotated[float, Measure("length", 300.0, 10_000.0)]
Spacing: TypeAlias = Annotated[float, Measure("length", 50.0, 3_000.0)]
Overhang: TypeAlias = Annotated[float, Measure("length", 0.0, 3_000.0)]
Layer: TypeAlias = Annotated[float, Measure("length", 25.0, 1_000.0)]
Bolt: TypeAlias = Annotated[float, Measure("length", 6.0, 50.0)]
Gap: TypeAlias = Annotated[float, Measure("length", 1.0, 50.0)]
Kerf: TypeAlias = Annotated[float, Measure("length", 0.5, 10.0)]
Slope: TypeAlias = Annotated[float, Measure("slope", FLATTEST_DEG, STEEPEST_DEG)]
Percent: TypeAlias = Annotated[float, Field(ge=0, le=250)]

# No control characters, line or paragraph separators, or marks that turn the direction of text.
PLAIN = r"^[^\x00-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069]*$"
Name: TypeAlias = Annotated[str, Field(min_length=1, max_length=60, pattern=PLAIN)]
LumberName: TypeAlias = Annotated[str, StockName("lumber")]
SheetName: TypeAlias = Annotated[str, StockName("sheet")]
WrapName: TypeAlias = Annotated[str, StockName("house wrap")]
PanelName: TypeAlias = Annotated[str, StockName("panel")]
FlatName: TypeAlias = Annotated[str, StockName("flat")]
PaneName: TypeAlias = Annotated[str, StockName("pane")]
WindowName: TypeAlias = Annotated[str, StockName("window")]
SpeciesName: TypeAlias = Annotated[str, StockName("species")]
MeshName: TypeAlias = Annotated[str, StockName("mesh")]
BarName: TypeAlias = Annotated[str, StockName("bar")]
SheetNameOrNone: TypeAlias = Annotated[SheetName | None, BeforeValidator(_none_if_told)]
LumberNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("lumber")] | None, BeforeValidator(_none_if_told)
]
# Left out, it is chosen: so "none" stays as it was written.
ChosenLumberName: TypeAlias = Annotated[LumberName, WrapValidator(_or_none)] | None
UnderlaymentNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("roof underlayment")] | None, BeforeValidator(_none_if_told)
]
ScreenName: TypeAlias = Annotated[str, StockName("vent screen")]
VentMeshName: TypeAlias = Annotated[str, StockName("vent mesh")]
MembraneNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("flashing membrane")] | None, BeforeValidator(_none_if_told)
]
TapeNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("flashing tape")] | None, BeforeValidator(_none_if_told)
]
PanelNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("panel")] | None, BeforeValidator(_none_if_told)
]
FlatNameOrNone: TypeAlias = Annotated[
    Annotated[str, StockName("flat")] | None, BeforeValidator(_none_if_told)
]


class Heights(Section):
    """How high what carries the roof stands at its two eaves.

    One of them is None, but under a ridge with a slope that follows from both.
    """

    low_height: Height | None = 2133.6
    high_height: Height | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_height(cls, data: Any) -> Any:
        if isinstance(data, dict) and "high_height" in data and "low_height" not in data:
            return {**data, "low_height": None}
        return data
