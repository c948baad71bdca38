"""What carries the roof over the open part of a wall: posts, and a header that lies on them.

Seen from outside, a wall that is open above a half wall:

    =========================   double top plate
    |_______________________|   header
    |#|         |#|       |#|
    |#|         |#|       |#|   posts
    |#|=========|#|=======|#|   cap plate
    |#|  |   |  |#|   |   |#|   studs
    |#|=========|#|=======|#|   bottom plate

A doorway in it is a gap as high as it is: its plates stop there, at a stud, under no header.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from pikepole_model.building.kinds import Kind
from pikepole_model.geometry.spacing import TOLERANCE_MM, evenly, without
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.framed import Upright, within
from pikepole_model.plan.headers import usual_header
from pikepole_model.scene.posts import POSTS_APART_MM
from pikepole_model.scene.schema import Scene
from pikepole_model.scene.types import AnyWall
from pikepole_model.scene.walls import Header, OpenWall
from pikepole_model.stock.rows import Lumber


@dataclass(frozen=True)
class OpenPart:
    """The open part of a wall.

    Attributes:
        from_mm: Height above the floor from which it is open: of a half wall's top, or 0.
        header: Stock of the header's plies.
        header_mm: Depth of the header.
        post: Stock of the posts.
        posts: From and to of each along the wall, mm.
        across: From and to of the posts across the wall, mm; 0 is the framing's outer face.
        gaps: From and to of each doorway through the half wall, mm along it.
    """

    from_mm: float
    header: str
    header_mm: float
    post: str
    posts: tuple[tuple[float, float], ...]
    across: tuple[float, float]
    gaps: tuple[tuple[float, float], ...] = ()

    @property
    def between(self) -> list[tuple[float, float]]:
        """From and to of each length of a half wall, between posts and gaps, mm along it."""
        return without((self.posts[0][1], self.posts[-1][0]), [*self.posts, *self.gaps])

    def uprights(
        self, group: str, layout: Sequence[tuple[float, float]], datums: Datums
    ) -> Iterator[Upright]:
        """The posts, and between them the studs of a half wall.

        Args:
            group: The wall.
            layout: From and to of the studs on centre, mm.
            datums: For their section.
        """
        breadth = datums.breadth_mm
        for u in self.posts:
            yield Upright(
                Kind.WALL_POST,
                f"{group} post",
                u,
                (0.0, None),
                self.across,
                self.post,
                self.header_mm,
            )
        for start, end in self.between if self.from_mm else ():
            ends = [(start, start + breadth), (end - breadth, end)]
            clear = (start + breadth, end - breadth)
            for u in (*ends, *(mark for mark in layout if within(mark, clear))):
                v = (breadth, self.from_mm - breadth)
                yield Upright(Kind.STUD, f"{group} stud", u, v, (-datums.wall_mm, 0.0))


def open_part(
    datums: Datums,
    wall: AnyWall,
    framed: tuple[float, float],
    gaps: Iterable[tuple[float, float]],
    *,
    under_rafters: bool,
) -> OpenPart | None:
    """The open part of a wall; None where studs reach up to the plates.

    Args:
        datums: Of the building.
        wall: Which wall.
        framed: Where its framing starts and ends, mm along it.
        gaps: From and to of each doorway in it, mm along it.
        under_rafters: Whether its headers carry the roof.
    """
    scene = datums.scene
    kind = scene.walls.kind_of(wall)
    height = 0.0 if isinstance(kind, OpenWall) else kind.height
    if height is None:
        return None
    post = post_stock(scene, kind)
    along, deep = along_and_across(post, datums.wall_mm)
    first, last = framed[0] + along / 2, framed[1] - along / 2
    spans = (kind.posts or len(evenly(first, last, POSTS_APART_MM))) - 1
    middles = [first + (last - first) * k / spans for k in range(spans + 1)]
    posts = tuple((middle - along / 2, middle + along / 2) for middle in middles)
    clear = posts[1][0] - posts[0][1]
    header = kind.header or usual_header(datums, clear, under_rafters=under_rafters)
    depth = scene.lumber_stock(header).depth_mm
    return OpenPart(height, header, depth, post.name, posts, (-deep, 0.0), tuple(gaps))


def post_stock(scene: Scene, kind: Header) -> Lumber:
    """The section of a wall's posts: as the scene says, or the thickest square one it has room for.

    Where no square section is so thin, a stud.
    """
    stud = scene.lumber_stock(scene.walls.stud)
    if kind.post:
        return scene.lumber_stock(kind.post)
    square = [
        stock
        for stock in scene.catalogue.lumber.values()
        if stock.breadth_mm == stock.depth_mm
        and stud.breadth_mm < stock.depth_mm <= stud.depth_mm + TOLERANCE_MM
    ]
    return max(square, key=lambda stock: stock.depth_mm, default=stud)


def along_and_across(post: Lumber, wall_mm: float) -> tuple[float, float]:
    """The sides of a post along and across its wall, mm: its wider side across, where it has room.

    Args:
        post: Its section.
        wall_mm: Thickness of the wall.
    """
    if post.depth_mm <= wall_mm + TOLERANCE_MM:
        return post.breadth_mm, post.depth_mm
    return post.depth_mm, post.breadth_mm
