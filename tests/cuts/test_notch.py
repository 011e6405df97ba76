"""Notches: a corner taken out, right through."""

from __future__ import annotations

import numpy as np
import pytest
import woodwork as ww
from woodwork import BOARD, BOTTOM, CORNERS, FRONT, LEFT, RIGHT, SIX, TOP, Far, Points

from solids.cuts.notch import Notch
from solids.model.field import mirrored
from solids.model.part import Blank

ONE = Notch(corner=((RIGHT, 50.0), (FRONT, 80.0)))


def test_the_references_example() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(50 * 80 * 20, rel=1e-9)
    assert ww.box(BOARD, ONE) == [(550, 600), (0, 80), (0, 20)]


def test_its_walls_are_named_by_the_sides_that_they_are_measured_from() -> None:
    assert ww.named(ONE) == {
        "right wall": (pytest.approx(80 * 20), (1, 0, 0)),
        "front wall": (pytest.approx(50 * 20), (0, -1, 0)),
    }


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize(("a", "b"), CORNERS, ids=ww.told)
def test_only_the_named_corner_is_gone(blank: Blank, a: ww.Side, b: ww.Side) -> None:
    cut = Notch(corner=((a, 12.0), (b, 7.0)))

    def gone(far: Far) -> Points:
        return np.maximum(far[a] - 12, far[b] - 7)

    ww.expect(blank, cut, gone, {a: (0, 12), b: (0, 7)})
    assert ww.volume(blank, cut) == pytest.approx(12 * 7 * ww.reach(blank, ww.third(a, b)[0]), rel=1e-9)
    assert list(cut.problems(blank)) == []


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize("cut", [ONE, Notch(corner=((TOP, 5.0), (LEFT, 80.0)))])
def test_the_handed_twin_is_its_mirror_image(cut: Notch, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


@pytest.mark.parametrize(
    "corner",
    [(), ((RIGHT, 50.0),), ((RIGHT, 50.0), (LEFT, 80.0)), ((RIGHT, 50.0), (FRONT, 80.0), (BOTTOM, 5.0))],
)
def test_a_notch_takes_two_sides_that_meet(corner: tuple[tuple[ww.Side, float], ...]) -> None:
    told = "a notch takes two sides that meet, as `notch: {right: 50 mm, front: 80 mm}`"

    assert list(Notch(corner=corner).problems(BOARD)) == [("corner", told)]
