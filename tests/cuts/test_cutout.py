"""Cutouts: an opening in a broad face, or a recess."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
import woodwork as ww
from woodwork import BOARD, BOTTOM, FRONT, LEFT, REAR, RIGHT, SIX, TOP, Far, Points

from solids.cuts.cutout import Cutout
from solids.cuts.row import Row
from solids.model.field import mirrored
from solids.model.geometry import Corner, rounded
from solids.model.part import Blank

ONE = Cutout(side=TOP, at=((LEFT, 100.0), (FRONT, 60.0)), size=(120, 40), radius=10, depth=5)

# An L: 120 x 30 along the grain, with 40 x 50 standing on its first end.
L_SHAPE = tuple(
    Corner(a, b) for a, b in ((50.0, 40.0), (170.0, 40.0), (170.0, 70.0), (90.0, 70.0), (90.0, 120.0), (50.0, 120.0))
)


def test_the_references_example() -> None:
    plan = 120 * 40 - (4 - math.pi) * 10**2

    assert round(plan * 5, 2) == 23570.80
    assert ww.volume(BOARD, ONE) == pytest.approx(plan * 5, rel=1e-9)
    assert ww.box(BOARD, ONE) == [(100, 220), (60, 100), (15, 20)]


def test_its_faces_have_names() -> None:
    found = ww.named(ONE)

    assert {k: (pytest.approx(a), n) for k, (a, n) in found.items()} == {
        "left wall": (20 * 5, (1, 0, 0)),
        "right wall": (20 * 5, (-1, 0, 0)),
        "front wall": (100 * 5, (0, 1, 0)),
        "rear wall": (100 * 5, (0, -1, 0)),
        "floor": (pytest.approx(120 * 40 - (4 - math.pi) * 100), (0, 0, 1)),
    }


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize("depth", [5.0, None])
@pytest.mark.parametrize("radius", [0.0, 10.0])
def test_a_rectangle_is_placed_by_its_nearest_walls(blank: Blank, depth: float | None, radius: float) -> None:
    for side, a, b in product(ww.broad(blank), ww.ends(blank), ww.edges(blank)):
        for at, u, v in ((((a, 100.0), (b, 60.0)), 160.0, 80.0), (((b, 60.0),), 300.0, 80.0), ((), 300.0, 150.0)):
            cut = Cutout(side=side, at=at, size=(120, 40), radius=radius, depth=depth)

            def gone(
                far: Far, side: ww.Side = side, a: ww.Side = a, b: ww.Side = b, u: float = u, v: float = v
            ) -> Points:
                plan = ww.rounded_box(far[a], far[b], (u - 60, u + 60, v - 20, v + 20), radius)
                return np.maximum(plan, far[side] - (depth or 1e9))

            near = {side: (0.0, depth or 20.0), a: (u - 60, u + 60), b: (v - 20, v + 20)}
            ww.expect(blank, cut, gone, near, rough=0.01 if radius else 0)
            assert list(cut.problems(blank)) == []


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize("depth", [5.0, None])
def test_a_circle_is_placed_by_its_centre(blank: Blank, depth: float | None) -> None:
    for side, a, b in product(ww.broad(blank), ww.ends(blank), ww.edges(blank)):
        for at, u, v in ((((a, 100.0), (b, 60.0)), 100.0, 60.0), ((), 300.0, 150.0)):
            cut = Cutout(side=side, at=at, diameter=24, depth=depth)

            def gone(
                far: Far, side: ww.Side = side, a: ww.Side = a, b: ww.Side = b, u: float = u, v: float = v
            ) -> Points:
                return np.maximum(np.hypot(far[a] - u, far[b] - v) - 12, far[side] - (depth or 1e9))

            ww.expect(
                blank, cut, gone, {side: (0.0, depth or 20.0), a: (u - 12, u + 12), b: (v - 12, v + 12)}, rough=0.01
            )
            assert ww.volume(blank, cut) == pytest.approx(math.pi * 12**2 * (depth or 20), rel=1e-9)


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize("depth", [5.0, None])
def test_an_outline_is_measured_along_the_grain_and_across_from_the_least_corner(
    blank: Blank, depth: float | None
) -> None:
    a, b = ww.ends(blank)[0], ww.edges(blank)[0]
    for side in ww.broad(blank):
        cut = Cutout(side=side, outline=L_SHAPE, depth=depth)

        def gone(far: Far, side: ww.Side = side) -> Points:
            foot = ww.rounded_box(far[a], far[b], (50, 170, 40, 70))
            stem = ww.rounded_box(far[a], far[b], (50, 90, 40, 120))
            return np.maximum(np.minimum(foot, stem), far[side] - (depth or 1e9))

        ww.expect(blank, cut, gone, {side: (0.0, depth or 20.0), a: (50, 170), b: (40, 120)})
        assert ww.volume(blank, cut) == pytest.approx((120 * 30 + 40 * 50) * (depth or 20), rel=1e-9)
        assert list(cut.problems(blank)) == []


def test_an_outlines_walls_have_numbers() -> None:
    found = ww.named(Cutout(side=TOP, outline=L_SHAPE, depth=5))

    assert {k: a for k, (a, _) in found.items() if k != "floor"} == {
        "wall 1": pytest.approx(120 * 5),
        "wall 2": pytest.approx(30 * 5),
        "wall 3": pytest.approx(80 * 5),
        "wall 4": pytest.approx(50 * 5),
        "wall 5": pytest.approx(40 * 5),
        "wall 6": pytest.approx(80 * 5),
    }


# Five corners of 90 degrees turn out and lose (1 - pi/4) r² each; the inner one gains it.
@pytest.mark.parametrize("blank", SIX, ids=ww.told)
def test_an_outlines_corners_may_be_round_on_either_face(blank: Blank) -> None:
    outline = rounded([(c.a, c.b, 10.0) for c in L_SHAPE])
    plan = 120 * 30 + 40 * 50 - (5 - 1) * (1 - math.pi / 4) * 100
    a, b = ww.ends(blank)[0], ww.edges(blank)[0]
    for side in ww.broad(blank):
        cut = Cutout(side=side, outline=outline, depth=5)

        def gone(far: Far, side: ww.Side = side) -> Points:
            foot = ww.rounded_box(far[a], far[b], (50, 170, 40, 70), 10)
            stem = ww.rounded_box(far[a], far[b], (50, 90, 40, 120), 10)
            # The inner corner is filled up to a circle about (100, 80).
            square = ww.rounded_box(far[a], far[b], (70, 100, 50, 80))
            inner = np.maximum(square, 10 - np.hypot(far[a] - 100, far[b] - 80))
            # Where foot and stem cross, neither has a round corner at the first wall's far end.
            crossing = ww.rounded_box(far[a], far[b], (60, 80, 40, 60))
            corner = np.minimum.reduce([foot, stem, inner, crossing])
            return np.maximum(corner, far[side] - 5)

        ww.expect(blank, cut, gone, {side: (0.0, 5.0), a: (50, 170), b: (40, 120)}, rough=0.02)
        assert ww.volume(blank, cut) == pytest.approx(plan * 5, rel=1e-9)


@pytest.mark.parametrize(
    ("at", "toward", "middles"),
    [
        ((), RIGHT, (150, 300, 450)),
        (((LEFT, 40.0),), RIGHT, (100, 250, 400)),
        (((RIGHT, 40.0),), LEFT, (500, 350, 200)),
    ],
)
@pytest.mark.parametrize("shape", [{"size": (120.0, 40.0)}, {"diameter": 40.0}])
def test_a_row_goes_on_from_its_place_or_is_centred(
    at: tuple[tuple[ww.Side, float], ...], toward: ww.Side, middles: tuple[float, ...], shape: dict[str, object]
) -> None:
    cut = Cutout(side=TOP, at=at, row=Row(count=3, pitch=150, toward=toward), **shape)  # type: ignore[arg-type]
    # A circle's place is its centre, so it stands 60 nearer than a rectangle of 120.
    back = 60 * (1 if toward is RIGHT else -1) if at and "diameter" in shape else 0

    def gone(far: Far) -> Points:
        if "size" in shape:
            spans = [(m - 60, m + 60, 130.0, 170.0) for m in middles]
            return np.minimum.reduce([ww.rounded_box(far[LEFT], far[FRONT], s) for s in spans])
        return np.minimum.reduce([np.hypot(far[LEFT] - m + back, far[FRONT] - 150) - 20 for m in middles])

    ww.expect(BOARD, cut, gone, {LEFT: (40, 560), FRONT: (130, 170)}, rough=0.01)


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [
        ONE,
        Cutout(side=BOTTOM, at=((RIGHT, 100.0),), diameter=24, depth=5),
        Cutout(side=TOP, outline=L_SHAPE, depth=5),
        Cutout(side=BOTTOM, outline=rounded([(c.a, c.b, 10.0) for c in L_SHAPE])),
        Cutout(side=TOP, at=((REAR, 60.0),), size=(20, 40), row=Row(count=3, pitch=50, toward=RIGHT)),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cut: Cutout, axis: int) -> None:
    # A circle of d is a polygon within 0.0075 mm of it, so two may differ by 0.03 / d of what they hold.
    allowed = 0.03 / cut.diameter * ww.volume(BOARD, cut) if cut.diameter else 1e-6

    assert ww.off_from_twin(BOARD, axis, cut) <= allowed
    again = mirrored(mirrored(cut, BOARD, axis), BOARD, axis)
    assert again.at == cut.at
    assert again.side is cut.side
    for once, twice in zip(cut.outline or (), again.outline or (), strict=True):
        assert tuple(twice) == pytest.approx(tuple(once), abs=1e-12)


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
def test_an_outlines_handed_twin_is_its_mirror_image_in_every_blank(blank: Blank) -> None:
    for side, axis in product(ww.broad(blank), range(3)):
        assert ww.off_from_twin(blank, axis, Cutout(side=side, outline=L_SHAPE, depth=5)) == pytest.approx(0, abs=1e-6)


BESIDE_TOP = "`left`, `right`, `front`, `rear` serve"
SHAPE = "its shape is given by one of `size`, `diameter` and `outline`"


@pytest.mark.parametrize(
    ("cut", "problems"),
    [
        (ONE, []),
        (Cutout(side=TOP), [("side", SHAPE)]),
        (Cutout(side=TOP, size=(10, 10), diameter=10), [("diameter", SHAPE)]),
        (Cutout(side=TOP, diameter=10, outline=L_SHAPE), [("outline", SHAPE)]),
        (
            Cutout(side=TOP, at=((LEFT, 5.0),), outline=L_SHAPE),
            [("at", "an outline's points are measured from the part's least corner; leave `at` out")],
        ),
        (
            Cutout(side=TOP, diameter=10, radius=2),
            [("radius", "`radius` rounds the corners of a `size`; in an outline write `[a, b, radius]`")],
        ),
        (
            Cutout(side=TOP, size=(30, 10), radius=5.1),
            [("radius", "5.1 mm does not fit in an opening 10 mm wide")],
        ),
        (
            Cutout(side=TOP, at=((BOTTOM, 5.0),), size=(30, 10)),
            [("at", f"a distance from `bottom` says nothing about a place on `top`; {BESIDE_TOP}")],
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_said(cut: Cutout, problems: list[tuple[str, str]]) -> None:
    assert list(cut.problems(BOARD)) == problems
