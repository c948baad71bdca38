"""What the CAD kernel answers from a process of its own, against what it answers in this one."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Generator
from dataclasses import replace

import pytest

from pikepole_export.write.models.assembly import assembly_of
from pikepole_export.write.models.solids import Solids
from pikepole_model.checks.fit import every_shape
from pikepole_model.errors import OutputError
from pikepole_model.geometry.shape import Prism, Shape
from samples import sample_building

BOW_TIE = Shape(Prism(((0, 0), (400, 89), (400, 0), (0, 120)), 38))


@pytest.fixture
def apart(monkeypatch: pytest.MonkeyPatch) -> Generator[Solids]:
    """Solids that are made elsewhere, as in a process that has not loaded the kernel."""
    with monkeypatch.context() as patch:
        patch.delitem(sys.modules, "cadquery", raising=False)
        solids = Solids()
    with solids:
        yield solids


def test_another_process_answers_the_same(apart: Solids) -> None:
    building = sample_building()
    shapes, assembly = (*every_shape(building), BOW_TIE), assembly_of(building)
    apart.make(shapes, assembly)
    with Solids() as here:
        here.make(shapes, assembly)
        assert apart.step() == here.step()
        assert apart.wrong() == here.wrong()
    assert [shape for shape, clauses in apart.wrong().items() if clauses] == [BOW_TIE]


def test_one_that_cannot_write_still_looks(apart: Solids) -> None:
    building = sample_building()
    assembly = replace(assembly_of(building), products={BOW_TIE: "bow tie"})
    apart.make(every_shape(building), assembly)
    with pytest.raises(OutputError, match="KeyError"):
        apart.step()
    assert not any(apart.wrong().values())


@pytest.mark.skipif(sys.platform == "win32", reason="signals end a process elsewhere")
def test_one_that_is_killed_is_told_of(apart: Solids) -> None:
    assert apart.child_pid is not None
    os.kill(apart.child_pid, signal.SIGKILL)
    apart.make(every_shape(sample_building()))
    with pytest.raises(OutputError, match="kernel stopped"):
        apart.wrong()
