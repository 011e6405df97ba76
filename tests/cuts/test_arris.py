"""Chamfers and roundovers: an arris broken straight or round."""

from __future__ import annotations

import math

import numpy as np
import pytest
import woodwork as ww
from woodwork import BOARD, BOTTOM, CORNERS, FRONT, LEFT, REAR, RIGHT, SIX, THREE, TOP, Far, Points

from solids.cuts.arris import Chamfer, Roundover
from solids.model.field import mirrored
from solids.model.part import Blank

ROUND = (FRONT, RIGHT, REAR, LEFT)
ONE = Chamfer(sides=(FRONT,), on=TOP, size=(3, 3))


def test_the_references_examples() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(3 * 3 / 2 * 600, rel=1e-9)
    assert ww.box(BOARD, ONE) == [(0, 600), (0, 3), (17, 20)]

    # Two wedges share, at each corner, the squares of side 3 - d at every depth d: 3³ / 3.
    around = 3 * 3 / 2 * 2 * (600 + 300) - 4 * 3**3 / 3
    assert around == 8064
    assert ww.volume(BOARD, Chamfer(sides=ROUND, on=TOP, size=(3, 3))) == pytest.approx(around, rel=1e-9)

    quarter = (1 - math.pi / 4) * 6**2 * 600
    assert round(quarter, 2) == 4635.40
    assert ww.volume(BOARD, Roundover(sides=(FRONT,), on=TOP, radius=6)) == pytest.approx(quarter, rel=1e-9)
    assert ww.box(BOARD, Roundover(sides=(FRONT,), on=TOP, radius=6)) == [(0, 600), (0, 6), (14, 20)]


def test_a_chamfers_face_has_a_name_and_a_roundovers_is_not_flat() -> None:
    side = math.sqrt(0.5)

    area, normal = ww.named(ONE)["slope"]
    assert area == pytest.approx(math.hypot(3, 3) * 600)
    assert normal == pytest.approx((0, -side, side), abs=1e-8)
    assert ww.named(Roundover(sides=(FRONT,), on=TOP, radius=6)) == {}


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize(("side", "on"), CORNERS, ids=ww.told)
def test_the_first_size_is_on_the_face_and_the_second_down_the_side(blank: Blank, side: ww.Side, on: ww.Side) -> None:
    cut = Chamfer(sides=(side,), on=on, size=(5, 3))

    def gone(far: Far) -> Points:
        # On the `on` face itself the wood is gone 5 in from the side; on the side, 3 down from `on`.
        return 3 * (far[side] / 5 + far[on] / 3 - 1)

    ww.expect(blank, cut, gone, {side: (0, 5), on: (0, 3)})
    assert ww.volume(blank, cut) == pytest.approx(5 * 3 / 2 * ww.reach(blank, ww.third(side, on)[0]), rel=1e-9)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "on"), CORNERS, ids=ww.told)
def test_what_lies_outside_the_quarter_circle_goes(blank: Blank, side: ww.Side, on: ww.Side) -> None:
    cut = Roundover(sides=(side,), on=on, radius=6)

    def gone(far: Far) -> Points:
        s, o = far[side], far[on]
        return np.maximum.reduce([s - 6, o - 6, 6 - np.hypot(6 - s, 6 - o)])

    ww.expect(blank, cut, gone, {side: (0, 6), on: (0, 6)}, rough=0.01)
    quarter = (1 - math.pi / 4) * 36 * ww.reach(blank, ww.third(side, on)[0])
    assert ww.volume(blank, cut) == pytest.approx(quarter, rel=1e-9)


@pytest.mark.parametrize("on", [TOP, BOTTOM])
def test_all_sides_go_round_the_face(on: ww.Side) -> None:
    def chamfered(far: Far) -> Points:
        return np.minimum.reduce([3 * (far[s] / 5 + far[on] / 3 - 1) for s in ROUND])

    def rounded(far: Far) -> Points:
        each = [np.maximum.reduce([far[s] - 6, far[on] - 6, 6 - np.hypot(6 - far[s], 6 - far[on])]) for s in ROUND]
        return np.minimum.reduce(each)

    ww.expect(BOARD, Chamfer(sides=ROUND, on=on, size=(5, 3)), chamfered, {on: (0, 3), LEFT: (0, 5)})
    ww.expect(BOARD, Roundover(sides=ROUND, on=on, radius=6), rounded, {on: (0, 6), LEFT: (0, 6)}, rough=0.02)

    # Where two roundings cross, they share r³ (5/3 - pi/2) a corner; the chords make that inexact.
    each = (1 - math.pi / 4) * 36 * 2 * 900 - 4 * 6**3 * (5 / 3 - math.pi / 2)
    assert ww.volume(BOARD, Roundover(sides=ROUND, on=on, radius=6)) == pytest.approx(each, rel=1e-4)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [Chamfer(sides=(FRONT, LEFT), on=TOP, size=(5, 3)), Chamfer(sides=(TOP,), on=RIGHT, size=(5, 3)),
     Roundover(sides=(REAR, LEFT), on=BOTTOM, radius=6)],
)  # fmt: skip
def test_the_handed_twin_is_its_mirror_image(cut: Chamfer | Roundover, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


def test_a_side_without_an_arris_there_is_said() -> None:
    told = [("sides", "`bottom` has no arris with `top`"), ("sides", "`top` has no arris with `top`")]

    assert list(Chamfer(sides=(FRONT, BOTTOM, TOP), on=TOP, size=(3, 3)).problems(BOARD)) == told
    assert list(Roundover(sides=(FRONT, BOTTOM, TOP), on=TOP, radius=3).problems(BOARD)) == told
    assert list(Chamfer(sides=ROUND, on=TOP, size=(3, 3)).problems(BOARD)) == []
