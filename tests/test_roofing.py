"""Ribbed steel and underlayment, counted by hand and measured on the parts."""

from __future__ import annotations

import itertools
from math import atan, cos, hypot, sqrt
from pathlib import Path

import numpy as np
import pytest

from measuring import CUT_MM, INCH, of_kind
from pikepole_export.derive.buying.schedule import panel_screws, screw_rows
from pikepole_export.derive.inventory.mass import part_mass
from pikepole_model.build import build
from pikepole_model.building.contact import find_contacts
from pikepole_model.building.kinds import Kind
from pikepole_model.building.part import Building, PanelRecord, Part
from pikepole_model.checks.fit import check
from pikepole_model.checks.practice import practice_findings
from pikepole_model.plan.cross_section import Meets
from pikepole_model.plan.datums import Datums
from pikepole_model.plan.roof import RoofPlan
from pikepole_model.plan.slope import Slope
from pikepole_model.reading.file import load_scene
from pikepole_model.stock.catalogue import load_catalogue
from roofs import FORMS, SOFFIT, along, form, span

FOOT = 12 * INCH
PSF = 0.45359237 / 0.3048**2

# 3/4 in high ribs, 1/2 in wide at the top and 1-3/4 in at the bottom; 29 ga, 0.0172 in.
HEIGHT, TOP, BOTTOM, STEEL = 0.75 * INCH, 0.5 * INCH, 1.75 * INCH, 0.0172 * INCH
LEG = hypot(HEIGHT, (BOTTOM - TOP) / 2)
COVER, PITCH = 36 * INCH, 9 * INCH


@pytest.fixture(scope="module")
def shelter() -> Building:
    """A gable of 13 x 9 ft at 5:12 with a lean-to at 2:12."""
    return build(load_scene(Path(__file__).parent / "scenes" / "forms" / "swing-shelter.toml"))


def slopes(building: Building) -> dict[str, Slope]:
    return {s.prefix.strip() or "roof": s for s in RoofPlan(Datums(building.scene)).all_slopes}


def on(building: Building, kind: Kind, slope: str) -> list[Part]:
    return [part for part in of_kind(building, kind) if part.name.startswith(f"{slope} {kind}")]


def test_panels_counted_by_hand(shelter: Building) -> None:
    # Over the barge boards the gable is 156 + 2 x 8 + 2 x 3/4 = 173-1/2 in long and the lean-to
    # 156 + 2 x 3/4 = 157-1/2 in. Four panels of 36 in cover 144 in and the half rib at each end;
    # both want a fifth.
    assert len(on(shelter, Kind.PANEL, "front")) == 5
    assert len(on(shelter, Kind.PANEL, "back")) == 5
    assert len(on(shelter, Kind.PANEL, "back lean-to")) == 5


def test_panels_reach_from_eave_to_peak_in_one_length(shelter: Building) -> None:
    # Gable: 54 in to the ridge, 10 in of overhang and 3/4 in of fascia, times 13/12 at 5:12; from
    # there 1-1/2 in on past the drip edge (two thicknesses of 0.0172 in at its laps), and at the
    # top 1 in short of the sheets, which stop at the ridge board's face, 3/8 in from the ridge.
    low = (54 + 10 + 0.75) * 13 / 12 + 1.5 + 2 * 0.0172
    high = 0.375 * 13 / 12 + 1
    for name in ("front", "back"):
        for part in on(shelter, Kind.PANEL, name):
            assert part.length_mm == pytest.approx((low - high) * INCH, abs=CUT_MM)
    # Lean-to: 72 in less the wall's sheet, 10 in of overhang, 3/4 in of fascia at 2:12.
    low = (72 - 7 / 16 + 10 + 0.75) * sqrt(1 + (2 / 12) ** 2) + 1.5 + 2 * 0.0172
    for part in on(shelter, Kind.PANEL, "back lean-to"):
        assert part.length_mm == pytest.approx((low - 1) * INCH, abs=CUT_MM)


@pytest.mark.parametrize("start", ["left", "right"])
def test_the_first_panel_is_whole_and_the_last_is_ripped(start: str) -> None:
    building = form("monopitch", roofing={"start": start})
    slope = slopes(building)["roof"]
    spans = sorted(span(part, slope, 0) for part in of_kind(building, Kind.PANEL))
    if start == "right":
        spans = [(-b, -a) for a, b in reversed(spans)]
    left, right = slope.sheeted_x if start == "left" else tuple(-x for x in slope.sheeted_x[::-1])
    # The whole ones cover 36 in from rib to rib, half a rib past both (and a foot at the start);
    # the last is cut flush with the barge board.
    for k, (a, b) in enumerate(spans[:-1]):
        middle = left + 6.0 + BOTTOM / 2 + k * COVER
        assert a == pytest.approx(middle - BOTTOM / 2, abs=7.0)
        assert b == pytest.approx(middle + COVER + BOTTOM / 2, abs=2 * STEEL)
    assert spans[0][0] == pytest.approx(left, abs=2 * STEEL)
    assert spans[-1][1] == pytest.approx(right, abs=CUT_MM)


@pytest.mark.parametrize("start", ["left", "right"])
def test_no_last_panel_has_a_single_rib(start: str) -> None:
    # Common practice, no source. 10-1/2 ft with overhangs and barge boards is 151-1/2 in. Ribs
    # stand every 9 in from 6 mm and half a rib on: the last is 145.1 in, four panels, from there,
    # 6.4 in from the end. With 18 in off the first panel, beside its third rib, the last has 24.4.
    building = form(
        "monopitch",
        building={"length": "10 ft 6 in", "depth": "7 ft"},
        roofing={"start": start},
    )
    assert check(building) == ()
    slope = slopes(building)["roof"]
    spans = sorted(span(part, slope, 0) for part in of_kind(building, Kind.PANEL))
    if start == "right":
        spans = [(-b, -a) for a, b in reversed(spans)]
    left = slope.sheeted_x[0] if start == "left" else -slope.sheeted_x[1]
    first = left + 6.0 + BOTTOM / 2
    assert len(spans) == 5
    assert spans[0] == pytest.approx((left, first + 18 * INCH + BOTTOM / 2), abs=2 * STEEL)
    for k, (a, b) in enumerate(spans[1:-1]):
        middle = first + 18 * INCH + k * COVER
        assert a == pytest.approx(middle - BOTTOM / 2, abs=7.0)
        assert b == pytest.approx(middle + COVER + BOTTOM / 2, abs=2 * STEEL)
    assert spans[-1][1] - first - 18 * INCH - 3 * COVER == pytest.approx(24.4 * INCH, abs=INCH / 8)
    # As many ribs as with a whole first panel, each screwed down once.
    ribs = [
        rib
        for part in of_kind(building, Kind.PANEL)
        if isinstance(part.record, PanelRecord)
        for rib in part.record.ribs_mm
    ]
    assert ribs == pytest.approx([6.0 + BOTTOM / 2 + k * PITCH for k in range(17)])


def test_volume_is_the_developed_width_times_the_thickness() -> None:
    # Straight legs bent at mitres: the area of the section is thickness times middle line, exactly.
    building = form("monopitch")
    first, second, *_ = of_kind(building, Kind.PANEL)
    # Five ribs of two legs and a top, four flats between, and a 6 mm foot at the start.
    ribs = 5 * (2 * LEG + TOP)
    flats = 4 * (PITCH - BOTTOM)
    assert first.volume_mm3 == pytest.approx(
        (ribs + flats + 6.0) * STEEL * first.length_mm, rel=1e-6
    )
    # The lapping rib is one thickness larger: both legs and the top in parallel lines, which grows
    # the middle line by t tan(a / 2) at each end of its top, a being the bend there. Its free leg
    # stops 2 t above the flat's middle, and its other one runs on to that.
    bend = atan(HEIGHT / ((BOTTOM - TOP) / 2))
    lean = LEG / HEIGHT
    top = TOP + 2 * STEEL * np.tan(bend / 2)
    legs = (HEIGHT + STEEL - 2 * STEEL) * lean + (HEIGHT + STEEL) * lean
    foot = BOTTOM / 2 + STEEL * np.tan(bend / 2) + STEEL / np.tan(bend)
    flats = 3 * (PITCH - BOTTOM) + PITCH - BOTTOM / 2 - foot
    area = (4 * (2 * LEG + TOP) + legs + top + flats) * STEEL
    assert second.volume_mm3 == pytest.approx(area * second.length_mm, rel=1e-5)


@pytest.mark.parametrize(
    ("panel", "flat_psf"),
    # Manufacturers' Standard Gauge and galvanised sheet gauge: 0.719 and 0.906 psf.
    [
        ("ribbed steel 9 in 29 ga", 0.719),
        ("ribbed steel 12 in 29 ga", 0.719),
        ("ribbed steel 9 in 26 ga", 0.906),
        ("ribbed steel 12 in 26 ga", 0.906),
    ],
)
def test_ribs_and_laps_add_10_to_20_percent(panel: str, flat_psf: float) -> None:
    # Low farm ribs weigh 10 to 20 % more per square foot covered than flat sheet: common practice,
    # no source.
    building = form("monopitch", roofing={"panel": panel})
    _, whole, *_ = of_kind(building, Kind.PANEL)
    covered_ft2 = COVER / FOOT * whole.length_mm / FOOT
    psf = part_mass(whole).likely_kg / 0.45359237 / covered_ft2
    assert 1.10 < psf / flat_psf < 1.20
    assert load_catalogue().find_panel(panel).mass_kg_m2 == pytest.approx(flat_psf * PSF)


@pytest.mark.parametrize("name", FORMS)
def test_each_panel_lies_on_the_rib_of_the_one_before(name: str) -> None:
    building = form(name)
    panels = of_kind(building, Kind.PANEL)
    touching = {(c.a, c.b): c for c in find_contacts(panels)}
    for label, slope in slopes(building).items():
        own = panels if label == "roof" else on(building, Kind.PANEL, label)
        assert len(own) > 2
        for one, other in itertools.pairwise(own):
            contact = touching[panels.index(one), panels.index(other)]
            assert contact.gap_mm < CUT_MM
            assert contact.penetration_mm < CUT_MM
            # Side by side they share a rib: less the free edge, which stops above the flat.
            (a, b), (c, d) = span(one, slope, 0), span(other, slope, 0)
            assert min(b, d) - max(a, c) == pytest.approx(BOTTOM, abs=4 * STEEL)
            # And the later one's first rib stands one thickness higher.
            assert span(other, slope, 2)[1] - span(one, slope, 2)[1] == pytest.approx(
                STEEL if one is own[0] else 0.0, abs=CUT_MM
            )


# IBC 1507.4.2, IRC R905.10.2: lapped, non-soldered seams 3:12 without sealant, 1/2:12 with it.
@pytest.mark.parametrize(
    ("slope", "sealed", "found"),
    [
        ("3:12", False, 0),
        ("2.99:12", False, 1),
        ("0.5:12", True, 0),
        ("0.49:12", True, 1),
        ("2:12", True, 0),
    ],
)
def test_least_slopes(slope: str, sealed: bool, found: int) -> None:
    scene = form("monopitch").scene
    rad = atan(float(slope.split(":")[0]) / 12)
    roof = scene.roof.model_copy(update={"slope": np.degrees(rad)})
    assert scene.roofing
    roofing = scene.roofing.model_copy(update={"sealed": sealed})
    lower = scene.model_copy(update={"roof": roof, "roofing": roofing})
    findings = practice_findings(build(lower))
    assert len(findings) == found
    for finding in findings:
        assert "1507.4.2" in finding.text
        assert finding.key == "roof.slope"
        assert finding.mend.startswith(
            'give at least "0.5:12"' if sealed else 'give at least "3:12"'
        )


@pytest.mark.parametrize("name", FORMS)
def test_courses_lap_upwards(name: str) -> None:
    # IRC Table R905.1.1(2): 2 in at 4:12 and more (from memory); below that 19 in of a 36 in roll,
    # over a starter of 19 in, so that two layers lie everywhere, up to the top.
    building = form(name)
    for label, slope in slopes(building).items():
        parts = of_kind(building, Kind.UNDERLAYMENT)
        own = parts if label == "roof" else on(building, Kind.UNDERLAYMENT, label)
        spans = [span(part, slope, 1) for part in own]
        low = slope.sheeted_h[1] / cos(slope.slope_rad)
        high = slope.sheeted_h[0] / cos(slope.slope_rad)
        doubled = slope.slope_rad < atan(4 / 12) - 1e-9
        step = 36 * INCH - (19 * INCH if doubled else 2 * INCH)
        assert spans[0][1] == pytest.approx(low, abs=CUT_MM)
        if doubled:
            assert spans[0][1] - spans[0][0] == pytest.approx(19 * INCH, abs=CUT_MM)
            assert spans[1][1] == pytest.approx(low, abs=0.01)
            spans = spans[1:]
        for (_, b), (_, d) in itertools.pairwise(spans):
            assert b - d == pytest.approx(step, abs=0.01)
        if slope.upper.meets == Meets.KNEE:
            # Up to the flashing that comes out over it there.
            assert high <= spans[-1][0] < high + INCH / 8
            high = spans[-1][0]
        for a, b in spans:
            assert a == pytest.approx(max(high, b - 36 * INCH), abs=0.01)
        assert spans[-1][0] == pytest.approx(high, abs=0.01)
        # Every place lies under as many layers, and the higher course lies on the lower one.
        for d in np.linspace(high + 1, low - 1, 200):
            layers = [surface(part, slope, d) for part in own]
            heights = [level for level in layers if level is not None]
            assert len(heights) >= (2 if doubled else 1)
            for under, over in itertools.pairwise(heights):
                assert over[0] >= under[1] - 1e-4


def surface(part: Part, slope: Slope, d: float) -> tuple[float, float] | None:
    """Underside and top of a flat strip at a place down the slope; None past its ends."""
    points = along(part, slope)
    order = points[np.argsort(points[:, 1])]
    ends = [(float(p[:, 1].mean()), sorted(p[:, 2])) for p in (order[:4], order[-4:])]
    (d0, n0), (d1, n1) = ends
    if not d0 < d < d1:
        return None
    share = (d - d0) / (d1 - d0)
    return (n0[0] + share * (n1[0] - n0[0]), n0[-1] + share * (n1[-1] - n0[-1]))


def test_a_strip_covers_the_ridge() -> None:
    building = form("ridge board")
    (strip,) = of_kind(building, Kind.RIDGE_STRIP)
    for slope in slopes(building).values():
        # 6 in down each slope: common practice, no source.
        assert span(strip, slope, 1)[1] == pytest.approx(6 * INCH, abs=1.0)


def test_screws_counted_by_hand(shelter: Building) -> None:
    # Gable: 70.3 in long, 66.3 in between the end rows: four rows. Ribs every 9 in from 1.1 in up
    # to 173 in: twenty, four to each of five panels. Two screws at a rib in an end row, one in the
    # others: 4 x (2 x 2 + 2) = 24.
    for name in ("front", "back"):
        panels = on(shelter, Kind.PANEL, name)
        assert [panel_screws(panel) for panel in panels] == [24] * 5
        assert [len(screw_rows(panel.length_mm)) for panel in panels] == [4] * 5
    # Lean-to: 84 in long: five rows. Eighteen ribs up to 157 in: four to each panel, two to the
    # last: 4 x (2 x 2 + 3) = 28, and 14.
    panels = on(shelter, Kind.PANEL, "back lean-to")
    assert [panel_screws(panel) for panel in panels] == [28, 28, 28, 28, 14]


@pytest.mark.parametrize(("length_in", "rows"), [(10, 2), (28, 2), (28.1, 3), (52, 3), (53, 4)])
def test_rows_are_at_most_24_in_apart(length_in: float, rows: int) -> None:
    # Post-frame practice: purlins, and so rows, 24 in on centre.
    places = screw_rows(length_in * INCH)
    assert len(places) == rows
    assert max(b - a for a, b in itertools.pairwise(places)) <= 24 * INCH + CUT_MM
    assert places[0] == pytest.approx(2 * INCH)
    assert places[-1] == pytest.approx((length_in - 2) * INCH)


@pytest.mark.parametrize("tail", ["plumb", "square"])
@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_clean_with_everything_on_it(name: str, tail: str) -> None:
    building = form(name, edges={"soffit": SOFFIT}, roof={**FORMS[name]["roof"], "tail": tail})
    assert check(building) == ()


def test_bare_without_the_tables() -> None:
    building = form("monopitch")
    bare = building.scene.model_copy(update={"edges": None, "roofing": None})
    kinds = {part.kind for part in build(bare).parts}
    assert not kinds & {Kind.PANEL, Kind.UNDERLAYMENT, Kind.FASCIA, Kind.DRIP_EDGE, Kind.RAKE_TRIM}


@pytest.mark.parametrize(("length", "turned"), [("11 ft", True), ("11 ft 6 in", False)])
def test_both_rake_trims_are_as_wide_and_lie_on_steel(length: str, turned: bool) -> None:
    # Ribs stand every 9 in from 1-1/8 in: 11 ft with overhangs and barge boards is 157-1/2 in,
    # 3-3/8 in past the last one, and a trim of 3 in rests on the panel's edge turned up; 6 in more
    # end over a rib. Turning up a ripped edge: common practice, no source.
    building = form("monopitch", building={"length": length, "depth": "7 ft"})
    slope = slopes(building)["roof"]
    trims = of_kind(building, Kind.RAKE_TRIM)
    for part in trims:
        a, b = span(part, slope, 0)
        assert b - a == pytest.approx(3 * INCH, abs=3 * STEEL)
    last = of_kind(building, Kind.PANEL)[-1]
    end = slope.sheeted_x[1]
    points = along(last, slope)
    n = points[points[:, 0] > end - CUT_MM][:, 2]
    # As high as a rib, with the steel it is bent from; the rib's leg is lower there.
    assert (n.max() - n.min() > HEIGHT) == turned
    assert n.max() - n.min() <= HEIGHT + STEEL + CUT_MM
    touching = {(c.a, c.b): c.gap_mm for c in find_contacts((last, *trims))}
    over = [k for k, part in enumerate(trims, 1) if span(part, slope, 0)[1] > end - CUT_MM]
    assert over
    # A rib that laps is one thickness higher than one that does not, and so is a length of trim.
    assert all(touching[0, k] < 2.1 * STEEL for k in over)
