"""Tenons on a shoulder that lies in a plane, and what of the cut is refused."""

from __future__ import annotations

from math import cos, radians, sin

import pytest
from assembled import checked, refused, told, volume
from woodwork import BOARD, RIGHT, off_from_twin
from woodwork import volume as removed

from solids.cuts.tenon import Tenon
from solids.model.geometry import Plane, Vector
from solids.model.side import Side

SLANT = Plane.through(Vector(500.0, 150.0, 10.0), Vector(cos(radians(20)), sin(radians(20)), 0.0))
LEANING = "title: T\nunits: mm\nstock: {oak: {wood: white oak, thickness: 20}}\nparts:\n"
PARTS = """\
  post: {stock: oak, size: [700, 60, 60], place: {at: [0, 0, 0], length: up, face: front, lean: {right: 10}}}
  rail:
    stock: oak
    size: [420, 90, 20]
    place: {at: [80, 20, 300], length: across, face: front}
    cuts: [{tenon: left, length: 20, width: 60, thickness: 8, to: post.right}]
joints: [{house: rail, into: post, slack: 0.2, room: 0.5}]
"""


def tenon(plane: Plane, **more: object) -> Tenon:
    return Tenon(side=RIGHT, length=40.0, width=200.0, thickness=10.0, to=plane, **more)  # type: ignore[arg-type]


def test_a_square_plane_is_the_ordinary_tenon():
    square = tenon(Plane(Vector(1.0, 0.0, 0.0), 560.0))
    assert removed(BOARD, square) == pytest.approx(160000, abs=1e-6)
    # A plane that looks the other way is the same plane.
    turned = tenon(Plane(Vector(-1.0, 0.0, 0.0), -560.0))
    assert removed(BOARD, turned) == pytest.approx(160000, abs=1e-6)


def test_a_slanting_shoulder_keeps_the_whole_tenon():
    # Beyond the shoulder the board is 100 long in its middle; all of it goes but the tenon.
    assert removed(BOARD, tenon(SLANT)) == pytest.approx(100 * 300 * 20 - 40 * 200 * 10, abs=1e-4)


def test_the_handed_twin_is_the_mirror_image():
    for axis in (0, 1, 2):
        assert off_from_twin(BOARD, axis, tenon(SLANT)) < 1e-6


def test_two_tenons_on_one_slanting_shoulder_both_stand():
    both = [Tenon(side=RIGHT, length=40.0, width=60.0, thickness=10.0, to=SLANT, at=((side, 30.0),))
            for side in (Side.FRONT, Side.REAR)]  # fmt: skip
    assert removed(BOARD, *both) == pytest.approx(100 * 300 * 20 - 2 * 40 * 60 * 10, abs=1e-4)


def test_a_rail_goes_square_into_a_leaning_post():
    r = checked(LEANING + PARTS)
    assert told(r) == []
    # A mortise 20.5 deep, 8.2 by 61, whatever the lean.
    assert volume(r, "post") == pytest.approx(700 * 60 * 60 - 20.5 * 8.2 * 61, abs=1e-4)


def test_what_is_wrong_is_told():
    assert told_of(tenon(Plane(Vector(1.0, 0.0, 0.0), 580.0))) == [
        "the blank ends 20 mm short of the end of this tenon"
    ]
    steep = Plane.through(Vector(300.0, 150.0, 10.0), Vector(cos(radians(50)), sin(radians(50)), 0.0))
    assert told_of(tenon(steep)) == ["a shoulder 50 degrees from square is none; it may be 45"]


def told_of(cut: Tenon) -> list[str]:
    return [said for _, said in cut.problems(BOARD)]


def test_a_stop_or_a_depth_is_no_matter_of_such_a_tenon():
    found = checked((LEANING + PARTS).replace("slack: 0.2", "depth: 10")).findings
    assert any("goes in whole" in f.message for f in found)
    assert refused((LEANING + PARTS).replace("to: post.right", "to: post.front"))
