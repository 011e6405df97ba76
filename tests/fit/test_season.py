"""The year: movement worked by hand, shop problems with their answers, and every gap measured again on grown meshes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from joinery import SPECS

from solids.fit.check import check
from solids.fit.dryfit import dry_fit
from solids.fit.restraint import restraints, slots
from solids.fit.season import SeasonGap, Year
from solids.model.finding import Finding, Severity
from solids.model.seasons import Seasons
from solids.spec.reader import from_text, read

INCH = 25.4
RED_OAK, RED_OAK_ACROSS = 0.00369, 0.00158  # Wood Handbook Table 13-5: along the rings, and across them
CHERRY, MAPLE = 0.00248, 0.00353  # the same, along the rings
# Moisture at 21 °C by the Wood Handbook's equation, worked in tests/data/test_moisture.py: 35, 45 and 65 %.
DRY, MADE, WET = 6.9445, 8.4618, 11.9620
YEAR = "seasons: {humidity: [35, 65], temperature: 21 C, made_at: 45}"


def year_of(spec: str) -> Year:
    piece = from_text(spec)
    assert piece.seasons is not None
    return Year(dry_fit(piece), piece.seasons)


def gaps(spec: str, what: str = "") -> dict[str, SeasonGap]:
    return {g.name: g for g in year_of(spec).gaps if what in ("", g.what)}


def seasonal(spec: str) -> list[Finding]:
    return [
        f
        for f in check(from_text(spec)).findings
        if f.kind in ("season-closes", "season-opens", "no-room", "cross-grain")
    ]


# Panels in frames -------------------------------------------------------------------------------


def frame(
    room: float = 2, width: float = 400, depth: float = 10, wood: str = "northern red oak", more: str = ""
) -> str:
    return f"""
title: test
units: mm
stock: {{maple: {{sheet: mdf, thickness: 20}}, field: {{wood: {wood}, thickness: 6{more}}}}}
assemblies:
  - {{frame: door, width: {width}, height: 600, stock: maple, stile: 60, rail: 60,
     panel: {{stock: field, groove: [6.1, {depth}], room: {room}}}}}
{YEAR}
"""


def test_a_panel_s_room_through_the_year():
    # 400 - 2 x 60 + 2 x 10 - 2 x 2 = 296 mm; half of 296 x 0.00369 x (11.9620 - 8.4618) = 1.9114 each side.
    gap = gaps(frame())["door.panel"]

    assert gap.today == pytest.approx(2, abs=1e-9)
    assert gap.wettest == pytest.approx(2 - 296 * RED_OAK * (WET - MADE) / 2, abs=0.001)
    assert gap.driest == pytest.approx(2 + 296 * RED_OAK * (MADE - DRY) / 2, abs=0.001)
    assert gap.held == pytest.approx(10 - gap.driest, abs=1e-9)
    assert seasonal(frame()) == []


def test_a_panel_without_room_bursts_its_frame():
    # 298 mm wide with 1 a side: half of 298 x 0.00369 x 3.5002 is 1.9245, and 0.9245 is lacking.
    (found,) = seasonal(frame(room=1))

    assert (found.kind, found.severity) == ("no-room", Severity.STOP)
    assert found.values["wettest"] == pytest.approx(1 - 298 * RED_OAK * (WET - MADE) / 2, abs=0.001)
    assert found.values["leave"] == pytest.approx(298 * RED_OAK * (WET - MADE) / 2, abs=0.001)


def test_a_panel_comes_out_of_a_shallow_groove():
    # Groove 4, room 3.2: 1 - ... sits 0.8 deep, less half of (280 + 8 - 6.4) x 0.00369 x 1.5173 = 0.788: 0.012 is left.
    found = [f for f in seasonal(frame(room=3, depth=4)) if f.kind == "season-opens"]

    width = 280 + 8 - 6
    assert [f.severity for f in found] == [Severity.WARN]
    assert found[0].values["held"] == pytest.approx(1 - width * RED_OAK * (MADE - DRY) / 2, abs=0.001)
    (out,) = (f for f in seasonal(frame(room=3, depth=3.5)) if f.kind == "season-opens")
    assert out.severity is Severity.STOP and "comes out" in out.message


def test_quartersawn_and_sheet_panels_need_less():
    quarter = gaps(frame(more=", sawn: quartersawn"))["door.panel"]
    rift = gaps(frame(more=", sawn: riftsawn"))["door.panel"]

    assert quarter.moves == pytest.approx(296 * RED_OAK_ACROSS * (WET - DRY) / 2, abs=0.001)
    assert rift.moves == pytest.approx(296 * (RED_OAK + RED_OAK_ACROSS) / 2 * (WET - DRY) / 2, abs=0.001)
    assert gaps(frame().replace("wood: northern red oak", "sheet: birch plywood")) == {}


def test_an_oak_panel_of_12_in_moves_as_its_maker_was_told():
    # Shop problem WM02: 12 in of red oak over 4 points move 0.177 in, 0.0885 a side.
    year = year_of(frame(width=12 * INCH + 120 - 20 + 4))
    (gap,) = year.gaps

    assert gap.moves / (WET - DRY) * 4 * 2 / INCH == pytest.approx(0.177, abs=0.0005)


# Fronts and drawers -----------------------------------------------------------------------------


def case(front: str, joints: str, more: str = "", height: float = 200) -> str:
    """Two uprights, a floor and a lid of plywood, 20 thick, 400 wide and `height` high inside, and a front between."""
    return f"""
title: test
units: mm
stock: {{ply: {{sheet: birch plywood, thickness: 20}}, cherry: {{wood: black cherry, thickness: 20}}}}
hardware: {{slide: {{runner: side, length: 250, height: 40, side_clearance: 12.5}}}}
parts:
  left: {{stock: ply, size: [{height} + 40, 300], place: {{at: [-20, 0, -20], length: up, face: left}}}}
  right: {{mirror: left, about: {{x: 200}}}}
  floor: {{stock: ply, size: [400, 300], place: {{at: [0, 0, -20], length: across, face: top}}}}
  lid: {{stock: ply, size: [400, 300], place: {{at: [0, 0, {height}], length: across, face: top}}}}
  front: {front}
{more}
joints:
  - {{touch: [floor, left]}}
  - {{touch: [floor, right]}}
  - {{touch: [lid, left]}}
  - {{touch: [lid, right]}}
{joints}
{YEAR}
"""


def inset(reveal: float, height: float = 200) -> str:
    size = f"size: [{400 - 2 * reveal}, {height - 2 * reveal}]"
    return f"{{stock: cherry, {size}, place: {{at: [{reveal}, 0, {reveal}], length: across, face: front}}}}"


def all_round(gap: float) -> str:
    return "\n".join(f"  - {{reveal: [front, {p}], gap: {gap}}}" for p in ("left", "right", "floor", "lid"))


def test_a_front_with_reveals_alone_grows_from_its_middle():
    # 196 mm of cherry: half of 196 x 0.00248 x 3.5002 closes at each of the two, and none at its ends.
    found = gaps(case(inset(2), all_round(2)))

    assert set(found) == {"front and floor", "front and lid"}
    for gap in found.values():
        assert gap.wettest == pytest.approx(2 - 196 * CHERRY * (WET - MADE) / 2, abs=0.002)
        assert gap.driest == pytest.approx(2 + 196 * CHERRY * (MADE - DRY) / 2, abs=0.002)


def test_a_front_closes_its_reveal_and_is_told_what_to_leave():
    # 397 mm high with 1.5: half of 397 x 0.00248 x 3.5002 = 1.7231 closes it by 0.2231; leave that and 0.4 to move in.
    found = [f for f in seasonal(case(inset(1.5, 400), all_round(1.5), height=400)) if f.kind == "season-closes"]

    closes = 397 * CHERRY * (WET - MADE) / 2
    assert len(found) == 1 and found[0].severity is Severity.STOP
    assert set(found[0].parts) == {"front", "floor"} or set(found[0].parts) == {"front", "floor", "lid"}
    assert found[0].values["wettest"] == pytest.approx(1.5 - closes, abs=0.002)
    assert found[0].values["leave"] == pytest.approx(closes + 0.4, abs=0.002)


def test_a_front_hung_on_runners_grows_about_them():
    """A box of maple under the front, its runners at half its height: the front is glued to it at the lower part."""
    box = (
        "  box: {stock: ply, size: [375, 100], place: {at: [12.5, 20, 10], length: across, face: front}}\n"
        "moving: {drawer: {parts: [front, box], slide: {front: 200}}}"
    )
    joints = all_round(2) + (
        "\n  - {touch: [front, box]}\n  - {clearance: [box, left], gap: 12.5, with: slide}"
        "\n  - {clearance: [box, right], gap: 12.5, with: slide}"
    )
    found = gaps(case(inset(2), joints, box))

    # The plywood box stays; the front is glued over z 10 to 110, so it grows about z = 60: 58 mm down and 138 mm up.
    assert found["front and floor"].wettest == pytest.approx(2 - 58 * CHERRY * (WET - MADE), abs=0.003)
    assert found["front and lid"].wettest == pytest.approx(2 - 138 * CHERRY * (WET - MADE), abs=0.003)


def test_a_reveal_that_more_than_doubles_is_told():
    # 398 mm high with 1: at 35 % half of 398 x 0.00248 x 1.5173 = 0.749 more each: no. Made at 60 %: M = 11.0 or so.
    spec = case(inset(1, 400), all_round(1), height=400)
    assert not [f for f in seasonal(spec) if f.kind == "season-opens"]

    opens = [f for f in seasonal(spec.replace("made_at: 45", "made_at: 64")) if f.kind == "season-opens"]
    assert opens and opens[0].values["driest"] > 2


# Held across the grain --------------------------------------------------------------------------


def table(fit: str, width: float = 28) -> str:
    """A red oak top on four aprons, 1 in thick, that stand 1 in inside its edges; in inches."""
    joints = "\n".join(f"  - {{touch: [top, {p}], fit: {fit}}}" for p in ("front", "rear", "left", "right"))
    return f"""
title: test
units: in
stock: {{oak: {{wood: northern red oak, thickness: 1}}}}
hardware: {{screw: {{screw: No. 8 x 1 1/4}}}}
sizes: {{deep: {width}}}
parts:
  top: {{stock: oak, size: [40, deep], place: {{at: [0, 0, 20], length: across, face: top}}}}
  front: {{stock: oak, size: [38, 2], place: {{at: [1, 1, 18], length: across, face: front}}}}
  rear: {{stock: oak, size: [38, 2], place: {{at: [1, deep - 2, 18], length: across, face: rear}}}}
  left: {{stock: oak, size: [deep - 4, 2], place: {{at: [1, 2, 18], length: deep, face: left}}}}
  right: {{mirror: left, about: {{x: 20}}}}
joints:
  - {{touch: [front, left]}}
  - {{touch: [front, right]}}
  - {{touch: [rear, left]}}
  - {{touch: [rear, right]}}
{joints}
{YEAR}
"""


def test_a_top_glued_to_its_base_is_told():
    """Shop problem WM01: 28 in of red oak, 0.413 in over 4 points. Its aprons hold 26 in of it and grow themselves."""
    (found,) = seasonal(table("glue"))
    assert (found.kind, found.severity, found.parts[0]) == ("cross-grain", Severity.WARN, "top")
    assert set(found.parts) == {"top", "front", "rear", "left", "right"}
    # 26 in of the top along its rings; an apron of 1 in on either side grows across its own, away from the other.
    by_hand = (26 * RED_OAK - 2 * 1 * RED_OAK_ACROSS) * (WET - DRY) * INCH
    assert found.values["moves"] == pytest.approx(by_hand, abs=0.01)
    assert found.values["width"] == pytest.approx(26 * INCH)

    assert [f.severity for f in seasonal(table("slip"))] == [Severity.NOTE]


def test_a_narrow_top_may_be_glued():
    assert seasonal(table("glue", 5)) == []


def test_separate_battens_hold_a_top_only_where_each_of_them_is():
    """Nothing ties the two aprons to each other when the ends are gone: each just goes along with the top."""
    lines = [line for line in table("glue").splitlines() if "left" not in line and "right" not in line]

    assert seasonal("\n".join(lines)) == []


def test_slots_let_it_move_as_far_as_they_are_long():
    """Front and rear screwed through slots: each goes half of what lies between, about the middle of the top."""
    spec = table("slip")
    for apron in ("front", "rear"):
        screw = f"  - {{screw: [{apron}, top], with: screw, count: 1, free: rear, play: 1/8}}"
        spec = spec.replace(f"  - {{touch: [top, {apron}], fit: slip}}", screw)
    # The screws pass up through the aprons' edges at y = 1.5 and 26.5 in: 12.5 in from the middle of the top, and the
    # middle of an apron goes out from the ends of its neighbours by half its own thickness' growth.
    by_hand = (12.5 * RED_OAK - 0.5 * RED_OAK_ACROSS) * (WET - MADE)
    found = list(slots(year_of(spec)))

    assert [s.moves / INCH for s in found] == [pytest.approx(by_hand, abs=0.0005)] * 2
    told = [f for f in seasonal(spec) if f.kind == "no-room"]
    assert [f.values["play"] for f in told] == [pytest.approx(INCH / 8)] * len(told) and told
    assert not [f for f in seasonal(spec.replace("play: 1/8", "play: 3/16")) if f.kind == "no-room"]


def breadboard(fit: str) -> str:
    """A field of red oak 42 in wide, tongued into an end of the same, whose grain runs across it; in inches."""
    return f"""
title: test
units: in
stock: {{oak: {{wood: northern red oak, thickness: 1}}}}
parts:
  field:
    stock: oak
    size: [61, 42]
    place: {{at: [0, 0, 0], length: across, face: top}}
    cuts: [{{tongue: right, length: 1, thickness: 1/3}}]
  end: {{stock: oak, size: [42, 4], place: {{at: [60, 0, 0], length: deep, face: top}}}}
joints: [{{house: field, into: end, depth: 1, fit: {fit}}}]
{YEAR}
"""


def test_a_breadboard_end_must_not_be_glued_along():
    """42 in of red oak move 42 x 0.00369 for each percent across an end that stays."""
    (glued,) = (f for f in seasonal(breadboard("glue")) if f.kind == "cross-grain")
    (housed,) = (f for f in seasonal(breadboard("slip")) if f.kind == "cross-grain")

    for found, severity in ((glued, Severity.WARN), (housed, Severity.NOTE)):
        assert (found.severity, found.parts[0]) == (severity, "field")
        assert found.values["moves"] == pytest.approx(42 * INCH * RED_OAK * (WET - DRY), abs=0.01)


def test_pins_of_a_breadboard_need_longer_slots_further_out():
    """Shop problem WM05: in a 42 in top of red oak, over 4 points, 0.266 in at 18 in from the middle, 0.133 at 9."""
    screws = "\n".join(
        f"  - {{screw: [batten, top], with: screw, at: {{front: {21 + x}, left: 1}}{free}}}"
        for x, free in ((0, ""), (9, ", free: rear, play: 3/8"), (18, ", free: rear, play: 3/8"))
    )
    spec = f"""
title: test
units: in
stock: {{oak: {{wood: northern red oak, thickness: 1}}}}
hardware: {{screw: {{screw: No. 8 x 1 1/4}}}}
parts:
  top: {{stock: oak, size: [60, 42], place: {{at: [0, 0, 1], length: across, face: top}}}}
  batten: {{stock: oak, size: [42, 2], place: {{at: [10, 0, 0], length: deep, face: top}}}}
joints:
{screws}
{YEAR}
"""
    year = year_of(spec)
    found = sorted(s.moves / max(map(abs, year.moisture.changes)) * 4 / INCH for s in slots(year))

    assert found == [pytest.approx(0.133, abs=0.0006), pytest.approx(0.266, abs=0.0006)]


def test_a_top_that_is_fixed_at_one_edge_grows_all_to_the_other():
    """Shop problem WM07: two half tops of cherry, 40 in in all, fixed at the far ends: 5/16 in by 3.15 points."""
    spec = f"""
title: test
units: in
stock: {{cherry: {{wood: black cherry, thickness: 1}}}}
parts:
  top: {{stock: cherry, size: [30, 20], place: {{at: [0, 0, 1], length: across, face: top}}}}
  rail: {{stock: cherry, size: [30, 1/2], place: {{at: [0, 0, 0], length: across, face: top}}}}
joints: [{{touch: [top, rail]}}]
{YEAR}
"""
    year = year_of(spec)
    parts = np.array([year.dry.number["top"], year.dry.number["rail"]])
    edges = np.array([[380.0, 20 * INCH, 38.0], [380.0, 0.0, 12.0]])
    moved = year.growth.move(parts, edges)

    # Fixed over the rail, 1/4 in from its front edge, it goes 19.75 in x 0.00248 for each percent at its rear.
    assert moved[0, 1] - moved[1, 1] == pytest.approx((19.75 + 0.25) * INCH * CHERRY, abs=0.02)
    assert 2 * (moved[0, 1] - moved[1, 1]) / INCH * 3.15 == pytest.approx(5 / 16, abs=0.001)


def test_end_caps_glued_to_a_slab():
    """Shop problem WM08: caps across 20 in of red oak: 0.126 in where the rings stand, 0.295 where they lie."""
    spec = f"""
title: test
units: in
stock:
  oak: {{wood: northern red oak, thickness: 1 1/2, sawn: quartersawn}}
  edge: {{wood: northern red oak, thickness: 1 1/2}}
parts:
  slab: {{stock: oak, size: [36, 20], place: {{at: [0, 0, 0], length: across, face: top}}}}
  cap: {{stock: edge, size: [20, 3], place: {{at: [36, 0, 0], length: deep, face: top}}}}
joints: [{{touch: [slab, cap]}}]
{YEAR}
"""
    for sawn, per_four in (("quartersawn", 0.126), ("flatsawn", 0.295)):
        year = year_of(spec.replace("quartersawn", sawn))
        (held,) = restraints(year)
        assert held.moves / (WET - DRY) * 4 / INCH == pytest.approx(per_four, abs=0.0006)


def corner(seasons: str) -> str:
    """A flat corner of two flatsawn boards 100 wide, mitered, in the air that it lives in."""
    return f"""
title: test
units: mm
stock: {{oak: {{wood: northern red oak, thickness: 20}}}}
parts:
  front: {{stock: oak, size: [600, 100], place: {{at: [0, 0, 0], length: across, face: top}}}}
  left: {{stock: oak, size: [500, 100], place: {{at: [0, 0, 0], length: deep, face: top}}}}
joints: [{{miter: [front, left]}}]
{seasons}
"""


def between(made: float, low: float, high: float) -> str:
    """Made at one humidity and kept between two others."""
    return f"seasons: {{humidity: [{low}, {high}], temperature: 21 C, made_at: {made}}}"


def test_miters_of_wide_boards_open():
    """Shop problem WM10: frame members 4 in wide. Both ends of a miter grow by e along it: it opens by e w sqrt 2."""
    spec = corner(YEAR)
    (gap,) = (g for g in year_of(spec).gaps if g.what == "miter")

    assert gap.wettest == pytest.approx(100 * RED_OAK * (WET - MADE) * np.sqrt(2), abs=0.002)
    assert gap.driest == pytest.approx(100 * RED_OAK * (MADE - DRY) * np.sqrt(2), abs=0.002)
    assert any(f.kind == "season-opens" for f in seasonal(spec))


@pytest.mark.parametrize(("made", "low", "high", "end"), [(65, 35, 65.1, "heel"), (35, 34.9, 65, "toe")])
def test_the_angle_of_a_miter_by_the_closed_form_and_which_end_of_it_gapes(
    made: float, low: float, high: float, end: str
):
    """Width goes by (1 + e), length stays: a cut at 45 comes to atan(1 / (1 + e)), two of them miss 90 by the double.

    Dry, the cuts are steeper than 45, the points of the outside (the toes) meet first and the heel gapes.
    """
    (gap,) = (g for g in year_of(corner(between(made, low, high))).gaps if g.what == "miter")
    e = RED_OAK * ((DRY - WET) if made == 65 else (WET - DRY))
    off = abs(90 - 2 * np.degrees(np.arctan(1 / (1 + e))))
    assert gap.end == end
    assert gap.degrees == pytest.approx(off, rel=0.02)  # small angles: the gap goes with them in a straight line
    assert gap.widest == pytest.approx(100 * np.sqrt(2) * np.radians(off), rel=0.02)
    (told,) = (f for f in seasonal(corner(between(made, low, high))) if f.kind == "season-opens")
    assert f"at its {end}" in told.message
    assert told.values["degrees"] == gap.degrees


def test_a_mitered_case_opens_across_its_thickness_only():
    """A case's sides are mitered through their thickness: they grow alike in depth, and 20 mm of thickness is little.

    Thickness of a flatsawn board goes by the coefficient across the rings: 20 x 0.00158 x 5.0175 x sqrt 2 = 0.224.
    """
    spec = corner(between(65, 35, 65.1)).replace("length: across, face: top", "length: across, face: front")
    spec = spec.replace("length: deep, face: top", "length: deep, face: left")
    (gap,) = (g for g in year_of(spec).gaps if g.what == "miter")
    assert gap.widest == pytest.approx(20 * RED_OAK_ACROSS * (WET - DRY) * np.sqrt(2), abs=0.003)
    assert gap.end == "heel"


def test_a_spec_without_seasons_is_not_asked():
    assert seasonal(table("glue").replace(YEAR, "")) == []


# Against grown meshes ---------------------------------------------------------------------------


@pytest.mark.parametrize("change", [-1.5, 3.5, 6.0])
@pytest.mark.parametrize("spec", [case(inset(4, 400), all_round(4), height=400), case(inset(3), all_round(3))])
def test_gaps_are_those_of_grown_meshes(spec: str, change: float) -> None:
    """Each part's mesh grown and moved as a whole, and the distance between two meshes measured by manifold."""
    year = year_of(spec)
    growth = year.growth
    found = {
        g.parts: g.today + (g.wettest - g.today) / year.moisture.changes[1] * change
        for g in year.gaps
        if g.what == "reveal"
    }

    assert found
    for (i, j), expected in found.items():
        assert grown(growth, i, change).min_gap(grown(growth, j, change), 20) == pytest.approx(expected, abs=1e-4)


def grown(growth, i: int, change: float):
    """A part's mesh after so many percent: x goes to x + change (E (x - c) + t)."""
    strain, centre, shift = growth.strain[i], growth.centre[i], growth.shift[i]
    matrix = np.column_stack([np.eye(3) + change * strain, change * (shift - strain @ centre)])
    return growth.dry.scene.world(i).transform(matrix)


def test_a_leaning_case_has_its_gaps_measured_as_well():
    """Fronts in a leaning case: the slanted reveals move by the part of the growth that is square to them."""
    text = f"""
title: test
units: mm
stock: {{ply: {{sheet: birch plywood, thickness: 20}}, cherry: {{wood: black cherry, thickness: 20}}}}
assemblies:
  - {{case: body, outline: {{width: 700, height: 780, lean: {{right: 15}}}}, depth: 400, stock: ply, corners: miter}}
  - {{fronts: faces, opening: body, stock: cherry, rows: 3, reveal: 4}}
{YEAR}
"""
    year = year_of(text)
    reveals = [g for g in year.gaps if g.what == "reveal"]
    assert reveals
    for g in reveals:
        change = year.moisture.changes[1]
        i, j = g.parts
        real = grown(year.growth, i, change).min_gap(grown(year.growth, j, change), 30)
        assert real == pytest.approx(g.wettest, abs=0.01)


def test_a_year_without_change_moves_nothing_in_any_piece():
    for path in sorted(SPECS.glob("*.yaml")):
        piece = read(path)
        still = replace(piece, seasons=Seasons(humidity=(44.9999, 45.0001), made_at=45.0))
        year = Year(dry_fit(still), still.seasons)  # type: ignore[arg-type]
        assert year.gaps == () and list(restraints(year)) == [], path.name
