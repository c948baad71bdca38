"""Casing round the openings, outside: on the cladding's face and the frame boards' edges."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

from pikepole_model.building.kinds import Kind
from pikepole_model.building.piece import Piece, timber
from pikepole_model.geometry.spacing import splice
from pikepole_model.layout.joinery import board
from pikepole_model.layout.sills import across
from pikepole_model.plan.clad_face import clad_at_mm
from pikepole_model.plan.faces import WallFace
from pikepole_model.plan.framed import Rect
from pikepole_model.plan.windows_doors import CasedRun, Casing, cased_runs

GROUP = "trims"

# The upper edge of a foot casing falls 1 in 4 where no sill's nose lies over it: common practice,
# no source.
BEVEL = 1 / 4


def case_openings(face: WallFace) -> list[Piece]:
    """The casing of one wall's openings, from left to right."""
    return [piece for run in cased_runs(face.plan) for piece in _case(face, run)]


def _case(face: WallFace, run: CasedRun) -> Iterator[Piece]:
    scene = run.openings[0].scene
    stock = scene.lumber_stock(run.trim.board)
    foot = clad_at_mm(face, run.openings[0])
    name = run.openings[0].framed.opening.name if len(run.openings) == 1 else row_name(run)
    for what, cut_from, rect in run.boards:
        for cut in _lengths(run, rect, stock.longest_mm):
            label, source = f"{name} {what}", timber(scene, cut_from)
            n = (foot, foot + scene.lumber_stock(cut_from).breadth_mm)
            if what is Casing.SILL and run.sheds:
                _, low, _, high = cut
                front = high - BEVEL * (n[1] - n[0])
                section = ((n[0], low), (n[1], low), (n[1], front), (n[0], high))
                yield across(face, label, Kind.CASING, GROUP, source, section, cut)
            else:
                yield board(face, label, Kind.CASING, GROUP, source, cut, n)
    # Else a sliding leaf would leave a gap at its sides as deep as the board behind its track.
    for what, cut_from, rect in run.boards:
        strip = run.openings[0].strip_mm
        if strip and what is Casing.SIDE:
            outer = foot + scene.lumber_stock(cut_from).breadth_mm
            source = timber(scene, cut_from)
            n = (outer, outer + strip)
            yield board(face, f"{name} side strip", Kind.CASING, GROUP, source, rect, n)


def row_name(run: CasedRun) -> str:
    """What a row of openings is called."""
    table = run.openings[0].framed.table
    return run.openings[0].scene.opening[table].name


def _lengths(run: CasedRun, rect: Rect, longest: float) -> list[Rect]:
    """A board of a long row in lengths that meet over what stands between two openings."""
    u0, v0, u1, v1 = rect
    inner = [fitted.cased for fitted in run.openings]
    middles = [(a[2] + b[0]) / 2 for a, b in itertools.pairwise(inner)]
    return [(start, v0, end, v1) for start, end in splice(u0, u1, longest, middles)]
