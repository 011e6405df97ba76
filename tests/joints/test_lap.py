"""Lap: each part loses half of what they would share."""

from __future__ import annotations

import pytest
from joinery import board, dry, gone, piece, stops

RAIL = board("rail", "[400, 60]", "[0, 100, 0]", "across", "top")
STILE = board("stile", "[300, 60]", "[150, 0, 0]", "deep", "top")


def test_two_sticks_that_cross_flat():
    p = piece([RAIL, STILE], ["{lap: [rail, stile]}"])
    assert gone(p.part("rail")) == pytest.approx(60 * 60 * 10, abs=1e-6)
    assert gone(p.part("stile")) == pytest.approx(36000, abs=1e-6)


@pytest.mark.parametrize(("face", "kept"), [("top", "bottom"), ("bottom", "top")])
def test_the_first_keeps_the_half_at_its_face(face: str, kept: str):
    rail = RAIL.replace("face: top", f"face: {face}")
    p = piece([rail, STILE], ["{lap: [rail, stile]}"])
    assert str(p.part("rail").cuts[0].cut.side) == kept  # type: ignore[attr-defined]


def test_on_edge_the_first_keeps_the_upper_half():
    long = board("long", "[400, 80]", "[0, 100, 0]", "across", "front")
    cross = board("cross", "[300, 80]", "[150, 0, 0]", "deep", "left")
    p = piece([long, cross], ["{lap: [long, cross]}"])
    assert str(p.part("long").cuts[0].cut.side) == "bottom"  # type: ignore[attr-defined]
    assert gone(p.part("long")) == pytest.approx(20 * 20 * 40, abs=1e-6)


def test_unlike_heights_halve_what_they_share():
    long = board("long", "[400, 80]", "[0, 100, 0]", "across", "front")
    cross = board("cross", "[300, 50]", "[150, 0, 10]", "deep", "left")
    p = piece([long, cross], ["{lap: [long, cross]}"])
    # They share z 10 to 60; the cut in `long` runs up from its bottom to the middle, 35.
    assert gone(p.part("long")) == pytest.approx(20 * 20 * 35, abs=1e-6)
    assert gone(p.part("cross")) == pytest.approx(20 * 20 * 25, abs=1e-6)


def test_a_lapped_cross_fits():
    report = dry([RAIL, STILE], ["{lap: [rail, stile]}"])
    assert report.findings == ()


def test_a_skew_lap_fits_too():
    stile = STILE.replace("face: top}", "face: top, turn: {by: 20, about: [180, 130]}}")
    report = dry([RAIL, stile], ["{lap: [rail, stile]}"])
    assert report.findings == ()
    # The stile covers 60 / cos 20 along the rail.
    assert gone(report.piece.part("rail")) == pytest.approx(60 * 60 / 0.9396926207859084 * 10, abs=1e-4)


def test_sticks_that_share_no_wood_are_told_with_their_distance():
    above = board("stile", "[300, 60]", "[150, 0, 24]", "deep", "top")
    found = stops(dry([RAIL, above], ["{lap: [rail, stile]}"]))
    assert found[0].kind == "open-joint"
    assert found[0].values["greatest"] == pytest.approx(4, abs=1e-9)
