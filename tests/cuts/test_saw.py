"""Bevels, miters and compound cuts: one plane through the arris or corner that stays long."""

from __future__ import annotations

import math
from itertools import product

import numpy as np
import pytest
import woodwork as ww
from hypothesis import given, settings
from hypothesis import strategies as st
from woodwork import BLANKS, BOARD, BOTTOM, FRONT, LEFT, REAR, RIGHT, TOP, Far, Points

from solids.cuts.saw import Bevel, Compound, Miter, sawn
from solids.model.field import mirrored
from solids.model.geometry import Plane, Vector
from solids.model.part import Blank


def tan(degrees: float) -> float:
    return math.tan(math.radians(degrees))


def cos(degrees: float) -> float:
    return math.cos(math.radians(degrees))


BEVEL = Bevel(side=RIGHT, tilt=30, long=TOP)
MITER = Miter(side=RIGHT, angle=30, long=FRONT)
COMPOUND = Compound(side=RIGHT, angle=30, tilt=10, long=(FRONT, TOP))


# Bevel: a wedge t high and t tan(tilt) long. Miter: W across and W tan(angle) long. Compound: the mean
# of what its four corners lack, 0, W tan(angle), t tan(tilt)/cos(angle) and their sum, times W t.
@pytest.mark.parametrize(
    ("cut", "removed", "x", "figure"),
    [
        (BEVEL, 20**2 * tan(30) / 2 * 300, 600 - 20 * tan(30), 34641.02),
        (MITER, 300**2 * tan(30) / 2 * 20, 600 - 300 * tan(30), 519615.24),
        (
            COMPOUND,
            (300 * tan(30) + 20 * tan(10) / cos(30)) / 2 * 300 * 20,
            600 - 300 * tan(30) - 20 * tan(10) / cos(30),
            531831.53,
        ),
    ],
    ids=["bevel", "miter", "compound"],
)
def test_the_references_examples(cut: Bevel, removed: float, x: float, figure: float) -> None:
    assert ww.volume(BOARD, cut) == pytest.approx(removed, rel=1e-9)
    assert ww.box(BOARD, cut) == [pytest.approx((x, 600), abs=1e-6), (0, 300), (0, 20)]
    assert round(removed, 2) == figure


def test_the_new_face_has_its_area_and_looks_out() -> None:
    # A bevel's face is t / cos(tilt) by W; a miter's W / cos(angle) by t. Both look out at the right.
    assert ww.named(BEVEL) == {"face": (pytest.approx(20 / cos(30) * 300), pytest.approx((cos(30), 0, -0.5), abs=1e-9))}
    assert ww.named(MITER) == {"face": (pytest.approx(300 / cos(30) * 20), pytest.approx((cos(30), 0.5, 0), abs=1e-9))}


# Where it is ------------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
@pytest.mark.parametrize("inset", [0.0, 7.0])
def test_a_bevel_makes_the_other_face_shorter(blank: Blank, inset: float) -> None:
    for side, long in product((*ww.ends(blank), *ww.edges(blank)), ww.broad(blank)):
        cut = Bevel(side=side, tilt=30, long=long, inset=inset)
        wide = ww.reach(blank, ww.third(side, long)[0])

        ww.expect(
            blank,
            cut,
            lambda far, side=side, long=long: far[side] - inset - far[long] * tan(30),
            {side: (0, 20), long: (0, 20)},
        )
        assert ww.volume(blank, cut) == pytest.approx((inset + 20 * tan(30) / 2) * 20 * wide, rel=1e-9)
        assert list(cut.problems(blank)) == []


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
@pytest.mark.parametrize("inset", [0.0, 7.0])
def test_a_miter_makes_the_other_edge_shorter(blank: Blank, inset: float) -> None:
    for side, long in product(ww.ends(blank), ww.edges(blank)):
        cut = Miter(side=side, angle=30, long=long, inset=inset)

        ww.expect(
            blank, cut, lambda far, side=side, long=long: far[side] - inset - far[long] * tan(30), {side: (0, 200)}
        )
        assert ww.volume(blank, cut) == pytest.approx((inset + 300 * tan(30) / 2) * 300 * 20, rel=1e-9)
        assert list(cut.problems(blank)) == []


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
@pytest.mark.parametrize("inset", [0.0, 7.0])
def test_a_compound_cut_shortens_the_far_edge_by_the_angle_and_the_far_face_by_the_tilt(
    blank: Blank, inset: float
) -> None:
    for side, edge, face in product(ww.ends(blank), ww.edges(blank), ww.broad(blank)):
        cut = Compound(side=side, angle=30, tilt=10, long=(edge, face), inset=inset)

        def gone(far: Far, side: ww.Side = side, edge: ww.Side = edge, face: ww.Side = face) -> Points:
            return far[side] - inset - far[edge] * tan(30) - far[face] * tan(10) / cos(30)

        ww.expect(blank, cut, gone, {side: (0, 200)})
        assert list(cut.problems(blank)) == []


@given(angle=st.floats(0.5, 60), tilt=st.floats(0.5, 60))
@settings(max_examples=40, deadline=None)
def test_the_trace_and_the_tilt_are_read_back_with_a_square_and_a_protractor(angle: float, tilt: float) -> None:
    (_, normal) = ww.named(Compound(side=RIGHT, angle=angle, tilt=tilt, long=(FRONT, TOP)))["face"]
    trace = np.cross(normal, (0, 0, 1))
    trace /= np.linalg.norm(trace)

    assert math.degrees(math.acos(abs(trace[1]))) == pytest.approx(angle, abs=1e-5)
    assert math.degrees(math.asin(abs(normal[2]))) == pytest.approx(tilt, abs=1e-5)


# Back from a plane ------------------------------------------------------------------------------

SIDES_OF_BOARD = st.sampled_from([RIGHT, LEFT])
INSETS = st.sampled_from([0.0]) | st.floats(0.01, 50)


@given(SIDES_OF_BOARD, st.sampled_from([FRONT, REAR]), st.sampled_from([TOP, BOTTOM]), st.floats(0.01, 80),
       st.floats(0.01, 80), INSETS)  # fmt: skip
def test_a_plane_gives_back_the_compound_cut_that_made_it(
    side: ww.Side, edge: ww.Side, face: ww.Side, angle: float, tilt: float, inset: float
) -> None:
    cut = Compound(side=side, angle=angle, tilt=tilt, long=(edge, face), inset=inset)
    found = sawn(BOARD, side, cut.plane(BOARD))

    assert isinstance(found, Compound)
    assert (found.side, found.long) == (side, (edge, face))
    assert (found.angle, found.tilt, found.inset) == pytest.approx((angle, tilt, inset), abs=1e-7)


@given(st.sampled_from([RIGHT, LEFT, FRONT, REAR]), st.sampled_from([TOP, BOTTOM]), st.floats(0.01, 80), INSETS)
def test_a_plane_gives_back_the_bevel_that_made_it(side: ww.Side, face: ww.Side, tilt: float, inset: float) -> None:
    found = sawn(BOARD, side, Bevel(side=side, tilt=tilt, long=face, inset=inset).plane(BOARD), "mine")

    assert isinstance(found, Bevel)
    assert (found.side, found.long, found.name) == (side, face, "mine")
    assert (found.tilt, found.inset) == pytest.approx((tilt, inset), abs=1e-7)


@given(SIDES_OF_BOARD, st.sampled_from([FRONT, REAR]), st.floats(0.01, 80), INSETS)
def test_a_plane_gives_back_the_miter_that_made_it(side: ww.Side, edge: ww.Side, angle: float, inset: float) -> None:
    found = sawn(BOARD, side, Miter(side=side, angle=angle, long=edge, inset=inset).plane(BOARD))

    assert isinstance(found, Miter)
    assert (found.side, found.long) == (side, edge)
    assert (found.angle, found.inset) == pytest.approx((angle, inset), abs=1e-7)


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
def test_a_plane_gives_back_the_same_wood_in_every_blank(blank: Blank) -> None:
    for side, edge, face in product(ww.ends(blank), ww.edges(blank), ww.broad(blank)):
        for cut in (
            Bevel(side=side, tilt=30, long=face, inset=3),
            Miter(side=side, angle=30, long=edge, inset=3),
            Compound(side=side, angle=30, tilt=10, long=(edge, face), inset=3),
            Bevel(side=edge, tilt=30, long=face, inset=3),
        ):
            found = sawn(blank, cut.side, cut.plane(blank))

            assert type(found) is type(cut)
            assert found is not None
            assert found.side is cut.side
            assert found.long == cut.long
            assert found.inset == pytest.approx(3, abs=1e-9)


def test_a_square_plane_is_a_bevel_without_tilt() -> None:
    found = sawn(BOARD, RIGHT, Plane(Vector(1.0, 0.0, 0.0), 590.0))

    assert isinstance(found, Bevel)
    assert (found.tilt, found.inset) == (0, 10)
    assert ww.volume(BOARD, found) == pytest.approx(10 * 300 * 20, rel=1e-9)


@pytest.mark.parametrize(
    ("side", "normal"),
    [
        (TOP, (0.6, 0.0, 0.8)),  # no saw cuts along a broad face
        (RIGHT, (-0.8, 0.6, 0.0)),  # looks the other way
        (RIGHT, (0.0, 1.0, 0.0)),  # runs along the board
        (FRONT, (0.6, -0.8, 0.0)),  # an edge can't be mitered
        (REAR, (0.36, 0.8, 0.48)),
    ],
)
def test_a_plane_that_no_saw_makes_there_gives_nothing(side: ww.Side, normal: tuple[float, float, float]) -> None:
    assert sawn(BOARD, side, Plane(Vector(*normal), 100.0)) is None


# Laws -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [BEVEL, MITER, COMPOUND, Bevel(side=FRONT, tilt=52.5, long=BOTTOM, inset=2),
     Compound(side=LEFT, angle=20, tilt=45, long=(REAR, BOTTOM), inset=2)],
)  # fmt: skip
def test_the_handed_twin_is_its_mirror_image(cut: Bevel | Miter | Compound, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


@pytest.mark.parametrize(
    ("long", "right"),
    [
        ((FRONT, TOP), True),
        ((REAR, BOTTOM), True),
        ((TOP, FRONT), False),
        ((LEFT, TOP), False),
        ((FRONT, REAR), False),
    ],
)
def test_a_compound_cut_keeps_a_corner_of_an_edge_and_then_a_face(long: tuple[ww.Side, ww.Side], right: bool) -> None:
    told = ("long", "an edge and a broad face: one of `front`, `rear`, then `bottom` or `top`")

    assert list(Compound(side=RIGHT, angle=30, tilt=10, long=long).problems(BOARD)) == ([] if right else [told])
