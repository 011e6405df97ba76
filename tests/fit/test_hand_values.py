"""Small misfits whose size is known by hand."""

from __future__ import annotations

from math import cos, radians, tan

import pytest
from joinery import board, dry, everything, stops

SIDES = [
    board("left", "[600, 200]", "[0, 0, 0]", "up", "left",
          "cuts: [{dado: right, at: {bottom: 200}, width: 20.2, depth: 6}]"),
    "right: {mirror: left, about: {x: 250}}",
]  # fmt: skip


def shelf(length: str = "472", at: str = "14", rise: str = "200.1", more: str = "") -> str:
    return board("shelf", f"[{length}, 200{more}]", f"[{at}, 0, {rise}]", "across", "top")


def test_a_case_that_fits():
    assert dry([*SIDES, shelf()]).findings == ()


def test_a_shelf_half_a_millimetre_too_long():
    (found,) = stops(dry([*SIDES, shelf("472.5")]))
    assert (found.kind, set(found.parts)) == ("bottoms-out", {"shelf", "right"})
    assert found.values["distance"] == pytest.approx(0.5, abs=1e-9)
    clash = next(f for f in everything([found]) if f.kind == "interference")
    assert clash.values["depth"] == pytest.approx(0.5, abs=1e-9)
    assert clash.values["volume"] == pytest.approx(0.5 * 20 * 200, abs=1e-6)


def test_half_a_millimetre_too_long_with_a_tenth_of_room():
    (found,) = stops(dry([*SIDES, shelf("472.4", at="14.1")]))
    assert found.values["distance"] == pytest.approx(0.5, abs=1e-9)


def test_a_shelf_too_thick_is_as_much_too_thick_for_both_walls():
    (found,) = stops(dry([*SIDES, shelf(rise="199.7", more=", 20.8")]))
    assert found.kind == "tight"
    assert found.values["difference"] == pytest.approx(-0.6, abs=1e-9)
    assert set(found.parts) == {"shelf", "left", "right"}
    depths = {round(f.values["depth"], 9) for f in everything([found]) if f.kind == "interference"}
    assert depths == {0.3}


TENON = [
    board("post", "[400, 60, 40]", "[0, 0, 0]", "up", "left",
          "cuts: [{mortise: right, at: {bottom: 110}, size: [60, 10.1], depth: 26}]"),
]  # fmt: skip


def rail(thick: str = "10") -> str:
    return board("rail", "[300, 80]", "[15, 20, 100]", "across", "front",
                 f"cuts: [{{tenon: left, length: 25, width: 59.8, thickness: {thick}}}]")  # fmt: skip


def test_a_tenon_that_fits():
    assert dry([*TENON, rail()]).findings == ()


def test_a_tenon_a_millimetre_too_thick_is_half_a_millimetre_at_each_cheek():
    (found,) = stops(dry([*TENON, rail("11.1")]))
    assert found.kind == "tight"
    assert found.values["difference"] == pytest.approx(-1.0, abs=1e-9)
    clash = next(f for f in everything([found]) if f.kind == "interference")
    assert clash.values["depth"] == pytest.approx(0.5, abs=1e-9)


def corner(tilt: float) -> list[str]:
    wood = "wood: {wood: sugar maple, thickness: 19}"
    front = board(
        "front", "[300, 100]", "[0, 0, 0]", "across", "front", f"cuts: [{{bevel: left, tilt: {tilt}, long: front}}]"
    )
    left = board("left", "[200, 100]", "[0, 0, 0]", "deep", "left", "cuts: [{bevel: front, tilt: 45, long: left}]")
    return [front, left, wood]


@pytest.mark.parametrize(("tilt", "where"), [(45.3, "inside"), (44.7, "outside")])
def test_a_bevel_three_tenths_of_a_degree_off(tilt: float, where: str):
    *parts, wood = corner(tilt)
    (found,) = stops(dry(parts, stock=wood))
    face = 19 / cos(radians(45))
    assert found.kind == "miter-mismatch"
    assert found.values["degrees"] == pytest.approx(0.3, abs=1e-9)
    assert found.values["opening"] == pytest.approx(face * tan(radians(0.3)), abs=1e-9)
    assert found.values["opening"] == pytest.approx(0.140693, abs=1e-6)
    assert f"at the {where}" in found.message
    assert [(e.target, e.before, pytest.approx(e.after)) for e in found.remedy] == [
        ("front.bevel_left.tilt", tilt, 45.0)
    ]


def test_what_stands_open_is_measured_on_the_solids():
    *parts, wood = corner(45.3)
    (found,) = stops(dry(parts, stock=wood))
    # The slanted face is 19 / cos 45.3 long; the gap is square to the plane between the two.
    assert found.values["greatest"] == pytest.approx(19 / cos(radians(45)) * tan(radians(0.3)), rel=3e-3)
    assert found.values["least"] == pytest.approx(0, abs=1e-6)


def test_a_corner_that_is_just_within_the_limit_is_let_be():
    *parts, wood = corner(45.04)
    assert dry(parts, stock=wood).findings == ()


@pytest.mark.parametrize("off", [0.1, 1.0, 3.0])
def test_bevels_of_unlike_boards_leave_a_lip(off: float):
    front = board(
        "front",
        f"[300, 100, {19 + off}]",
        "[0, 0, 0]",
        "across",
        "front",
        "cuts: [{bevel: left, tilt: 45, long: front}]",
    )
    left = board("left", "[200, 100, 19]", "[0, 0, 0]", "deep", "left", "cuts: [{bevel: front, tilt: 45, long: left}]")
    found = stops(dry([front, left]))
    lip = off / cos(radians(45))
    if lip < 0.3:
        assert found == []
    else:
        assert found[0].values["lip"] == pytest.approx(lip, abs=2e-3)


def test_a_dado_too_deep():
    parts = [SIDES[0].replace("depth: 6", "depth: 8.5"), SIDES[1], shelf()]
    (found,) = stops(dry(parts))
    assert found.kind == "not-seated"
    assert found.values["distance"] == pytest.approx(2.5, abs=1e-9)
    assert set(found.parts) == {"shelf", "left", "right"}


def test_a_loose_dado():
    parts = [SIDES[0].replace("width: 20.2", "width: 21"), SIDES[1], shelf()]
    (found,) = stops(dry(parts))
    assert found.kind == "loose"
    assert found.values["difference"] == pytest.approx(1.0, abs=1e-9)


def test_play_may_lie_all_on_one_side():
    assert dry([*SIDES, shelf(rise="200")]).findings == ()
    assert dry([*SIDES, shelf(rise="200.2")]).findings == ()


def test_width_and_depth_are_two_faults():
    parts = [SIDES[0].replace("width: 20.2, depth: 6", "width: 21, depth: 8.5"), SIDES[1], shelf()]
    assert sorted(f.kind for f in stops(dry(parts))) == ["loose", "not-seated"]


def test_unlike_amounts_are_not_one_number():
    """Two dados, each too shallow by an amount of its own, though the shelves in them are copies."""
    lower = "{dado: right, at: {bottom: 200}, width: 20.2, depth: 5.5}"
    upper = "{dado: right, at: {bottom: 400}, width: 20.2, depth: 5}"
    left = board("left", "[600, 200]", "[0, 0, 0]", "up", "left", f"cuts: [{lower}, {upper}]")
    shelves = shelf().replace("face: top}", "face: top}, copies: {count: 2, step: [0, 0, 200]}")
    found = stops(dry([left, SIDES[1], shelves]))
    assert sorted(round(f.values["distance"], 9) for f in found) == [0.5, 1.0]
    assert all(len(everything(f.folded)) == 3 for f in found)  # the clash, and the same at the other side with its own


def test_a_thin_floor():
    parts = [SIDES[0].replace("depth: 6", "depth: 18.8"), SIDES[1], shelf("497.6", at="1.2")]
    (found,) = [f for f in dry(parts).findings if f.kind == "thin-wood"]
    assert found.values["left"] == pytest.approx(1.2, abs=1e-9)
    assert found.severity.value == "warn"
    parts = [SIDES[0].replace("depth: 6", "depth: 19.2"), SIDES[1], shelf("498.4", at="0.8")]
    (found,) = [f for f in dry(parts).findings if f.kind == "thin-wood"]
    assert found.values["left"] == pytest.approx(0.8, abs=1e-9)
    assert found.severity.value == "stop"


def test_fit_said_replaces_the_usual():
    glue = ["{house: shelf, into: left, slack: 0.2, fit: glue}"]
    side = board("left", "[600, 200]", "[0, 0, 0]", "up", "left")
    assert [f.kind for f in stops(dry([side, shelf()], glue))] == ["loose"]
    loose = ["{house: shelf, into: left, slack: 2, room: 2, fit: loose}"]
    assert stops(dry([side, shelf()], loose)) == []


def test_limits_replace_the_usual():
    wide = [SIDES[0].replace("width: 20.2", "width: 21"), SIDES[1], shelf()]
    assert dry(wide, more="limits: {slip: [0.05, 1.5]}").findings == ()
