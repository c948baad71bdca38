"""Draws the pictures of one job, in a process of its own.

Reads `arrays.npz` and `words.json`, and a file for each page; writes the `drawn/*.png` that it is
handed, and for each `*.png.json`: the numbers of the parts that are added and seen in none of its
views. A page shows its stage from the front, and below that from behind, where something is added
that is not seen from the front; the other way round where hardly any of it is.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image, ImageDraw

from pikepole_export.graphics.drawer import READY, page_file
from pikepole_export.graphics.lettering import font_of, width_px
from pikepole_export.graphics.page import COMPRESS_LEVEL
from pikepole_export.graphics.window import FINE, Pixels
from pikepole_export.write.pictures.column import BODY_PX, QUIET, Column
from pikepole_export.write.pictures.flat import drawn_plate
from pikepole_export.write.pictures.plate import Plate
from pikepole_export.write.pictures.solids import Arrays, Solids
from pikepole_export.write.pictures.views import View

# A piece is seen where it fills at least so many pixels of a view, four to each of the page.
SEEN_PX = 12
# The views change places where from behind more than so many times as many pieces are seen.
TURNED = 2
# What is said above the views below the first.
BEHIND = "from behind"
AHEAD = "from the front"
OPENED = "without what hides it"
LABEL_PX = 26  # from the left edge of a view
MOST_OF_IT = 5  # lines of joints
FULL = "slots"  # frames in which the views are not drawn smaller
ROW = 2  # views and drawings that stand below the first view before they are drawn smaller


def draw(names: Iterator[str], job: Path) -> None:
    """Draw every picture of a job.

    Args:
        names: Of the pictures, each as soon as it is handed over.
        job: The folder with what they need.
    """
    folder = job / "drawn"
    # One picture is packed while the next is drawn.
    with ThreadPoolExecutor(1) as packing:
        packed: list[Future[None]] = []
        pages: Pages | None = None
        for name in names:
            pages = pages or _pages(job)
            if name == READY:
                continue
            page = json.loads((job / page_file(name)).read_text(encoding="utf-8"))
            picture, unseen = pages.drawn(page)
            (job / f"{name}.json").write_text(json.dumps(sorted(unseen)), encoding="utf-8")
            save = partial(picture.save, folder / name, compress_level=COMPRESS_LEVEL)
            packed.append(packing.submit(save))
            for one in packed[:-1]:
                one.result()


def _pages(job: Path) -> Pages:
    with np.load(job / "arrays.npz") as stored:
        arrays = dict(stored)
    return Pages(arrays, json.loads((job / "words.json").read_text(encoding="utf-8")))


class Pages:
    """The pages of a job, each drawn soonest after the one before it.

    Args:
        arrays: Of the job.
        words: Of the job.
    """

    def __init__(self, arrays: Arrays, words: dict[str, Any]) -> None:
        self._arrays, self._words = arrays, words
        self._solids = Solids(arrays, words["main"][2:])
        self._roof = frozenset(words["roof"])
        self._times: int = words["times"]
        self._views: dict[str, View] = {}

    def drawn(self, page: dict[str, Any]) -> tuple[Image.Image, set[int]]:
        """One page, and the numbers of the parts that are added and not seen on it."""
        words = self._words
        sheet = Image.new("RGB", [side * self._times for side in words["page"]], "white")
        main, second = page["main"], page["second"]
        self._views = {name: view for name, view in self._views.items() if name in (main, second)}
        left, top, _, _ = words["main"]
        added: set[int] = {n for line in page["caption"]["pieces"] for n in line["parts"]}
        picture, ahead = self._picture(main, page)
        other = None if page["layout"] and added <= ahead else self._picture(second, page)
        write = ImageDraw.Draw(sheet)
        turned = other is not None and len(other[1]) > TURNED * len(ahead)
        if turned:
            main, second = page["turned"]
            picture, ahead = self._picture(main, page)
            other = self._picture(second, page)
        self._paste(sheet, main, picture, (left, top))
        if turned:
            self._write(write, (left + LABEL_PX, top + LABEL_PX), BEHIND, "la")
        seen = {main: (picture, ahead)} | ({second: other} if other else {})
        below, hidden = self._below(page, added, seen, AHEAD if turned else BEHIND)
        _, _, width, high = words["main"]
        frame = (width, 0, words["page"][0] - width, words["page"][1])
        column = Column(write, frame, self._times)
        column.caption(page["caption"], frozenset(added - hidden))
        plates, under, frames = plates_of(page, len(below), column, high)
        column.under(page["caption"]["under"])
        slots = [(left, top) for left, top, _, _ in words["frames"][frames]]
        smaller: float = words["smaller"][frames]
        # What is said above a view is higher than the margin in it.
        down = round(words["said_px"] - words["margin_px"] * smaller)
        wide = words["views"][second]["size"][0]
        for at, (said, (name, picture)) in zip(slots, below.items(), strict=False):
            own = smaller * min(1.0, wide / words["views"][name]["size"][0])
            self._paste(sheet, name, picture, (at[0], at[1] + down), own)
            self._write(write, (at[0] + LABEL_PX, at[1]), said, "la")
        if under:
            sheet.paste(drawn_plate(under, self._times), self._at(words["strip"][:2]))
        # A last one stands under the words, where they are few.
        few = column.ends < high
        for at, plate in zip(slots[len(below) : len(slots) if few else -1], plates, strict=False):
            sheet.paste(drawn_plate(plate, self._times), self._at(at))
        return sheet, hidden

    def _below(
        self,
        page: dict[str, Any],
        added: set[int],
        seen: dict[str, tuple[Pixels, set[int]]],
        said: str,
    ) -> tuple[dict[str, tuple[str, Pixels]], set[int]]:
        """The views below the first, by what is said above each, and what no view shows.

        Args:
            page: What it shows.
            added: Numbers of the parts that its stage adds.
            seen: The first view and, where that is asked for, the one from the other side, by their
                names; of each the parts that are seen in it.
            said: From where the second is.
        """
        below = dict[str, tuple[str, Pixels]]()
        (_, (_, ahead)), *others = seen.items()
        if not others:
            return below, set()
        # Kept where it shows something that is not seen in the first, or fills the page.
        ((second, (picture, behind)),) = others
        if behind - ahead or (not page["layout"] and added <= ahead):
            below[said] = second, picture
        hidden = added - ahead - behind
        if not hidden:
            return below, hidden
        first = next(iter(seen))
        laid, anew, left_out = self._opened(second, picture, page, hidden)
        shown = hidden & anew
        if shown:  # else it would repeat the view
            below[OPENED] = second, laid
        if not hidden - shown:
            return below, set()
        # Opened in the first view where that shows more; in both where it takes both.
        lost = (behind & left_out) - ahead
        laid_ahead, anew, _ = self._opened(first, seen[first][0], page, hidden | lost)
        both = shown | (hidden & anew)
        if len(both) > max(len(shown), len(hidden & anew)) and lost <= anew:
            below[said] = second, laid
            below[OPENED] = first, laid_ahead
            return below, hidden - both
        if len(hidden & anew) > len(shown):
            shown, below[OPENED] = hidden & anew, (first, laid_ahead)
        return below, hidden - shown

    def _opened(
        self, name: str, picture: Pixels, page: dict[str, Any], hidden: set[int]
    ) -> tuple[Pixels, set[int], set[int]]:
        """A view without what hides some parts, what is seen anew then, and what is left out."""
        roof = self._roof if page["opened"] else frozenset[str]()
        standing = [name for name in page["standing"] if name not in roof]
        opened = self._view(name).laid_open(picture, standing, page["added"], hidden)
        laid, counts, left_out = opened
        return laid, _at_least(counts), left_out

    def _picture(self, name: str, page: dict[str, Any]) -> tuple[Pixels, set[int]]:
        """A view of a page, and the numbers of the added parts that are seen in it."""
        view = self._view(name)
        if not page["added"]:
            return view.finished(page["standing"], self._roof), set()
        picture, counts = view.picture(
            page["standing"], page["added"], self._roof, opened=page["opened"]
        )
        return picture, _at_least(counts)

    def _view(self, name: str) -> View:
        if name not in self._views:
            words = self._words
            self._views[name] = View(name, self._solids, words["views"][name], words["grid_mm"])
        return self._views[name]

    def _paste(
        self,
        sheet: Image.Image,
        name: str,
        picture: Pixels,
        at: tuple[int, int],
        smaller: float = 1.0,
    ) -> None:
        """Bring a view to size, put it on the page, and write below its figure how tall that is."""
        fine = Image.frombuffer("RGBX", picture.shape[::-1], picture, "raw", "RGBX", 0, 1)
        view = fine.reduce(FINE // self._times).convert("RGB")
        if smaller < 1:
            view = view.resize([round(side * smaller) for side in view.size], Image.Resampling.BOX)
        sheet.paste(view, self._at(at))
        x, y = (float(value) * smaller for value in self._arrays[f"{name}_label"])
        write, height = ImageDraw.Draw(sheet), picture.shape[0] / FINE * smaller
        label: list[str] = self._words["views"][name]["label"]
        # Letters are as large as ever: in a smaller view they might reach past its left edge.
        x = max(x, LABEL_PX / 2 + max(width_px(line, BODY_PX) for line in label) / 2)
        for row, line in enumerate(label):
            place = (at[0] + x, at[1] + height - y + self._words["label_line_px"] * row)
            self._write(write, place, line, "mt")

    def _at(self, at: tuple[int, int]) -> tuple[int, int]:
        """A place of the page in pixels that are drawn."""
        return at[0] * self._times, at[1] * self._times

    def _write(
        self, write: ImageDraw.ImageDraw, at: tuple[float, float], words: str, anchor: str
    ) -> None:
        """Words at a place of the page."""
        font = font_of(BODY_PX * self._times)
        place = (at[0] * self._times, at[1] * self._times)
        write.text(place, words, fill=QUIET, font=font, anchor=anchor)


def plates_of(
    page: dict[str, Any], views: int, column: Column, high: int
) -> tuple[list[Plate], Plate | None, str]:
    """What stands beside the views below, what under them, and the name of the frames for it all.

    What is nailed stands in the column, where there is room for all or most of it; else beside the
    views, which are drawn smaller for it, or under them; and where there is no room either, as much
    of it in the column as goes there.

    Args:
        page: What it shows.
        views: How many views there are below the first.
        column: The words so far.
        high: From where on a last drawing stands under them, px.
    """
    said, layout, details = page["nailing"], page["layout"], page["details"]
    count = views + bool(layout) + len(details)
    first: list[Plate] = []
    last: list[Plate] = []
    under: Plate | None = None
    frames = FULL
    # A detail may wait for the room under the words.
    above = high if count > ROW and column.ends < high else None
    if said and not column.nailing(said, above, said["enough"]):
        half, narrow, between, strip = page["nailed"]
        if count < ROW:
            last = [half]
        elif column.nailing(said, above, MOST_OF_IT):
            pass
        elif layout and views == 1 and above is None:
            first = [narrow]
        elif layout and views == ROW:
            under = strip
        elif views == ROW:
            first, frames = [narrow], "beside"
        elif views == 1 and not layout:
            first, frames = [between], "detailed"
        else:
            column.nailing(said, above, 1)
    if layout:
        crowded = views + len(first) > 1
        frames = "stripped" if under else "beside" if crowded else FULL
        wide, half, narrow = layout
        # Twice as wide where nothing else is there.
        alone = not (views or details or last)
        first.append(narrow if crowded else wide if alone else half)
    return [*first, *details, *last], under, frames


def _at_least(counts: Counter[int]) -> set[int]:
    return {number for number, count in counts.items() if count >= SEEN_PX}
