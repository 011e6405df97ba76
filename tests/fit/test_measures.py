"""What the fit measures on finished solids: gaps, what hides what, clashes, steps, thin places."""

from __future__ import annotations

from math import cos, radians, tan

import numpy as np
import pytest
from joinery import piece

from solids.fit.dryfit import DryFit, dry_fit
from solids.fit.facing import facing, unhidden
from solids.fit.scene import near_parts, scene_of
from solids.model.limits import LIMITS
from solids.model.piece import Piece


def block(
    name: str, low: tuple[float, float, float], size: tuple[float, float, float], place: str = "", more: str = ""
) -> str:
    """A block by its least corner and its extents."""
    x, y, z = (f"{'0 - ' if v < 0 else ''}{abs(v)}" for v in low)
    rest = f", {more}" if more else ""
    return (f"{name}: {{stock: wood, size: [{size[0]}, {size[1]}, {size[2]}],"
            f" place: {{at: [{x}, {y}, {z}], length: across, face: top{place}}}{rest}}}")  # fmt: skip


def measured(*parts: str) -> DryFit:
    return dry_fit(piece(parts))


def gaps(p: Piece, reach: float = 50.0) -> list[tuple[str, str, float, float, float, float]]:
    """Every facing pair: its parts, least and greatest gap, angle and area."""
    scene = scene_of(p)
    found = unhidden(scene, facing(scene, near_parts(scene, reach), reach, 15.0))
    ids = [q.id for q in p.parts]
    real = np.flatnonzero(found.least > -15)  # not the far sides of both, seen through the wood
    first, second = (scene.part[side[real]].tolist() for side in (found.a, found.b))
    sizes = np.column_stack([found.least, found.greatest, found.angle, found.area])[real].tolist()
    return [(ids[i], ids[j], *row) for i, j, row in zip(first, second, sizes, strict=True)]


A = block("a", (0, 0, 0), (100, 50, 20))


@pytest.mark.parametrize("gap", [0.0, 0.013, 2.5, 40.0])
def test_gap_and_overlap(gap: float):
    (found,) = gaps(piece([A, block("b", (30, -10, 20 + gap), (100, 50, 20))]))
    assert found[2:] == pytest.approx((gap, gap, 0.0, 70 * 40), abs=1e-9)


def test_a_gap_below_nothing_is_negative():
    found = [g for g in gaps(piece([A, block("b", (0, 0, 19), (100, 50, 20))])) if g[2] < 0 and abs(g[2]) < 10]
    assert found[0][2] == pytest.approx(-1, abs=1e-9)


def test_a_wedge_has_a_least_and_a_greatest():
    b = block("b", (0, 0, 20), (100, 50, 20), ", lean: {left: 5, about: [bottom, left]}")
    found = next(g for g in gaps(piece([A, b])) if g[4] > 1)
    # The block is tipped by 5 degrees about its left foot: its right end rises.
    assert found[4] == pytest.approx(5, abs=1e-9)
    assert found[2] == pytest.approx(0, abs=1e-6)
    # Measured square to the plane that halves the angle, over the overlap laid on it.
    assert found[3] == pytest.approx(2 * 100 * cos(radians(2.5)) * tan(radians(2.5)), rel=5e-3)


def test_a_part_between_two_hides_them_from_each_other():
    b, between = block("b", (0, 0, 25), (100, 50, 20)), block("c", (0, 0, 20), (100, 50, 5))
    assert {(g[0], g[1]) for g in gaps(piece([A, b]))} == {("a", "b")}
    assert {frozenset(g[:2]) for g in gaps(piece([A, b, between]))} == {frozenset("ac"), frozenset("bc")}


def test_a_part_that_hides_only_half_leaves_the_other_half():
    b, between = block("b", (0, 0, 25), (100, 50, 20)), block("c", (0, 0, 20), (40, 50, 5))
    found = {frozenset(g[:2]): g for g in gaps(piece([A, b, between]))}
    assert found[frozenset("ab")][5] == pytest.approx(60 * 50, abs=1e-6)


def test_beyond_reach_and_out_of_line_nothing_faces():
    assert gaps(piece([A, block("b", (0, 0, 71), (100, 50, 20))])) == []
    assert gaps(piece([A, block("b", (101, 0, 30), (100, 50, 20))])) == []


@pytest.mark.parametrize("deep", [0.03, 0.5, 6.0])
def test_clash_depth_and_volume(deep: float):
    d = measured(A, block("b", (10, 5, 20 - deep), (50, 30, 20)))
    (clash,) = d.clashes.values()
    assert clash.depth == pytest.approx(deep, abs=1e-9)
    assert clash.volume == pytest.approx(deep * 50 * 30, rel=1e-9)
    assert clash.low == pytest.approx((10, 5, 20 - deep), abs=1e-9)
    assert clash.high == pytest.approx((60, 35, 20), abs=1e-9)


@pytest.mark.parametrize("deep", [0.0, 1e-9, 0.005, 0.019])
def test_touching_is_no_clash(deep: float):
    assert measured(A, block("b", (10, 5, 20 - deep), (50, 30, 20))).clashes == {}


def test_touching_is_no_clash_where_all_is_turned():
    turn = ", turn: {by: 33.7, about: [3, 5]}"
    b = block("b", (10, 5, 20), (50, 30, 20), turn)
    assert measured(block("a", (0, 0, 0), (100, 50, 20), turn), b).clashes == {}


def test_two_blocks_that_overlap_at_a_corner_are_as_deep_as_the_way_out():
    d = measured(A, block("b", (97, 40, 0), (100, 50, 20)))
    (clash,) = d.clashes.values()
    assert clash.depth == pytest.approx(3, abs=1e-9)


def test_a_peg_through_a_board():
    d = measured(block("a", (0, 0, 0), (100, 100, 20)), block("peg", (45, 40, -30), (10, 12, 80)))
    (clash,) = d.clashes.values()
    assert clash.volume == pytest.approx(10 * 12 * 20, rel=1e-9)
    assert clash.depth == pytest.approx(10, abs=1e-9)


@pytest.mark.parametrize("height", [0.2, -0.2, 1.5, 3.1])
def test_a_step_between_two_that_touch(height: float):
    d = measured(A, block("b", (100, 0, 0), (100, 50, 20 + height)))
    tops = [s for s in d.steps if abs(d.scene.normal[s.a][2]) > 0.9]
    assert [s.height for s in tops] == [pytest.approx(height, abs=1e-9)]
    assert tops[0].point[0] == pytest.approx(100, abs=0.6)


def test_a_step_of_over_an_eighth_of_an_inch_is_none():
    assert measured(A, block("b", (100, 0, 0), (100, 50, 24))).steps == []


def test_faces_that_another_part_covers_have_no_step():
    cover = block("c", (0, 0, 20), (250, 50, 20))
    assert [s for s in measured(A, block("b", (100, 0, 0), (100, 50, 19.5)), cover).steps if s.height > 0] == []


def test_a_web_between_two_trenches():
    cuts = (
        "cuts: [{dado: top, at: {left: 30}, width: 10, depth: 12}, {dado: bottom, at: {left: 33}, width: 10, depth: 7}]"
    )
    d = measured(block("a", (0, 0, 0), (100, 50, 20), more=cuts))
    assert sorted(round(w.left, 9) for w in d.webs) == [1.0]


def test_a_web_beside_an_edge_and_none_where_wood_is_thick():
    def left(wood: float) -> list[float]:
        cut = f"cuts: [{{dado: top, at: {{left: {wood}}}, width: 10, depth: 12}}]"
        return [round(w.left, 9) for w in measured(block("a", (0, 0, 0), (100, 50, 20), more=cut)).webs]

    assert left(1.2) == [1.2]
    assert left(LIMITS.wood_left - 0.1) == [LIMITS.wood_left - 0.1]
    assert left(LIMITS.wood_left) == []


def test_gaps_are_the_same_far_away_and_turned():
    def pair(place: str) -> list[float]:
        b = block("b", (30, -10, 20.7), (100, 50, 20), place)
        return [g[2] for g in gaps(piece([block("a", (0, 0, 0), (100, 50, 20), place), b]))]

    here = pair("")
    assert pair(", turn: {by: 17.123, about: [8000, 9000]}") == pytest.approx(here, abs=1e-9)


def test_leaning_faces():
    """Two boards that lean alike, half a millimetre apart square to their faces."""
    lean = ", lean: {right: 12, about: [0, 0, 0]}"
    a = f"a: {{stock: wood, size: [400, 100], place: {{at: [0, 0, 0], length: up, face: left{lean}}}}}"
    b = f"b: {{stock: wood, size: [400, 100], place: {{at: [20.5, 0, 0], length: up, face: left{lean}}}}}"
    (found,) = gaps(piece([a, b]))
    assert found[2:5] == pytest.approx((0.5, 0.5, 0.0), abs=1e-9)
