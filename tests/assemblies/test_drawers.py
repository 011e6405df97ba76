"""Drawers: boxes on runners, in upright and leaning cases, with and without fronts."""

from __future__ import annotations

from math import hypot, radians, tan

import pytest
from assembled import boxes, checked, expanded, refused, text, told, volume, volumes
from hypothesis import given, settings
from hypothesis import strategies as st

from solids.fit.bodies import whole_bodies
from solids.model.motion import Slide

STOCK = """\
  oak: {wood: white oak, thickness: 18 mm}
  thick: {wood: white oak, thickness: 20 mm}
  ash: {wood: white ash, thickness: 12 mm}
  ply: {sheet: birch plywood, thickness: 6 mm}
"""
SLIDE = "hardware: {slide: {runner: side, length: 400 mm, height: 45 mm, side_clearance: 12.7 mm}}\n"
CASE = "{case: body, outline: {width: 600, height: 300}, depth: 450, stock: oak, back: {stock: ply}}"
LEANING = (
    "{case: body, outline: {width: 700, height: 780, lean: {right: 15}}, depth: 450, stock: thick, back: {stock: ply}}"
)
TILLS = "{drawers: tills, opening: body, rows: 2, runner: slide, stock: ash, bottom: ply}"
LEANT = "{drawers: tills, opening: body, rows: 3, runner: slide, stock: ash, bottom: ply, spacers: oak}"
FRONTS = "{fronts: faces, opening: body, stock: oak, rows: 2, reveal: 3}"


def spec(*items: str, hardware: str = SLIDE, units: str = "mm") -> str:
    return text(*items, more=hardware, units=units, stock=STOCK)


def test_the_box_of_the_contract():
    r = checked(spec(CASE, TILLS))
    assert told(r) == []
    blank = {p.id: p.blank for p in r.piece.parts}
    box = boxes(r.piece)
    assert box["tills_1_left"][0][0] == pytest.approx(30.7)
    assert box["tills_1_right"][1][0] - box["tills_1_left"][0][0] == pytest.approx(538.6, abs=1e-9)
    assert blank["tills.1.left"].length == 400
    assert blank["tills.1.front"].length == pytest.approx(514.6, abs=1e-9)
    bottom = blank["tills.1.bottom"]
    assert (bottom.length, bottom.width) == pytest.approx((525.6, 387), abs=1e-9)
    # Rows of 132, 12 free below and above: 108 high, the contract's 240 being the case's one row.
    assert blank["tills.1.left"].width == pytest.approx(108, abs=1e-9)
    one = checked(spec(CASE, TILLS.replace("rows: 2", "rows: 1")))
    assert one.piece.part("tills.1.left").blank.width == pytest.approx(240, abs=1e-9)


def test_the_wood_of_a_box():
    r = checked(spec(CASE, TILLS))
    # A side loses its groove, 6 deep, 6 and 0.2 of play wide, all along; the front likewise.
    assert volume(r, "tills.1.left") == pytest.approx(400 * (108 * 12 - 6 * 6.2), abs=1e-6)
    assert volume(r, "tills.1.front") == pytest.approx(514.6 * (108 * 12 - 6 * 6.2), abs=1e-6)


def test_the_leaning_case_of_the_contract():
    r = checked(spec(LEANING, LEANT))
    assert told(r) == []
    box = boxes(r.piece)
    wide = box["tills_1_right"][1][0] - box["tills_1_left"][0][0]
    assert wide == pytest.approx(573.53, abs=0.005)  # 658.59 - 222.67 tan 15 - 25.4
    high = r.piece.part("tills.1.left").blank.width
    assert high == pytest.approx(740 / 3 - 24, abs=1e-9)
    # The spacer's two edges: (222.67 / 2 -+ 22.5) tan 15.
    thin, wedge = ((high / 2 + k * 22.5) * tan(radians(15)) for k in (-1, 1))
    assert (thin, wedge) == (pytest.approx(23.80, abs=0.005), pytest.approx(35.86, abs=0.005))
    assert r.piece.part("tills.1.spacer_left").blank.thickness == pytest.approx(wedge, abs=1e-9)
    for side in ("left", "right"):
        assert volume(r, f"tills.1.spacer_{side}") == pytest.approx((thin + wedge) / 2 * 45 * 400, abs=1e-3)


def test_behind_their_fronts_they_move_with_them():
    r = checked(spec(CASE, FRONTS, TILLS.replace("rows: 2", "behind: faces")))
    assert told(r) == []
    assert boxes(r.piece)["tills_1_front"][0][1] == 18
    (first, _) = r.piece.bodies
    assert first.name == "tills.drawer_1"
    assert isinstance(first.motion, Slide)
    assert (first.motion.travel, tuple(first.motion.toward)) == (400, (0, -1, 0))
    assert ("tills.1.front", "faces.faces.1") in {(j.a, j.b) for j in r.piece.joints if j.kind == "touch"}


def test_a_runner_of_13_1_with_another_travel():
    hardware = "hardware: {slide: {runner: side, length: 350, height: 40, side_clearance: 13.1, travel: 500}}\n"
    r = checked(spec(CASE, TILLS, hardware=hardware))
    assert told(r) == []
    box = boxes(r.piece)
    assert box["tills_1_right"][1][0] - box["tills_1_left"][0][0] == pytest.approx(564 - 26.2, abs=1e-9)
    assert [b.motion.travel for b in r.piece.bodies if isinstance(b.motion, Slide)] == [500, 500]


def test_rows_of_their_own_heights():
    r = checked(spec(CASE, TILLS.replace("rows: 2", "heights: [90, 174]")))
    assert told(r) == []
    assert [r.piece.part(f"tills.{k}.left").blank.width for k in (1, 2)] == pytest.approx([66, 150], abs=1e-9)


def test_a_given_width_that_leaves_the_runner_too_little_or_too_much():
    for wide, room in (("542", 11.0), ("535", 14.5)):
        r = checked(spec(CASE, TILLS.replace("rows: 2", f"rows: 1, width: {wide}")))
        (found,) = r.findings
        assert found.kind == "clearance"
        assert found.values["room"] == pytest.approx(room, abs=1e-9)  # (564 - width) / 2
        assert found.values["need"] == 12.7
    assert told(checked(spec(CASE, TILLS.replace("rows: 2", "rows: 1, width: 538")))) == []  # 13.0: within half a mm


def test_a_box_given_narrower_stands_on_spacers_of_even_thickness():
    r = checked(spec(CASE, TILLS.replace("rows: 2", "rows: 1, width: 500, spacers: oak")))
    assert told(r) == []
    # 564 less a box of 500 and twice 12.7 leaves 38.6: 19.3 behind each runner, at the middle of the box, 18 + 132.
    box = boxes(r.piece)
    assert box["tills_1_spacer_left"] == ((18, 0, 127.5), (37.3, 400, 172.5))
    assert box["tills_1_spacer_right"] == ((562.7, 0, 127.5), (582, 400, 172.5))
    assert r.piece.part("tills.1.spacer_left").cuts == ()


def test_in_a_case_of_five_sides_each_spacer_fills_what_is_behind_its_runner():
    # The right side flares by 100 in 300 and goes on upright; the runners keep away from where the two meet.
    five = ("{case: body, outline: [[0, 0], [600, 0], [700, 300], [700, 600], [0, 600]], depth: 450, stock: oak, "
            "walls: [bottom, flare, right, top, left], back: {stock: ply}}")  # fmt: skip
    item = TILLS.replace("rows: 2", "heights: [200, 240], spacers: thick")
    hardware = SLIDE.replace("12.7", "13.1")
    r = checked(spec(five, item, hardware=hardware))
    assert told(r) == []
    # Row 1 is 18 to 218: its box 30 to 206, the runner 95.5 to 140.5. Square in the flare, x grows by 1/3 of z.
    low, high = (95.5 - 30) / 3, (140.5 - 30) / 3
    assert volume(r, "tills.1.spacer_right") == pytest.approx((low + high) / 2 * 45 * 400, rel=1e-7)
    # Row 2 is 218 to 458, its box from 230; the runner, 315.5 to 360.5, is before the upright side at 700 - 18.
    level = 18 * hypot(1, 3) / 3  # the flare's thickness, level
    flat = 600 + 230 / 3 - level
    assert r.piece.part("tills.2.spacer_right").blank.thickness == pytest.approx(682 - flat, abs=1e-7)
    assert {p.id for p in r.piece.parts if "spacer" in p.id} == {"tills.1.spacer_right", "tills.2.spacer_right"}
    pairs = {(j.kind, j.a, j.b) for j in r.piece.joints}
    assert {
        ("touch", "tills.1.spacer_right", "body.flare"),
        ("touch", "tills.2.spacer_right", "body.right"),
        ("clearance", "tills.3.right", "body.right"),
        ("clearance", "tills.1.left", "body.left"),
    } <= pairs
    assert volumes(expanded(r)) == pytest.approx(volumes(r), abs=1e-3)
    (told_of,) = refused(spec(five, TILLS.replace("rows: 2", "rows: 3, spacers: thick")))
    assert "a side of the opening has a corner behind the runner of drawer 2: move its row" in told_of
    (told_of,) = refused(spec(five.replace("[700, 300]", "[700, 40]"), TILLS))
    assert "mm behind the runner of drawer 1: say what the `spacers` there are made of" in told_of


@pytest.mark.parametrize("wide", [634, 700])  # the sides cross the runner's place, or stand before all of it
def test_a_box_too_wide_for_a_leaning_case_is_told_and_gets_no_spacer_inside_the_wood(wide: int):
    r = checked(spec(LEANING, LEANT.replace("rows: 3", f"rows: 3, width: {wide}")))
    assert {"clearance", "interference"} & {f.kind for f in r.findings}
    assert not [p.id for p in r.piece.parts if "spacer" in p.id]


def test_pedestals_leaned_turned_mirrored_and_copied_within_a_group():
    bank = LEANING, FRONTS.replace("rows: 2", "rows: 3"), LEANT.replace("rows: 3", "behind: faces")
    inner = "\n".join(f"      - {a}" for a in bank)
    place = "place: {at: [10, 20, 30], lean: {rear: 5}, turn: 35}"
    twin = "  twin: {mirror: bay, about: {x: 3000}}"
    groups = f"groups:\n  bay:\n    {place}\n    assemblies:\n{inner}\n{twin}\n"
    r = checked(f"title: Tried out\nunits: mm\nstock:\n{STOCK}{SLIDE}{groups}")
    assert told(r) == []
    found = volumes(r)
    assert found["twin_tills_3_spacer_right"] == pytest.approx(found["bay_tills_3_spacer_right"], rel=1e-9)
    ways = {b.name: b.motion.toward for b in r.piece.bodies if isinstance(b.motion, Slide)}
    one, other = ways["bay.tills.drawer_1"], ways["twin.tills.drawer_1"]
    assert other.minus(one._replace(x=-one.x)).length() < 1e-9
    assert len(ways) == 6
    e = expanded(r)
    assert told(e) == []
    assert volumes(e) == pytest.approx(found, abs=1e-3)


def test_behind_fronts_of_frame_and_panel_the_whole_front_comes_along():
    frame = "{stock: oak, stile: 40, rail: 40, panel: {stock: ply, groove: [6.2, 9]}}"
    faces = f"{{fronts: faces, opening: body, frame: {frame}, rows: 2, reveal: 3}}"
    r = checked(spec(CASE, faces, TILLS.replace("rows: 2", "behind: faces")))
    assert told(r) == []
    with_it = {b.name: set(b.parts) for b in whole_bodies(r.piece)}
    own = {f"tills.2.{p}" for p in ("left", "right", "front", "rear", "bottom")}
    rails = {f"faces.faces.2.{p}" for p in ("left_stile", "right_stile", "bottom_rail", "top_rail", "panel")}
    assert with_it["tills.drawer_2"] == own | rails
    assert told(expanded(r)) == []


@pytest.mark.parametrize(
    ("case", "faces", "tills", "gone"),
    [
        ("stock: oak, parts: {top: {omit: yes}}", "", "", "body.top"),
        ("stock: oak", ", parts: {faces.2: {omit: yes}}", "", "faces.faces.2"),
        ("stock: oak", "", ", parts: {1.rear: {omit: yes}}", "tills.1.rear"),
        ("stock: oak", "", ", parts: {left: {omit: yes}}", "tills.2.left"),
    ],
)
def test_what_is_left_out_takes_its_joints_with_it(case: str, faces: str, tills: str, gone: str):
    body = CASE.replace("stock: oak", case)
    rows = FRONTS.replace("reveal: 3", "reveal: 3" + faces)
    r = checked(
        spec(body, rows, TILLS.replace("rows: 2", "behind: faces").replace("bottom: ply", "bottom: ply" + tills))
    )
    assert gone not in {p.id for p in r.piece.parts}
    assert gone not in {name for j in r.piece.joints for name in (j.a, j.b)}
    assert told(r) == []


def test_one_part_of_a_box_is_changed_in_all_or_in_one():
    hole = "{cuts: [{hole: front, at: {left: 100}, diameter: 5}]}"
    for name, many in (("front", 2), ("2.front", 1)):
        r = checked(spec(CASE, TILLS.replace("bottom: ply", f"bottom: ply, parts: {{{name}: {hole}}}")))
        assert told(r) == []
        assert sum(m.cut.kind == "hole" for p in r.piece.parts for m in p.cuts) == many


def test_boxes_of_a_trade_rule():
    """Runners of 12.5 in a case of 600 and 18 thick: 539 outside; with sides of 13 and of 15, 513 and 509 inside.

    The inside of 564 less twice 12.5; worked from a published rule for side runners.
    """
    hardware = SLIDE.replace("12.7", "12.5")
    for thick, inside in ((13, 513), (15, 509)):
        item = text(CASE, TILLS, more=hardware, stock=STOCK.replace("thickness: 12 mm", f"thickness: {thick} mm"))
        box = boxes(checked(item).piece)
        assert box["tills_1_right"][1][0] - box["tills_1_left"][0][0] == pytest.approx(539, abs=1e-6)
        assert box["tills_1_right"][0][0] - box["tills_1_left"][1][0] == pytest.approx(inside, abs=1e-6)


def test_openings_that_grow_by_a_divider():
    """Graduated drawers of a published desk: 4.344, 5.219, 6.094 and 6.969 in, each 7/8 more than the one above it.

    30 tall, 3 off the floor, 7/8 top, four dividers of 7/8: 22.625 left, 4 x + 6 x 7/8 of it.
    """
    outline = "outline: {width: 24, height: 22.625 + 2 * oak.thickness}"
    case = f"{{case: body, {outline}, depth: 20, stock: oak, back: {{stock: ply}}}}"
    rows = TILLS.replace("rows: 2", "heights: [6.96875, 6.09375, 5.21875]")
    r = checked(spec(case, rows, units="in"))
    assert told(r) == []
    box = boxes(r.piece)
    high = [(box[f"tills_{k}_left"][1][2] - box[f"tills_{k}_left"][0][2] + 24) / 25.4 for k in (4, 3, 2, 1)]
    assert high == pytest.approx([4.344, 5.219, 6.094, 6.969], abs=0.0005)


def test_a_drawer_of_the_lower_case_hits_what_stands_before_it():
    r = checked(spec(CASE, TILLS) + "room: {radiator: {from: [0, 0 - 300, 0], to: [600, 0 - 200, 120]}}\n")
    (found,) = r.findings
    assert found.kind == "travel"
    assert found.values["at"] == pytest.approx(200, abs=0.03)
    assert "drawer_1" in found.message


def test_expanded_it_is_the_same_piece():
    r = checked(spec(LEANING, FRONTS.replace("rows: 2", "rows: 3"), LEANT.replace("rows: 3", "behind: faces")))
    assert told(r) == []
    e = expanded(r)
    assert told(e) == []
    assert volumes(e) == pytest.approx(volumes(r), abs=1e-3)
    assert len(e.piece.bodies) == 3


@given(
    lean=st.floats(-20, 20).map(lambda a: a if abs(a) > 4 else 0.0), rows=st.integers(1, 3),
    clear=st.floats(9, 20), turn=st.floats(-170, 170), deep=st.floats(350, 700),
)  # fmt: skip
@settings(max_examples=10, deadline=None)
def test_any_bank_fits_wherever_the_case_stands(lean: float, rows: int, clear: float, turn: float, deep: float):
    way = f"right: {lean:.3f}" if lean >= 0 else f"left: {-lean:.3f}"
    place = f"place: {{at: [1, 2, 3], turn: {turn:.2f}}}"
    case = (f"{{case: body, outline: {{width: 800, height: 600, lean: {{{way}}}}}, depth: {deep:.2f}, stock: oak, "
            f"back: {{stock: ply}}, {place}}}")  # fmt: skip
    hardware = f"hardware: {{slide: {{runner: side, length: 300, height: 40, side_clearance: {clear:.2f}}}}}\n"
    r = checked(
        spec(
            case,
            FRONTS.replace("rows: 2", f"rows: {rows}"),
            LEANT.replace("rows: 3", "behind: faces"),
            hardware=hardware,
        )
    )
    assert told(r) == []


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (
            TILLS.replace("rows: 2, ", ""),
            "say how many drawers: `rows`, or `heights`, or the fronts that they are `behind`",
        ),
        (TILLS.replace("rows: 2", "rows: 9"), "too low for its bottom"),
        (TILLS.replace("runner: slide", "runner: slyde"), "no hardware is called `slyde`; did you mean `slide`?"),
        (TILLS.replace("bottom: ply", "bottom: ply, groove: {depth: 12}"), "a groove 12 mm deep in sides 12 mm thick"),
        (TILLS.replace("opening: body", "opening: faces"), "no case beside this is called `faces`"),
        (TILLS.replace("bottom: ply", "bottom: ply, behind: body"), "no fronts beside this is called `body`"),
    ],
)
def test_a_mistake_is_told(item: str, said: str):
    found = refused(spec(CASE, item))
    assert len(found) == 1
    assert said in found[0]


def test_drawers_and_fronts_that_do_not_go_together():
    four = FRONTS.replace("rows: 2", "heights: [60, 60, 60], rows: 4")
    found = refused(spec(CASE, four, TILLS.replace("rows: 2", "rows: 2, behind: faces")))
    assert len(found) == 1
    assert "2 drawers stand behind 4 fronts" in found[0]
    other = CASE.replace("body", "next").replace("}}", "}, place: {at: [700, 0, 0]}}")
    found = refused(spec(CASE, other, FRONTS, TILLS.replace("opening: body, rows: 2", "opening: next, behind: faces")))
    assert len(found) == 1
    assert "these fronts fill another case; drawers stand behind fronts of their own" in found[0]


def test_runners_too_long_for_the_case_and_sides_that_lean_without_spacers():
    short = CASE.replace("depth: 450", "depth: 380")
    assert "runners 400 mm long where the opening is 374 mm deep" in refused(spec(short, TILLS))[0]
    assert "the sides lean: say what the `spacers`" in refused(spec(LEANING, LEANT.replace(", spacers: oak", "")))[0]


def test_a_front_a_little_larger_than_its_box_is_not_taken_for_one_that_was_to_be_flush():
    # Rows that keep 4 off a box whose front has a reveal of 3: its edges stand 1 and 2.5 beyond the box's.
    case = "{case: body, outline: {width: 600, height: 300}, depth: 450, stock: oak}"
    faces = "{fronts: faces, opening: body, stock: oak, rows: 2, reveal: 3}"
    tills = "{drawers: tills, opening: body, behind: faces, runner: thin, stock: ash, bottom: ply, below: 4, above: 4}"
    ware = "hardware: {thin: {runner: side, length: 400, height: 30, side_clearance: 5}}\n"
    assert told(checked(text(case, faces, tills, more=ware))) == []


def test_drawers_that_would_begin_above_their_opening():
    """An opening of 300 less two boards of 20 is 260 high: 300 to be left free below leave less than nothing."""
    found = refused(spec(CASE, FRONTS, TILLS.replace("rows: 2", "rows: 2, below: 300")))

    assert len(found) == 1
    assert found[0].startswith("s.yaml:") and "mm high: too low for its bottom" in found[0]
