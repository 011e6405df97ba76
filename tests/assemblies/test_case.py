"""Cases: upright and leaning, of four walls and of points, with backs, shelves and dividers."""

from __future__ import annotations

from math import cos, hypot, pi, radians, sin, tan

import pytest
from assembled import boxes, checked, expanded, refused, text, told, volume, volumes
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import fit

from solids.spec.reader import from_text

STOCK = """\
  oak: {wood: white oak, thickness: 18 mm}
  thick: {wood: white oak, thickness: 20 mm}
  ply: {sheet: birch plywood, thickness: 6 mm}
  ply9: {sheet: birch plywood, thickness: 9 mm}
"""
UPRIGHT = "{case: body, outline: {width: 800, height: 600}, depth: 320, stock: oak, back: {stock: ply, depth: 9}}"
LEANING = "{case: body, outline: {width: 700, height: 780, lean: {right: 15}}, depth: 300, stock: thick}"


def spec(item: str, more: str = "", units: str = "mm") -> str:
    return text(item, more=more, units=units, stock=STOCK)


def tilts(item: str, part: str) -> list[float]:
    cuts = checked(spec(item)).piece.part(f"body.{part}").cuts
    return [m.cut.tilt for m in cuts if m.joint == "miter"]  # type: ignore[attr-defined]


def test_the_upright_case_of_the_contract():
    r = checked(spec(UPRIGHT))
    assert told(r) == []
    assert volume(r, "body.left") == pytest.approx(3321378, abs=1e-6)
    assert volume(r, "body.left") == pytest.approx(320 * (600 * 18 - 18**2) - 6 * (600 * 9 - 18**2 + 9**2), abs=1e-6)
    back = r.piece.part("body.back").blank
    assert (back.length, back.width) == (581, 781)
    assert boxes(r.piece)["body_back"] == ((9.5, 314, 9.5), (790.5, 320, 590.5))


def test_the_leaning_case_of_the_contract():
    r = checked(spec(LEANING))
    assert told(r) == []
    assert r.piece.part("body.left").blank.length == pytest.approx(807.52, abs=0.005)
    assert sorted(tilts(LEANING, "left")) == pytest.approx([37.5, 52.5], abs=1e-9)
    low = next(m.cut for m in r.piece.part("body.left").cuts if m.name == "miter_bottom")
    assert low.tilt == pytest.approx(52.5, abs=1e-9)  # type: ignore[attr-defined]
    # A mitered frame of one thickness: each wall's section is its outside length less half of what both miters take.
    section = (780 / cos(radians(15))) * 20 - 20**2 / 2 * (tan(radians(52.5)) + tan(radians(37.5)))
    assert volume(r, "body.left") == pytest.approx(section * 300, abs=1e-3)


def test_it_leans_to_the_left_as_a_mirror_of_the_right():
    left = checked(spec(LEANING.replace("right: 15", "left: 15")))
    right = checked(spec(LEANING))
    assert told(left) == []
    swap = {"body_left": "body_right", "body_right": "body_left", "body_top": "body_top", "body_bottom": "body_bottom"}
    assert {swap[k]: v for k, v in volumes(left).items()} == pytest.approx(volumes(right), abs=1e-4)


@pytest.mark.parametrize("corners", ["miter", "rabbet", "butt"])
@pytest.mark.parametrize("lean", ["", ", lean: {right: 15}", ", lean: {left: 8.5}"])
@pytest.mark.parametrize("back", ["", ", back: {stock: ply}", ", back: {stock: ply, in: groove, recess: 12}",
                                  ", back: {stock: ply, in: over}",
                                  ", back: {stock: ply, recess: 10, depth: 12}",
                                  ", back: {stock: ply, depth: 6}", ", back: {stock: ply, depth: 11.3}",
                                  ", back: {stock: ply, in: groove, recess: 8.5, depth: 5.5}"])  # fmt: skip
def test_every_corner_with_every_back_fits(corners: str, lean: str, back: str):
    item = (
        f"{{case: body, outline: {{width: 700, height: 780{lean}}}, depth: 300, stock: oak, corners: {corners}{back}}}"
    )
    r = checked(spec(item))
    assert told(r) == []
    assert told(expanded(r)) == []
    assert volumes(expanded(r)) == pytest.approx(volumes(r), abs=1e-3)


def test_butted_sides_run_through():
    r = checked(spec(UPRIGHT.replace("stock: oak,", "stock: oak, corners: butt,")))
    # Between them is 800 - 2 x 18; the side's rabbet stops 18 - 9 short of each end: 600 - 18 long.
    assert boxes(r.piece)["body_top"] == ((18, 0, 582), (782, 320, 600))
    assert volume(r, "body.left") == pytest.approx(320 * 600 * 18 - 582 * 6 * 9, abs=1e-6)
    assert volume(r, "body.top") == pytest.approx(764 * (320 * 18 - 6 * 9), abs=1e-6)


def test_a_rabbet_is_half_the_thickness_of_the_sides():
    r = checked(
        spec(
            UPRIGHT.replace("stock: oak,", "stock: oak, corners: rabbet,").replace(", back: {stock: ply, depth: 9}", "")
        )
    )
    assert boxes(r.piece)["body_top"] == ((9, 0, 582), (791, 320, 600))
    # Each end of a side loses 9 deep by 18 and half of the housing's 0.2 mm of play.
    assert volume(r, "body.left") == pytest.approx(320 * (600 * 18 - 2 * 9 * 18.1), abs=1e-6)


def test_a_leaning_butted_side_is_cut_level():
    r = checked(spec(LEANING.replace("stock: thick", "stock: thick, corners: butt")))
    # A parallelogram as high as the case: its level width 20/cos 15 by 780, by 300 deep.
    assert volume(r, "body.left") == pytest.approx(20 / cos(radians(15)) * 780 * 300, abs=1e-3)
    assert volume(r, "body.bottom") == pytest.approx((700 - 40 / cos(radians(15))) * 20 * 300, abs=1e-3)


def test_five_points_close_at_half_of_each_corner():
    points = "[[0, 0], [600, 0], [800, 400], [300, 700], [0, 500]]"
    r = checked(spec(f"{{case: body, outline: {points}, depth: 300, stock: oak, back: {{stock: ply}}}}"))
    assert told(r) == []
    lengths = [r.piece.part(f"body.wall.{k}").blank.length for k in range(1, 6)]
    assert lengths == pytest.approx([600, hypot(200, 400), hypot(500, 300), hypot(300, 200), 500], abs=1e-9)
    named = checked(spec(f"{{case: body, outline: {points}, depth: 300, stock: oak, walls: [a, b, c, d, e]}}"))
    assert sorted(p.id for p in named.piece.parts) == [f"body.{n}" for n in "abcde"]


def test_a_corner_of_63_and_a_half_degrees():
    # A triangle-like case: its lower left corner is 63.5°, cut in two: the blade leans 90 - 31.75 from square.
    x, z = 500 * cos(radians(63.5)), 500 * (1 - cos(radians(63.5)) ** 2) ** 0.5
    r = checked(spec(f"{{case: body, outline: [[0, 0], [600, 0], [{x:.9f}, {z:.9f}]], depth: 200, stock: oak}}"))
    assert told(r) == []
    tilts = [round(m.cut.tilt, 6) for m in r.piece.part("body.wall.1").cuts]  # type: ignore[attr-defined]
    assert tilts.count(58.25) == 1


def test_three_zones_of_back_each_run_to_their_panels_far_corner():
    zones = "[{stock: ply, height: 300}, {stock: ply9, depth: 12, height: 600, recess: 20}, {stock: ply}]"
    r = checked(spec(f"{{case: body, outline: {{width: 700, height: 900}}, depth: 300, stock: oak, back: {zones}}}"))
    assert told(r) == []
    box = boxes(r.piece)
    assert box["body_back_1"] == ((9.5, 294, 9.5), (690.5, 300, 300))  # inside 18..682 grown by 9 - 0.5
    assert box["body_back_2"] == ((6.5, 271, 300), (693.5, 280, 600))  # grown by 12 - 0.5, 20 in
    assert box["body_back_3"] == ((9.5, 294, 600), (690.5, 300, 890.5))
    # The side: mitered 900 x 18 section, its rabbets 9 x 6 over 300 and 300 less the 9 that the miter takes on average
    # at each end, 12 x 29 over 300 between.
    ends = 2 * 6 * (300 * 9 - (18**2 - 9**2) / 2)
    assert volume(r, "body.left") == pytest.approx(300 * (900 * 18 - 18**2) - ends - 300 * 12 * 29, abs=1e-3)


def test_shelves_part_the_inside_evenly():
    item = UPRIGHT.replace("back:", "shelves: {count: 2, housing: 6}, back:")
    r = checked(spec(item))
    assert told(r) == []
    clear = (600 - 36 - 2 * 18) / 3
    box = boxes(r.piece)
    assert box["body_shelf_1"] == ((12, 0, 18 + clear), (788, 314, 36 + clear))
    assert box["body_shelf_2"][0][2] == pytest.approx(36 + 2 * clear)
    # Each housing is 6 deep, 18 and 0.2 of play wide, over the 314 of the shelf's depth.
    less = volume(checked(spec(UPRIGHT)), "body.left") - volume(r, "body.left")
    assert less == pytest.approx(2 * 6 * 18.2 * 314, abs=1e-3)


def test_dividers_and_shelves_between_them_in_a_leaning_case():
    item = LEANING.replace(
        "stock: thick", "stock: thick, dividers: {count: 2, housing: 5}, shelves: {count: 1, housing: 6}"
    )
    r = checked(spec(item))
    assert told(r) == []
    assert told(expanded(r)) == []
    level = 20 / cos(radians(15))
    clear = (700 - 4 * level) / 3
    # From side to side a bay is `clear` wide, level; its shelf goes 6 deep, square, into the slanting wood: 6 / cos 15.
    assert volume(r, "body.shelf.1") == pytest.approx((clear + 2 * 6 / cos(radians(15))) * 20 * 300, abs=1e-2)


def test_shelves_on_pins():
    item = UPRIGHT.replace("back:", "shelves: {count: 3, pins: {diameter: 5, depth: 10, from_edge: 37}}, back:")
    r = checked(spec(item))
    assert told(r) == []
    assert boxes(r.piece)["body_shelf_1"][0][0] == 19  # 18 and 1 mm of play
    less = volume(checked(spec(UPRIGHT)), "body.left") - volume(r, "body.left")
    assert less == pytest.approx(6 * pi * 2.5**2 * 10, rel=1e-3)
    holes = [m.cut for m in r.piece.part("body.left").cuts if m.cut.kind == "hole"]
    assert len(holes) == 6


def test_shelves_on_pins_in_a_leaning_case_are_slanted_along_its_sides():
    pins = "{count: 2, pins: {diameter: 5, depth: 10, from_edge: 37}}"
    r = checked(spec(LEANING.replace("stock: thick", f"stock: thick, shelves: {pins}")))
    assert told(r) == []
    assert told(expanded(r)) == []
    # Level between the sides it is 700 - 2 x 20/cos 15; play of 1 is square to them: 1/cos 15 level at each end.
    level = 700 - 2 * 20 / cos(radians(15)) - 2 / cos(radians(15))
    assert volume(r, "body.shelf.1") == pytest.approx(level * 20 * 300, abs=1e-2)


def test_dividers_have_the_pin_holes_of_the_shelves_on_both_sides():
    item = UPRIGHT.replace(
        "back:",
        "dividers: {count: 1, housing: 5}, shelves: {count: 2, pins: {diameter: 5, depth: 7, from_edge: 37}}, back:",
    )
    r = checked(spec(item))
    assert told(r) == []
    holes = [m.cut for m in r.piece.part("body.divider.1").cuts if m.cut.kind == "hole"]
    assert sorted(str(h.side) for h in holes) == ["left"] * 4 + ["right"] * 4  # type: ignore[attr-defined]
    # The opening is 564 high: undersides at (564 - 36) / 3 = 176 and 370 above it, holes 2.5 lower, the blank 5 longer.
    ups = sorted({round({str(s): d for s, d in h.at}["top"], 6) for h in holes})  # type: ignore[attr-defined]
    assert ups == pytest.approx([564 + 5 - 370 + 2.5, 564 + 5 - 176 + 2.5])
    assert len([m for m in r.piece.part("body.left").cuts if m.cut.kind == "hole"]) == 4


def test_pins_from_both_sides_of_a_leaning_divider_leave_wood_between_their_floors():
    # 20 less 8 from either side: 4 between the floors, though the holes are not opposite each other.
    inside = "dividers: {count: 1, housing: 5}, shelves: {count: 2, pins: {diameter: 5, depth: 8, from_edge: 37}}"
    assert told(checked(spec(LEANING.replace("stock: thick", f"stock: thick, {inside}")))) == []
    deeper = inside.replace("depth: 8", "depth: 8.8")
    report = checked(spec(LEANING.replace("stock: thick", f"stock: thick, {deeper}")))
    assert {f.kind for f in report.findings} == {"thin-wood"}
    # Along the leaning board they are 20 tan 15 = 5.36 apart, 0.36 more than they are wide.
    assert report.findings[0].values["left"] == pytest.approx(hypot(20 - 2 * 8.8, 20 * tan(radians(15)) - 5), abs=1e-6)


def test_shelves_and_dividers_where_they_are_asked_for():
    item = UPRIGHT.replace("back:", "dividers: {at: [200.5], housing: 5}, shelves: {at: [100, 300], housing: 6}, back:")
    r = checked(spec(item))
    assert told(r) == []
    box = boxes(r.piece)
    assert box["body_divider_1"] == ((218.5, 0, 13), (236.5, 314, 587))
    assert box["body_shelf_1"] == ((12, 0, 118), (224.5, 314, 136))
    assert box["body_shelf_4"] == ((230.5, 0, 318), (788, 314, 336))


GABLE = "[[0, 0], [700, 0], [700, 500], [350, 800], [0, 500]]"
LEAN_TO = "[[0, 0], [700, 0], [700, 400], [0, 700]]"
HEXAGON = "[[200, 0], [600, 0], [800, 346.410162], [600, 692.820323], [200, 692.820323], [0, 346.410162]]"
CORNER = "[[0, 0], [600, 0], [700, 450], [223.09889, 447.46680]]"  # 63.5 degrees at its lower left


@pytest.mark.parametrize("corners", ["miter", "butt", "rabbet"])
@pytest.mark.parametrize(
    ("points", "inside"),
    [
        (GABLE, "dividers: {count: 2, housing: 5}, shelves: {count: 1, housing: 6}"),
        (GABLE, "shelves: {at: [100.3, 300], housing: 6}, back: {stock: ply}"),
        (LEAN_TO, "dividers: {count: 2, housing: 5}, shelves: {count: 1, housing: 6}, back: {stock: ply}"),
        (HEXAGON, "shelves: {count: 2, housing: 6}, back: {stock: ply, in: groove, recess: 9}"),
        (
            HEXAGON,
            "dividers: {count: 1, housing: 5}, shelves: {count: 2, pins: {diameter: 5, depth: 7, from_edge: 37}}",
        ),
        (CORNER, "shelves: {count: 2, housing: 6}, back: [{stock: ply, height: 250}, {stock: ply9, recess: 10}]"),
    ],
)
def test_a_case_of_points_with_what_stands_in_it_fits(points: str, inside: str, corners: str):
    place = "place: {at: [3, 4, 5], lean: {rear: 7}, turn: 31}"
    item = f"{{case: body, outline: {points}, depth: 300, stock: oak, corners: {corners}, {inside}, {place}}}"
    r = checked(spec(item))
    assert told(r) == []
    assert told(expanded(r)) == []
    assert volumes(expanded(r)) == pytest.approx(volumes(r), abs=1e-3)


def test_of_two_walls_the_steeper_runs_through_and_of_two_as_steep_the_lower():
    r = checked(spec(f"{{case: body, outline: {HEXAGON}, depth: 300, stock: oak, corners: butt}}"))
    assert told(r) == []
    # Each of the six is 400 long outside; a wall that runs through at a corner of 120 degrees is 18/tan 60 longer on
    # its inner face, one that ends there 18/sin 60 shorter on its inner one.
    more, less = 18 / tan(radians(60)), 18 / sin(radians(60))
    assert volume(r, "body.wall.2") == pytest.approx((400 + more) * 18 * 300, abs=1e-2)  # lower right: through twice
    assert volume(r, "body.wall.1") == pytest.approx((400 - 2 * less + more) * 18 * 300, abs=1e-2)  # bottom: between
    assert volume(r, "body.wall.4") == pytest.approx((400 - 2 * less + more) * 18 * 300, abs=1e-2)  # top: between


def test_a_shelf_between_a_plumb_wall_and_one_that_leans():
    # At 63.5 degrees the left wall is 450 z high over z / tan 63.5; the right one goes 100 out in 450.
    r = checked(spec(f"{{case: body, outline: {CORNER}, depth: 300, stock: oak, shelves: {{at: [200], housing: 6}}}}"))
    assert told(r) == []
    slope, back = 1 / tan(radians(63.5)), 100 / 450
    low, high = 218.0, 236.0
    reach = [(18 - 6) * hypot(1, s) for s in (slope, back)]  # level from the outside to the floor of the housing
    wide = [(600 + back * z - reach[1]) - (slope * z + reach[0]) for z in (low, high)]
    assert volume(r, "body.shelf.1") == pytest.approx(sum(wide) / 2 * 18 * 300, rel=1e-6)


def test_an_edge_detail_goes_round_the_front():
    r = checked(spec(UPRIGHT.replace("back:", "edge: {chamfer: 3}, back:")))
    assert told(r) == []
    # On a wall the chamfer is 3 x 3 / 2 along its outside: mitered, 600 long outside, 3 shorter where it ends inward.
    less = volume(checked(spec(UPRIGHT)), "body.left") - volume(r, "body.left")
    assert less == pytest.approx(4.5 * 600 - 2 * 3**3 / 6, abs=1e-6)


@given(
    wide=st.floats(300, 1200), high=st.floats(300, 1800), deep=st.floats(150, 600), lean=st.floats(-20, 20),
    shelves=st.integers(0, 3), corners=st.sampled_from(["miter", "butt", "rabbet"]),
    turn=st.floats(-170, 170),
)  # fmt: skip
@settings(max_examples=15, deadline=None)
def test_any_case_fits_wherever_it_stands(
    wide: float, high: float, deep: float, lean: float, shelves: int, corners: str, turn: float
):
    way = f"lean: {{right: {lean:.3f}}}" if lean >= 0 else f"lean: {{left: {-lean:.3f}}}"
    inside = f", shelves: {{count: {shelves}, housing: 6}}" if shelves else ""
    item = (
        f"{{case: body, outline: {{width: {wide:.2f}, height: {high:.2f}, {way}}}, depth: {deep:.2f}, stock: oak, "
        f"corners: {corners}, back: {{stock: ply}}{inside}, "
        f"place: {{at: [3, 4, 5], lean: {{rear: 7}}, turn: {turn:.2f}}}}}"
    )
    r = checked(spec(item))
    assert told(r) == []


MEANT = ("miter these", "would meet", "stands past", "stands outside", "leave nothing", "would be", "would stand")


@given(
    gaps=st.lists(st.floats(1, 3), min_size=3, max_size=7), first=st.floats(0, 360),
    corners=st.sampled_from(["miter", "butt", "rabbet"]),
    back=st.sampled_from(["", ", back: {stock: ply, depth: 6.3}", ", back: {stock: ply, in: groove, recess: 9}"]),
    inside=st.sampled_from(
        ["", ", shelves: {at: [141.3], housing: 6.2}", ", dividers: {count: 1, housing: 5.4}",
         ", dividers: {count: 1, housing: 5.4}, shelves: {at: [99], pins: {diameter: 5, depth: 7, from_edge: 37}}"]
    ),
    turn=st.integers(-170, 170),
)  # fmt: skip
@settings(max_examples=40, deadline=None, derandomize=True)
def test_any_convex_case_fits_or_is_refused_with_what_is_in_the_way(
    gaps: list[float], first: float, corners: str, back: str, inside: str, turn: int
):
    angles = [first + 360 * sum(gaps[:k]) / sum(gaps) for k in range(len(gaps))]  # on a circle: none very near another
    spots = [[round(500 + 400 * cos(radians(a)), 4), round(450 + 400 * sin(radians(a)), 4)] for a in angles]
    place = f"place: {{at: [3, 4, 5], lean: {{rear: 7}}, turn: {turn}}}"
    item = f"{{case: body, outline: {spots}, depth: 300, stock: oak, corners: {corners}{back}{inside}, {place}}}"
    told_of = refused(spec(item))
    if told_of:
        assert any(word in told_of[0] for word in MEANT)
        return
    found = [f for f in fit(from_text(spec(item))).findings if f.kind not in ("thin-wood", "tool-limit")]
    assert found == []  # a housing beside a miter may well leave little wood


def test_butted_ends_meet_where_rounding_once_hid_it():
    place = "place: {at: [3, 4, 5], lean: {rear: 7}, turn: -1.1}"
    size = "outline: {width: 300, height: 300}, depth: 297, stock: oak"
    item = f"{{case: body, {size}, corners: butt, back: {{stock: ply}}, {place}}}"
    assert told(checked(spec(item))) == []


def test_inches_are_the_same_case():
    inch = "{case: body, outline: {width: 30, height: 24, lean: {right: 10}}, depth: 12, stock: oak}"
    metric = inch.replace("width: 30, height: 24", "width: 762, height: 609.6").replace("depth: 12", "depth: 304.8")
    assert told(checked(spec(inch, units="in"))) == []
    assert volumes(checked(spec(inch, units="in"))) == pytest.approx(volumes(checked(spec(metric))), abs=1e-4)


def test_a_copied_mirrored_and_changed_case():
    more = "groups:\n  twin: {mirror: body, about: {x: 1000}}\n"
    bored = "parts: {top: {cuts: [{hole: top, at: {left: 300, front: 100}, diameter: 35}]}}"
    r = checked(spec(LEANING.replace("stock: thick", f"stock: thick, {bored}"), more))
    assert told(r) == []
    assert volume(r, "twin.left") == pytest.approx(volume(r, "body.left"), abs=1e-4)
    assert volume(r, "twin.top") == pytest.approx(volume(r, "body.top"), abs=1e-4)


def test_a_back_left_out_leaves_its_rabbets_empty():
    r = checked(spec(UPRIGHT.replace("depth: 9}}", "depth: 9}, parts: {back: {omit: yes}}}")))
    assert {f.kind for f in r.findings} == {"empty-housing"}


def up(old: str, new: str) -> str:
    assert old in UPRIGHT
    return UPRIGHT.replace(old, new)


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (up("width: 800, ", ""), "`outline` lacks `width`"),
        (up("{width: 800, height: 600}", "[[0, 0], [0, 600], [800, 600]]"), "anticlockwise, each turning left"),
        (up("{width: 800, height: 600}", "[[0, 0], [800, 0], [8, 600], [0, 0]]"), "its last point is its first again"),
        (up("{width: 800, height: 600}", "{width: 30, height: 600}"), "walls 18 mm thick leave nothing inside"),
        (up("depth: 9", "depth: 18"), "the back goes 18 mm into walls 18 mm thick"),
        (up("depth: 9", "depth: 9, in: groove"), "give its `recess` from the rear edges"),
        (up("depth: 9", "slack: 9"), "slack of 9 mm takes it out of a rabbet 9 mm deep"),
        (up("back:", "shelves: {count: 2}, back:"), "shelves have a `housing` or `pins`: one of the two"),
        (up("back:", "shelves: {count: 2, housing: 20}, back:"), "a housing 20 mm deep in walls 18 mm thick"),
        (up("back:", "shelves: {housing: 6}, back:"), "shelves have a `count`, or are `at` places of their own"),
        (up("back:", "shelves: {at: [9, 20], housing: 6}, back:"), "places go up by more than 18 mm"),
        (up("back:", "shelves: {at: 550, housing: 6}, back:"), "stands past the top, 564 mm above it"),
        (up("back:", "shelves: {count: 40, housing: 6}, back:"),
         "40 shelves 18 mm thick leave nothing between them in 564 mm"),
        (up("back:", "dividers: {at: 800, housing: 6}, back:"), "divider.1 stands outside of the case"),
        (up("back:", "dividers: {count: 1, housing: 6}, shelves: {count: 1, pins: {diameter: 5, depth: 9, "
            "from_edge: 37}}, back:"), "holes 9 mm deep from both sides meet in a divider 18 mm thick"),
        (up("{width: 800, height: 600}", "[[0, 0], [600, 0], [600, 400], [595, 405], [0, 405]]"),
         "wall.3 is 7.071 mm long outside, and nothing is left of it inside"),
        (up("{width: 800, height: 600}", GABLE).replace("back:", "dividers: {count: 1, housing: 6}, back:"),
         "divider.1 would meet the corner of wall.3 and wall.4"),
        (up("{width: 800, height: 600}", GABLE).replace("back:", "shelves: {at: 560, housing: 6}, back:"),
         "which leans 49.4 degrees from plumb: an end of a shelf takes 45 at most"),
        (up("{width: 800, height: 600}", LEAN_TO.replace("700]]", "1500]]")).replace(
            "back:", "dividers: {count: 1, housing: 6}, back:"), "wall.3 57.53 degrees from square"),
        (up("{width: 800, height: 600}", HEXAGON).replace("back:", "shelves: {count: 1, housing: 6}, back:"),
         "shelf.1 would meet a corner of the case"),
        (up("{width: 800, height: 600}", "[[0, 0], [600, 0], [700, 100]]").replace("back:", "corners: butt, back:"),
         "between 40 and 140 a corner can be a butt; miter these"),
        (up("back:", "edge: {chamfer: 20}, back:"), "a chamfer of 20 mm on an edge 18 mm wide"),
        (up("back:", "corners: mitre, back:"), "`corners` is `mitre`; did you mean `miter`?"),
        (up("{stock: ply, depth: 9}", "[{stock: ply}, {stock: ply}]"), "each panel but the last has its `height`"),
        # A board of 18 less a rabbet of 9, and the slack of 0.5: from 9.5 on there is a panel, up to as much below 600.
        (up("{stock: ply, depth: 9}", "[{stock: ply, height: 9}, {stock: ply}]"), "between 9.5 and 590.5 mm"),
        (up("{stock: ply, depth: 9}", "[{stock: ply, height: 591}, {stock: ply}]"), "between 9.5 and 590.5 mm"),
    ],
)  # fmt: skip
def test_a_mistake_is_told_in_its_place(item: str, said: str):
    found = refused(spec(item))
    assert len(found) == 1
    assert said in found[0]
    assert found[0].startswith("s.yaml:9:")
