"""Tongues and tenons: all the wood at a side goes, but for what stands."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
import woodwork as ww
from woodwork import BOARD, BOTTOM, FRONT, LEFT, REAR, RIGHT, SIX, TOP, Far, Points

from solids.cuts.row import Row
from solids.cuts.tenon import Tenon, Tongue
from solids.model.field import mirrored
from solids.model.part import Blank

TONGUE = Tongue(side=RIGHT, length=10, thickness=8)
TENON = Tenon(side=RIGHT, length=40, width=200, thickness=10)

Span = tuple[float, float]


def test_the_references_examples() -> None:
    assert ww.volume(BOARD, TONGUE) == pytest.approx((20 - 8) * 300 * 10, rel=1e-9)
    assert ww.box(BOARD, TONGUE) == [(590, 600), (0, 300), (0, 20)]
    assert ww.volume(BOARD, TENON) == pytest.approx((300 * 20 - 200 * 10) * 40, rel=1e-9)
    assert ww.box(BOARD, TENON) == [(560, 600), (0, 300), (0, 20)]


def test_their_faces_have_names() -> None:
    # Cheeks: two of 300 x 10. Shoulders: what is left of the section, 300 x 20, around the tongue.
    found = ww.named(TONGUE)
    assert {k: v[0] for k, v in found.items()} == {
        "cheek": pytest.approx(2 * 300 * 10),
        "shoulder": pytest.approx(300 * (20 - 8)),
    }
    assert found["shoulder"][1] == (1, 0, 0)
    assert {k: v[0] for k, v in ww.named(TENON).items()} == {
        "cheek": pytest.approx(2 * (200 + 10) * 40),
        "shoulder": pytest.approx(300 * 20 - 200 * 10),
    }


# Where they are ---------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
def test_a_tongue_stands_right_across_centred_or_as_far_from_a_face_as_it_says(blank: Blank) -> None:
    for side, face in product((*ww.ends(blank), *ww.edges(blank)), ww.broad(blank)):
        for at, middle in (((), 10.0), (((face, 3.0),), 7.0)):
            cut = Tongue(side=side, length=10, thickness=8, at=at)

            def gone(far: Far, side: ww.Side = side, face: ww.Side = face, middle: float = middle) -> Points:
                return np.maximum(far[side] - 10, 4 - abs(far[face] - middle))

            ww.expect(blank, cut, gone, {side: (0, 10)})
            wide = ww.reach(blank, ww.third(side, face)[0])
            assert ww.volume(blank, cut) == pytest.approx(12 * 10 * wide, rel=1e-9)
            assert list(cut.problems(blank)) == []


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
def test_a_tenon_stands_where_it_is_placed_and_is_centred_where_it_is_not(blank: Blank) -> None:
    for side, edge, face in product(ww.ends(blank), ww.edges(blank), ww.broad(blank)):
        for at, u, v in (
            ((), 150.0, 10.0),
            (((edge, 30.0),), 130.0, 10.0),
            (((face, 3.0),), 150.0, 8.0),
            (((face, 3.0), (edge, 30.0)), 130.0, 8.0),
        ):
            cut = Tenon(side=side, length=40, width=200, thickness=10, at=at)

            def gone(
                far: Far, side: ww.Side = side, edge: ww.Side = edge, face: ww.Side = face, u: float = u, v: float = v
            ) -> Points:
                outside = np.maximum(abs(far[edge] - u) - 100, abs(far[face] - v) - 5)
                return np.maximum(far[side] - 40, -outside)

            ww.expect(blank, cut, gone, {side: (0, 40)})
            assert list(cut.problems(blank)) == []


# Several ----------------------------------------------------------------------------------------


def stands(*spans: tuple[Span, Span, float], side: ww.Side = RIGHT) -> ww.Margin:
    """All wood within the longest stand's length goes but for the stands: y from and to, z from and to, length."""
    longest = max(length for _, _, length in spans)

    def gone(far: Far) -> Points:
        outside = [
            np.maximum.reduce([y0 - far[FRONT], far[FRONT] - y1, z0 - far[BOTTOM], far[BOTTOM] - z1,
                               longest - length - far[side]])
            for (y0, y1), (z0, z1), length in spans
        ]  # fmt: skip
        return np.maximum(far[side] - longest, -np.minimum.reduce(outside))

    return gone


def test_several_on_one_end_all_stand() -> None:
    cuts = (
        Tenon(side=RIGHT, length=40, width=80, thickness=10, at=((FRONT, 30.0),)),
        Tenon(side=RIGHT, length=40, width=60, thickness=8, at=((REAR, 20.0), (TOP, 2.0))),
    )

    ww.expect(BOARD, cuts, stands(((30, 110), (5, 15), 40), ((220, 280), (10, 18), 40)), {RIGHT: (0, 40)})
    assert ww.volume(BOARD, *cuts) == pytest.approx((300 * 20 - 80 * 10 - 60 * 8) * 40, rel=1e-9)


def test_a_shorter_one_stands_from_the_shoulder_of_the_longest() -> None:
    cuts = (
        Tenon(side=RIGHT, length=40, width=80, thickness=10, at=((FRONT, 30.0),)),
        Tongue(side=RIGHT, length=15, thickness=6, at=((BOTTOM, 7.0),)),
    )
    section = 300 * 20 - 80 * 10 - 6 * 220  # the tongue runs through the tenon

    ww.expect(BOARD, cuts, stands(((30, 110), (5, 15), 40), ((0, 300), (7, 13), 15)), {RIGHT: (0, 40)})
    assert ww.volume(BOARD, *cuts) == pytest.approx(section * 40 + 6 * 220 * 25, rel=1e-9)


def test_those_of_two_ends_do_not_meddle() -> None:
    cuts = (TENON, Tenon(side=LEFT, length=30, width=100, thickness=10))

    assert ww.volume(BOARD, *cuts) == pytest.approx(160000 + (300 * 20 - 100 * 10) * 30, rel=1e-9)


@pytest.mark.parametrize(
    ("at", "toward", "fronts"),
    [
        ((), REAR, (50, 130, 210)),  # three of 40, 80 apart, in the middle of 300
        ((), FRONT, (50, 130, 210)),
        (((FRONT, 20.0),), REAR, (20, 100, 180)),
        (((REAR, 20.0),), FRONT, (80, 160, 240)),
        (((BOTTOM, 4.0),), REAR, (50, 130, 210)),
    ],
)
def test_a_row_goes_on_from_its_place_or_is_centred(
    at: tuple[tuple[ww.Side, float], ...], toward: ww.Side, fronts: tuple[float, ...]
) -> None:
    cut = Tenon(side=RIGHT, length=40, width=40, thickness=10, at=at, row=Row(count=3, pitch=80, toward=toward))
    low = 4 if at and at[0][0] is BOTTOM else 5

    ww.expect(BOARD, cut, stands(*(((y, y + 40), (low, low + 10), 40.0) for y in fronts)), {RIGHT: (0, 40)})
    assert ww.volume(BOARD, cut) == pytest.approx((300 * 20 - 3 * 40 * 10) * 40, rel=1e-9)


def test_a_row_may_run_through_the_thickness() -> None:
    cut = Tenon(side=RIGHT, length=40, width=200, thickness=4, row=Row(count=2, pitch=8, toward=TOP))

    ww.expect(BOARD, cut, stands(((50, 250), (4, 8), 40), ((50, 250), (12, 16), 40)), {RIGHT: (0, 40)})


def test_one_as_wide_and_thick_as_the_part_takes_nothing() -> None:
    assert ww.volume(BOARD, Tenon(side=RIGHT, length=40, width=300, thickness=20)) == pytest.approx(0, abs=1e-6)
    assert ww.volume(BOARD, Tongue(side=FRONT, length=40, thickness=20)) == pytest.approx(0, abs=1e-6)


# Laws -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cuts",
    [
        (TONGUE,),
        (TENON,),
        (Tongue(side=FRONT, length=10, thickness=8, at=((TOP, 3.0),)),),
        (
            Tenon(
                side=LEFT,
                length=40,
                width=40,
                thickness=6,
                at=((FRONT, 9.0), (TOP, 2.0)),
                row=Row(count=3, pitch=50, toward=REAR),
            ),
        ),
        (
            Tenon(side=RIGHT, length=40, width=80, thickness=10, at=((FRONT, 30.0),)),
            Tongue(side=RIGHT, length=15, thickness=6),
        ),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cuts: tuple[Tongue | Tenon, ...], axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, *cuts) == pytest.approx(0, abs=1e-6)
    assert tuple(mirrored(mirrored(c, BOARD, axis), BOARD, axis) for c in cuts) == cuts


BESIDE_RIGHT = "`front`, `rear`, `bottom`, `top` serve"


@pytest.mark.parametrize(
    ("cut", "problems"),
    [
        (TONGUE, []),
        (TENON, []),
        (
            Tongue(side=RIGHT, length=10, thickness=21),
            [("thickness", "21 mm is thicker than the part, 20 mm")],
        ),
        (
            Tongue(side=RIGHT, length=10, thickness=8, at=((FRONT, 5.0),)),
            [("at", "a tongue is as wide as the part: place it from `bottom` or `top`")],
        ),
        (
            Tongue(side=RIGHT, length=10, thickness=8, at=((LEFT, 5.0),)),
            [("at", f"a distance from `left` says nothing about a place on `right`; {BESIDE_RIGHT}")],
        ),
        (
            Tenon(side=RIGHT, length=40, width=301, thickness=21),
            [
                ("thickness", "21 mm is thicker than the part, 20 mm"),
                ("width", "301 mm is wider than the part, 300 mm"),
            ],
        ),
        (
            Tenon(side=RIGHT, length=40, width=40, thickness=10, at=((FRONT, 5.0), (REAR, 5.0))),
            [("at", "`rear` and `front` both give the place in one direction; keep one")],
        ),
        (
            Tenon(side=RIGHT, length=40, width=40, thickness=10, row=Row(count=2, pitch=50, toward=LEFT)),
            [("row", f"a row on `right` can't run toward `left`; {BESIDE_RIGHT}")],
        ),
    ],
)  # fmt: skip
def test_what_cannot_be_cut_is_said(cut: Tongue | Tenon, problems: list[tuple[str, str]]) -> None:
    assert list(cut.problems(BOARD)) == problems
