"""Loose tenon: a mortise in each part, and no other part in it."""

from __future__ import annotations

import math

import pytest
from joinery import board, dry, gone, piece

from solids.cuts.mortise import Mortise
from solids.model.finding import SpecError

POST = board("post", "[400, 50, 50]", "[0, 0, 0]", "up", "left")
RAIL = board("rail", "[300, 100, 30]", "[50, 10, 250]", "across", "front")
JOINT = "{loose_tenon: [post, rail], size: [60, 10], depth: 30, radius: 5}"


def test_both_lose_the_same_pocket():
    p = piece([POST, RAIL], [JOINT])
    pocket = (60 * 10 - (4 - math.pi) * 25) * 30
    assert gone(p.part("post")) == pytest.approx(pocket, rel=1e-6)
    assert gone(p.part("rail")) == pytest.approx(pocket, rel=1e-6)


def test_sizes_are_given_along_the_grain_of_each():
    p = piece([POST, RAIL], [JOINT])
    post, rail = (p.part(n).cuts[0].cut for n in ("post", "rail"))
    assert isinstance(post, Mortise)
    assert isinstance(rail, Mortise)
    assert post.size == (60, 10)  # along the grain of the post
    assert rail.size == (60, 10)  # on an end, along the width first


def test_nothing_goes_into_them_and_that_is_well():
    assert dry([POST, RAIL], [JOINT]).findings == ()


def test_a_deep_housing_elsewhere_does_not_make_the_two_floors_meet():
    """Floors 60 apart are seen where another housing is deep: they are no joint of each other."""
    more = [
        board("deep", "[200, 100, 100]", "[0, 500, 0]", "up", "left", 
              "cuts: [{mortise: right, size: [60, 20.2], depth: 58}]"),
        board("stub", "[200, 80, 20]", "[42, 510, 80]", "across", "front", 
              "cuts: [{tenon: left, length: 57.5, width: 59.8, thickness: 20}]"),
    ]  # fmt: skip
    assert not [f for f in dry([POST, RAIL, *more], [JOINT]).findings if "post" in f.parts]


def test_one_that_stands_out_of_the_patch_is_told():
    (found,) = dry([POST, RAIL], [JOINT.replace("60, 10", "120, 10")]).findings
    assert "stands out of where" in found.message


def test_a_radius_too_large_is_told():
    with pytest.raises(SpecError, match="6 mm does not fit in a mortise 10 mm wide"):
        piece([POST, RAIL], [JOINT.replace("radius: 5", "radius: 6")])
