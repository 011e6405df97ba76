"""Frames, turns, round corners, and the axes that a part's sides give, against what is worked out by hand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solids.model.geometry import (
    AXES,
    STILL,
    Bore,
    Corner,
    Frame,
    Plane,
    Prism,
    Vector,
    X,
    Y,
    Z,
    arc,
    outline_area,
    rotation,
    rounded,
)
from solids.model.part import Blank
from solids.model.side import SIDES, Side, sides_of

LEFT, RIGHT, FRONT, REAR, BOTTOM, TOP = SIDES

COORDINATES = st.floats(-1000, 1000)
VECTORS = st.builds(Vector, COORDINATES, COORDINATES, COORDINATES)
DIRECTIONS = VECTORS.filter(lambda v: v.length() > 1)
FRAMES = st.builds(
    lambda a, t, b, u, o: rotation(a, t).within(rotation(b, u))._replace(origin=o),
    DIRECTIONS, st.floats(-360, 360), DIRECTIONS, st.floats(-360, 360), VECTORS,
)  # fmt: skip


def near(value: Sequence[float], at: Sequence[float], within: float = 1e-8) -> bool:
    return all(abs(a - b) <= within for a, b in zip(value, at, strict=True))


def same(a: Frame, b: Frame) -> bool:
    return all(near(u, v) for u, v in zip(a, b, strict=True))


def is_right_handed(f: Frame) -> bool:
    return near(f.x.cross(f.y), f.z, 1e-9) and all(abs(v.length() - 1) < 1e-9 for v in f[:3])


# Vectors ----------------------------------------------------------------------------------------


def test_products_by_hand() -> None:
    a, b = Vector(1, 2, 3), Vector(4, 5, 6)

    assert a.dot(b) == 4 + 10 + 18
    assert a.cross(b) == (2 * 6 - 3 * 5, 3 * 4 - 1 * 6, 1 * 5 - 2 * 4)
    assert (X.cross(Y), Y.cross(Z), Z.cross(X)) == (Z, X, Y)
    assert Vector(2, 3, 6).length() == 7
    assert Vector(2, 3, 6).unit() == pytest.approx((2 / 7, 3 / 7, 6 / 7))
    assert (a.plus(b), b.minus(a), a.times(2)) == ((5, 7, 9), (3, 3, 3), (2, 4, 6))


# Frames -----------------------------------------------------------------------------------------


def test_a_frame_takes_its_own_point_out_by_its_axes_and_origin() -> None:
    frame = Frame(Y, Z, X, Vector(10, 20, 30))

    # 1 along y, 2 along z, 3 along x, from the origin.
    assert frame.point(Vector(1, 2, 3)) == (13, 21, 32)
    assert frame.direction(Vector(1, 2, 3)) == (3, 1, 2)
    assert frame.local_point(Vector(13, 21, 32)) == (1, 2, 3)
    assert frame.local_direction(Vector(3, 1, 2)) == (1, 2, 3)


@given(FRAMES, VECTORS)
def test_out_and_back_in_is_where_it_was(frame: Frame, p: Vector) -> None:
    assert near(frame.local_point(frame.point(p)), p)
    assert near(frame.point(frame.local_point(p)), p)
    assert near(frame.local_direction(frame.direction(p)), p)


@given(FRAMES, FRAMES, VECTORS)
def test_a_frame_within_another_takes_points_through_both(inner: Frame, outer: Frame, p: Vector) -> None:
    assert near(inner.within(outer).point(p), outer.point(inner.point(p)))
    assert near(inner.within(outer).direction(p), outer.direction(inner.direction(p)))


@given(FRAMES, FRAMES)
def test_seen_from_undoes_within(a: Frame, b: Frame) -> None:
    assert same(a.within(b).seen_from(b), a)
    assert same(a.seen_from(b).within(b), a)
    assert same(a.seen_from(a), STILL)


@given(FRAMES, FRAMES, FRAMES)
def test_within_may_be_done_in_either_order_of_brackets(a: Frame, b: Frame, c: Frame) -> None:
    assert all(near(u, v, 1e-6) for u, v in zip(a.within(b).within(c), a.within(b.within(c)), strict=True))


@given(FRAMES)
def test_the_still_frame_changes_nothing(frame: Frame) -> None:
    assert frame.within(STILL) == frame
    assert same(STILL.within(frame), frame)
    assert is_right_handed(frame)


@given(FRAMES, st.sampled_from([0, 1, 2]), COORDINATES)
def test_mirrored_twice_is_itself_and_once_is_right_handed(frame: Frame, axis: int, at: float) -> None:
    assert is_right_handed(frame.mirrored(axis, at))
    assert same(frame.mirrored(axis, at).mirrored(axis, at), frame)


@given(FRAMES, st.sampled_from([0, 1, 2]), COORDINATES, VECTORS)
def test_the_twins_frame_takes_the_twins_wood_to_the_mirror_image(
    frame: Frame, axis: int, at: float, p: Vector
) -> None:
    seen = list(frame.point(p))
    seen[axis] = 2 * at - seen[axis]
    twin = list(p)
    twin[axis] = -twin[axis]

    assert near(frame.mirrored(axis, at).point(Vector(*twin)), seen)


# Turns ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("axis", "degrees", "point", "turned"),
    [
        (Z, 90, X, Y),
        (Z, 90, Y, (-1, 0, 0)),
        (X, 90, Y, Z),
        (Y, 90, Z, X),
        (Z, 180, Vector(1, 2, 3), (-1, -2, 3)),
        (Z, -90, X, (0, -1, 0)),
        (Z, 450, X, Y),
        (Vector(0, 0, -2), 90, X, (0, -1, 0)),
        (Vector(1, 1, 1), 120, Vector(1, 2, 3), (3, 1, 2)),  # x to y to z to x
    ],
)
def test_a_turn_follows_the_right_hand(axis: Vector, degrees: float, point: Vector, turned: Sequence[float]) -> None:
    assert near(rotation(axis, degrees).point(point), turned, 1e-12)


@pytest.mark.parametrize("axis", AXES)
@pytest.mark.parametrize("degrees", [-270, -180, -90, 0, 90, 180, 270, 360])
def test_a_square_turn_is_exact(axis: Vector, degrees: float) -> None:
    assert all(c in (-1.0, 0.0, 1.0) for v in rotation(axis, degrees)[:3] for c in v)


def test_a_turn_of_thirty_about_a_point_by_hand() -> None:
    # (10, 0, 5) is 8 along x from (2, 0, 0): 8 cos 30 and 8 sin 30 from there.
    found = rotation(Z, 30, Vector(2, 0, 0)).point(Vector(10, 0, 5))

    assert near(found, (2 + 8 * math.sqrt(3) / 2, 4, 5), 1e-12)


@given(DIRECTIONS, st.floats(-360, 360), VECTORS, VECTORS)
def test_a_turn_keeps_its_line_and_all_distances_and_is_undone_by_the_other_way(
    axis: Vector, degrees: float, about: Vector, p: Vector
) -> None:
    turn = rotation(axis, degrees, about)

    assert is_right_handed(turn)
    assert near(turn.point(about), about)
    assert near(turn.point(about.plus(axis)), about.plus(axis))
    assert turn.point(p).minus(about).length() == pytest.approx(p.minus(about).length(), abs=1e-8)
    assert near(rotation(axis, -degrees, about).point(turn.point(p)), p)
    assert near(rotation(axis, degrees / 2, about).within(rotation(axis, degrees / 2, about)).point(p), turn.point(p))


# Wastes moved -----------------------------------------------------------------------------------


@given(FRAMES, DIRECTIONS, VECTORS)
def test_a_plane_moved_still_holds_the_points_that_it_held(frame: Frame, normal: Vector, point: Vector) -> None:
    plane = Plane.through(point, normal)
    moved = plane.moved(frame)

    assert plane.normal.dot(point) == pytest.approx(plane.offset, abs=1e-8)
    assert moved.normal.dot(frame.point(point)) == pytest.approx(moved.offset, abs=1e-6)
    assert near(moved.normal, frame.direction(normal.unit()))


@given(FRAMES, FRAMES, VECTORS)
def test_a_prism_and_a_bore_move_with_their_frame(own: Frame, frame: Frame, p: Vector) -> None:
    prism = Prism(own, (Corner(0, 0), Corner(1, 0), Corner(0, 1)), 3, ("a", "b", "c", "d", "e"))
    bore = Bore(own.origin, own.z, 2, 5)

    assert near(prism.moved(frame).frame.point(p), frame.point(own.point(p)))
    assert near(bore.moved(frame).start, frame.point(own.origin))
    assert near(bore.moved(frame).axis, frame.direction(own.z))
    assert (bore.moved(frame).radius, bore.moved(frame).far_radius, bore.moved(frame).depth) == (2, 2, 5)
    assert Bore(own.origin, own.z, 2, 5, 0.0).moved(frame).far_radius == 0


# Outlines ---------------------------------------------------------------------------------------

QUARTER = math.tan(math.pi / 8)  # the bulge of a quarter circle


@pytest.mark.parametrize(
    ("outline", "area"),
    [
        ([(0, 0), (4, 0), (4, 3), (0, 3)], 12),
        ([(0, 0), (0, 3), (4, 3), (4, 0)], -12),
        ([(0, 0), (4, 0), (0, 3)], 6),
        ([(0, 0, 1.0), (2, 0, 1.0)], math.pi),  # two half circles
        ([(0, 0), (2, 0, 1.0), (2, 2), (0, 2)], 4 + math.pi / 2),
        ([(0, 0), (2, 0, -1.0), (2, 2), (0, 2)], 4 - math.pi / 2),
        ([(0, 0), (1, 0, QUARTER), (0, 1)], math.pi / 4),
        ([(0, 0), (1, 0, -QUARTER), (0, 1)], 1 - math.pi / 4),
    ],
)
def test_areas_of_outlines_by_hand(outline: list[tuple[float, ...]], area: float) -> None:
    assert outline_area(tuple(Corner(*c) for c in outline)) == pytest.approx(area, abs=1e-12)


def test_the_arc_of_a_bulge_by_hand() -> None:
    # A quarter circle about the origin from (5, 0) to (0, 5); then the same chord bent the other way.
    assert arc(Corner(5, 0, QUARTER), Corner(0, 5)) == pytest.approx((0, 0, 5, 0, math.pi / 2), abs=1e-12)
    assert arc(Corner(5, 0, -QUARTER), Corner(0, 5)) == pytest.approx((5, 5, 5, -math.pi / 2, -math.pi / 2), abs=1e-12)
    assert arc(Corner(0, 0, 1.0), Corner(2, 0)) == pytest.approx((1, 0, 1, math.pi, math.pi), abs=1e-12)


def test_a_square_corner_rounded_by_hand() -> None:
    found = rounded([(0, 0, 2), (10, 0, 0), (10, 6, 0), (0, 6, 0)])

    assert [tuple(c) for c in found] == [
        pytest.approx((0, 2, QUARTER)),
        pytest.approx((2, 0, 0)),
        pytest.approx((10, 0, 0)),
        pytest.approx((10, 6, 0)),
        pytest.approx((0, 6, 0)),
    ]


@given(st.floats(1, 500), st.floats(1, 500), st.floats(0, 0.5))
def test_a_rounded_rectangle_loses_four_minus_pi_radii_squared(a: float, b: float, share: float) -> None:
    r = share * min(a, b)
    found = rounded([(0, 0, r), (a, 0, r), (a, b, r), (0, b, r)])

    assert outline_area(found) == pytest.approx(a * b - (4 - math.pi) * r * r, rel=1e-9, abs=1e-9)


# A corner of interior angle t loses r² (cot(t/2) - (pi - t)/2), and one that turns in gains as much.
def corner_loss(interior: float, r: float) -> float:
    t = math.radians(interior)
    return r * r * (1 / math.tan(t / 2) - (math.pi - t) / 2)


@pytest.mark.parametrize(
    ("points", "interior"),
    [
        ([(0, 0), (100, 0), (50, 50 * math.sqrt(3))], [60, 60, 60]),
        ([(0, 0), (30, 0), (0, 40)], [90, math.degrees(math.atan2(40, 30)), math.degrees(math.atan2(30, 40))]),
        ([(0, 0), (60, 0), (80, 20), (20, 20)], [45, 135, 45, 135]),
        ([(0, 0), (60, 0), (60, 20), (20, 20), (20, 60), (0, 60)], [90, 90, 90, -90, 90, 90]),
    ],
)
def test_each_rounded_corner_loses_what_its_angle_says(
    points: list[tuple[float, float]], interior: list[float]
) -> None:
    sharp = abs(outline_area(tuple(Corner(*p) for p in points)))
    for r in (0.5, 3.0):
        found = rounded([(a, b, r) for a, b in points])
        lost = sum(math.copysign(corner_loss(abs(t), r), t) for t in interior)

        assert outline_area(found) == pytest.approx(sharp - lost, rel=1e-12)
        backward = rounded([(a, b, r) for a, b in reversed(points)])
        assert outline_area(backward) == pytest.approx(lost - sharp, rel=1e-12)


def test_roundings_that_meet_leave_no_side_of_no_length() -> None:
    stadium = rounded([(0, 0, 4), (60, 0, 4), (60, 8, 4), (0, 8, 4)])

    assert len(stadium) == 6
    assert all(math.hypot(q.a - p.a, q.b - p.b) > 1 for p, q in pairwise(stadium))


@pytest.mark.parametrize("r", [1e-9, 1e-200, 5e-324])
def test_a_radius_of_nearly_nothing_is_none(r: float) -> None:
    assert rounded([(0, 0, r), (9, 0, 0), (0, 9, 0)]) == (Corner(0, 0), Corner(9, 0), Corner(0, 9))


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0, 4.1), (60, 0, 4.1), (60, 8, 4.1), (0, 8, 4.1)],
        [(0, 0, 9), (60, 0, 0), (60, 8, 0), (0, 8, 0)],
        [(0, 0, 6), (60, 0, 0), (60, 8, 0), (0, 8, 3)],
    ],
)
def test_radii_that_do_not_fit_are_refused(points: list[tuple[float, float, float]]) -> None:
    with pytest.raises(ValueError, match=r"a corner radius of .* mm does not fit"):
        rounded(points)


# Sides ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("side", "axis", "sign", "outward", "opposite"),
    [
        (LEFT, 0, -1, (-1, 0, 0), RIGHT),
        (RIGHT, 0, 1, (1, 0, 0), LEFT),
        (FRONT, 1, -1, (0, -1, 0), REAR),
        (REAR, 1, 1, (0, 1, 0), FRONT),
        (BOTTOM, 2, -1, (0, 0, -1), TOP),
        (TOP, 2, 1, (0, 0, 1), BOTTOM),
    ],
)
def test_each_side_looks_its_way(
    side: Side, axis: int, sign: int, outward: tuple[int, int, int], opposite: Side
) -> None:
    assert (side.axis, side.sign, side.opposite) == (axis, sign, opposite)
    assert side.outward == outward
    assert side.inward == tuple(-c for c in outward)
    assert side in sides_of(axis)
    assert sides_of(axis)[sign > 0] is side
    assert [side.mirrored(k) for k in range(3)] == [opposite if k == axis else side for k in range(3)]


# For each ordered pair of sides: the third, and the corner where all three meet on a blank of 600 x 300 x 20.
# x goes in from the first, y from the second, and z = x cross y from the third.
CORNERS = {
    (LEFT, FRONT): (BOTTOM, (0, 0, 0)),
    (LEFT, REAR): (TOP, (0, 300, 20)),
    (RIGHT, FRONT): (TOP, (600, 0, 20)),
    (RIGHT, REAR): (BOTTOM, (600, 300, 0)),
    (FRONT, LEFT): (TOP, (0, 0, 20)),
    (REAR, LEFT): (BOTTOM, (0, 300, 0)),
    (FRONT, RIGHT): (BOTTOM, (600, 0, 0)),
    (REAR, RIGHT): (TOP, (600, 300, 20)),
    (FRONT, BOTTOM): (LEFT, (0, 0, 0)),
    (FRONT, TOP): (RIGHT, (600, 0, 20)),
    (REAR, BOTTOM): (RIGHT, (600, 300, 0)),
    (REAR, TOP): (LEFT, (0, 300, 20)),
    (BOTTOM, FRONT): (RIGHT, (600, 0, 0)),
    (TOP, FRONT): (LEFT, (0, 0, 20)),
    (BOTTOM, REAR): (LEFT, (0, 300, 0)),
    (TOP, REAR): (RIGHT, (600, 300, 20)),
    (BOTTOM, LEFT): (FRONT, (0, 0, 0)),
    (BOTTOM, RIGHT): (REAR, (600, 300, 0)),
    (TOP, LEFT): (REAR, (0, 300, 20)),
    (TOP, RIGHT): (FRONT, (600, 0, 20)),
    (LEFT, BOTTOM): (REAR, (0, 300, 0)),
    (RIGHT, BOTTOM): (FRONT, (600, 0, 0)),
    (LEFT, TOP): (FRONT, (0, 0, 20)),
    (RIGHT, TOP): (REAR, (600, 300, 20)),
}

# How far the point (100, 70, 6) of that blank is from each side.
POINT = Vector(100, 70, 6)
DISTANCE = {LEFT: 100, RIGHT: 500, FRONT: 70, REAR: 230, BOTTOM: 6, TOP: 14}


def test_all_twenty_four_corners_are_written_down() -> None:
    assert len(CORNERS) == 24


@pytest.mark.parametrize(("a", "b"), CORNERS, ids=str)
@pytest.mark.parametrize(("grain", "face"), [(0, TOP), (1, LEFT), (2, FRONT)])
def test_a_corner_frame_measures_from_its_three_sides(a: Side, b: Side, grain: int, face: Side) -> None:
    blank = Blank(Vector(600.0, 300.0, 20.0), grain, face)
    third, corner = CORNERS[a, b]
    frame = blank.corner_frame(a, b)

    assert blank.third(a, b) is third
    assert frame.origin == corner
    assert frame.local_point(POINT) == (DISTANCE[a], DISTANCE[b], DISTANCE[third])
    assert is_right_handed(frame)


# The bench by hand: x along the grain (right, rear or top), z out of the face, y = z cross x, and the
# origin at the corner from which the whole blank lies toward +x, +y and +z.
BENCH = {
    (0, TOP): (X, Y, Z, (0, 0, 0)),
    (0, BOTTOM): (X, (0, -1, 0), (0, 0, -1), (0, 300, 20)),
    (0, REAR): (X, (0, 0, -1), Y, (0, 0, 20)),
    (0, FRONT): (X, Z, (0, -1, 0), (0, 300, 0)),
    (1, RIGHT): (Y, Z, X, (0, 0, 0)),
    (1, LEFT): (Y, (0, 0, -1), (-1, 0, 0), (600, 0, 20)),
    (1, TOP): (Y, (-1, 0, 0), Z, (600, 0, 0)),
    (1, BOTTOM): (Y, X, (0, 0, -1), (0, 0, 20)),
    (2, REAR): (Z, X, Y, (0, 0, 0)),
    (2, FRONT): (Z, (-1, 0, 0), (0, -1, 0), (600, 300, 0)),
    (2, RIGHT): (Z, (0, -1, 0), X, (0, 300, 0)),
    (2, LEFT): (Z, Y, (-1, 0, 0), (600, 0, 0)),
}


@pytest.mark.parametrize(("grain", "face"), BENCH, ids=str)
def test_a_blank_lies_on_the_bench_with_its_grain_along_x_and_its_face_up(grain: int, face: Side) -> None:
    size = Vector(600.0, 300.0, 20.0)
    blank = Blank(size, grain, face)
    frame = blank.bench()

    assert tuple(frame) == BENCH[grain, face]
    assert is_right_handed(frame)
    on_bench = [frame.local_point(c) for c in blank.corners()]
    assert [(min(c[i] for c in on_bench), max(c[i] for c in on_bench)) for i in range(3)] == [
        (0, blank.length), (0, blank.width), (0, blank.thickness),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("grain", "face", "length", "width", "thickness", "ends", "edges"),
    [
        (0, TOP, 600, 300, 20, (LEFT, RIGHT), (FRONT, REAR)),
        (0, FRONT, 600, 20, 300, (LEFT, RIGHT), (BOTTOM, TOP)),
        (1, LEFT, 300, 20, 600, (FRONT, REAR), (BOTTOM, TOP)),
        (2, REAR, 20, 600, 300, (BOTTOM, TOP), (LEFT, RIGHT)),
    ],
)
def test_a_blank_knows_its_ends_edges_and_faces(
    grain: int, face: Side, length: float, width: float, thickness: float, ends: object, edges: object
) -> None:
    blank = Blank(Vector(600.0, 300.0, 20.0), grain, face)

    assert (blank.length, blank.width, blank.thickness) == (length, width, thickness)
    assert (blank.ends, blank.edges, blank.broad) == (
        ends,
        edges,
        (min(face, face.opposite, key=SIDES.index), max(face, face.opposite, key=SIDES.index)),
    )
    assert [blank.kind_of(s) for s in (*blank.ends, *blank.edges, *blank.broad)] == ["end"] * 2 + ["edge"] * 2 + [
        "face"
    ] * 2
    for side, distance in DISTANCE.items():
        plane = blank.plane(side, inset=2)
        assert plane.normal == side.outward
        assert plane.offset - plane.normal.dot(POINT) == distance - 2


# A blank with an outline: along the grain, then across, from its least corner, whichever way it stands.
PENTAGON = (Corner(0, 0), Corner(600, 0), Corner(600, 200), Corner(400, 300), Corner(0, 300))


@pytest.mark.parametrize("grain", range(3))
@pytest.mark.parametrize("face", SIDES)
def test_an_outlines_sides_are_named_by_where_they_lie_and_else_by_their_first_point(grain: int, face: Side) -> None:
    if face.axis == grain:
        return
    size = [300.0, 300.0, 300.0]
    size[grain], size[face.axis] = 600.0, 20.0
    blank = Blank(Vector(*size), grain, face, PENTAGON)
    prism = blank.prism()
    across = 3 - grain - face.axis
    along_word, across_word = sides_of(grain), sides_of(across)

    assert outline_area(prism.outline) == pytest.approx(600 * 300 - 200 * 100 / 2)
    found = {}
    for k, name in enumerate(prism.names[:5]):
        p, q = prism.outline[k], prism.outline[(k + 1) % 5]
        middle = prism.frame.point(Vector((p.a + q.a) / 2, (p.b + q.b) / 2, 0))
        found[name] = (middle[grain], middle[across])
    assert found == {
        str(across_word[0]): (300, 0),
        str(along_word[1]): (600, 100),
        "outline 3": (500, 250),  # from the third point to the fourth
        str(across_word[1]): (200, 300),
        str(along_word[0]): (0, 150),
    }
    floor = prism.frame.origin[face.axis]
    assert {prism.names[5], prism.names[6]} == {str(s) for s in sides_of(face.axis)}
    assert prism.names[5] == str(sides_of(face.axis)[0 if floor == 0 else 1])
