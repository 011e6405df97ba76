"""Holes: round, square to a side or tilted, with what belongs to a screw."""

from __future__ import annotations

import math

import numpy as np
import pytest
import woodwork as ww
from hypothesis import given, settings
from hypothesis import strategies as st
from woodwork import BOARD, BOTTOM, CORNERS, FRONT, LEFT, REAR, RIGHT, SIX, THREE, TOP, Far, Points

from solids.cuts.hole import Counterbore, Countersink, Hole, Slot
from solids.cuts.row import Row
from solids.model.field import mirrored
from solids.model.part import Blank

ONE = Hole(side=TOP, at=((LEFT, 50.0), (FRONT, 37.0)), diameter=10, depth=15)
SIN20, COS20 = math.sin(math.radians(20)), math.cos(math.radians(20))


def test_the_references_example() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(math.pi * 5**2 * 15, rel=1e-9)
    assert round(math.pi * 5**2 * 15, 2) == 1178.10
    # The chords of the mesh enclose the circle's own area, so they pass its border by under 0.0075 mm.
    assert ww.box(BOARD, ONE) == [pytest.approx(span, abs=0.0075) for span in ((45, 55), (32, 42), (5, 20))]


def test_only_its_floor_is_flat() -> None:
    assert ww.named(ONE) == {"floor": (pytest.approx(math.pi * 25), (0, 0, 1))}


# Where it is ------------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize("side", ww.AXIS, ids=ww.told)
@pytest.mark.parametrize("depth", [7.0, None])
def test_its_centre_is_as_far_from_the_sides_as_it_says_and_else_in_the_middle(
    blank: Blank, side: ww.Side, depth: float | None
) -> None:
    (p, p2), (q, q2) = (pair for axis, pair in enumerate(ww.PAIR) if axis != ww.AXIS[side])
    a, b = ww.reach(blank, p), ww.reach(blank, q)
    places = [
        ((), (a / 2, b / 2)),
        (((p, 8.0), (q, 9.0)), (8, 9)),
        (((q2, 8.0), (p, 9.0)), (9, b - 8)),
        (((p2, 8.0),), (a - 8, b / 2)),
    ]
    for at, (u, v) in places:
        cut = Hole(side=side, at=at, diameter=10, depth=depth)

        def gone(far: Far, u: float = u, v: float = v) -> Points:
            plan = np.hypot(far[p] - u, far[q] - v) - 5
            return plan if depth is None else np.maximum(plan, far[side] - depth)

        near = {side: (0, depth or 20.0), p: (u - 5, u + 5), q: (v - 5, v + 5)}
        ww.expect(blank, cut, gone, near, rough=0.01)
        assert list(cut.problems(blank)) == []
        assert ww.volume(blank, cut) == pytest.approx(math.pi * 25 * (depth or ww.reach(blank, side)), rel=1e-9)


def leaning(
    far: Far, side: ww.Side, toward: ww.Side, centre: dict[ww.Side, float], radius: float, depth: float, turn: float
) -> Points:
    """A drill that goes in at `centre` and drifts toward a side: how far outside its hole points are."""
    drift = centre[toward] - far[toward]  # grows toward that side
    other = next(s for s in centre if ww.AXIS[s] != ww.AXIS[toward])
    s, c = math.sin(math.radians(turn)), math.cos(math.radians(turn))
    along = far[side] * c + drift * s
    across = drift * c - far[side] * s
    return np.maximum(np.hypot(across, far[other] - centre[other]) - radius, along - depth)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "toward"), CORNERS, ids=ww.told)
@pytest.mark.parametrize("depth", [9.0, None])
def test_a_tilted_hole_drifts_to_its_side_as_it_goes_in(
    blank: Blank, side: ww.Side, toward: ww.Side, depth: float | None
) -> None:
    other = ww.third(side, toward)[0]
    centre = {toward: 10.0, other: 9.0}
    cut = Hole(side=side, at=tuple(centre.items()), diameter=6, depth=depth, tilt=20, toward=toward)

    def gone(far: Far) -> Points:
        return leaning(far, side, toward, centre, 3, depth or 1e9, 20)

    near = {side: (0, depth or 20.0), toward: (2, 13), other: (6, 12)}
    ww.expect(blank, cut, gone, near, rough=0.02)


# A circle leant by an angle leaves an ellipse 1/cos as long; a drill's tip square to its axis takes depth x circle.
def test_a_tilted_hole_takes_its_circle_times_its_length() -> None:
    at = ((LEFT, 100.0), (FRONT, 100.0))
    through = Hole(side=TOP, at=at, diameter=10, tilt=20, toward=RIGHT)
    blind = Hole(side=TOP, at=at, diameter=10, depth=12, tilt=20, toward=FRONT)

    assert ww.volume(BOARD, through) == pytest.approx(math.pi * 25 * 20 / COS20, rel=1e-9)
    assert ww.volume(BOARD, blind) == pytest.approx(math.pi * 25 * 12, rel=1e-9)


@pytest.mark.parametrize("tilt", [5, 45, 74])
def test_a_tilted_hole_without_depth_comes_out_whole_on_the_other_side(tilt: float) -> None:
    cut = Hole(side=TOP, at=((LEFT, 300.0), (FRONT, 100.0)), diameter=10, tilt=tilt, toward=RIGHT)

    assert ww.volume(BOARD, cut) == pytest.approx(math.pi * 25 * 20 / math.cos(math.radians(tilt)), rel=1e-9)


# What belongs to a screw --------------------------------------------------------------------------


@pytest.mark.parametrize("side", ww.AXIS, ids=ww.told)
@pytest.mark.parametrize("depth", [15.0, None])
def test_a_counterbore_widens_its_mouth(side: ww.Side, depth: float | None) -> None:
    (p, _), (q, _) = (pair for axis, pair in enumerate(ww.PAIR) if axis != ww.AXIS[side])
    cut = Hole(
        side=side, at=((p, 9.0), (q, 10.0)), diameter=4, depth=depth, counterbore=Counterbore(diameter=12, depth=3)
    )

    def gone(far: Far) -> Points:
        off = np.hypot(far[p] - 9, far[q] - 10)
        return np.minimum(np.maximum(off - 2, far[side] - (depth or 1e9)), np.maximum(off - 6, far[side] - 3))

    ww.expect(BOARD, cut, gone, {side: (0, depth or 20.0), p: (3, 15), q: (4, 16)}, rough=0.01)
    deep = depth or ww.reach(BOARD, side)
    assert ww.volume(BOARD, cut) == pytest.approx(math.pi * (4 * deep + (36 - 4) * 3), rel=1e-9)


@pytest.mark.parametrize("side", ww.AXIS, ids=ww.told)
@pytest.mark.parametrize("angle", [90, 60])
def test_a_countersink_is_a_cone_of_its_width_at_the_surface(side: ww.Side, angle: float) -> None:
    (p, _), (q, _) = (pair for axis, pair in enumerate(ww.PAIR) if axis != ww.AXIS[side])
    cut = Hole(side=side, at=((p, 9.0), (q, 10.0)), diameter=4, countersink=Countersink(diameter=8, angle=angle))
    slope = math.tan(math.radians(angle / 2))

    def gone(far: Far) -> Points:
        off = np.hypot(far[p] - 9, far[q] - 10)
        return np.minimum(off - 2, off - (4 - far[side] * slope))

    ww.expect(BOARD, cut, gone, {side: (0, 6), p: (5, 13), q: (6, 14)}, rough=0.01)


def test_a_countersink_takes_its_cone_less_the_hole_within_it() -> None:
    cut = Hole(side=TOP, at=((LEFT, 50.0),), diameter=4, countersink=Countersink(diameter=8))
    # From radius 4 down to 2 the cone is 2 deep: pi/3 h (R² + R r + r²) - pi r² h. Its chords are not the hole's.
    cone = math.pi / 3 * 2 * (16 + 8 + 4) - math.pi * 4 * 2

    assert ww.volume(BOARD, cut) == pytest.approx(math.pi * 4 * 20 + cone, rel=5e-4)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "toward"), CORNERS, ids=ww.told)
@pytest.mark.parametrize("depth", [7.0, None])
def test_a_slot_runs_from_the_hole_toward_its_side(
    blank: Blank, side: ww.Side, toward: ww.Side, depth: float | None
) -> None:
    other = ww.third(side, toward)[0]
    cut = Hole(
        side=side, at=((toward, 15.0), (other, 9.0)), diameter=6, depth=depth, slot=Slot(length=14, toward=toward)
    )

    def gone(far: Far) -> Points:
        # 14 over all is 8 from the first centre to the last, 15 to 7 from the side.
        beyond = np.maximum(abs(far[toward] - 11) - 4, 0)
        return np.maximum(np.hypot(beyond, far[other] - 9) - 3, far[side] - (depth or 1e9))

    ww.expect(blank, cut, gone, {side: (0, depth or 20.0), toward: (4, 18), other: (6, 12)}, rough=0.01)
    plan = 8 * 6 + math.pi * 9
    assert ww.volume(blank, cut) == pytest.approx(plan * (depth or ww.reach(blank, side)), rel=1e-9)
    assert list(cut.problems(blank)) == []


@pytest.mark.parametrize(
    ("at", "toward", "centres"),
    [
        ((), REAR, (118, 150, 182)),
        ((), FRONT, (118, 150, 182)),
        (((FRONT, 37.0),), REAR, (37, 69, 101)),
        (((REAR, 37.0),), FRONT, (263, 231, 199)),
        (((LEFT, 300.0),), REAR, (118, 150, 182)),
    ],
)
def test_a_row_goes_on_from_its_place_or_is_centred(
    at: tuple[tuple[ww.Side, float], ...], toward: ww.Side, centres: tuple[float, ...]
) -> None:
    cut = Hole(side=TOP, at=at, diameter=5, depth=12, row=Row(count=3, pitch=32, toward=toward))

    def gone(far: Far) -> Points:
        plan = np.minimum.reduce([np.hypot(far[LEFT] - 300, far[FRONT] - c) - 2.5 for c in centres])
        return np.maximum(plan, far[TOP] - 12)

    near = {TOP: (0, 12), LEFT: (297, 303), FRONT: (min(centres) - 3.0, max(centres) + 3.0)}
    ww.expect(BOARD, cut, gone, near, rough=0.01)
    assert ww.volume(BOARD, cut) == pytest.approx(3 * math.pi * 2.5**2 * 12, rel=1e-9)


def test_all_of_a_hole_is_repeated() -> None:
    row, head = Row(count=4, pitch=32, toward=RIGHT), Counterbore(diameter=9, depth=3)
    cut = Hole(side=TOP, at=((LEFT, 50.0),), diameter=4, depth=10, counterbore=head, row=row)

    assert ww.volume(BOARD, cut) == pytest.approx(4 * math.pi * (4 * 7 + 4.5**2 * 3), rel=1e-9)


# Laws -------------------------------------------------------------------------------------------


@given(diameter=st.floats(1, 40), depth=st.floats(1, 19.5), x=st.floats(30, 570), y=st.floats(30, 270))
@settings(max_examples=40, deadline=None)
def test_a_hole_takes_its_circle_times_its_depth(diameter: float, depth: float, x: float, y: float) -> None:
    cut = Hole(side=BOTTOM, at=((RIGHT, x), (REAR, y)), diameter=diameter, depth=depth)

    assert ww.volume(BOARD, cut) == pytest.approx(math.pi * diameter**2 / 4 * depth, rel=1e-7)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [
        ONE,
        Hole(side=TOP, at=((LEFT, 50.0), (REAR, 37.0)), diameter=10, tilt=20, toward=LEFT),
        Hole(side=REAR, at=((LEFT, 50.0),), diameter=6, depth=30, counterbore=Counterbore(diameter=12, depth=4)),
        Hole(side=TOP, at=((LEFT, 50.0),), diameter=6, countersink=Countersink(diameter=10, angle=82)),
        Hole(side=TOP, at=((LEFT, 50.0), (REAR, 20.0)), diameter=6, slot=Slot(length=20, toward=LEFT)),
        Hole(side=LEFT, at=((FRONT, 50.0),), diameter=6, depth=9, row=Row(count=3, pitch=32, toward=REAR)),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cut: Hole, axis: int) -> None:
    # A circle of d is a polygon within 0.0075 mm of it, so two may differ by 0.03 / d of what they hold.
    assert ww.off_from_twin(BOARD, axis, cut) <= 0.03 / cut.diameter * ww.volume(BOARD, cut)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


BESIDE_TOP = "`left`, `right`, `front`, `rear` serve"


@pytest.mark.parametrize(
    ("more", "problems"),
    [
        ({}, []),
        ({"tilt": 10.0}, [("tilt", f"a tilted hole drifts as it goes in: say `toward:`, one of {BESIDE_TOP[:-6]}")]),
        ({"tilt": 10.0, "toward": BOTTOM}, [("toward", f"`bottom` is not beside `top`; {BESIDE_TOP}")]),
        ({"tilt": 10.0, "toward": LEFT}, []),
        (
            {"counterbore": Counterbore(diameter=10, depth=3)},
            [("counterbore", "10 mm is no wider than the hole, 10 mm")],
        ),
        ({"countersink": Countersink(diameter=9)}, [("countersink", "9 mm is no wider than the hole, 10 mm")]),
        (
            {"slot": Slot(length=10, toward=TOP)},
            [
                ("slot", f"`top` is not beside `top`; {BESIDE_TOP}"),
                ("slot", "10 mm over all is no longer than the hole is wide, 10 mm"),
            ],
        ),
        ({"slot": Slot(length=20, toward=LEFT), "tilt": 10.0, "toward": LEFT}, [("slot", "a slot can't be tilted")]),
        ({"at": ((TOP, 5.0),)}, [("at", f"a distance from `top` says nothing about a place on `top`; {BESIDE_TOP}")]),
        (
            {"row": Row(count=2, pitch=32, toward=TOP)},
            [("row", f"a row on `top` can't run toward `top`; {BESIDE_TOP}")],
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_drilled_is_said(more: dict[str, object], problems: list[tuple[str, str]]) -> None:
    cut = Hole(**{"side": TOP, "at": ((LEFT, 50.0),), "diameter": 10, **more})  # type: ignore[arg-type]

    assert list(cut.problems(BOARD)) == problems
