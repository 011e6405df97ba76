"""House: what both parts lose, by the closed forms of the trade's own section."""

from __future__ import annotations

from math import cos, radians, tan

import pytest
from joinery import board, dry, gone, piece, stops

SIDE = board("side", "[600, 300]", "[0, 0, 0]", "up", "left")
SHELF = board("shelf", "[500, 300]", "[14, 0, 200]", "across", "top")


def test_side_loses_the_section_and_the_shelf_nothing():
    p = piece([SIDE, SHELF], ["{house: shelf, into: side, slack: 0.2}"])
    assert gone(p.part("side")) == pytest.approx(20.2 * 6 * 300, abs=1e-6)
    assert gone(p.part("shelf")) == pytest.approx(0, abs=1e-6)
    made = p.part("side").cuts[0]
    assert (made.name, made.cut.kind) == ("house_shelf", "dado")
    assert p.joints[0].fit == "slip"


def test_stop_ends_the_trench_and_notches_the_shelf():
    p = piece([SIDE, SHELF], ["{house: shelf, into: side, slack: 0.2, stop: {front: 10}}"])
    assert gone(p.part("side")) == pytest.approx(35148, abs=1e-6)
    assert gone(p.part("shelf")) == pytest.approx(6 * 10 * 20, abs=1e-6)


def test_stop_at_the_rear_of_a_part_that_faces_the_other_way():
    shelf = board("shelf", "[500, 300]", "[-494, 0, 200]", "across", "top")
    p = piece([SIDE, shelf], ["{house: shelf, into: side, slack: 0.2, stop: {rear: 25}}"])
    assert gone(p.part("side")) == pytest.approx(20.2 * 6 * 275, abs=1e-6)
    assert gone(p.part("shelf")) == pytest.approx(6 * 25 * 20, abs=1e-6)


def test_leaning_side_takes_the_shelf_beveled():
    side = board("side", "[600, 300]", "[0, 0, 0]", "up", "left").replace(
        "face: left}", "face: left, lean: {right: 10}}"
    )
    shelf = board("shelf", "[500, 300]", "[20, 0, 200]", "across", "top")
    p = piece([side, shelf], ["{house: shelf, into: side, depth: 6}"])
    assert gone(p.part("side")) == pytest.approx(6 * (20 / cos(radians(10))) * 300, abs=1e-5)
    assert 6 * (20 / cos(radians(10))) * 300 == pytest.approx(36555.36, abs=0.005)
    (bevel,) = p.part("shelf").cuts
    assert bevel.cut.kind == "bevel"
    assert bevel.cut.tilt == pytest.approx(10, abs=1e-9)  # type: ignore[attr-defined]


def test_beveled_end_of_a_leaning_shelf_stands_on_the_floor():
    side = board("side", "[600, 300]", "[0, 0, 0]", "up", "left").replace(
        "face: left}", "face: left, lean: {right: 10}}"
    )
    shelf = board("shelf", "[500, 300]", "[20, 0, 200]", "across", "top")
    p = piece([side, shelf], ["{house: shelf, into: side, depth: 6, slack: 0.2}"])
    # The floor is 14 mm square in from the outer face, which passes the foot at 0.
    floor = (200 + 20) * tan(radians(10)) + 14 / cos(radians(10))
    long_point = 20 + p.part("shelf").cuts[0].cut.inset  # type: ignore[attr-defined]
    assert min(floor, floor - 20 * tan(radians(10))) == pytest.approx(long_point, abs=1e-9)


def test_stop_notches_what_is_left_of_a_shelf_that_is_cut_off():
    long = board("shelf", "[520, 300]", "[0, 0, 200]", "across", "top")
    p = piece([SIDE, long], ["{house: shelf, into: side, depth: 6, slack: 0.2, stop: {front: 10}}"])
    assert gone(p.part("side")) == pytest.approx(35148, abs=1e-6)
    # 14 mm go from the end, and 6 x 10 more at the notch.
    assert gone(p.part("shelf")) == pytest.approx(14 * 300 * 20 + 6 * 10 * 20, abs=1e-6)
    assert dry([SIDE, long], ["{house: shelf, into: side, depth: 6, slack: 0.2, stop: {front: 10}}"]).findings == ()


def test_room_is_left_at_the_floor_and_the_ends():
    shelf = board("shelf", "[500, 200]", "[14, 50, 200]", "across", "top")
    p = piece([SIDE, shelf], ["{house: shelf, into: side, slack: 0.2, room: 0.5}"])
    assert gone(p.part("side")) == pytest.approx(20.2 * 6.5 * 201, abs=1e-6)


def test_a_tongue_is_what_goes_in():
    shelf = board(
        "shelf", "[500, 300]", "[14, 0, 200]", "across", "top", "cuts: [{tongue: left, length: 6, thickness: 8}]"
    )
    p = piece([SIDE, shelf], ["{house: shelf, into: side, slack: 0.1}"])
    assert gone(p.part("side")) == pytest.approx(8.1 * 6 * 300, abs=1e-6)


def test_a_tenon_makes_a_mortise():
    rail = board(
        "rail",
        "[500, 80]",
        "[-5, 100, 200]",
        "across",
        "top",
        "cuts: [{tenon: left, length: 15, width: 50, thickness: 8}]",
    )
    p = piece([SIDE, rail], ["{house: rail, into: side, slack: 0.1}"])
    made = p.part("side").cuts[0].cut
    assert made.kind == "mortise"
    assert gone(p.part("side")) == pytest.approx(8.1 * 50 * 20, abs=1e-6)  # 20 of 25: through the side
    assert made.depth == pytest.approx(25, abs=1e-9)  # type: ignore[attr-defined]


def test_a_rabbet_of_its_own_narrows_what_goes_in():
    shelf = board(
        "shelf", "[500, 300]", "[14, 0, 200]", "across", "top", "cuts: [{rabbet: left, on: top, width: 6, depth: 8}]"
    )
    p = piece([SIDE, shelf], ["{house: shelf, into: side, slack: 0.2}"])
    assert gone(p.part("side")) == pytest.approx(12.2 * 6 * 300, abs=1e-6)


def test_at_the_very_top_it_is_a_rabbet():
    shelf = board("shelf", "[500, 300]", "[14, 0, 580]", "across", "top")
    p = piece([SIDE, shelf], ["{house: shelf, into: side, slack: 0.2}"])
    assert p.part("side").cuts[0].cut.kind == "rabbet"
    assert gone(p.part("side")) == pytest.approx(20.1 * 6 * 300, abs=1e-6)


def test_every_copy_in_both_sides():
    other = "other: {mirror: side, about: {x: 264}}"
    shelf = SHELF.replace("face: top}", "face: top}, copies: {count: 3, step: [0, 0, 100]}")
    p = piece([SIDE, other, shelf], ["{house: shelf, into: [side, other], slack: 0.2}"])
    assert len(p.joints) == 6
    for id_ in ("side", "other"):
        assert gone(p.part(id_)) == pytest.approx(3 * 36360, abs=1e-6)
        assert [m.name for m in p.part(id_).cuts] == [f"house_shelf.{k}" for k in (1, 2, 3)]


def test_a_leaning_part_without_a_depth_is_told():
    side = board("side", "[600, 300]", "[0, 0, 0]", "up", "left").replace(
        "face: left}", "face: left, lean: {right: 10}}"
    )
    report = dry([side, board("shelf", "[500, 300]", "[50, 0, 200]", "across", "top")], ["{house: shelf, into: side}"])
    assert "10.00 degrees from square" in report.piece.joints[0].trouble
    (found,) = stops(report)
    assert found.kind == "interference"
    assert "give the housing a `depth`" in found.message


def test_a_shelf_that_does_not_reach_is_told_with_its_distance():
    far = board("shelf", "[500, 300]", "[27.5, 0, 200]", "across", "top")
    (found,) = stops(
        dry([SIDE, far, board("post", "[300, 40]", "[100, 0, 220]", "up", "left")], ["{house: shelf, into: side}"])
    )
    assert found.kind == "open-joint"
    assert found.values["greatest"] == pytest.approx(7.5, abs=1e-9)


def test_a_guest_too_short_for_its_depth_is_not_seated():
    (found,) = stops(dry([SIDE, board("shelf", "[500, 300]", "[16, 0, 200]", "across", "top")],
                         ["{house: shelf, into: side, depth: 6, slack: 0.2}"]))  # fmt: skip
    assert found.kind == "not-seated"
    assert found.values["distance"] == pytest.approx(2, abs=1e-9)


def test_what_slants_by_more_than_45_degrees_is_not_housed():
    roof = board("roof", "[500, 300]", "[0, 0, 0]", "across", "top")[:-2] + ", lean: {left: 35}}}"
    shelf = board("shelf", "[500, 300]", "[60, 0, 0 - 50]", "across", "top")
    report = dry([roof, shelf], ["{house: shelf, into: roof, depth: 6}"])
    assert any("nothing that slants by more than 45 is housed" in f.message for f in report.findings)
