"""Miter joints: both parts cut on the plane from the outer corner to the inner one."""

from __future__ import annotations

from math import atan, cos, degrees, pi, radians, tan

import pytest
from joinery import board, dry, gone, piece, stops

FRONT = board("front", "[500, 300]", "[0, 0, 0]", "across", "front")
LEFT = board("left", "[400, 300]", "[0, 0, 0]", "deep", "left")


def test_like_thickness():
    p = piece([FRONT, LEFT], ["{miter: [front, left]}"])
    for id_ in ("front", "left"):
        assert gone(p.part(id_)) == pytest.approx(20 * 20 * 300 / 2, abs=1e-6)
        assert p.part(id_).cuts[0].cut.tilt == pytest.approx(45, abs=1e-9)  # type: ignore[attr-defined]
    assert [m.name for m in p.part("front").cuts] == ["miter_left"]
    assert p.joints[0].fit == "glue"


def test_unlike_thickness_has_unlike_bevels():
    thick = LEFT.replace("[400, 300]", "[400, 300, 30]")
    p = piece([FRONT, thick], ["{miter: [front, left]}"])
    assert gone(p.part("front")) == pytest.approx(90000, abs=1e-6)
    assert gone(p.part("left")) == pytest.approx(90000, abs=1e-6)
    assert p.part("front").cuts[0].cut.tilt == pytest.approx(degrees(atan(30 / 20)), abs=1e-9)  # type: ignore[attr-defined]
    assert p.part("left").cuts[0].cut.tilt == pytest.approx(degrees(atan(20 / 30)), abs=1e-9)  # type: ignore[attr-defined]
    assert degrees(atan(1.5)) == pytest.approx(56.31, abs=0.005)
    assert degrees(atan(2 / 3)) == pytest.approx(33.69, abs=0.005)


def test_flat_frame_of_unlike_widths():
    rail = board("rail", "[500, 80]", "[0, 0, 0]", "across", "top")
    stile = board("stile", "[400, 60]", "[0, 0, 0]", "deep", "top")
    p = piece([rail, stile], ["{miter: [rail, stile]}"])
    assert p.part("rail").cuts[0].cut.angle == pytest.approx(degrees(atan(60 / 80)), abs=1e-9)  # type: ignore[attr-defined]
    assert p.part("stile").cuts[0].cut.angle == pytest.approx(degrees(atan(80 / 60)), abs=1e-9)  # type: ignore[attr-defined]
    assert degrees(atan(0.75)) == pytest.approx(36.87, abs=0.005)
    for id_ in ("rail", "stile"):
        assert gone(p.part(id_)) == pytest.approx(80 * 60 * 20 / 2, abs=1e-6)


def test_leaning_corner_halves_its_angle():
    left = "left: {stock: wood, size: [800, 320], place: {at: [0, 0, 0], length: up, face: left, lean: {right: 15}}}"
    bottom = board("bottom", "[700, 320]", "[0, 0, 0]", "across", "bottom")
    p = piece([left, bottom], ["{miter: [left, bottom]}"])
    for id_ in ("left", "bottom"):
        assert p.part(id_).cuts[0].cut.tilt == pytest.approx(90 - 75 / 2, abs=1e-9)  # type: ignore[attr-defined]
        # The corner between faces of 75 degrees takes thickness² x tan(52.5) / 2 off each.
        assert gone(p.part(id_)) == pytest.approx(20 * 20 * tan(radians(52.5)) / 2 * 320, abs=1e-5)


def test_splayed_ring_closes_with_compound_cuts():
    sizes = "sizes: {foot: 200, high: 300, thick: 20, half: (foot + high * tan(12 deg)) * tan(30 deg)}"
    wall = (
        "wall: {stock: wood, size: [2 * half, high / cos(12 deg) + thick * tan(12 deg)],"
        " place: {at: [0 - half, thick / cos(12 deg) - foot - thick, 0], length: across, face: front,"
        " lean: {front: 12}},"
        " cuts: [{trim: bottom, to: {z: 0}}, {trim: top, to: {z: high}}], copies: {count: 6, turn: 60, about: [0, 0]}}"
    )
    p = piece([wall], ["{miter: [wall, wall]}"], more=sizes)
    assert len(p.joints) == 6
    for part in p.parts:
        x, y, z = part.blank.size
        assert (x, z) == (pytest.approx(304.57, abs=0.005), pytest.approx(310.95, abs=0.005))
        # The solid between two hexagons, cut at mid height: outer less inner prismatoid, a sixth of it.
        assert x * y * z - gone(part) == pytest.approx(_sixth_of_ring(), abs=1e-3)
    assert _sixth_of_ring() == pytest.approx(1570014.66, abs=0.005)


def _sixth_of_ring() -> float:
    """Area of one wall's level section, from its inner to its outer hexagon, summed over the height exactly."""
    slope, wide = tan(radians(12)), 20 / cos(radians(12))

    def area(z: float) -> float:
        outer = 200 + z * slope
        return tan(pi / 6) * (outer**2 - (outer - wide) ** 2)

    return 300 / 6 * (area(0) + 4 * area(150) + area(300))


def test_a_blank_that_ends_short_of_the_corner_is_told():
    short = FRONT.replace("[0, 0, 0]", "[1.5, 0, 0]")
    (found,) = stops(dry([short, LEFT], ["{miter: [front, left]}"]))
    assert found.kind == "open-joint"
    assert found.values["greatest"] == pytest.approx(1.5, abs=1e-9)
    assert "front ends short" in found.message


def test_a_ring_by_one_name_joins_each_two_once():
    wall = ("wall: {stock: wood, size: [400, 100], place: {at: [0 - 200, 0 - 200, 0], length: across, face: front},"
            " copies: {count: 4, turn: 90, about: [0, 0]}}")  # fmt: skip
    p = piece([wall], ["{miter: [wall, wall]}"])
    assert len(p.joints) == 4
    assert all(len(part.cuts) == 2 for part in p.parts)


def test_parallel_parts_make_no_corner():
    two = [board(n, "[300, 100]", f"[{x}, 0, 0]", "across", "top") for n, x in (("a", 0), ("b", 300))]
    p = piece(two, ["{miter: [a, b]}"])
    assert "parallel" in p.joints[0].trouble
    assert not p.part("a").cuts
