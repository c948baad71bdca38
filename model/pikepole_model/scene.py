"""What a person wrote about a building, checked: TOML in, a frozen Scene out.

Millimetres, kilograms, degrees from here on. Every problem of a file is reported at once.
"""
# DRAFT OF THE FIELDS. Types, validation and the problem report are to be completed.

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class Section(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


# Length: text with a unit -> float mm, positive.  Offset: the same, zero allowed.
# Slope: "3:12" or "14 deg" -> float degrees.
Length = float
Offset = float
Slope = float


class Range(Section):
    low: float
    likely: float
    high: float


class Moisture(Section):  # percent of oven-dry mass
    untreated: Range = Range(low=12, likely=15, high=19)
    treated: Range = Range(low=19, likely=60, high=110)


class Lumber(Section):
    species: str = "spruce-pine-fir"
    treated_species: str = "southern pine"


class OwnLumber(Section):  # [[stock.lumber]]
    name: str
    breadth: Length
    depth: Length
    lengths: tuple[Length, ...]


class OwnSheet(Section):  # [[stock.sheet]]
    name: str
    thickness: Length
    width: Length
    length: Length
    density_kg_m3: float


class OwnSpecies(Section):  # [[stock.species]]
    name: str
    specific_gravity: float


class Stock(Section):
    lumber: tuple[OwnLumber, ...] = ()
    sheet: tuple[OwnSheet, ...] = ()
    species: tuple[OwnSpecies, ...] = ()


class Store(Section):  # the enclosed room, outside of framing; [building] in the file
    length: Length  # along X
    depth: Length  # along Y


class Skids(Section):  # kind = "skids"
    kind: Literal["skids"]
    skid: str = "4x6"  # laid on edge, treated
    count: int = 3
    inset: Offset = 0.0  # outer skids' faces in from the front and back edge
    toe: Offset = 88.9  # length and height... of the sled cut at each skid's end; 0 for square
    gravel: Length = 101.6
    gravel_margin: Offset = 304.8


class Pad(Section):  # kind = "pad"
    kind: Literal["pad"]
    thickness: Length = 101.6
    above_ground: Length = 152.4  # top of slab over finished ground
    gravel: Length = 101.6
    gravel_margin: Offset = 152.4
    edge_depth: Length | None = None  # thickened edge, measured from the top of the slab
    edge_width: Length = 304.8  # its width at the bottom; the inner side slopes at 45 degrees
    bolt_diameter: Length = 12.7
    bolt_embedment: Length = 177.8
    bolt_spacing: Length = 1828.8


class Through(Section):  # [[floor.through]]: something that stands up through the floor
    name: str
    x: Length  # left edge from the left end of the floor
    y: Length  # front edge from the front of the floor
    width: Length  # along x
    depth: Length  # along y


class Floor(Section):  # only on skids
    joist: str = "2x6"
    spacing: Length = 406.4
    treated: bool = True
    blocking_rows: int = 1
    sheet: str = "23/32 plywood"
    through: tuple[Through, ...] = ()


class Walls(Section):
    stud: str = "2x4"
    spacing: Length = 406.4
    low_height: Length = 2133.6  # top of floor to top of plates, at the low wall
    header: str = "2x6"
    header_spacer: str = "1/2 plywood"
    sheet: str = "7/16 OSB"


class Opening(Section):  # [[opening]]
    name: str
    kind: Literal["door", "window"]
    wall: Literal["front", "back", "left", "right"]
    from_left: Length  # left corner of the wall, seen from outside, to the rough opening
    width: Length  # rough opening
    height: Length  # rough opening
    sill: Length | None = None  # windows only: top of floor to bottom of rough opening
    header: str | None = None  # default walls.header
    jacks: int | None = None  # each side; default 1 up to 6 ft, then 2


class Footing(Section):
    diameter: Length = 304.8
    depth: Length = 609.6  # below finished ground
    above_ground: Length = 76.2


class Bay(Section):  # [[bay]]
    end: Literal["left", "right"]
    length: Length  # clear of the store: store wall's outer face to the roof's last rafter
    posts: int = 1  # in each wall line, evenly spaced; the last at the bay's end
    post: str = "6x6"
    seat: Literal["notch", "cap"] = "notch"
    footing: Footing = Footing()


class Beam(Section):  # on the front and back wall lines, over the walls and the bays
    ply: str = "2x8"
    plies: int = 2
    spacer: str | None = "1/2 plywood"  # sheet between plies


class Roof(Section):
    slope: Slope
    falls: Literal["back", "front"] = "back"
    rafter: str = "2x6"
    spacing: Length = 406.4
    end_rafter: str | None = None  # shallower, so that lookouts pass over it; default see levels
    fly_rafter: str | None = None  # default: as end_rafter
    lookout: str = "2x4"  # laid flat
    lookout_spacing: Length = 609.6
    eave_overhang: Offset = 304.8  # level, past the low wall
    high_overhang: Offset = 304.8  # level, past the high wall
    rake_overhang: Offset = 304.8  # past the end walls or the bay's end
    tail: Literal["plumb", "square"] = "plumb"
    sheet: str = "7/16 OSB"


class Scene(Section):
    title: str
    units: Literal["imperial", "metric"] = "imperial"
    building: Store
    lumber: Lumber = Lumber()
    moisture: Moisture = Moisture()
    stock: Stock = Stock()
    foundation: Skids | Pad = Field(discriminator="kind")
    floor: Floor | None = None  # a deck floor; required on skids, none on a pad
    walls: Walls = Walls()
    opening: tuple[Opening, ...] = ()
    bay: tuple[Bay, ...] = ()
    beam: Beam | None = None  # default Beam() when there is a bay
    roof: Roof
