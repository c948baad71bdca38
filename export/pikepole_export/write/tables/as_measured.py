"""The table of what is cut otherwise than planned, because what stands was measured."""

from __future__ import annotations

from collections.abc import Sequence

from pikepole_export.derive.measures.as_measured import Change
from pikepole_export.write.tables.columns import Column
from pikepole_export.write.tables.csv_json import Table, plain_table
from pikepole_model.units import Units

_COLUMNS = (
    Column("part"),
    Column("stage"),
    Column("stock"),
    Column("of"),
    Column("bearing"),
    Column("planned", "length", tape=True),
    Column("as measured", "length", tape=True),
    Column("change", "length"),
)


def as_measured_table(changes: Sequence[Change], units: Units) -> Table:
    """A row for each measure of a piece that is another now.

    Args:
        changes: In order of building.
        units: Of the CSV.
    """
    return plain_table("as_measured", _COLUMNS, changes, units)
