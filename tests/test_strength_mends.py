"""The least change that brings a member within its rules, written as a scene of its own."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from command import BAD_INPUT, DONE, NOT_MADE, pikepole
from conftest import FORMS, SCENES
from pikepole_export.derive.strength.mending import mended
from pikepole_export.derive.strength.plan import strength_of
from pikepole_model.build import build
from pikepole_model.errors import KeyPath
from pikepole_model.reading.edits import with_value
from pikepole_model.reading.file import load_scene

WRITTEN = """title = "Rack"                # on the door
units = "imperial"

[[opening]]
name = "one"
header = "2x6"                # shallow

[opening.door]
kind = "framed"

[[opening]]
name = "two"

# What the roof is.
[roof]
slope = "3:12"

[roof.ridge]
plies = 2
"""


@pytest.mark.parametrize(
    ("path", "value", "line", "instead_of"),
    [
        (("opening", 0, "header"), '"2x10"', 'header = "2x10"               # shallow', "header"),
        (("roof", "ridge", "plies"), "3", "plies = 3", "plies = 2"),
        (("opening", 1, "kings"), "2", "kings = 2", ""),
        (("roof", "rafter"), '"2x10"', 'rafter = "2x10"', ""),
        (("walls", "spacing"), '"12 in"', 'spacing = "12 in"', ""),
    ],
)
def test_one_value_changes_and_all_else_stays(
    path: KeyPath, value: str, line: str, instead_of: str
) -> None:
    after = with_value(WRITTEN, path, value)
    table = tomllib.loads(after)
    for step in path:
        table = table[step]  # pyright: ignore[reportArgumentType]
    assert table == tomllib.loads(f"it = {value}")["it"]
    before, lines = WRITTEN.splitlines(), after.splitlines()
    assert line in lines
    gone = [one for one in before if one not in lines]
    assert len(gone) == bool(instead_of)
    assert all(one.startswith(instead_of) for one in gone)


def test_the_least_that_mends_a_ridge() -> None:
    # A ridge of two plies of 2x8 over 16 ft; the changes are each one key of the scene, and with
    # one step less of the last the same member is over its rule still.
    text = FORMS["rinsing-bay"].read_text(encoding="utf-8")
    text = with_value(text, ("roof", "ridge", "ply"), '"2x8"')
    text = with_value(text, ("roof", "ridge", "plies"), "2")
    found = mended(text)
    ridge = [one for one in found.mends if one.check.member == "ridge beam"]
    assert ridge
    assert all(one.change.path[:2] == ("roof", "ridge") for one in ridge)
    assert not [one for one in found.left if one.member == "ridge beam"]
    changed = set(found.text.splitlines()) - set(text.splitlines())
    assert len(changed) <= 2 * len(found.mends)


def test_what_needs_no_mend_is_as_it_was() -> None:
    # Wind draws its rafters off the plates harder than 200 lb where they are 16 in apart (IRC
    # R802.11, exception 1); once they are mended they are 12 in apart.
    text = mended(FORMS["drying-loft"].read_text(encoding="utf-8")).text
    assert tomllib.loads(text)["roof"]["spacing"] == "12 in"
    found = mended(text)
    assert (found.text, found.mends) == (text, ())


def test_a_scene_of_its_own(tmp_path: Path) -> None:
    file = tmp_path / "mended.toml"
    answer = pikepole("check", FORMS["cart-shelter"], "--mend", file)
    assert answer.code == DONE
    said = " ".join(answer.out.split())
    assert "posts.footing.diameter" in said
    soil = [one for one in strength_of(build(load_scene(file))).checks if "soil" in one.rule.value]
    assert soil
    assert not [one for one in soil if one.is_over]
    again = pikepole("check", SCENES["plain"], "--mend", file)
    assert again.code in (BAD_INPUT, NOT_MADE)
    assert "is there already" in " ".join(again.err.split())


def test_steel_to_buy_is_named_and_no_scene_without_a_change_is_written(tmp_path: Path) -> None:
    # What holds the plain shed down is not rated; nothing else of it is over a rule.
    file = tmp_path / "mended.toml"
    answer = pikepole("check", SCENES["plain"], "--mend", file)
    assert answer.code == DONE
    said = " ".join(answer.out.split())
    told = re.findall(r'- ties\.anchor_rating = "(\d+) lb": for whole building, ', said)
    assert len(told) == 1
    assert f'would do: ties.anchor_rating = "{told[0]} lb" or more.' in said
    assert "The scene with these changes" not in said
    assert not file.exists()
