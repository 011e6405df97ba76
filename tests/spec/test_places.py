"""Where things stand: lean, turn, mirror, copies, groups, and the extents that formulas know, in closed forms."""

from __future__ import annotations

from math import atan, cos, degrees, radians, sin, sqrt, tan

import pytest
from joinery import board, gone, piece, text

from solids.model.finding import SpecError
from solids.model.geometry import Vector
from solids.model.part import Part
from solids.spec.reader import from_text


def post(place: str, size: str = "[600, 60]", more: str = "") -> Part:
    """One upright board of 20, its face to the left."""
    rest = f", {more}" if more else ""
    line = f"post: {{stock: wood, size: {size}, place: {{at: [0, 0, 0], length: up, face: left, {place}}}{rest}}}"
    return piece([line]).part("post")


def near(v: Vector, *expected: float) -> bool:
    return max(abs(a - b) for a, b in zip(v, expected, strict=True)) < 1e-9


def test_lean_is_from_plumb_seen_square_on():
    z = post("lean: {right: 12}").frame.z
    assert near(z, sin(radians(12)), 0, cos(radians(12)))


@pytest.mark.parametrize(("to", "x", "y"), [("right", 1, 0), ("left", -1, 0), ("rear", 0, 1), ("front", 0, -1)])
def test_lean_goes_to_the_side_it_names(to: str, x: int, y: int):
    z = post(f"lean: {{{to}: 12}}").frame.z
    assert near(z, x * sin(radians(12)), y * sin(radians(12)), cos(radians(12)))


def test_two_leans_are_one_tip_that_shows_both():
    z = post("lean: {right: 8, rear: 8}").frame.z
    assert z.x / z.z == pytest.approx(tan(radians(8)), abs=1e-12)
    assert z.y / z.z == pytest.approx(tan(radians(8)), abs=1e-12)
    true = degrees(atan(sqrt(z.x**2 + z.y**2) / z.z))
    assert true == pytest.approx(degrees(atan(sqrt(2) * tan(radians(8)))), abs=1e-9)
    assert true == pytest.approx(11.24, abs=0.005)


# Where the corner at (x, y) of the foot is after a lean; 20 wide along x, 60 along y.
@pytest.mark.parametrize(
    ("lean", "still"),
    [
        ("{right: 12}", [(0, 0), (0, 60)]),
        ("{left: 12}", [(20, 0), (20, 60)]),
        ("{rear: 12}", [(0, 0), (20, 0)]),
        ("{front: 12}", [(0, 60), (20, 60)]),
        ("{right: 8, rear: 8}", [(0, 0)]),
        ("{left: 8, front: 5}", [(20, 60)]),
        ("{right: 12, about: [bottom, right]}", [(20, 0), (20, 60)]),
        ("{rear: 12, about: [rear, bottom]}", [(0, 60), (20, 60)]),
    ],
)
def test_the_edge_that_it_leans_away_from_stays_put(lean: str, still: list[tuple[float, float]]):
    frame = post(f"lean: {lean}").frame
    for x, y in [(0, 0), (20, 0), (0, 60), (20, 60)]:
        assert near(frame.point(Vector(x, y, 0)), x, y, 0) == ((x, y) in still), (x, y)


def test_about_a_top_edge_and_about_a_point():
    frame = post("lean: {right: 12, about: [top, left]}").frame
    assert near(frame.point(Vector(0, 30, 600)), 0, 30, 600)
    frame = post("lean: {right: 12, about: [7, 8, 9]}").frame
    assert near(frame.point(Vector(7, 8, 9)), 7, 8, 9)


def test_a_foot_cut_level_keeps_its_long_point():
    part = post("lean: {right: 10}", more="cuts: [{trim: bottom, to: {z: 0}}]")
    assert gone(part) == pytest.approx(20**2 * tan(radians(10)) / 2 * 60, abs=1e-6)
    assert gone(part) == pytest.approx(2115.92, abs=0.005)


def test_turn_is_anticlockwise_from_above_about_the_upright_through_at():
    line = "post: {stock: wood, size: [100, 60], place: {at: [10, 20, 30], length: across, face: top, turn: 30}}"
    frame = piece([line]).part("post").frame
    assert near(frame.point(Vector(0, 0, 0)), 10, 20, 30)
    assert near(frame.x, cos(radians(30)), sin(radians(30)), 0)


def test_turn_about_another_upright():
    frame = post("turn: {by: 90, about: [100, 0]}").frame
    assert near(frame.point(Vector(0, 0, 0)), 100, -100, 0)


def test_lean_comes_before_turn():
    frame = post("lean: {right: 12}, turn: 90").frame
    assert near(frame.z, 0, sin(radians(12)), cos(radians(12)))


def test_a_right_angle_is_exact():
    assert post("turn: 90").frame.x == Vector(0.0, 1.0, 0.0)
    assert post("turn: 180").frame.x == Vector(-1.0, 0.0, 0.0)


def corners(part: Part) -> set[tuple[float, ...]]:
    return {tuple(round(c, 6) + 0.0 for c in part.frame.point(v)) for v in part.blank.corners()}


@pytest.mark.parametrize(("axis", "at"), [("x", 150), ("y", 70), ("z", -5)])
@pytest.mark.parametrize("lean", ["", ", lean: {right: 12, rear: 5}, turn: 25"])
def test_a_twin_stands_mirrored(axis: str, at: float, lean: str):
    place = f"{{at: [10, 20, 30], length: up, face: left{lean}}}"
    line = f"a: {{stock: wood, size: [600, 60], place: {place}, cuts: [{{taper: front, by: {{top: 20}}}}]}}"
    p = piece([line, f"b: {{mirror: a, about: {{{axis}: {at}}}}}"])
    i = "xyz".index(axis)
    flipped = {
        tuple(round(2 * at - c, 6) + 0.0 if k == i else c for k, c in enumerate(v)) for v in corners(p.part("a"))
    }
    assert corners(p.part("b")) == flipped
    assert gone(p.part("b")) == pytest.approx(gone(p.part("a")), abs=1e-6)
    f = p.part("b").frame
    assert near(f.x.cross(f.y), *f.z), "a twin is not turned inside out"


def test_a_twin_of_a_twin_at_the_same_plane_is_the_part_itself():
    line = "a: {stock: wood, size: [600, 60], place: {at: [10, 20, 30], length: up, face: left, lean: {right: 9}}}"
    p = piece([line, "b: {mirror: a, about: {x: 55}}", "c: {mirror: b, about: {x: 55}}"])
    assert corners(p.part("c")) == corners(p.part("a"))


def test_copies_by_a_step():
    line = board("a", "[100, 50]", "[1, 2, 3]", "across", "top", "copies: {count: 3, step: [10, 0, 20]}")
    p = piece([line])
    assert [q.id for q in p.parts] == ["a.1", "a.2", "a.3"]
    for k, q in enumerate(p.parts):
        assert near(q.frame.origin, 1 + 10 * k, 2, 3 + 20 * k)


def test_copies_by_a_turn():
    line = board("a", "[100, 50]", "[100, 0, 0]", "across", "top", "copies: {count: 4, turn: 90, about: [0, 0]}")
    p = piece([line])
    where = [(100, 0), (0, 100), (-100, 0), (0, -100)]
    for q, (x, y) in zip(p.parts, where, strict=True):
        assert near(q.frame.origin, x, y, 0)


GROUP = """title: t
units: mm
stock: {wood: {wood: sugar maple, thickness: 20}}
groups:
  bay:
    %s
    parts:
      a: {stock: wood, size: [600, 60], place: {at: [0, 0, 0], length: up, face: left}}
      b: {stock: wood, size: [600, 60], place: {at: [180, 0, 0], length: up, face: right}}
"""


def test_a_group_is_placed_as_one():
    p = from_text(GROUP % "place: {at: [1000, -500, 20], turn: 33}")
    assert [q.id for q in p.parts] == ["bay.a", "bay.b"]
    assert near(p.part("bay.a").frame.origin, 1000, -500, 20)
    c, s = cos(radians(33)), sin(radians(33))
    assert near(p.part("bay.b").frame.origin, 1000 + 180 * c, -500 + 180 * s, 20)


def test_a_group_leans_about_its_own_far_edge():
    p = from_text(GROUP % "place: {at: [0, 0, 0], lean: {left: 10}}")
    # It leans to the left, about the edge of its box that is right and at the bottom: x 200.
    assert near(p.part("bay.b").frame.point(Vector(20, 0, 0)), 200, 0, 0)
    assert near(p.part("bay.a").frame.z, -sin(radians(10)), 0, cos(radians(10)))


def test_copies_of_a_group():
    p = from_text(GROUP % "copies: {count: 2, step: [200, 0, 0]}")
    assert [q.id for q in p.parts] == ["bay.1.a", "bay.1.b", "bay.2.a", "bay.2.b"]
    assert near(p.part("bay.2.b").frame.origin, 380, 0, 0)


def test_a_mirrored_group():
    p = from_text(GROUP % "place: {at: [5, 0, 0]}" + "  other: {mirror: bay, about: {x: 300}}\n")
    box = p.part("other.a").extents()
    assert (box[0].x, box[1].x) == (575, 595)


def test_formulas_know_the_extents_of_the_placed_blank():
    lines = [
        "a: {stock: wood, size: [600, 60], place: {at: [10, 20, 30], length: up, face: left, lean: {right: 12}}}",
        "b: {stock: wood, size: [a.x1 - a.x0, a.width], place: {at: [a.x0, a.y1, a.z1], length: across, face: top}}",
    ]
    p = piece(lines)
    wide = 600 * sin(radians(12)) + 20 * cos(radians(12))
    assert p.part("b").blank.length == pytest.approx(wide, abs=1e-9)
    assert near(p.part("b").frame.origin, 10, 80, 30 + 600 * cos(radians(12)))


def test_a_group_from_outside():
    place = "{at: [bay.x0, 0, bay.z1], length: across, face: top}"
    top = f"parts:\n  top: {{stock: wood, size: [bay.b.x1 - bay.a.x0, 60], place: {place}}}\n"
    p = from_text(GROUP % "place: {at: [5, 0, 0]}" + top)
    assert p.part("top").blank.length == 200
    assert near(p.part("top").frame.origin, 5, 0, 600)


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("lean: {top: 5}", "nothing leans to its `top`"),
        ("lean: {left: 5, right: 5}", "at once"),
        ("lean: {left: 90}", "from plumb"),
        ("lean: {right: 5, about: [left, right]}", "meet in no edge"),
        ("turn: {about: [0, 0]}", "lacks `by`"),
    ],
)
def test_what_can_not_stand_is_told(place: str, told: str):
    with pytest.raises(SpecError, match=told):
        post(place)


def test_copies_take_one_way_only():
    line = board("a", "[100, 50]", "[0, 0, 0]", "across", "top", "copies: {count: 2, step: [1, 0, 0], turn: 90}")
    with pytest.raises(SpecError, match="copies take a `step"):
        from_text(text([line]))
