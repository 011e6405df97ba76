"""Modules through doors, round corners and under ceilings, against shop problems and plane geometry."""

from __future__ import annotations

from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from joinery import WOOD

from solids.fit.carried import carried, round_corner, stood_up, through
from solids.fit.check import check
from solids.fit.dryfit import dry_fit
from solids.model.carrying import Passage
from solids.model.finding import Finding
from solids.spec.reader import from_text

INCH = 25.4
Size = tuple[float, float, float]


def block(size: Size, more: str = "", place: str = "", units: str = "in", density: str = "") -> str:
    a, b, c = size
    wood = WOOD.replace("thickness: 20", f"thickness: 20 mm{density}")
    return (
        f"title: test\nunits: {units}\nstock: {{wood: {wood}}}\nparts:\n"
        f"  block: {{stock: wood, size: [{a}, {b}, {c}], "
        f"place: {{at: [0, 0, 0], length: across, face: top{place}}}}}\n{more}"
    )


def told(spec: str) -> list[Finding]:
    return [f for f in check(from_text(spec)).findings if f.kind in ("passage", "heavy")]


def door(width: float, height: float, **more: float) -> Passage:
    return Passage(width=width * INCH, height=height * INCH, **{k: v * INCH for k, v in more.items()})


def module(size: Size, place: str = ""):
    (one,) = carried(dry_fit(from_text(block(size, place=place))))
    return one


def test_a_desk_goes_through_a_door_on_end_with_an_inch_to_spare():
    # Shop problem DL01: 42 x 30 x 27-3/4 through 28-3/4: on end, 27-3/4 in the width, 1.0 spare.
    fit = through(module((42, 27.75, 30)), door(28.75, 80))
    assert fit.spare / INCH == pytest.approx(1.0, abs=1e-3)
    # In a stair 33 wide with a turn of 90° it is slid round without turning: 30 and 27-3/4 are both under 33.
    assert round_corner(module((42, 27.75, 30)), door(33, 80, corner=33)) >= (33 - 30) * INCH - 1e-6


def test_a_tall_cabinet_can_not_be_stood_up_under_a_ceiling():
    # Shop problem DL02: 90 high and 24 deep under 92: sqrt(90² + 24²) = 93.15, 1.15 short; 19.08 deep would pass.
    spare = stood_up(module((30, 24, 90)), door(36, 80, ceiling=92)) / INCH
    assert spare == pytest.approx(92 - sqrt(90**2 + 24**2), abs=1e-6)
    assert spare == pytest.approx(-1.15, abs=0.005)
    assert stood_up(module((30, 19.07, 90)), door(36, 80, ceiling=92)) > 0
    assert stood_up(module((30, 19.09, 90)), door(36, 80, ceiling=92)) < 0


def test_a_bar_cabinet_turns_from_a_hall_of_42_but_not_of_36():
    # Shop problem DL05: the longest box 8 thick that turns from a hall into a door 30 wide is the least of
    # a/sin + 30/cos - 8/(sin cos): 77.2 from a hall of 36, 85.2 from one of 42.
    cabinet = module((84, 8, 38))
    assert (round_corner(cabinet, door(30, 80, corner=36)) / INCH + 84) == pytest.approx(77.2, abs=0.05)
    assert (round_corner(cabinet, door(30, 80, corner=42)) / INCH + 84) == pytest.approx(85.2, abs=0.05)


def test_what_is_too_high_for_the_door_is_leaned():
    # The same cabinet standing, 84 high: leaned back by 24°, 84 cos 24 + 8 sin 24 = 79.99, it goes under 80.
    assert through(module((38, 8, 84)), door(39, 80)).spare >= 0
    # A thing 84 high, 38 wide and 38 deep does not go through 39 by 80 leaned, but lying it does.
    assert through(module((38, 38, 84)), door(39, 80)).spare / INCH == pytest.approx(1.0, abs=1e-3)


def test_a_corner_cabinet_fails_by_two_and_a_half_inches():
    # Shop problem DL04: 36 x 36 x 34-1/2, a door of 32: the least clear way is its height, 34.5.
    fit = through(module((36, 36, 34.5)), door(32, 80))
    assert fit.spare / INCH == pytest.approx(-2.5, abs=1e-3)


def test_a_sheet_leaned_over_its_diagonal():
    # Shop problem DL10: a sheet 60 square through an opening 48 wide: 60 cos a = 48 at 36.87°, so 36 high at least.
    fit = through(module((60, 60, 0.05)), door(48, 36.1))
    assert fit.spare >= 0
    assert through(module((60, 60, 0.05)), door(48, 35.9)).spare < 0 or hypot(48, 35.9) >= 60


def test_the_finding_names_the_module_the_passage_and_what_is_lacking():
    more = "modules: {chest: [block]}\npassages: {study: {width: 32, height: 80}}\n"
    (found,) = [f for f in told(block((36, 36, 34.5), more)) if f.kind == "passage"]
    assert found.values["spare"] / INCH == pytest.approx(-2.5, abs=1e-3)
    assert "chest (block) does not go through study" in found.message
    assert found.parts == ("block",)
    assert told(block((36, 36, 30), more.replace("32", "31"))) == [
        f for f in told(block((36, 36, 30), more)) if f.kind == "heavy"
    ]


def test_without_modules_the_whole_piece_must_pass():
    more = "passages: {study: {width: 32, height: 80}}\n"
    assert [f.kind for f in told(block((36, 36, 34.5), more)) if f.kind == "passage"] == ["passage"]
    assert told(block((36, 36, 34.5))) == []


@pytest.mark.parametrize(("kg", "people"), [(22.9, 0), (23.1, 2), (46.2, 3), (91.0, 4)])
def test_what_one_person_does_not_lift(kg: float, people: int):
    # The load constant of the revised NIOSH lifting equation is 23 kg (51 lb); 200 lb takes four (problem DL07).
    more = "modules: {one: [block]}\n"
    spec = block((1000, 500, 100), more, units="mm", density=f", density: {kg / 0.05:.6f}")
    found = told(spec)
    assert [f.values["mass"] for f in found] == pytest.approx([kg] if people else [], rel=1e-9)
    if people:
        assert f"with {people} or more" in found[0].advice


@given(st.tuples(*[st.floats(200, 2000)] * 3), st.floats(-180, 180), st.floats(0, 40), st.floats(150, 1500))
@settings(max_examples=15, deadline=None)
def test_how_it_stands_in_the_room_does_not_matter(size: Size, turn: float, lean: float, wide: float):
    a, b, c = (round(s, 2) for s in size)
    place = f", lean: {{right: {lean:.3f}}}, turn: {turn:.3f}"
    opening = Passage(width=wide, height=2000)
    (plain,) = carried(dry_fit(from_text(block((a, b, c), units="mm"))))
    (moved,) = carried(dry_fit(from_text(block((a, b, c), units="mm", place=place))))
    assert through(plain, opening).spare == pytest.approx(through(moved, opening).spare, abs=0.05)
    # Carried straight, the least of the three sides decides where the others pass below the head.
    low, middle, _ = sorted((a, b, c))
    assert through(plain, opening).spare >= min(wide - low, 2000 - middle) - 1e-6
