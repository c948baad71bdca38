"""What a person wrote about a building, checked and frozen.

Millimetres, kilograms, degrees from here on. `reading.file` reads a scene file into this.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property, lru_cache
from typing import Annotated, Any, Literal, Self, TypeAlias

from pydantic import Field, ValidationInfo, model_validator

from pikepole_model.scene.buying import Concrete, Cutting, Paint, Price, Spare, Waste, Words
from pikepole_model.scene.crew import Crew, Delivery, Rate
from pikepole_model.scene.envelope import Cladding, Edges, Roofing, Wrap
from pikepole_model.scene.foundation import Pad, Piers, Skids
from pikepole_model.scene.loft import Loft
from pikepole_model.scene.measured import Measured
from pikepole_model.scene.moving import Move
from pikepole_model.scene.openings import Opening
from pikepole_model.scene.own_stock import Stock
from pikepole_model.scene.posts import Bay, InnerPosts, Posts
from pikepole_model.scene.quantity import refuse
from pikepole_model.scene.site import Site
from pikepole_model.scene.ties import Ties
from pikepole_model.scene.timber import Fasteners, Moisture, Timber, Weighed
from pikepole_model.scene.types import (
    NONE,
    PLAIN,
    AnyWall,
    Eave,
    Gap,
    Heights,
    Length,
    LumberName,
    Name,
    Offset,
    Overhang,
    ScreenName,
    Section,
    SheetEdge,
    SheetName,
    SheetNameOrNone,
    Side,
    Slope,
    Spacing,
    Wall,
)
from pikepole_model.scene.walls import BracedWall, OpenWall, SheetedWall, WallKind
from pikepole_model.scene.work import Done, Existing, Have, Stage
from pikepole_model.stock.catalogue import Catalogue, load_catalogue
from pikepole_model.stock.materials import (
    BOARD,
    Material,
    bulk_material,
    by_area_material,
    sheet_material,
    wood,
)
from pikepole_model.stock.metric import usual
from pikepole_model.stock.rows import Lumber, Roll, Sheet, Species
from pikepole_model.units import Units


class Store(Section):
    """The enclosed room, outside of framing, or all that stands on posts; [building]."""

    length: Side  # along X
    depth: Side  # along Y


class Through(Section):
    """Something that stands up through the floor; [[floor.through]]."""

    name: Name
    x: Offset  # left edge from the left end of the floor
    y: Offset  # front edge from the front of the floor
    width: Length  # along x
    depth: Length  # along y


class Floor(Section):
    """A deck floor, only on skids; [floor]."""

    joist: LumberName = "2x6"
    spacing: Spacing = 406.4
    treated: bool = True
    blocking_rows: Annotated[int, Field(ge=0, le=10)] = 1
    sheet: SheetNameOrNone = "23/32 plywood"  # "none": the joists are left bare
    edge: SheetEdge = "tongue-and-groove"  # of the sheets, along them
    edge_blocks: bool = True  # under square ones
    board: LumberName | None = None  # laid flat across the joists, in place of sheets
    gap: Gap = 6.35  # between two boards: 1/4 in, common practice, no source
    # Sides whose rim is a ledger, bolted to what is there already; its joists hang on it.
    ledgers: Annotated[tuple[Eave, ...], Field(strict=False)] = ()
    through: Annotated[tuple[Through, ...], Field(strict=False)] = ()

    @model_validator(mode="before")
    @classmethod
    def _sheets_or_boards(cls, data: Any) -> Any:
        if isinstance(data, dict) and "board" in data:
            if data.get("sheet", NONE) != NONE:
                refuse(
                    "gives both sheet and board", "leave out floor.sheet, or leave out floor.board"
                )
            return {**data, "sheet": NONE}
        return data


class Walls(Heights):
    """All four walls, top of floor to top of plates high, and what each is; [walls]."""

    stud: LumberName = "2x4"
    spacing: Spacing = 406.4
    header: LumberName = "2x6"
    header_spacer: SheetName = "1/2 plywood"
    sheet: SheetName = "7/16 OSB"
    front: WallKind = SheetedWall(kind="sheets")
    back: WallKind = SheetedWall(kind="sheets")
    left: WallKind = SheetedWall(kind="sheets")
    right: WallKind = SheetedWall(kind="sheets")
    # Walls whose openings leave too little sheathing, and which something else holds square.
    braced_elsewhere: Annotated[tuple[Wall, ...], Field(strict=False)] = ()

    def kind_of(self, wall: AnyWall) -> WallKind:
        """What one of them is; a clerestory is sheeted."""
        match wall:
            case "front":
                return self.front
            case "back":
                return self.back
            case "left":
                return self.left
            case "right":
                return self.right
            case "clerestory":
                return SheetedWall(kind="sheets")

    def is_capped(self, wall: AnyWall) -> bool:
        """Whether a cap lies on one of them: on a half wall, unless it is told to have none."""
        kind = self.kind_of(wall)
        return not isinstance(kind, OpenWall) and kind.height is not None and kind.cap


class BuiltUp(Section):
    """A beam nailed together from plies."""

    ply: LumberName = "2x8"
    plies: Annotated[int, Field(ge=1, le=4)] = 2
    spacer: SheetNameOrNone = "1/2 plywood"  # between plies


class Beam(BuiltUp):
    """On the front and back wall lines and at lean-tos; [beam]."""

    on_walls: bool = False  # over the front and back walls even where no end bay asks for it


class RidgeBeam(BuiltUp):
    """A ridge that carries the rafters; [roof.ridge] of kind "beam"."""

    kind: Literal["beam"]
    from_front: Length | None = None  # as for RidgeBoard
    ply: LumberName = "2x10"
    plies: Annotated[int, Field(ge=1, le=4)] = 3
    spacer: SheetNameOrNone = None
    posts: InnerPosts | None = None  # between the end walls


class RidgeBoard(Section):
    """A board between rafters that lean on each other; [roof.ridge] of kind "board"."""

    kind: Literal["board"]
    from_front: Length | None = None  # front wall's outer face to the ridge; None: in the middle
    board: LumberName = "1x10"
    tie: LumberName = "2x6"  # from eave to eave beside every pair of rafters
    tie_height: Overhang = 0.0  # its underside over the plates; a third of the rise at most


class Knee(BuiltUp):
    """Where each side of a gable breaks into a steeper slope, and the purlin there; [roof.knee]."""

    plies: Annotated[int, Field(ge=1, le=4)] = 2
    spacer: SheetNameOrNone = None
    slope: Slope  # below it
    from_wall: Length  # level, from the front or back wall's outer face
    gusset: SheetNameOrNone = "1/2 plywood"  # on a face of each pair of rafters that meet there


class Clerestory(BuiltUp):
    """The strip of wall between two roofs that fall away from it, on a beam; [roof.clerestory]."""

    ply: LumberName = "2x10"
    plies: Annotated[int, Field(ge=1, le=4)] = 4
    spacer: SheetNameOrNone = None
    from_wall: Length  # level, from the outer face of the wall under the lower roof to the strip
    step: Length  # plumb, from the lower roof's rafters to the upper one's
    slope: Slope | None = None  # of the lower roof; None: as the upper one's


Tail: TypeAlias = Literal["plumb", "square"]
Closed: TypeAlias = Literal["blocks", "vents", "open"]


class Roof(Section):
    """A monopitch, a gable where there is a ridge, or two roofs under a clerestory; [roof]."""

    slope: Slope
    back_slope: Slope | None = None  # of a gable, behind its ridge; None: as the front's
    falls: Literal["back", "front"] = "back"  # or where the lower wall of two heights stands
    ridge: Annotated[RidgeBeam | RidgeBoard, Field(discriminator="kind")] | None = None
    knee: Knee | None = None  # one slope a side without
    clerestory: Clerestory | None = None  # a monopitch without
    rafter: LumberName = "2x8"
    spacing: Spacing = 406.4
    end_rafter: LumberName | None = None  # shallower, so that lookouts pass over it
    fly_rafter: LumberName | None = None  # default: as end_rafter
    lookout: LumberName = "2x4"  # laid flat
    lookout_spacing: Spacing = 609.6
    eave_overhang: Overhang = 304.8  # level, past the low wall
    high_overhang: Overhang = 304.8  # level, past the high wall
    rake_overhang: Overhang = 304.8  # past the end walls or the bay's end
    tail: Tail = "plumb"
    eave: Closed = "blocks"  # what closes it between the rafters over closed walls
    screen: ScreenName = "vent screen 3 in"  # of the vents there
    sheet: SheetName = "7/16 OSB"


# What fascias and barge boards are cut from, narrow ones first: common practice, no source.
EDGE_BOARDS = ("1x8", "1x10", "1x12")


class Scene(Section):
    """A whole scene file."""

    title: Annotated[str, Field(min_length=1, max_length=100, pattern=PLAIN)]
    units: Units = "imperial"
    currency: Annotated[str, Field(max_length=8, pattern=PLAIN)] = ""
    words: Words | None = None  # American with imperial units, British with metric ones without
    building: Store
    lumber: Timber = Timber()
    moisture: Moisture = Moisture()
    weighed: Annotated[tuple[Weighed, ...], Field(strict=False)] = ()
    measured: Annotated[tuple[Measured, ...], Field(strict=False)] = ()
    fasteners: Fasteners = Fasteners()
    stock: Stock = Stock()
    foundation: Annotated[Skids | Piers | Pad, Field(discriminator="kind")] | None = None
    floor: Floor | None = None  # required on skids, none on a pad
    walls: Walls = Walls()
    posts: Posts | None = None  # in place of foundation, floor and walls
    opening: Annotated[tuple[Opening, ...], Field(strict=False)] = ()
    existing: Annotated[tuple[Existing, ...], Field(strict=False)] = ()
    bay: Annotated[tuple[Bay, ...], Field(strict=False)] = ()
    beam: Beam | None = None  # a Beam() when something stands on posts
    loft: Loft | None = None  # open to the roof without
    roof: Roof
    ties: Ties = Ties()
    edges: Edges | None = None  # the roof's edges left bare without
    roofing: Roofing | None = None  # the roof sheets left bare without
    wrap: Wrap | None = None  # bare sheathing without
    cladding: Annotated[tuple[Cladding, ...], Field(strict=False)] = ()
    site: Site = Site()
    stage: Annotated[tuple[Stage, ...], Field(strict=False)] = ()  # the usual order without
    crew: Crew = Crew()
    delivery: Delivery = Delivery()
    rate: Annotated[tuple[Rate, ...], Field(strict=False)] = ()
    move: Move | None = None  # built where it stands without
    cutting: Cutting = Cutting()
    price: Annotated[tuple[Price, ...], Field(strict=False)] = ()
    paint: Paint | None = None  # left unpainted without
    concrete: Concrete = Concrete()
    waste: Waste = Waste()
    spare: Spare = Spare()
    have: Annotated[tuple[Have, ...], Field(strict=False)] = ()
    done: Done = Done()

    @model_validator(mode="after")
    def _beam_on_posts(self, info: ValidationInfo) -> Self:
        """Posts carry a beam, whether a scene gives it or not; what it does not give is not set."""
        if self.beam or not (self.bay or self.posts):
            return self
        beam = Beam.model_validate({}, context=info.context)
        return self.model_construct(self.model_fields_set, **{**dict(self), "beam": beam})

    @cached_property
    def catalogue(self) -> Catalogue:
        """The program's catalogue with the scene's own stock, boards as bought and trimmed.

        Raises:
            CatalogueError: the scene's own stock takes a name that is there already.
        """
        cutting = self.cutting  # sections are frozen, and so hashable
        return _as_bought(self.stock, cutting.longest, cutting.end_trim)  # pyright: ignore[reportArgumentType]

    @property
    def catalogue_of_all(self) -> Catalogue:
        """The same, with every length that there is."""
        return _as_bought(self.stock, math.inf, 0.0)  # pyright: ignore[reportArgumentType]

    @property
    def english(self) -> Words:
        """Whose words the lists are in."""
        return self.words or ("American" if self.units == "imperial" else "British")

    def lumber_stock(self, name: str) -> Lumber:
        """A section by its name."""
        return self.catalogue.find_lumber(name)

    @property
    def heights(self) -> Heights:
        """What says how high the roof stands: the walls, or the posts in their place."""
        return self.posts or self.walls

    def is_closed(self, wall: AnyWall) -> bool:
        """Whether a wall is closed up to the roof: sheeted, or clad on bare studs."""
        kind = self.walls.kind_of(wall)
        if self.posts or not isinstance(kind, SheetedWall | BracedWall) or kind.height:
            return False
        clad = any(wall in table.walls for table in self.cladding)
        return clad or isinstance(kind, SheetedWall)

    @property
    def built_on(self) -> Skids | Piers | Pad | None:
        """What the building is framed on: where it stays, or where it stands until it is moved."""
        return (self.move and self.move.built_on) or self.foundation

    @property
    def bearers(self) -> Skids | Piers | None:
        """What says which skids or girders the floor lies on; None without any."""
        return self.built_on if isinstance(self.built_on, Skids | Piers) else None

    @property
    def floor_pad(self) -> Pad | None:
        """The pad that the walls stand on; None where a floor lies on skids or girders."""
        return self.built_on if isinstance(self.built_on, Pad) else None

    @property
    def fascia(self) -> Lumber | None:
        """The board across the rafters' ends, if there is one."""
        return self._edge_board(self.edges.fascia, self.tails_mm) if self.edges else None

    @property
    def tails_mm(self) -> float:
        """How deep the ends of the rafters are, mm, with the edge of a soffit under them.

        Without one, what a plumb cut is longer by is cut off level.
        """
        roof, soffit = self.roof, self.edges and self.edges.soffit
        deep = self.lumber_stock(roof.rafter).depth_mm
        if not soffit:
            return deep
        deep += self.sheet_stock(soffit).thickness_mm
        at_eaves = (roof.knee.slope,) if roof.knee else (roof.slope, roof.back_slope or 0.0)
        return deep / math.cos(math.radians(max(at_eaves))) if roof.tail == "plumb" else deep

    @property
    def barge(self) -> Lumber | None:
        """The boards up the outside of the fly rafters, or of the end rafters, if there are any."""
        roof = self.roof
        inside = roof.fly_rafter or roof.end_rafter or roof.rafter
        deep = self.lumber_stock(inside).depth_mm
        return self._edge_board(self.edges.barge, deep) if self.edges else None

    def _edge_board(self, said: str | None, deep: float) -> Lumber | None:
        """What a scene says, or the first of EDGE_BOARDS as wide as that, or the widest."""
        if said == NONE:
            return None
        if said:
            return self.lumber_stock(said)
        boards = [self.lumber_stock(usual(name, self.units)) for name in EDGE_BOARDS]
        return next((board for board in boards if board.depth_mm >= deep), boards[-1])

    def sheet_stock(self, name: str) -> Sheet:
        """A sheet by its name."""
        return self.catalogue.find_sheet(name)

    def species(self, treated: bool, section: str | None = None) -> Species:
        """What the scene's lumber is, treated or not; a board may have a species of its own.

        Args:
            treated: Whether it is.
            section: Its name; None for what is no board.
        """
        lumber = self.lumber
        name = lumber.treated_species if treated else lumber.species
        if self._is_plain_board(treated, section):
            name = lumber.board_species or name
        return self.catalogue.find_species(name)

    def wood(self, treated: bool, section: str | None = None) -> Material:
        """The scene's lumber as a material, at the scene's moisture.

        Args:
            treated: Whether it is treated.
            section: Its name; None for what is no board.
        """
        moisture = self.moisture.treated if treated else self.moisture.untreated
        found = wood(self.species(treated, section), moisture.percent, treated=treated)
        unnamed = self._is_plain_board(treated, section) and not self.lumber.board_species
        return replace(found, name=BOARD) if unnamed else found

    def _is_plain_board(self, treated: bool, section: str | None) -> bool:
        if treated or section is None:
            return False
        return section in self.catalogue.lumber and self.lumber_stock(section).is_board

    def sheet_material(self, name: str) -> Material:
        """A sheet as a material, at the scene's moisture of untreated wood."""
        return sheet_material(self.sheet_stock(name), self.moisture.untreated.percent)

    def roll_stock(self, name: str) -> Roll:
        """A roll by its name."""
        return self.catalogue.find_roll(name)

    def roll_material(self, name: str) -> Material:
        """A roll as a material."""
        return by_area_material(self.roll_stock(name))

    def bulk_material(self, name: Literal["concrete", "gravel", "steel"]) -> Material:
        """Concrete, gravel or steel as a material."""
        return bulk_material(self.catalogue.find_bulk(name))


# Mends are looked for in hundreds of scenes with the same stock.
@lru_cache(16)
def _as_bought(stock: Stock, longest: float | None, end_trim: float) -> Catalogue:
    added = stock.added_to(load_catalogue())
    lumber = {name: row.as_bought(longest, end_trim) for name, row in added.lumber.items()}
    return replace(added, lumber=lumber)
