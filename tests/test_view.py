from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from pikepole_export import view
from pikepole_model.errors import OutputError
from samples import sample_building

# The window runs in a process of its own, as it does for people: it must not share one with what
# draws off screen. What it is told to do arrives as the window system's own events.
DRIVER = """
import json, sys
from pathlib import Path

sys.path.insert(0, sys.argv[1])
from samples import SIZES_X, TOP_Z, WALL_Y, sample_building
from pikepole_export.view import Viewer

viewer = Viewer(sample_building("metric"))
plotter = viewer.plotter
plotter.show(auto_close=False, interactive_update=True)
events = plotter.iren.interactor
seen = []


def told():
    texts = [
        actor.GetInput() if hasattr(actor, "GetInput") else actor.GetText(2)
        for actor in plotter.renderer.actors.values()
        if actor.GetClassName() in ("vtkTextActor", "vtkCornerAnnotation")
    ]
    seen.append(
        {
            "picked": viewer.picked.name if viewer.picked else None,
            "standing": viewer.standing,
            "stage": viewer.slider.GetRepresentation().GetTitleText(),
            "slider": viewer.slider.GetRepresentation().GetValue(),
            "texts": [text for text in texts if text],
            "eye": list(plotter.camera.position),
        }
    )
    plotter.screenshot(str(Path(sys.argv[2]) / f"{len(seen)}.png"))


def at(x, y):
    events.SetEventInformation(int(x), int(y), 0, 0, chr(0), 0, None)


def window_of(point):
    renderer = plotter.renderer
    renderer.SetWorldPoint(*point, 1.0)
    renderer.WorldToDisplay()
    return renderer.GetDisplayPoint()[:2]


def press_and_release(start, end):
    at(*start)
    events.MouseMoveEvent()
    events.LeftButtonPressEvent()
    for share in (0.25, 0.5, 0.75, 1.0):
        at(*(a + (b - a) * share for a, b in zip(start, end)))
        events.MouseMoveEvent()
    events.LeftButtonReleaseEvent()
    plotter.update()


def key(name):
    events.SetEventInformation(600, 400, 0, 0, chr(0), 0, name)
    events.KeyPressEvent()
    events.KeyReleaseEvent()
    plotter.update()


told()  # 0: as it opens
# The top of the top plate, clear of the rafter on it.
plate = window_of((300.0, WALL_Y + 40, TOP_Z + 38.1))
press_and_release(plate, plate)
told()  # 1: a piece picked
width, height = plotter.window_size
line = 0.07 * height
press_and_release((0.735 * width, line), (0.5 * width, line))
told()  # 2: slid back one stage: the picked piece is gone, and so is its text
press_and_release(plate, plate)
told()  # 3: where it was there is nothing
key("Left")
told()  # 4: the first stage
key("Left")
told()  # 5: and no further
key("Right")
key("Right")
told()  # 6: all of it again
press_and_release(plate, (plate[0] + 150, plate[1] - 60))
told()  # 7: turned; that is no click
key("Home")
told()  # 8: the first view again
key("r")
told()  # 9: without the roof
key("r")
key("c")
told()  # 10: with it, cut open across
key("c")
key("c")
told()  # 11: whole again
found = viewer.find("STUD")
told()  # 12: the first stud lit
key("n")
told()  # 13: the next
assert found and not viewer.find("no such piece")
key("g")
told()  # 14: without the ground
print(json.dumps(seen))
"""


@pytest.fixture(scope="module")
def display() -> Iterator[str]:
    """A display of our own, that nobody sees."""
    if sys.platform != "linux":
        pytest.skip("the display is made with Xvfb, which is for Linux")
    server = shutil.which("Xvfb")
    if server is None:
        if os.environ.get("CI"):
            pytest.fail("Xvfb is missing (Debian package xvfb)")
        pytest.skip("Xvfb is missing (Debian package xvfb): the window was not tested")
    reading, writing = os.pipe()
    process = subprocess.Popen(
        [server, "-displayfd", str(writing), "-screen", "0", "1400x1000x24", "-nolisten", "tcp"],
        pass_fds=(writing,),
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    try:
        with os.fdopen(reading) as pipe:
            yield f":{int(pipe.readline())}"
    finally:
        process.terminate()
        process.wait()


@pytest.fixture(scope="module")
def session(
    display: str, tmp_path_factory: pytest.TempPathFactory
) -> tuple[list[dict[str, Any]], Path]:
    """What was seen after each thing done, and the folder of screenshots 1.png, 2.png, ..."""
    folder = tmp_path_factory.mktemp("window")
    done = subprocess.run(
        [sys.executable, "-c", DRIVER, str(Path(__file__).parent), str(folder)],
        env=os.environ | {"DISPLAY": display},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout.splitlines()[-1]), folder


def picture(folder: Path, number: int) -> np.ndarray[Any, np.dtype[np.int64]]:
    with Image.open(folder / f"{number + 1}.png") as image:
        return np.asarray(image.convert("RGB")).astype(int)


def highlighted(folder: Path, number: int) -> int:
    """Pixels of the hue a picked piece is painted in, however lit: red well above green."""
    image = picture(folder, number)
    return int(((image[:, :, 0] > 1.8 * image[:, :, 1]) & (image[:, :, 0] > 100)).sum())


def test_it_opens_on_the_finished_building(
    session: tuple[list[dict[str, Any]], Path],
) -> None:
    seen, folder = session
    assert seen[0]["standing"] == 3
    assert seen[0]["stage"] == "Stage 3 of 3: Back wall and rafter"
    assert seen[0]["picked"] is None
    assert picture(folder, 0).shape == (860, 1280, 3)
    assert highlighted(folder, 0) == 0
    # A good part of the window is wood.
    assert (np.ptp(picture(folder, 0), axis=2) > 30).mean() > 0.05


def test_a_click_says_what_a_piece_is(session: tuple[list[dict[str, Any]], Path]) -> None:
    seen, folder = session
    assert seen[1]["picked"] == "back wall top plate"
    (text,) = (text for text in seen[1]["texts"] if "back wall top plate" in text)
    # A 2x4 of 1200 mm: 38.1 x 88.9 mm by PS 20, 0.0040645 m3; at 400, 450 and 500 kg/m3.
    assert "Section: 38 mm x 89 mm" in text
    assert "Length: 1200 mm" in text
    assert "Mass: 1.8 kg likely (1.6 kg to 2.0 kg)" in text
    assert highlighted(folder, 1) > 1000


def test_the_slider_takes_stages_away(session: tuple[list[dict[str, Any]], Path]) -> None:
    seen, folder = session
    assert seen[2]["standing"] == 2
    assert seen[2]["stage"] == "Stage 2 of 3: Floor"
    assert seen[2]["picked"] is None
    assert not any("top plate" in text for text in seen[2]["texts"])
    assert highlighted(folder, 2) == 0
    wood = [(np.ptp(picture(folder, number), axis=2) > 30).sum() for number in (0, 2, 4)]
    assert wood[0] > wood[1] > wood[2] > 0


def test_nothing_is_picked_where_nothing_stands(
    session: tuple[list[dict[str, Any]], Path],
) -> None:
    assert session[0][3]["picked"] is None


def test_arrow_keys_step_through_the_stages(session: tuple[list[dict[str, Any]], Path]) -> None:
    seen, _ = session
    assert [seen[number]["standing"] for number in (4, 5, 6)] == [1, 1, 3]
    assert [seen[number]["slider"] for number in (4, 5, 6)] == [1, 1, 3]


def test_a_drag_turns_and_home_turns_back(session: tuple[list[dict[str, Any]], Path]) -> None:
    seen, _ = session
    moved = np.linalg.norm(np.subtract(seen[7]["eye"], seen[6]["eye"]))
    assert moved > 100
    assert seen[7]["picked"] is None
    assert seen[8]["eye"] == pytest.approx(seen[0]["eye"])


def wood(folder: Path, number: int) -> int:
    return int((np.ptp(picture(folder, number), axis=2) > 30).sum())


def test_the_roof_is_left_out_and_the_building_cut_open(
    session: tuple[list[dict[str, Any]], Path],
) -> None:
    _, folder = session
    # The rafter is all the roof there is; half of the rest is cut away.
    assert wood(folder, 9) < 0.99 * wood(folder, 8)
    assert wood(folder, 10) < 0.8 * wood(folder, 8)
    assert (picture(folder, 11) == picture(folder, 8)).all()


def test_a_piece_is_found_by_name_and_lit(session: tuple[list[dict[str, Any]], Path]) -> None:
    seen, folder = session
    assert [seen[number]["picked"] for number in (12, 13)] == [
        "back wall stud 1",
        "back wall stud 2",
    ]
    assert seen[12]["standing"] == 3
    # A 2x4 of 600 mm: 0.0020323 m3; at 400, 450 and 500 kg/m3.
    assert any("Mass: 0.9 kg likely (0.8 kg to 1.0 kg)" in text for text in seen[12]["texts"])
    assert highlighted(folder, 12) > 300


def test_the_ground_is_a_surface_that_can_be_left_out(
    session: tuple[list[dict[str, Any]], Path],
) -> None:
    _, folder = session
    whole, bare = picture(folder, 13), picture(folder, 14)
    grey = (whole == 243).all(axis=2)
    assert grey.mean() > 0.05
    assert (bare[grey] == 243).all(axis=1).mean() < 0.01


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere there always is a display")
@pytest.mark.parametrize("named", [None, "", ":4242"])
def test_without_a_display_it_says_so(named: str | None, monkeypatch: pytest.MonkeyPatch) -> None:
    if named is None:
        monkeypatch.delenv("DISPLAY", raising=False)
    else:
        monkeypatch.setenv("DISPLAY", named)
    with pytest.raises(OutputError, match=r"no window can be opened: .*display"):
        view.show(sample_building())


def test_a_piece_without_a_section_is_described_without_one() -> None:
    footing = sample_building().parts[0]
    lines = view.describe(footing, "imperial").splitlines()
    assert lines[0] == "footing 1"
    assert not any(line.startswith("Section") for line in lines)
