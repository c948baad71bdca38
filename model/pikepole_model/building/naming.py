"""Pieces as they are laid out into parts: each with its own name, its stage and a shared shape."""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

from pikepole_model.building.kind_rows import Cut
from pikepole_model.building.part import Part
from pikepole_model.building.piece import Piece
from pikepole_model.building.sequence import Step, steps_of
from pikepole_model.errors import LayoutError, Problem, SceneError
from pikepole_model.geometry.shape import Shape
from pikepole_model.scene.schema import Scene

Steps: TypeAlias = list[tuple[int, Step]]


def numbered_steps(pieces: Sequence[Piece | Part], scene: Scene) -> Steps:
    """The steps that have something to do, numbered from 1.

    Raises:
        SceneError: the scene's stages leave out a group of pieces, name one twice or one that is
            not there.
    """
    groups = dict.fromkeys(piece.group for piece in pieces)
    steps = steps_of(scene)
    for k, step in enumerate(scene.stage):
        for group in step.groups:
            if group not in groups:
                near = difflib.get_close_matches(group, groups, 1)
                mend = f'did you mean "{near[0]}"?' if near else f"there is: {', '.join(groups)}"
                raise refused(scene, f"stage[{k + 1}].groups", group, "is no group here", mend)
    for group in groups:
        count = sum(step.groups.count(group) for step in steps)
        if count != 1:
            wrong = f"puts {group!r} into {count} stages" if count else f"leaves out {group!r}"
            if not scene.stage:
                raise LayoutError(f"the usual order (building/sequence.py) {wrong}")
            raise refused(scene, "stage", "", wrong, "name every group once")
    used = [step for step in steps if groups.keys() & set(step.groups)]
    return list(enumerate(used, start=1))


def stage_of(steps: Steps) -> dict[str, int]:
    """The number of each group's stage."""
    return {group: number for number, step in steps for group in step.groups}


def refused(scene: Scene, key: str, value: str, wrong: str, mend: str) -> SceneError:
    """A scene that cannot be built, and why."""
    return SceneError(scene.title, (Problem(key, value, wrong, mend),))


def named(pieces: Sequence[Piece], stage_of: Mapping[str, int]) -> Iterator[Part]:
    """Give every piece its number, its stage, and the one Shape that equal pieces share.

    Args:
        pieces: In the order in which they are numbered.
        stage_of: The number of each group's stage.

    Raises:
        LayoutError: a piece is laid out otherwise than the table of kinds says it is cut.
    """
    of_label = Counter(piece.label for piece in pieces)
    count: Counter[str] = Counter()
    shapes: dict[Shape, Shape] = {}
    for piece in pieces:
        _check_section(piece)
        count[piece.label] += 1
        alone = of_label[piece.label] == 1
        yield Part(
            name=piece.label if alone else f"{piece.label} {count[piece.label]}",
            kind=piece.kind,
            group=piece.group,
            stage=stage_of[piece.group],
            stock=piece.source.stock,
            material=piece.source.material,
            section_mm=piece.source.section_mm,
            shape=shapes.setdefault(piece.shape, piece.shape),
            placement=piece.placement,
            record=piece.record,
            label=piece.label,
        )


def _check_section(piece: Piece) -> None:
    """See that a piece is laid out as the table of kinds says it is cut."""
    has_section, is_cut = piece.source.section_mm is not None, piece.kind.row.cut is Cut.BOARD
    if has_section != is_cut:
        laid, cut = ("a", "no") if has_section else ("no", "a")
        raise LayoutError(
            f"{piece.label}: its layout gives it {laid} section, and by its row in "
            f"building/kinds.py a {piece.kind} is cut from {cut} board"
        )
