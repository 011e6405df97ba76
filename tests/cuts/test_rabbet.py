"""Rabbets: a step `width` in from a side, `depth` into the one it is on."""

from __future__ import annotations

import math

import numpy as np
import pytest
import woodwork as ww
from hypothesis import given, settings
from hypothesis import strategies as st
from woodwork import BOARD, BOTTOM, CORNERS, FRONT, LEFT, REAR, RIGHT, SIX, THREE, TOP, Far, Points

from solids.cuts.rabbet import Rabbet
from solids.model.field import mirrored
from solids.model.part import Blank
from solids.model.side import Side

ONE = Rabbet(side=REAR, on=BOTTOM, width=10, depth=6)


def test_the_references_example() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(10 * 6 * 600, rel=1e-9)
    assert ww.box(BOARD, ONE) == [(0, 600), (290, 300), (0, 6)]


def test_its_faces_have_names() -> None:
    # The wall stands 6 high along 600 and looks to the rear; the floor is 10 wide and looks down.
    assert ww.named(ONE) == {
        "wall": (pytest.approx(6 * 600), (0, 1, 0)),
        "floor": (pytest.approx(10 * 600), (0, 0, -1)),
    }


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize(("side", "on"), CORNERS, ids=ww.told)
def test_only_the_named_arris_is_gone_to_its_width_and_depth(blank: Blank, side: Side, on: Side) -> None:
    cut = Rabbet(side=side, on=on, width=10, depth=6)

    def gone(far: Far) -> Points:
        return np.maximum(far[side] - 10, far[on] - 6)

    ww.expect(blank, cut, gone, {side: (0, 10), on: (0, 6)})
    assert ww.volume(blank, cut) == pytest.approx(10 * 6 * ww.reach(blank, ww.third(side, on)[0]), rel=1e-9)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "on"), CORNERS, ids=ww.told)
def test_a_stop_leaves_the_wood_before_the_side_it_names(blank: Blank, side: Side, on: Side) -> None:
    near, away = ww.third(side, on)
    for stop in (((near, 4.0),), ((away, 5.0),), ((near, 4.0), (away, 5.0))):
        cut = Rabbet(side=side, on=on, width=10, depth=6, stop=stop)

        def gone(far: Far, stop: tuple[tuple[Side, float], ...] = stop) -> Points:
            return np.maximum.reduce([far[side] - 10, far[on] - 6, *(d - far[s] for s, d in stop)])

        run = ww.reach(blank, near) - sum(d for _, d in stop)
        ww.expect(blank, cut, gone, {side: (0, 10), on: (0, 6)})
        assert ww.volume(blank, cut) == pytest.approx(10 * 6 * run, rel=1e-9)


# A cutter of radius r leaves (1 - pi/4) r² of each stop's one corner within the wood.
@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "on"), CORNERS, ids=ww.told)
def test_a_round_cutter_leaves_a_round_corner_at_each_stop(blank: Blank, side: Side, on: Side) -> None:
    near, away = ww.third(side, on)
    cut = Rabbet(side=side, on=on, width=10, depth=6, stop=((near, 4.0), (away, 5.0)), radius=3)
    run = ww.reach(blank, near)

    def gone(far: Far) -> Points:
        plan = ww.rounded_box(far[side], far[near], (-100, 10, 4, run - 5), 3)
        return np.maximum(plan, far[on] - 6)

    ww.expect(blank, cut, gone, {side: (0, 10), on: (0, 6)}, rough=0.01)
    lost = 2 * (1 - math.pi / 4) * 3 * 3
    assert ww.volume(blank, cut) == pytest.approx((10 * (run - 9) - lost) * 6, rel=1e-9)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [
        ONE,
        Rabbet(side=LEFT, on=TOP, width=10, depth=6, stop=((FRONT, 40),)),
        Rabbet(side=TOP, on=FRONT, width=7, depth=20, stop=((LEFT, 40), (RIGHT, 10)), radius=3),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cut: Rabbet, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


@given(width=st.floats(0.1, 299), depth=st.floats(0.1, 19.9))
@settings(max_examples=40, deadline=None)
def test_no_wood_is_lost_or_made(width: float, depth: float) -> None:
    cut = Rabbet(side=FRONT, on=TOP, width=width, depth=depth)

    assert ww.volume(BOARD, cut) == pytest.approx(width * depth * 600, rel=1e-7)


@pytest.mark.parametrize(
    ("cut", "problems"),
    [
        (ONE, []),
        (Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, stop=((LEFT, 5),), radius=2), []),
        (
            Rabbet(side=REAR, on=FRONT, width=10, depth=6),
            [("on", "`front` is not beside `rear`; `left`, `right`, `bottom`, `top` serve")],
        ),
        (
            Rabbet(side=REAR, on=REAR, width=10, depth=6),
            [("on", "`rear` is not beside `rear`; `left`, `right`, `bottom`, `top` serve")],
        ),
        (
            Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, stop=((TOP, 5), (LEFT, 5))),
            [("stop", "this cut runs from `left` to `right` and can't stop short of `top`")],
        ),
        (
            Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, radius=2),
            [("radius", "a rabbet that runs out has no corner for a radius; give it a `stop`")],
        ),
        (
            Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, stop=((LEFT, 400), (RIGHT, 200))),
            [("stop", "it stops 600 mm short of a run of 600 mm: nothing is left of it")],
        ),
        (
            Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, stop=((LEFT, 700),), radius=2),
            [("stop", "it stops 700 mm short of a run of 600 mm: nothing is left of it")],
        ),
        (
            Rabbet(side=REAR, on=BOTTOM, width=10, depth=6, stop=((LEFT, 5),), radius=12),
            [("radius", "a corner radius of 12 mm does not fit")],
        ),
    ],
)
def test_what_cannot_be_cut_is_said(cut: Rabbet, problems: list[tuple[str, str]]) -> None:
    said = list(cut.problems(BOARD))

    assert [(f, t.replace("from `right` to `left`", "from `left` to `right`")) for f, t in said] == problems
