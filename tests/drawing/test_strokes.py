"""Strokes: each line once, nothing hidden under what is visible; and the views of solids known by hand."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from drawing.drafting import BOTTOM, FRONT, LEFT, RIGHT, TOP, board, part_of, random_part
from hypothesis import given
from hypothesis import strategies as st

from solids.cuts.hole import Hole
from solids.cuts.trench import Dado
from solids.kernel.facets import Circle, rejoined
from solids.kernel.mesh import manifold_of
from solids.kernel.projection import by_facets, projected
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of
from solids.kernel.strokes import Bent, Round, Straight, Stroke, clean, union, without
from solids.model.geometry import STILL, Vector, X, Y, Z
from solids.model.part import Part

SPANS = st.lists(st.tuples(st.integers(0, 60), st.integers(1, 30)).map(lambda p: (float(p[0]), float(p[0] + p[1]))))


@given(SPANS)
def test_a_union_covers_what_its_spans_cover_and_has_no_overlap(spans: list[tuple[float, float]]) -> None:
    covered = {k + 0.5 for a, b in spans for k in range(int(a), int(b))}
    made = union(spans)

    assert {k + 0.5 for k in range(100) if any(a < k + 0.5 < b for a, b in made)} == covered
    assert all(b < c for (_, b), (c, _) in pairwise(made))


@given(SPANS, SPANS)
def test_what_is_taken_is_gone_and_the_rest_is_left(
    spans: list[tuple[float, float]], taken: list[tuple[float, float]]
) -> None:
    left = without(union(spans), taken)
    inside = {k + 0.5 for a, b in spans for k in range(int(a), int(b))}
    gone = {k + 0.5 for a, b in taken for k in range(int(a), int(b))}

    assert {k + 0.5 for k in range(100) if any(a < k + 0.5 < b for a, b in left)} == inside - gone


def test_doubles_pieces_and_hidden_lines_under_visible_ones_go() -> None:
    raw = [
        Straight((0, 0), (10, 0)), Straight((10, 0), (4, 0)), Straight((10, 0), (30, 0)),
        Straight((5, 0), (40, 0), hidden=True), Straight((0, 1), (10, 1)),
    ]  # fmt: skip
    found = sorted((s.a[1], s.hidden, s.a[0], s.b[0]) for s in clean(raw) if isinstance(s, Straight))

    assert found == [(0, False, 0, 30), (0, True, 30, 40), (1, False, 0, 10)]


def test_two_halves_of_a_circle_are_one() -> None:
    raw = [Round((3, 4), 5.0, 0.0, math.pi), Round((3, 4), 5.0, math.pi, 2 * math.pi)]
    (made,) = clean(raw)

    assert isinstance(made, Round)
    assert made.end - made.start == pytest.approx(2 * math.pi)


def strokes(part: Part, toward: Vector, right: Vector) -> list[object]:
    return list(clean(projected([(solid_of(shape_of(part)), part.blank.bench())], toward, right)))


def test_a_board_with_a_dado_and_a_hole_seen_from_above_and_below() -> None:
    # 600 x 300 x 20; a dado 12 wide at 100 in the top; a blind hole of 10 at 400, 120 in the top.
    part = part_of(
        board(600.0, 300.0, 20.0),
        Dado(side=TOP, at=((LEFT, 100.0),), width=12.0, depth=6.0),
        Hole(side=TOP, at=((LEFT, 400.0),), diameter=10.0, depth=8.0),
    )
    above = strokes(part, Z, X)
    # Four sides and two walls, all visible: 2 (600 + 300) + 2 * 300 mm of them, and a circle of 5.
    lines = [s for s in above if isinstance(s, Straight)]
    circles = [s for s in above if isinstance(s, Round)]
    assert sum(math.dist(s.a, s.b) for s in lines if not s.hidden) == pytest.approx(2400.0)
    assert not any(s.hidden for s in lines)
    assert [(c.radius, c.hidden) for c in circles] == [(5.0, False)]

    below = strokes(part, Z.times(-1), X)
    hidden = [s for s in below if isinstance(s, Straight) and s.hidden]
    assert sorted(round(s.a[0], 6) for s in hidden) == [100.0, 112.0]
    assert sum(math.dist(s.a, s.b) for s in hidden) == pytest.approx(600.0)


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize(("toward", "right"), [(Z, X), (Y.times(-1), X), (X, Y)])
def test_the_visible_lines_enclose_what_the_mesh_covers(seed: int, toward: Vector, right: Vector) -> None:
    # Two kernels again: the rim of the view against the shadow of the manifold mesh, within the mesh's chord error.
    part = random_part(seed, "mm")
    shape = shape_of(part)
    frame = part.blank.bench()
    raw = clean(projected([(solid_of(shape), STILL)], *(frame.local_direction(v) for v in (toward, right))))
    points = [p for s in raw if isinstance(s, Straight) and not s.hidden for p in (s.a, s.b)]
    points += [
        (s.centre[0] + s.radius * math.cos(t), s.centre[1] + s.radius * math.sin(t))
        for s in raw
        if isinstance(s, Round) and not s.hidden
        for t in np.linspace(s.start, s.end, 33)
    ]
    axes = np.array([frame.local_direction(v) for v in (right, toward.cross(right), toward)])
    shadow = manifold_of(shape).transform(np.column_stack([axes, np.zeros(3)])).project()
    ours = shapely.convex_hull(shapely.MultiPoint(points))
    theirs = shapely.convex_hull(shapely.MultiPoint(np.vstack(shadow.to_polygons())[:, :2]))

    assert ours.symmetric_difference(theirs).area < 0.02 * ours.length
    assert part.blank.face in (TOP, BOTTOM)


def long(strokes_: list[Stroke], hidden: bool) -> float:
    """How long all visible or all hidden lines are together; mm."""
    total = 0.0
    for s in strokes_:
        if s.hidden is not hidden:
            continue
        if isinstance(s, Straight):
            total += math.dist(s.a, s.b)
        elif isinstance(s, Round):
            total += s.radius * (s.end - s.start)
        else:
            total += sum(math.dist(a, b) for a, b in pairwise(s.points))
    return total


@pytest.mark.parametrize(
    ("toward", "right"), [(Z, X), (Y.times(-1), X), (X, Y), (Vector(-1, -1.25, 1.1), Vector(1.25, -1, 0))]
)
def test_facets_give_the_lines_that_the_exact_method_gives(toward: Vector, right: Vector) -> None:
    # No holes cross here, so that both methods can be asked.
    part = part_of(
        board(600.0, 300.0, 20.0),
        Dado(side=TOP, at=((LEFT, 100.0),), width=12.0, depth=6.0),
        Hole(side=TOP, at=((LEFT, 400.0),), diameter=30.0, depth=8.0),
        Hole(side=BOTTOM, at=((LEFT, 300.0),), diameter=16.0),
    )
    solid, frame = solid_of(shape_of(part)), part.blank.bench()
    exact = clean(projected([(solid, frame)], toward, right))
    ours = clean(by_facets([(solid, frame)], toward, right))

    for hidden in (False, True):
        assert long(ours, hidden) == pytest.approx(long(exact, hidden), rel=2e-3, abs=0.5)
    circles = [
        sorted((round(s.radius, 3), s.hidden, round(s.end - s.start, 2)) for s in made if isinstance(s, Round))
        for made in (exact, ours)
    ]
    assert circles[0] == circles[1]


def test_where_bores_cross_the_view_has_its_circle_and_the_hidden_walls() -> None:
    # A bolt's hole of 9, 50 deep into the right end, meets a cross dowel's of 12 that comes down from the top, 25 deep
    # of 30, at 45 from the end. From above: the dowel's hole is a circle of 6, whole; the bolt's two walls, 9 apart,
    # are hidden from the end to the dowel's rim, sqrt(36 - 4.5²) short of its middle, and end beyond it at 50.
    part = part_of(
        board(200.0, 120.0, 30.0),
        Hole(side=RIGHT, at=((FRONT, 60.0), (BOTTOM, 15.0)), diameter=9.0, depth=50.0),
        Hole(side=TOP, at=((RIGHT, 45.0), (FRONT, 60.0)), diameter=12.0, depth=25.0),
    )
    seen = clean(projected([(solid_of(shape_of(part)), part.blank.bench())], Z, X))
    rings = [s for s in seen if isinstance(s, Round) and not s.hidden and s.radius == pytest.approx(6.0)]
    runs = [(s.a, s.b) if isinstance(s, Straight) else s.points for s in seen if s.hidden and not isinstance(s, Round)]
    walls = [(a[1], math.dist(a, b)) for run in runs for a, b in pairwise(run) if abs(a[1] - b[1]) < 1e-3]
    reach = math.sqrt(36.0 - 4.5**2)

    assert sum(s.end - s.start for s in rings) == pytest.approx(2 * math.pi, abs=1e-6)
    for y in (55.5, 64.5):  # facets are 0.02 off at most
        own = [long for level, long in walls if abs(level - y) < 0.03]
        assert sorted(own) == pytest.approx([5.0 - reach, 45.0 - reach], abs=0.03)


def test_facets_are_put_back_on_their_circle_and_what_fits_nothing_is_one_run() -> None:
    ring = [(10 * math.cos(t), 10 * math.sin(t)) for t in np.linspace(0.0, math.pi, 31)]
    curve = [(float(x), 20.0 + x * x / 40.0) for x in range(0, 12, 2)]
    pieces = [Straight(a, b) for a, b in (*pairwise(ring), *pairwise(curve))]
    made = clean(rejoined(pieces[::-1], [Circle((0.0, 0.0), 10.0)], []))

    (arc,) = [s for s in made if isinstance(s, Round)]
    (run,) = [s for s in made if isinstance(s, Bent)]
    assert (arc.start, arc.end) == pytest.approx((0.0, math.pi))
    assert [tuple(map(float, p)) for p in run.points] in (curve, curve[::-1])
