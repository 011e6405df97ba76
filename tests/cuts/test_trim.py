"""Trims: all that lies beyond a plane, or a little before it, goes."""

from __future__ import annotations

import math

import pytest
import woodwork as ww
from woodwork import BOARD, BOTTOM, FRONT, LEFT, RIGHT, TOP

from solids.cuts.trim import Trim
from solids.model.field import mirrored
from solids.model.geometry import Plane, Vector
from solids.model.part import Blank

S10, C10 = math.sin(math.radians(10)), math.cos(math.radians(10))

# A post 600 x 60 x 20, upright, face left, leaning right by 10: it turns about the line x = z = 0, so
# the floor's upward direction is (-sin 10, 0, cos 10) in the post's own axes.
POST = Blank(Vector(20.0, 60.0, 600.0), 2, LEFT)
FLOOR = Plane(Vector(-S10, 0.0, C10), 0.0)


def test_the_references_example() -> None:
    cut = Trim(side=BOTTOM, to=FLOOR)
    removed = 20**2 * math.tan(math.radians(10)) / 2 * 60

    assert ww.volume(POST, cut) == pytest.approx(removed, rel=1e-9)
    assert round(removed, 2) == 2115.92
    assert ww.box(POST, cut) == [(0, 20), (0, 60), pytest.approx((0, 20 * S10 / C10), abs=1e-6)]


@pytest.mark.parametrize("way", [1, -1])
@pytest.mark.parametrize("clear", [0.0, 2.0])
def test_whichever_way_its_plane_looks_the_named_side_goes(way: int, clear: float) -> None:
    plane = Plane(FLOOR.normal.times(way), 3.0 * way)  # 3 mm above the floor
    # A point x to the right and z up is z cos 10 - x sin 10 above the floor.
    ww.expect(
        POST,
        Trim(side=BOTTOM, to=plane, clear=clear),
        lambda far: far[BOTTOM] * C10 - far[LEFT] * S10 - 3 - clear,
        {BOTTOM: (0, 12)},
    )
    ww.expect(
        POST,
        Trim(side=TOP, to=plane, clear=clear),
        lambda far: 3 - clear - far[BOTTOM] * C10 + far[LEFT] * S10,
        {BOTTOM: (0, 12)},
    )


@pytest.mark.parametrize(
    ("side", "axis", "at", "removed"),
    [
        (RIGHT, 0, 550.0, 50 * 300 * 20),
        (LEFT, 0, 550.0, 550 * 300 * 20),
        (FRONT, 1, 80.0, 600 * 80 * 20),
        (TOP, 2, 15.0, 600 * 300 * 5),
        (BOTTOM, 2, 15.0, 600 * 300 * 15),
    ],
)
def test_a_square_plane_takes_a_slice(side: ww.Side, axis: int, at: float, removed: float) -> None:
    normal = Vector(*(float(i == axis) for i in range(3)))

    assert ww.volume(BOARD, Trim(side=side, to=Plane(normal, at))) == pytest.approx(removed, rel=1e-9)
    assert list(Trim(side=side, to=Plane(normal, at)).problems(BOARD)) == []


def test_its_face_has_a_name() -> None:
    found = ww.named(Trim(side=RIGHT, to=Plane(Vector(-1.0, 0.0, 0.0), -550.0)))

    assert found == {"face": (pytest.approx(300 * 20), (1, 0, 0))}


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize("normal", [(0.6, 0.0, 0.8), (0.36, -0.8, 0.48), (1.0, 0.0, 0.0)])
def test_the_handed_twin_is_its_mirror_image(normal: tuple[float, float, float], axis: int) -> None:
    cut = Trim(side=RIGHT, to=Plane(Vector(*normal), 200.0), clear=2)

    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    again = mirrored(mirrored(cut, BOARD, axis), BOARD, axis)
    assert again.side is cut.side
    assert tuple(again.to.normal) == cut.to.normal
    assert again.to.offset == pytest.approx(200.0, abs=1e-12)


def test_a_plane_along_the_part_cuts_nothing_off() -> None:
    said = list(Trim(side=RIGHT, to=Plane(Vector(0.0, 1.0, 0.0), 100.0)).problems(BOARD))

    assert said == [("to", "this plane runs along the part and cuts nothing off at `right`")]
