"""Drawers and doors on their way, against contacts worked out by hand."""

from __future__ import annotations

from math import acos, asin, atan, atan2, cos, degrees, hypot, radians, sin, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import WOOD, board, everything, text

from solids.fit.check import check
from solids.fit.dryfit import dry_fit
from solids.fit.motion import Way, ways
from solids.model.finding import Finding, Severity
from solids.model.piece import Piece
from solids.spec.reader import from_text
from solids.units import exact


def standing(parts: list[str], moving: str, room: str = "{}", joints: list[str] | None = None) -> Piece:
    return from_text(text(parts, joints or []) + f"moving: {moving}\nroom: {room}\n")


def moved(parts: list[str], moving: str, room: str = "{}", joints: list[str] | None = None) -> list[Way]:
    return list(ways(dry_fit(standing(parts, moving, room, joints))))


def told(parts: list[str], moving: str, room: str = "{}") -> list[Finding]:
    """Folded findings with those below them: two ways that hit each other are told as one."""
    found = everything(check(standing(parts, moving, room)).findings)
    return [f for f in found if f.kind in ("travel", "swing")]


BOX = board("box", "[300, 400, 100]", "[0, 0, 0]", "across", "top")


def test_a_drawer_hits_what_stands_in_front_where_it_stands():
    post = board("post", "[500, 50]", "[280, -257, 0]", "up", "front")  # its rear at -237: 20 thick
    (found,) = told([BOX, post], "{drawer: {parts: box, slide: {front: 400}}}")
    assert (found.kind, found.parts) == ("travel", ("box", "post"))
    assert found.values["at"] == pytest.approx(237, abs=0.02)
    assert found.values["depth"] == pytest.approx(20, abs=1e-6)  # 300 less 280: so far it would have to move aside
    assert found.allowed["at"] == 400


def test_what_stands_in_the_room_already_is_told_once_and_not_as_a_way_that_ends_at_nothing():
    room = "{wall: {from: [280, 100, 0], to: [400, 200, 300]}}"
    found = check(standing([BOX], "{drawer: {parts: box, slide: {front: 400}}}", room)).findings
    assert [(f.kind, f.values["depth"]) for f in found] == [("interference", pytest.approx(20))]


def test_a_drawer_that_slides_along_something_does_not_hit_it():
    side = board("side", "[500, 1000]", "[-20, -600, 0]", "up", "right")
    (way,) = moved([BOX, side], "{drawer: {parts: box, slide: {front: 400}}}")
    assert way.meeting is None
    assert way.unsure == 0


def test_the_room_beside_a_drawer_is_told():
    near = board("near", "[500, 1000]", "[-32.7, -600, 0]", "up", "right")
    far = board("far", "[500, 1000]", "[330, -600, 0]", "up", "left")
    (way,) = moved([BOX, near, far], "{drawer: {parts: box, slide: {front: 400}}}")
    assert way.clear == pytest.approx(12.7, abs=1e-9)
    assert way.beside == "near"


def test_a_drawer_stops_at_the_wall_of_the_room():
    (found,) = told(
        [BOX], "{drawer: {parts: box, slide: {front: 400}}}", room="{wall: {from: [0, -350, 0], to: [900, -340, 900]}}"
    )
    assert found.values["at"] == pytest.approx(340, abs=0.02)
    assert found.parts == ("box",)
    assert "box hits wall" in found.message


def door(w: float, t: float) -> str:
    return board("door", f"[600, {w}, {t}]", "[0, 0, 0]", "up", "front")


def swing(by: float) -> str:
    """About the left front arris of the door, its tip coming to the front."""
    return f"{{leaf: {{parts: door, swing: {{about: [0, 0, 0], axis: [0, 0, -1], by: {by}}}}}}}"


def inset(w: float, t: float, gap: float, by: float = 110) -> tuple[list[str], str]:
    """A door hinged at its left front arris, and what it shuts against on the right, `gap` away."""
    jamb = board("jamb", "[600, 200]", f"[{w + gap}, 0, 0]", "up", "right")
    return [door(w, t), jamb], swing(by)


@pytest.mark.parametrize(("gap", "clears"), [(0.0625, True), (0.043, True), (0.041, False), (1 / 32, False)])
def test_the_rear_corner_of_a_door_swings_beyond_its_width(gap: float, clears: bool):
    # An inset door 12 in wide and 1 in thick: its rear corner swings sqrt(12² + 1²) - 12 = 0.0416 in beyond the width,
    # so 1/16 clears and 1/32 does not (shop problem DH01; plane geometry).
    assert sqrt(145) - 12 == pytest.approx(0.0416, abs=5e-5)
    found = told(*inset(12 * 25.4, 25.4, gap * 25.4))
    assert (not found) == clears


def test_the_angle_at_which_it_binds():
    # The corner at radius R = sqrt(w² + t²), atan(t/w) behind the face, is w + g out when
    # cos(atan(t/w) - a) = (w + g) / R: so a = atan(t/w) - acos((w + g)/R), worked out by hand.
    w, t, g = 400.0, 30.0, 0.5
    by_hand = degrees(atan(t / w) - acos((w + g) / hypot(w, t)))
    (found,) = told(*inset(w, t, g))
    assert found.values["at"] == pytest.approx(by_hand, abs=0.08)
    assert found.allowed["at"] == 110


def test_a_door_hits_the_wall_beside_it():
    # The wall stands 100 mm to the left of the hinge: the door, 400 wide and hinged at its front arris, is flat to the
    # front at 0°, straight out at 90°, and its tip is 100 mm to the left at 90° + asin(100/400).
    room = "{wall: {from: [-110, -800, 0], to: [-100, -60, 2000]}}"
    (found,) = told([door(400, 18)], swing(170), room=room)
    # The front face is the first to come: its tip (400, 0) has x = 400 cos a.
    assert found.values["at"] == pytest.approx(90 + degrees(asin(100 / 400)), abs=0.05)
    assert "door hits wall" in found.message


def test_two_drawers_round_a_corner_meet_when_one_is_open():
    a = board("a", "[300, 300, 100]", "[0, 0, 0]", "across", "top")
    b = board("b", "[300, 300, 100]", "[-400, -350, 0]", "across", "top")  # slides to the right, in front of a
    found = told([a, b], "{a: {parts: a, slide: {front: 250}}, b: {parts: b, slide: {right: 250}}}")
    # b shut ends at x = -100, open at 150: then it stands in a's way, its rear at y = -50.
    assert {(f.parts, round(f.values["at"], 1)) for f in found} == {(("a", "b"), 50.0), (("b", "a"), 100.0)}
    assert all("open" in f.message for f in found)
    assert {f.severity for f in found} == {Severity.NOTE}  # one is shut before the other is opened


def test_what_is_shut_in_the_way_is_told_before_what_is_open():
    a = board("a", "[300, 300, 100]", "[0, 0, 0]", "across", "top")
    b = board("b", "[300, 300, 100]", "[-280, -350, 0]", "across", "top")  # shut it ends at x = 20: 20 in a's way
    found = told([a, b], "{a: {parts: a, slide: {front: 250}}, b: {parts: b, slide: {right: 250}}}")
    (first,) = [f for f in found if f.parts == ("a", "b")]
    assert first.severity is Severity.STOP
    assert first.values["depth"] == pytest.approx(20, abs=1e-6)
    assert "open" not in first.message


def test_a_drawer_behind_a_door_is_opened_after_it():
    door = board("door", "[100, 300]", "[0, -20, 0]", "up", "front")
    swing = "{about: [0, -20, 0], axis: [0, 0, -1], by: 90}"
    assert told(
        [BOX, door], f"{{drawer: {{parts: box, slide: {{front: 300}}}}, leaf: {{parts: door, swing: {swing}}}}}"
    )
    # At 90° the leaf stands from y = -20 to -320 with its 20 mm of thickness to the right, in the drawer's way;
    # at 120° it is out of it.
    free = swing.replace("by: 90", "by: 180")
    assert not told(
        [BOX, door], f"{{drawer: {{parts: box, slide: {{front: 300}}}}, leaf: {{parts: door, swing: {free}}}}}"
    )


def test_what_is_fixed_to_a_drawer_goes_with_it():
    front = board("front", "[320, 140]", "[-10, -20, -20]", "across", "front")
    pull = board("pull", "[60, 20, 30]", "[120, -50, 40]", "across", "top")
    post = board("post", "[500, 50]", "[120, -200, 0]", "up", "front")
    joints = ["{touch: [front, box]}", "{touch: [pull, front]}"]
    (way,) = moved([BOX, front, pull, post], "{drawer: {parts: box, slide: {front: 300}}}", joints=joints)
    assert set(way.body.parts) == {"box", "front", "pull"}
    assert way.meeting is not None
    assert way.meeting.at == pytest.approx(180 - 50, abs=0.02)  # the post's rear at -180, the pull's front at -50


def test_a_notch_lets_a_rail_through():
    notched = board(
        "box",
        "[300, 400, 100]",
        "[0, 0, 0]",
        "across",
        "top",
        "cuts: [{groove: bottom, at: {left: 140}, width: 24, depth: 14}]",
    ).replace("groove", "dado")
    rail = board("rail", "[900, 20, 10]", "[142, -600, 0]", "deep", "top")
    (way,) = moved([notched, rail], "{drawer: {parts: box, slide: {front: 400}}}")
    assert way.meeting is None
    assert way.unsure == 0
    tall = board("rail", "[900, 20, 15]", "[142, -900, 0]", "deep", "top")  # ends at y = 0: 1 mm too high for the notch
    (way,) = moved([notched, tall], "{drawer: {parts: box, slide: {front: 400}}}")
    assert way.meeting is not None
    assert way.meeting.depth == pytest.approx(1, abs=1e-6)


@given(
    far=st.floats(5, 300), over=st.floats(0.5, 60), high=st.floats(-80, 80), lean=st.floats(0, 25),
    turn=st.floats(-180, 180),
)  # fmt: skip
@settings(max_examples=25, deadline=None)
def test_any_straight_way_ends_where_arithmetic_says(far: float, over: float, high: float, lean: float, turn: float):
    # A block `far` in front whose side is `over` into the way; all of it leaned and turned as one group.
    at = ", ".join(exact(round(v, 6)) for v in (300 - over, -far - 50, high))
    spec = f"""\
title: test
units: mm
stock: {{wood: {WOOD}}}
groups:
  all:
    parts:
      {BOX}
      {board("block", "[200, 50, 200]", f"[{at}]", "across", "top")}
    moving: {{drawer: {{parts: box, slide: {{front: 350}}}}}}
    place: {{at: [3, 4, 5], lean: {{right: {exact(round(lean, 6))}}}, turn: {exact(round(turn, 6))}}}
"""
    (way,) = ways(dry_fit(from_text(spec)))
    assert way.meeting is not None
    assert way.meeting.at == pytest.approx(far, abs=0.03)


@given(w=st.floats(150, 700), t=st.floats(12, 40), share=st.floats(0.05, 0.9))
@settings(max_examples=20, deadline=None)
def test_any_door_binds_where_trigonometry_says(w: float, t: float, share: float):
    g = share * (hypot(w, t) - w)
    if hypot(w, t) - w - g < 0.1:  # nearer than the check's own limit of a touch
        return
    by_hand = degrees(atan(t / w) - acos((w + g) / hypot(w, t)))
    (way,) = moved(*inset(w, t, g))
    assert way.meeting is not None
    # It must sink in by 0.01 mm or so before it counts: the corner moves outward by R sin(...) a radian.
    slope = hypot(w, t) * sin(atan(t / w) - radians(by_hand))
    assert by_hand - 0.03 <= way.meeting.at <= by_hand + degrees(0.06 / slope) + 0.03


def test_the_least_room_of_a_swing():
    # The door's tip passes a post: from the hinge the post's nearest corner is 420 away, the door's farthest point is
    # its tip at 400 along the face, at the rear of it sqrt(400² + 18²) = 400.40.
    x, y = 420 * cos(radians(50)), -420 * sin(radians(50))
    post = board("post", "[600, 30]", f"[{x}, {y - 20}, 0]", "up", "front")
    (way,) = moved([door(400, 18), post], swing(90))
    assert way.meeting is None
    nearest = hypot(x, y)  # the post's left rear corner is at (x, y)
    assert way.clear == pytest.approx(nearest - hypot(400, 18), abs=0.1)
    assert way.clear <= nearest - hypot(400, 18) + 1e-9
    assert atan2(-y, x) == pytest.approx(radians(50))
