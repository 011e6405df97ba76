"""Tapers: a slope along the grain, from nothing to its full amount at one end."""

from __future__ import annotations

from itertools import product

import pytest
import woodwork as ww
from woodwork import BLANKS, BOARD, BOTTOM, FRONT, LEFT, REAR, RIGHT, TOP, Far, Points

from solids.cuts.taper import Taper
from solids.model.field import mirrored
from solids.model.part import Blank

ONE = Taper(side=FRONT, by=((RIGHT, 60.0),), stop=((LEFT, 200.0),))


def test_the_references_example() -> None:
    assert ww.volume(BOARD, ONE) == pytest.approx(60 * 400 / 2 * 20, rel=1e-9)
    assert ww.box(BOARD, ONE) == [pytest.approx((200, 600), abs=1e-6), pytest.approx((0, 60), abs=1e-6), (0, 20)]


# 60 in 400 is 3 in 20: the slope is hypot(60, 400) long and looks (3, -20) / hypot(3, 20).
def test_its_face_has_a_name() -> None:
    long = (60**2 + 400**2) ** 0.5
    area, normal = ww.named(ONE)["slope"]

    assert list(ww.named(ONE)) == ["slope"]
    assert area == pytest.approx(long * 20)
    assert normal == pytest.approx((60 / long, -400 / long, 0), abs=1e-8)


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
@pytest.mark.parametrize("start", [0.0, 200.0])
def test_it_grows_from_nothing_to_its_amount_at_the_end_it_names(blank: Blank, start: float) -> None:
    for side, end in product((*ww.edges(blank), *ww.broad(blank)), ww.ends(blank)):
        other = ww.ACROSS[end]
        cut = Taper(side=side, by=((end, 8.0),), stop=((other, start),) if start else ())

        def gone(far: Far, side: ww.Side = side, other: ww.Side = other) -> Points:
            return far[side] - 8 * (far[other] - start) / (600 - start)

        ww.expect(blank, cut, gone, {side: (0, 8)})
        wide = ww.reach(blank, ww.third(side, end)[0])
        assert ww.volume(blank, cut) == pytest.approx(8 * (600 - start) / 2 * wide, rel=1e-9)
        assert list(cut.problems(blank)) == []


def test_a_stop_of_nothing_is_no_stop() -> None:
    whole = Taper(side=FRONT, by=((RIGHT, 60.0),))

    assert ww.volume(BOARD, Taper(side=FRONT, by=((RIGHT, 60.0),), stop=((LEFT, 0.0),))) == ww.volume(BOARD, whole)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize("cut", [ONE, Taper(side=TOP, by=((LEFT, 12.0),)), Taper(side=REAR, by=((LEFT, 12.0),))])
def test_the_handed_twin_is_its_mirror_image(cut: Taper, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


BY = ("by", "one end and how deep there, as `by: {right: 20 mm}`")


@pytest.mark.parametrize(
    ("by", "stop", "problems"),
    [
        (((RIGHT, 60.0),), (), []),
        ((), (), [BY]),
        (((REAR, 60.0),), (), [BY]),
        (((BOTTOM, 5.0),), (), [BY]),
        (((RIGHT, 60.0), (LEFT, 20.0)), (), [BY]),
        (((RIGHT, 60.0),), ((RIGHT, 20.0),), [("stop", "it begins so far from `left`: `stop: {left: 100 mm}`")]),
        (
            ((RIGHT, 60.0),),
            ((LEFT, 20.0), (RIGHT, 20.0)),
            [("stop", "it begins so far from `left`: `stop: {left: 100 mm}`")],
        ),
        (((RIGHT, 60.0),), ((LEFT, 600.0),), [("stop", "it would begin 600 mm along a part of 600 mm")]),
    ],
)
def test_what_cannot_be_cut_is_said(
    by: tuple[tuple[ww.Side, float], ...], stop: tuple[tuple[ww.Side, float], ...], problems: list[tuple[str, str]]
) -> None:
    assert list(Taper(side=FRONT, by=by, stop=stop).problems(BOARD)) == problems
