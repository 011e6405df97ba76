"""Reveals: gaps that are off, that narrow, that are uneven round one front; and those that are well."""

from __future__ import annotations

from math import cos, radians, sin, tan

import pytest
from assembled import boxes, checked, text, told
from joinery import board, dry

from solids.model.finding import Finding

# A front 400 x 200 between two uprights and two rails, 2 wide gaps all round: the opening is 404 x 204.
AROUND = [
    board("left", "[300, 60]", "[0, 0, 0]", "up", "left"),
    board("right", "[300, 60]", "[424, 0, 0]", "up", "right"),
    board("bottom", "[404, 60]", "[20, 0, 0]", "across", "bottom"),
    board("top", "[404, 60]", "[20, 0, 224]", "across", "top"),
]
HELD = [f"{{touch: [{a}, {b}]}}" for a in ("bottom", "top") for b in ("left", "right")]
SIDES = ("left", "right", "bottom", "top")


def front(dx: float, dz: float, more: str = "") -> str:
    return board("front", "[400, 200]", f"[{22 + dx}, 0, {22 + dz}]", "across", "front", more)


def found(dx: float, dz: float, gap: float = 2.0, limits: str = "", more: str = "") -> list[Finding]:
    asked = [f"{{reveal: [front, {side}], gap: {gap}}}" for side in SIDES]
    r = dry([*AROUND, front(dx, dz, more)], [*HELD, *asked], more=limits)
    return list(r.findings)


def test_even_gaps_are_well():
    assert found(0, 0) == []
    assert found(0.15, -0.15) == []  # 2.15 and 1.85: within 0.4 of what is asked, and of each other


def test_a_gap_that_is_off_is_told_with_both():
    (only,) = found(0.7, 0)  # 2.7 at the left, 1.3 at the right
    assert only.kind == "reveal"
    assert only.values["difference"] == pytest.approx(0.7, abs=1e-9)
    assert only.allowed == {"least": 1.6, "most": 2.4, "difference": 0.4}
    assert set(only.parts) == {"front", "left", "right"}


def test_the_smallest_shift_that_is_told():
    assert found(0.2, 0) == []  # 2.2 and 1.8 differ by 0.4, which is still even
    (only,) = found(0.21, 0)
    assert "the gaps round front are uneven: left 2.21 mm, right 1.79 mm, bottom 2.00 mm, top 2.00 mm" in only.message
    assert only.values["difference"] == pytest.approx(0.42, abs=1e-9)
    assert (only.values["gap left"], only.values["gap right"]) == (
        pytest.approx(2.21, abs=1e-9), pytest.approx(1.79, abs=1e-9)
    )  # fmt: skip


def test_the_limit_may_be_replaced():
    assert found(0.7, 0, limits="limits: {reveal: 1.5}") == []
    (only,) = found(0.1, 0, limits="limits: {reveal: 0.15}")
    assert only.values["difference"] == pytest.approx(0.2, abs=1e-9)


def test_a_gap_that_narrows_is_told_from_end_to_end():
    # The right end cut at 1 degree: over 200 the front is 200 tan 1 = 3.491 short at its top.
    (only,) = found(0, 0, more="cuts: [{miter: right, angle: 1, long: bottom}]")
    level = 2 + 200 * tan(radians(1))
    assert only.values["greatest"] == pytest.approx(level * cos(radians(1)) / cos(radians(0.5)), abs=1e-3)
    assert only.values["least"] == pytest.approx(2 * cos(radians(1)) / cos(radians(0.5)), abs=1e-3)
    assert "the gap between front and right runs from 2.00 mm to 5.49 mm; 2.00 mm is asked for" in only.message
    assert only.advice.startswith("shift or replace front at its right, by 3.49 mm")


def test_a_front_that_runs_into_its_neighbour_has_a_gap_below_nothing():
    (only,) = found(2.5, 0)  # 4.5 at the left, and 0.5 into the right
    assert only.kind == "reveal"
    (right,) = only.folded
    assert right.message == "front runs 0.50 mm into right, where a gap of 2.00 mm is asked for"
    assert right.values["least"] == pytest.approx(-0.5, abs=1e-9)
    assert [f.kind for f in right.folded] == ["interference"]


def test_parts_that_do_not_face_each_other_at_all():
    parts = [board("a", "[300, 60]", "[0, 0, 0]", "up", "left"), board("b", "[300, 60]", "[40, 0, 400]", "up", "left")]
    (only,) = [f for f in dry(parts, ["{reveal: [a, b], gap: 2}"]).findings if f.kind == "reveal"]
    assert "a and b have no edges that face each other" in only.message


def test_the_gap_over_a_front_counts_for_both_of_its_neighbours():
    # Three fronts in a column, the middle one 0.25 too high up: 2.25 below it and 1.75 over it.
    rows = [
        board("one", "[200, 60]", "[0, 0, 0]", "across", "front"),
        board("two", "[200, 60]", "[0, 0, 62.25]", "across", "front"),
        board("three", "[200, 60]", "[0, 0, 124]", "across", "front"),
    ]
    asked = ["{reveal: [one, two], gap: 2}", "{reveal: [two, three], gap: 2}"]
    (only,) = [f for f in dry(rows, asked).findings if f.kind == "reveal"]
    assert "the gaps round two are uneven: bottom 2.25 mm, top 1.75 mm" in only.message
    assert only.values["difference"] == pytest.approx(0.5, abs=1e-9)


def test_the_stiles_and_rails_of_one_door_are_one_front():
    stock = "  oak: {wood: white oak, thickness: 20 mm}\n  ply: {sheet: birch plywood, thickness: 5.8 mm}\n"
    case = "{case: body, outline: {width: 600, height: 400}, depth: 200, stock: oak}"
    frame = "{stock: oak, stile: 50, rail: 50, panel: {stock: ply, groove: [6, 9]}}"
    door = f"{{fronts: door, opening: body, frame: {frame}, reveal: 2, place: {{at: [0.25, 0, 0]}}}}"
    (only,) = checked(text(case, door, stock=stock)).findings
    assert only.kind == "reveal"
    assert only.values["difference"] == pytest.approx(0.5, abs=1e-6)  # 2.25 at the left, 1.75 at the right


def test_fifteen_drawers_of_a_published_cabinet():
    """Fifteen fronts 2 3/16 high in an opening of 35: 35 - 15 x 2.1875 = 2.1875 over 16 gaps is 0.137 each.

    A mineral cabinet as its maker published it, 26 1/2 x 36 1/2 of 3/4 in plywood.
    """
    stock = "  ply: {sheet: birch plywood, thickness: 3/4}\n"
    case = "{case: body, outline: {width: 26 1/2, height: 36 1/2}, depth: 23 3/4, stock: ply}"
    item = "{fronts: faces, opening: body, stock: ply, rows: 15, reveal: 35/256}"
    r = checked(text(case, item, stock=stock, units="in"))
    assert told(r) == []
    low, high = boxes(r.piece)["faces_faces_1"]
    assert high[2] - low[2] == pytest.approx(2.1875 * 25.4, abs=1e-6)
    asked = [j.asked for j in r.piece.joints if j.kind == "reveal"]
    assert asked == [pytest.approx(0.137 * 25.4, abs=0.01)] * (14 + 2 + 2 * 15)


def turned(by: float, deep: float = 0.0) -> list[Finding]:
    """The front turned by so many degrees, as seen from above, or set in by so much; of two fronts, the right one."""
    asked = [f"{{reveal: [front, {side}], gap: 2}}" for side in SIDES]
    place = f"place: {{at: [22, {deep}, 22], length: across, face: front, turn: {{by: {by}, about: [22, 0]}}}}"
    turned_front = f"front: {{stock: wood, size: [400, 200], {place}}}"
    return list(dry([*AROUND, turned_front], [*HELD, *asked]).findings)


def test_a_front_turned_in_plan_is_told_with_what_it_stands_out_at_its_far_end():
    assert turned(0) == []
    (only,) = turned(-0.3)
    assert only.kind == "reveal"
    assert only.values["difference"] == pytest.approx(400 * sin(radians(0.3)), abs=1e-6)
    assert only.values["degrees"] == pytest.approx(0.3, abs=1e-6)
    assert "turned" in only.message


def test_a_front_set_in_as_a_whole_is_meant_so():
    assert turned(0, 2.0) == []


@pytest.mark.parametrize(("off", "told_of"), [(0.3, False), (1.2, True), (3.5, False)])
def test_two_fronts_side_by_side_lie_in_one_plane(off: float, told_of: bool):
    one = board("one", "[200, 200]", "[0, 0, 0]", "across", "front")
    two = board("two", "[200, 200]", f"[202, {off}, 0]", "across", "front")
    found = dry([one, two], ["{reveal: [one, two], gap: 2}", "{reveal: [two, one], gap: 2}"]).findings
    assert [round(f.values["difference"], 6) for f in found] == ([off] if told_of else [])


def test_shelves_on_pins_between_leaning_sides_are_not_looked_at_for_their_plane():
    pins = "shelves: {count: 1, pins: {diameter: 5, depth: 10, from_edge: 37}}"
    case = f"{{case: body, outline: {{width: 700, height: 400, lean: {{right: 3}}}}, depth: 300, stock: oak, {pins}}}"
    assert told(checked(text(case))) == []
