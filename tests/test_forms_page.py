"""The page of scenes shows whole buildings: the forms that other tests build, and no other text."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from PIL import Image

SCENES = Path(__file__).parent.parent / "scenes"
FORMS = Path(__file__).parent / "scenes" / "forms"
PAGE = (SCENES / "README.md").read_text(encoding="utf-8")
SHOWN = re.findall(
    r"### (.+?)\n.*?<summary>(.+?)\.toml</summary>\n\n```toml\n(.*?)\n```", PAGE, re.DOTALL
)


def test_every_form_of_roof_and_wall_is_shown() -> None:
    # One slope, gable on board and beam, saltbox, gambrel, clerestory, loft, slats, posts alone, a
    # bay, what stands already, a move.
    text = "\n".join(scene for _, _, scene in SHOWN)
    for key in (
        "falls =",
        "[roof.ridge]",
        "[roof.knee]",
        "[roof.clerestory]",
        "[loft]",
        '"slats"',
        "[posts]",
        "[[bay]]",
        "[[existing]]",
        "[move.built_on]",
    ):
        assert key in text, key


@pytest.mark.parametrize(("title", "name", "scene"), SHOWN, ids=[name for _, name, _ in SHOWN])
def test_a_scene_on_the_page_is_one_that_is_tested(title: str, name: str, scene: str) -> None:
    lines = (FORMS / f"{name}.toml").read_text(encoding="utf-8").splitlines()
    first = next(i for i, line in enumerate(lines) if not line.startswith("#"))
    assert scene == "\n".join(lines[first:]).strip()
    anchor = re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-")
    assert f"(gallery/forms/{name}.png)](#{anchor})" in PAGE
    with Image.open(SCENES / "gallery" / "forms" / f"{name}.png") as picture:
        assert picture.width == 480


@pytest.mark.parametrize("anchor", sorted(set(re.findall(r"\]\(#([^)]+)\)", PAGE))))
def test_every_link_inside_the_page_leads_to_a_heading(anchor: str) -> None:
    headings = re.findall(r"^#+ (.+)$", PAGE, re.M)
    slugs = {re.sub(r"[^a-z0-9 _-]", "", head.lower()).replace(" ", "-") for head in headings}
    assert anchor in slugs
