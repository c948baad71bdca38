"""A real browser that nobody sees, for what is shown in one.

    page(browser, path, screen)    the page of a file, open on such a screen
    picture(page) -> pixels        what is drawn of the building

Chromium draws by the processor, so that the pictures are the same on every machine.
"""

from __future__ import annotations

import io
import os
import shutil
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--no-sandbox",  # it is started by root in a container
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
HEADING_PX = 64


@dataclass(frozen=True)
class Screen:
    """What the page is looked at on.

    Attributes:
        width: CSS px.
        height: The same.
        touch: Whether it is touched, as a telephone is.
    """

    width: int
    height: int
    touch: bool


PHONE = Screen(390, 844, touch=True)
DESK = Screen(1280, 800, touch=False)


@dataclass
class Opened:
    """A page that is open.

    Attributes:
        page: Of playwright.
        said: What it wrote to its console, errors among it.
        asked: Addresses that it asked for.
    """

    page: Page
    said: list[str] = field(default_factory=list[str])
    asked: list[str] = field(default_factory=list[str])

    def press(self, name: str) -> None:
        """Press the button that is called so."""
        self.page.get_by_role("button", name=name, exact=True).first.click()

    def picture(self) -> NDArray[np.uint8]:
        """(rows, columns, 3) of what is drawn, under the heading, CSS px; waits until it is."""
        self.page.evaluate("new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")
        shot = Image.open(io.BytesIO(self.page.locator("#view").screenshot(scale="css")))
        return np.asarray(shot.convert("RGB"))[HEADING_PX:]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    path = next(filter(None, map(shutil.which, NAMES)), None)
    if path is None:
        reason = "a browser is missing (Debian package chromium)"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(f"{reason}: the page was not tested")
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield started
        started.close()


@contextmanager
def opened(browser: Browser, path: Path, screen: Screen) -> Generator[Opened]:
    """The page of a file, once its first picture is drawn."""
    context = browser.new_context(
        viewport={"width": screen.width, "height": screen.height},
        has_touch=screen.touch,
        is_mobile=screen.touch,
        device_scale_factor=2 if screen.touch else 1,
    )
    one = Opened(context.new_page())
    one.page.on("console", lambda message: one.said.append(message.text))
    one.page.on("pageerror", lambda error: one.said.append(str(error)))
    one.page.on("request", lambda request: one.asked.append(request.url))
    one.page.goto(path.as_uri())
    yield one
    context.close()
