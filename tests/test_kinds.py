"""The table of kinds: no line of it can be left unfinished, and no row contradicts itself."""

from __future__ import annotations

import importlib.util
import re
from dataclasses import MISSING, fields
from pathlib import Path

import pytest

from conftest import FORMS, SCENES
from pikepole_export.derive.measures.bends import LIES
from pikepole_model.building import kinds
from pikepole_model.building.kind_rows import Assembly, Bought, Counted, Cut, Drawn, Handled, Row
from pikepole_model.building.kinds import Kind
from planned import built


def import_with(line: str, folder: Path) -> None:
    """Import the table as it would be with one more line, the last."""
    text = Path(kinds.__file__).read_text(encoding="utf-8")
    text, lines = re.subn(r"\n\n\ndef of\(", f"\n    {line}\n\n\ndef of(", text)
    assert lines == 1
    copy = folder / "more_kinds.py"
    copy.write_text(text, encoding="utf-8")
    spec = importlib.util.spec_from_file_location("more_kinds", copy)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert len(module.Kind) == len(Kind) + 1


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ('SHUTTER = "shutter"', "'family' and 'row'"),
        ('SHUTTER = "shutter", Family.CASING', "'row'"),
        ('SHUTTER = "stud", Family.CASING, BOARD', "SHUTTER -> STUD"),
    ],
)
def test_a_kind_without_a_line_of_its_own_cannot_be_imported(
    line: str, wrong: str, tmp_path: Path
) -> None:
    import_with('SHUTTER = "shutter", Family.CASING, BOARD', tmp_path)
    with pytest.raises((TypeError, ValueError), match=wrong):
        import_with(line, tmp_path)


def test_no_field_of_a_row_can_be_left_out() -> None:
    assert all(field.default is field.default_factory is MISSING for field in fields(Row))


@pytest.mark.parametrize("kind", Kind)
def test_no_row_contradicts_itself(kind: Kind) -> None:
    row = kind.row
    assert (row.cut in (Cut.BOARD, Cut.SHEET)) == (row.bought is Bought.PLANNED)
    assert (row.cut is Cut.PANE) == (row.bought is Bought.PANE)
    assert (row.drawn is Drawn.BEND) == (row.bought is Bought.BENT)
    assert (row.drawn is Drawn.FOLD) == (row.bought is Bought.FOLDED)
    assert row.drawn is not Drawn.TEMPLATE or row.cut is Cut.BOARD
    assert row.drawn is not Drawn.OUTLINE or row.cut is Cut.SHEET
    assert not row.may_turn or row.cut in (Cut.SHEET, Cut.PANE)
    there = (row.counted is Counted.NOT, row.bought is Bought.NOT, row.handled is Handled.THERE)
    assert len(set(there)) == 1
    if row.handled in (Handled.THERE, Handled.IN_PLACE):
        assert row.stays
        assert row.assembly is Assembly.NONE
    if row.assembly is not Assembly.NONE:
        # The posts of an open wall, which is framed in place, stand up one by one.
        stands = row.assembly is Assembly.WALL and row.handled is Handled.POST
        assert row.handled in (Handled.STICK, Handled.SHEET) or stands


def test_every_leg_of_bent_metal_is_told_where_it_lies() -> None:
    assert set(LIES) == {kind for kind in Kind if kind.row.drawn is Drawn.BEND}


def test_every_kind_is_laid_out_in_some_scene() -> None:
    laid_out = {part.kind for name in (*SCENES, *FORMS) for part in built(name).handled}
    assert [kind.value for kind in Kind if kind not in laid_out] == []
