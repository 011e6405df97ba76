"""Mortises: a pocket with four walls, or a hole right through."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
import woodwork as ww
from hypothesis import given, settings
from hypothesis import strategies as st
from woodwork import BOARD, BOTTOM, FRONT, LEFT, REAR, RIGHT, SIX, THREE, TOP, Far, Points

from solids.cuts.mortise import Mortise
from solids.cuts.row import Row
from solids.model.field import mirrored
from solids.model.part import Blank

ONE = Mortise(side=REAR, at=((LEFT, 100.0),), size=(60, 8), depth=30)
ROUND = Mortise(side=REAR, at=((LEFT, 100.0),), size=(60, 8), depth=30, radius=4)


def test_the_references_examples() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(60 * 8 * 30, rel=1e-9)
    assert ww.box(BOARD, ONE) == [(100, 160), (270, 300), (6, 14)]

    stadium = (60 * 8 - (4 - math.pi) * 4**2) * 30
    assert round(stadium, 2) == 13987.96
    assert ww.volume(BOARD, ROUND) == pytest.approx(stadium, rel=1e-9)
    assert ww.box(BOARD, ROUND) == [(100, 160), (270, 300), (6, 14)]


def test_its_walls_are_named_by_the_side_that_each_is_nearest_to() -> None:
    assert ww.named(ONE) == {
        "left wall": (pytest.approx(8 * 30), (1, 0, 0)),
        "right wall": (pytest.approx(8 * 30), (-1, 0, 0)),
        "bottom wall": (pytest.approx(60 * 30), (0, 0, 1)),
        "top wall": (pytest.approx(60 * 30), (0, 0, -1)),
        "floor": (pytest.approx(60 * 8), (0, 1, 0)),
    }
    found = ww.named(Mortise(side=TOP, size=(60, 40), radius=5))
    assert {k: (pytest.approx(a), n) for k, (a, n) in found.items()} == {
        "left wall": (30 * 20, (1, 0, 0)),
        "right wall": (30 * 20, (-1, 0, 0)),
        "front wall": (50 * 20, (0, 1, 0)),
        "rear wall": (50 * 20, (0, -1, 0)),
    }


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize("side", ww.AXIS, ids=ww.told)
@pytest.mark.parametrize("depth", [7.0, None])
def test_its_first_size_runs_along_the_grain_and_on_an_end_along_the_width(
    blank: Blank, side: ww.Side, depth: float | None
) -> None:
    first = ww.edges(blank) if side in ww.ends(blank) else ww.ends(blank)
    second = ww.third(side, first[0])
    a, b = ww.reach(blank, first[0]), ww.reach(blank, second[0])
    places = [
        ((), (a / 2, b / 2)),
        (((first[0], 50.0),), (65, b / 2)),
        (((first[1], 50.0),), (a - 65, b / 2)),
        (((second[1], 3.0),), (a / 2, b - 7)),
        (((second[0], 3.0), (first[1], 50.0)), (a - 65, 7)),
    ]
    for at, (u, v) in places:
        cut = Mortise(side=side, at=at, size=(30, 8), depth=depth)

        def gone(far: Far, u: float = u, v: float = v) -> Points:
            plan = np.maximum(abs(far[first[0]] - u) - 15, abs(far[second[0]] - v) - 4)
            return plan if depth is None else np.maximum(plan, far[side] - depth)

        near = {side: (0, depth or 20.0), first[0]: (u - 15, u + 15), second[0]: (v - 4, v + 4)}
        ww.expect(blank, cut, gone, near)
        assert list(cut.problems(blank)) == []
        deep = depth or ww.reach(blank, side)
        assert ww.volume(blank, cut) == pytest.approx(30 * 8 * deep, rel=1e-9)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "radius"), list(product(ww.AXIS, [3.0, 4.0])))
def test_the_cutters_radius_is_left_in_its_corners(blank: Blank, side: ww.Side, radius: float) -> None:
    first = ww.edges(blank) if side in ww.ends(blank) else ww.ends(blank)
    second = ww.third(side, first[0])
    v = ww.reach(blank, second[0]) / 2
    cut = Mortise(side=side, at=((first[0], 50.0),), size=(30, 8), depth=7, radius=radius)

    def gone(far: Far) -> Points:
        plan = ww.rounded_box(far[first[0]], far[second[0]], (50, 80, v - 4, v + 4), radius)
        return np.maximum(plan, far[side] - 7)

    ww.expect(blank, cut, gone, {side: (0, 7), first[0]: (50, 80), second[0]: (v - 4, v + 4)}, rough=0.01)
    assert ww.volume(blank, cut) == pytest.approx((30 * 8 - (4 - math.pi) * radius**2) * 7, rel=1e-9)


@pytest.mark.parametrize(
    ("at", "toward", "middles"),
    [
        ((), RIGHT, (200, 300, 400)),
        ((), LEFT, (200, 300, 400)),
        (((LEFT, 100.0),), RIGHT, (130, 230, 330)),
        (((RIGHT, 100.0),), LEFT, (470, 370, 270)),
        (((TOP, 3.0),), RIGHT, (200, 300, 400)),
    ],
)
def test_a_row_goes_on_from_its_place_or_is_centred(
    at: tuple[tuple[ww.Side, float], ...], toward: ww.Side, middles: tuple[float, ...]
) -> None:
    cut = Mortise(side=REAR, at=at, size=(60, 8), depth=30, row=Row(count=3, pitch=100, toward=toward))
    high = 3 if at and at[0][0] is TOP else 6

    def gone(far: Far) -> Points:
        along = np.minimum.reduce([abs(far[LEFT] - m) - 30 for m in middles])
        return np.maximum.reduce([along, far[REAR] - 30, abs(far[TOP] - high - 4) - 4])

    ww.expect(BOARD, cut, gone, {REAR: (0, 30), LEFT: (100, 500), TOP: (3, 14)})
    assert ww.volume(BOARD, cut) == pytest.approx(3 * 60 * 8 * 30, rel=1e-9)


@given(
    at=st.floats(0.5, 400), a=st.floats(1, 150), b=st.floats(1, 19), depth=st.floats(0.1, 299), share=st.floats(0, 0.5)
)
@settings(max_examples=40, deadline=None)
def test_it_takes_its_plan_times_its_depth(at: float, a: float, b: float, depth: float, share: float) -> None:
    radius = share * min(a, b)
    cut = Mortise(side=FRONT, at=((LEFT, at),), size=(a, b), depth=depth, radius=radius)
    expected = (a * b - (4 - math.pi) * radius**2) * depth

    assert list(cut.problems(BOARD)) == []
    assert ww.volume(BOARD, cut) == pytest.approx(expected, rel=1e-7, abs=1e-5)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [
        ONE,
        ROUND,
        Mortise(side=LEFT, at=((FRONT, 20.0), (TOP, 3.0)), size=(30, 8), depth=12),
        Mortise(side=TOP, at=((REAR, 20.0),), size=(30, 8), row=Row(count=3, pitch=50, toward=LEFT)),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cut: Mortise, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


BESIDE_REAR = "`left`, `right`, `bottom`, `top` serve"


@pytest.mark.parametrize(
    ("cut", "problems"),
    [
        (ROUND, []),
        (
            Mortise(side=REAR, size=(60, 8), radius=4.1),
            [("radius", "4.1 mm does not fit in a pocket 8 mm wide")],
        ),
        (
            Mortise(side=REAR, size=(8, 60), radius=4.1),
            [("radius", "4.1 mm does not fit in a pocket 8 mm wide")],
        ),
        (
            Mortise(side=REAR, at=((FRONT, 5.0),), size=(60, 8)),
            [("at", f"a distance from `front` says nothing about a place on `rear`; {BESIDE_REAR}")],
        ),
        (
            Mortise(side=REAR, at=((BOTTOM, 5.0), (LEFT, 5.0), (TOP, 5.0)), size=(60, 8)),
            [("at", "`top` and `bottom` both give the place in one direction; keep one")],
        ),
        (
            Mortise(side=REAR, size=(60, 8), row=Row(count=2, pitch=50, toward=REAR)),
            [("row", f"a row on `rear` can't run toward `rear`; {BESIDE_REAR}")],
        ),
    ],
)
def test_what_cannot_be_cut_is_said(cut: Mortise, problems: list[tuple[str, str]]) -> None:
    assert list(cut.problems(BOARD)) == problems
