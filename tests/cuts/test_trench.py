"""Dadoes and grooves: their walls `width` apart and square to each other, `depth` into a side."""

from __future__ import annotations

import math

import numpy as np
import pytest
import woodwork as ww
from hypothesis import given, settings
from hypothesis import strategies as st
from woodwork import BLANKS, BOARD, BOTTOM, CORNERS, FRONT, LEFT, REAR, RIGHT, SIX, THREE, TOP, Far, Points

from solids.cuts.row import Row
from solids.cuts.trench import Dado, Groove, Trench
from solids.model.field import mirrored
from solids.model.geometry import Vector
from solids.model.part import Blank
from solids.model.side import Side

TAN10, COS10 = math.tan(math.radians(10)), math.cos(math.radians(10))

PLAIN = Dado(side=TOP, at=((LEFT, 100.0),), width=12, depth=6)
TILTED = Dado(side=TOP, at=((LEFT, 100.0),), width=12, depth=6, tilt=10, toward=LEFT)
SWUNG = Dado(side=TOP, at=((LEFT, ((FRONT, 100.0), (REAR, 150.0))),), width=12, depth=6)


# A wall swung by 50 in 300 is hypot(300, 50) / 300 times as wide along the board.
SLOPE = math.hypot(300, 50) / 300


@pytest.mark.parametrize(
    ("cut", "removed", "x"),
    [
        (PLAIN, 12 * 6 * 300, (100, 112)),
        (TILTED, 12 / COS10 * 6 * 300, (100 - 6 * TAN10, 100 + 12 / COS10)),
        (SWUNG, 12 * SLOPE * 6 * 300, (100, 150 + 12 * SLOPE)),
    ],
    ids=["plain", "tilted", "swung"],
)
def test_the_references_examples(cut: Dado, removed: float, x: tuple[float, float]) -> None:
    assert ww.volume(BOARD, cut) == pytest.approx(removed, rel=1e-9)
    assert ww.box(BOARD, cut) == [pytest.approx(x, abs=1e-6), (0, 300), (14, 20)]


def test_the_references_figures() -> None:
    found = [round(ww.volume(BOARD, c), 2) for c in (PLAIN, TILTED, SWUNG)]

    assert found == [21600.00, 21933.21, 21897.95]


def test_its_faces_have_names() -> None:
    assert ww.named(PLAIN) == {
        "left wall": (pytest.approx(6 * 300), (1, 0, 0)),
        "right wall": (pytest.approx(6 * 300), (-1, 0, 0)),
        "floor": (pytest.approx(12 * 300), (0, 0, 1)),
    }
    stopped = Dado(side=TOP, at=((RIGHT, 100.0),), width=12, depth=6, stop=((FRONT, 10),), radius=3)
    found = ww.named(stopped)
    # The walls end 3 short of the stop, and of the stop 12 - 2 x 3 is straight.
    assert found["left wall"] == (pytest.approx(6 * 287), (1, 0, 0))
    assert found["right wall"] == (pytest.approx(6 * 287), (-1, 0, 0))
    assert found["stop"] == (pytest.approx(6 * 6), (0, 1, 0))


# Where it is ------------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
@pytest.mark.parametrize(("side", "q"), CORNERS, ids=ww.told)
def test_it_runs_parallel_to_the_side_in_at_and_its_nearer_wall_is_that_far_from_it(
    blank: Blank, side: Side, q: Side
) -> None:
    cut = Dado(side=side, at=((q, 5.0),), width=12, depth=6)

    def gone(far: Far) -> Points:
        return np.maximum(far[side] - 6, abs(far[q] - 11) - 6)

    ww.expect(blank, cut, gone, {side: (0, 6), q: (5, 17)})
    assert ww.volume(blank, cut) == pytest.approx(12 * 6 * ww.reach(blank, ww.third(side, q)[0]), rel=1e-9)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "q"), CORNERS, ids=ww.told)
def test_tilted_walls_pass_through_the_given_place_on_the_side_and_drift_as_they_go_in(
    blank: Blank, side: Side, q: Side
) -> None:
    for toward, sign in ((q, -1), (ww.ACROSS[q], 1)):
        cut = Dado(side=side, at=((q, 5.0),), width=12, depth=6, tilt=10, toward=toward)

        def gone(far: Far, sign: int = sign) -> Points:
            low = 5 + sign * TAN10 * far[side]
            return np.maximum.reduce([far[side] - 6, low - far[q], far[q] - low - 12 / COS10])

        ww.expect(blank, cut, gone, {side: (0, 6), q: (4, 19)})


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "q"), CORNERS, ids=ww.told)
@pytest.mark.parametrize("tilt", [0, 10])
def test_a_swung_trench_has_its_nearer_wall_as_far_from_the_side_at_each_end_as_it_says(
    blank: Blank, side: Side, q: Side, tilt: float
) -> None:
    near, away = ww.third(side, q)
    toward = ww.ACROSS[q] if tilt else None
    cut = Dado(side=side, at=((q, ((near, 3.0), (away, 5.0))),), width=12, depth=6, tilt=tilt, toward=toward)
    run = ww.reach(blank, near)
    slope = 2 / run
    lean = math.radians(tilt)

    def gone(far: Far) -> Points:
        # Square to the walls: the wall leans by tan(tilt), and the width is `width`; along q both are longer.
        wall = 3 + slope * far[near] + far[side] * math.tan(lean) * math.hypot(1, slope)
        wide = 12 / math.cos(lean) * math.hypot(1, slope)
        return np.maximum.reduce([far[side] - 6, wall - far[q], far[q] - wall - wide])

    ww.expect(blank, cut, gone, {side: (0, 6), q: (3, 18)})
    other = Dado(side=side, at=((q, ((away, 5.0), (near, 3.0))),), width=12, depth=6, tilt=tilt, toward=cut.toward)
    assert ww.volume(blank, other) == pytest.approx(ww.volume(blank, cut), rel=1e-12)


@pytest.mark.parametrize("blank", THREE, ids=ww.told)
@pytest.mark.parametrize(("side", "q"), CORNERS, ids=ww.told)
@pytest.mark.parametrize("radius", [0, 3])
def test_a_stop_leaves_the_wood_before_its_side_with_the_cutters_round_corners(
    blank: Blank, side: Side, q: Side, radius: float
) -> None:
    near, away = ww.third(side, q)
    run = ww.reach(blank, near)
    for stop, span in (
        (((near, 4.0),), (4, run + 99)),
        (((away, 5.0),), (-99, run - 5)),
        (((near, 4.0), (away, 5.0)), (4, run - 5)),
    ):
        cut = Dado(side=side, at=((q, 5.0),), width=12, depth=6, stop=stop, radius=radius)

        def gone(far: Far, span: tuple[float, float] = span) -> Points:
            return np.maximum(ww.rounded_box(far[q], far[near], (5, 17, *span), radius), far[side] - 6)

        ww.expect(blank, cut, gone, {side: (0, 6), q: (5, 17)}, rough=0.01 if radius else 0)
        # (1 - pi/4) r² stays in each of a stop's two corners.
        plan = 12 * (run - sum(d for _, d in stop)) - len(stop) * 2 * (1 - math.pi / 4) * radius**2
        assert ww.volume(blank, cut) == pytest.approx(plan * 6, rel=1e-9)


def test_tilted_walls_may_be_stopped() -> None:
    cut = Dado(side=TOP, at=((LEFT, 100.0),), width=12, depth=6, tilt=10, toward=LEFT, stop=((REAR, 40),))

    def gone(far: Far) -> Points:
        low = 100 - TAN10 * far[TOP]
        return np.maximum.reduce([far[TOP] - 6, low - far[LEFT], far[LEFT] - low - 12 / COS10, 40 - far[REAR]])

    ww.expect(BOARD, cut, gone, {TOP: (0, 6), LEFT: (98, 113)})
    assert ww.volume(BOARD, cut) == pytest.approx(12 / COS10 * 6 * 260, rel=1e-9)


# In a corner of interior angle a, a radius r leaves r² (cot(a/2) - (pi - a)/2). The stop is parallel
# to the end, so a wall swung by phi meets it at 90 + phi on one side and 90 - phi on the other.
@pytest.mark.parametrize(("side", "q"), [(TOP, LEFT), (TOP, RIGHT), (BOTTOM, LEFT), (BOTTOM, RIGHT)])
@pytest.mark.parametrize("radius", [0, 4])
def test_a_swung_trench_may_be_stopped(side: Side, q: Side, radius: float) -> None:
    cut = Dado(
        side=side, at=((q, ((FRONT, 100.0), (REAR, 220.0))),), width=12, depth=6, stop=((REAR, 60),), radius=radius
    )
    slope = 120 / 300
    wide = 12 * math.hypot(1, slope)
    phi = math.atan(slope)
    lost = sum(radius**2 * (1 / math.tan(a / 2) - (math.pi - a) / 2) for a in (math.pi / 2 + phi, math.pi / 2 - phi))

    def gone(far: Far) -> Points:
        wall = 100 + slope * far[FRONT]
        return np.maximum.reduce([far[side] - 6, wall - far[q], far[q] - wall - wide, far[FRONT] - 240])

    if not radius:
        ww.expect(BOARD, cut, gone, {side: (0, 6), q: (100, 200), FRONT: (0, 240)})
    assert ww.volume(BOARD, cut) == pytest.approx((wide * 240 - lost) * 6, rel=1e-9)


# Without a place: centred, and run as the word says. ----------------------------------------------


@pytest.mark.parametrize("blank", SIX, ids=ww.told)
def test_a_direction_without_a_distance_is_centred(blank: Blank) -> None:
    face = ww.broad(blank)[0]
    (end, _), (edge, _) = ww.ends(blank), ww.edges(blank)

    ww.expect(
        blank,
        Dado(side=face, width=12, depth=6),
        lambda far: np.maximum(far[face] - 6, abs(far[end] - 300) - 6),
        {face: (0, 6), end: (294, 306)},
    )
    ww.expect(
        blank,
        Groove(side=face, width=12, depth=6),
        lambda far: np.maximum(far[face] - 6, abs(far[edge] - 150) - 6),
        {face: (0, 6), edge: (144, 156)},
    )
    # Into an edge, a groove runs along the grain; into an end, along the width.
    for side, across in ((edge, face), (end, face)):
        ww.expect(
            blank,
            Groove(side=side, width=8, depth=6),
            lambda far, side=side, across=across: np.maximum(far[side] - 6, abs(far[across] - 10) - 4),
            {side: (0, 6), across: (6, 14)},
        )


def test_a_tilted_trench_without_a_place_has_its_mouth_in_the_middle() -> None:
    cut = Dado(side=TOP, width=12, depth=6, tilt=10, toward=RIGHT)
    wide = 12 / COS10

    assert ww.box(BOARD, cut)[0] == pytest.approx((300 - wide / 2, 300 + wide / 2 + 6 * TAN10))


# Rows -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("at", "toward", "first"),
    [
        (((LEFT, 100.0),), RIGHT, 100.0),
        (((LEFT, 100.0),), LEFT, 100.0 - 2 * 40),
        (((RIGHT, 100.0),), LEFT, 600 - 112 - 2 * 40),
        ((), RIGHT, 294.0 - 40),
        ((), LEFT, 294.0 - 40),
    ],
)
def test_a_row_goes_on_from_its_place_or_is_centred(
    at: tuple[tuple[Side, float], ...], toward: Side, first: float
) -> None:
    cut = Dado(side=TOP, at=at, width=12, depth=6, row=Row(count=3, pitch=40, toward=toward))

    def gone(far: Far) -> Points:
        middles = [first + 6 + 40 * k for k in range(3)]
        return np.maximum(far[TOP] - 6, np.minimum.reduce([abs(far[LEFT] - m) - 6 for m in middles]))

    ww.expect(BOARD, cut, gone, {TOP: (0, 6), LEFT: (first, first + 92)})
    assert ww.volume(BOARD, cut) == pytest.approx(3 * 12 * 6 * 300, rel=1e-9)


def test_a_row_along_the_run_goes_on_from_its_stops() -> None:
    row = Row(count=3, pitch=60, toward=REAR)
    cut = Dado(side=TOP, at=((LEFT, 100.0),), width=12, depth=6, stop=((FRONT, 20), (REAR, 240)), row=row)

    def gone(far: Far) -> Points:
        along = np.minimum.reduce([abs(far[FRONT] - 40 - 60 * k) - 20 for k in range(3)])
        return np.maximum.reduce([far[TOP] - 6, abs(far[LEFT] - 106) - 6, along])

    ww.expect(BOARD, cut, gone, {TOP: (0, 6), LEFT: (100, 112)})


# Laws -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("axis", range(3))
@pytest.mark.parametrize(
    "cut",
    [
        PLAIN,
        TILTED,
        SWUNG,
        Dado(side=TOP, at=((LEFT, ((FRONT, 100.0), (REAR, 150.0))),), width=12, depth=6, tilt=10, toward=RIGHT),
        Dado(side=TOP, at=((RIGHT, ((FRONT, 100.0), (REAR, 150.0))),), width=12, depth=6, stop=((REAR, 20),), radius=4),
        Groove(side=REAR, at=((TOP, 4.0),), width=6, depth=8, stop=((LEFT, 50),), radius=3),
        Dado(side=BOTTOM, at=((LEFT, 100.0),), width=12, depth=6, row=Row(count=3, pitch=40, toward=RIGHT)),
        Groove(side=RIGHT, width=6, depth=8, stop=((FRONT, 50),)),
    ],
)
def test_the_handed_twin_is_its_mirror_image(cut: Trench, axis: int) -> None:
    assert ww.off_from_twin(BOARD, axis, cut) == pytest.approx(0, abs=1e-6)
    assert mirrored(mirrored(cut, BOARD, axis), BOARD, axis) == cut


@given(
    at=st.floats(50, 400),
    other=st.floats(50, 400),
    width=st.floats(1, 60),
    depth=st.floats(0.5, 19),
    tilt=st.floats(0, 40),
)
@settings(max_examples=40, deadline=None)
def test_a_trench_takes_its_width_across_the_walls_times_its_depth_and_its_run(
    at: float, other: float, width: float, depth: float, tilt: float
) -> None:
    cut = Dado(side=TOP, at=((LEFT, ((FRONT, at), (REAR, other))),), width=width, depth=depth, tilt=tilt, toward=RIGHT)
    along = math.hypot(300, other - at)

    # A square shape's numbers are rounded to 1e-9 mm, so that flush walls are one plane: 1e-9 x 300 x 60 mm³ at most.
    taken = width / math.cos(math.radians(tilt)) * depth * along
    assert ww.volume(BOARD, cut) == pytest.approx(taken, rel=1e-9, abs=2e-5)


# Problems ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("blank", BLANKS, ids=ww.told)
@pytest.mark.parametrize(("side", "q"), CORNERS, ids=ww.told)
def test_the_word_must_suit_the_grain_unless_it_is_cut_into_an_end(blank: Blank, side: Side, q: Side) -> None:
    along = side not in ww.ends(blank) and q not in ww.ends(blank)
    across = side not in ww.ends(blank) and q in ww.ends(blank)
    dado, groove = (k(side=side, at=((q, 5.0),), width=12, depth=6) for k in (Dado, Groove))

    no_dado, no_groove = (f"this runs {w}, and so is a" for w in ("along the grain", "across the grain"))
    assert list(dado.problems(blank)) == ([("side", f"{no_dado} `groove`")] if along else [])
    assert list(groove.problems(blank)) == ([("side", f"{no_groove} `dado`")] if across else [])


def test_in_sheet_goods_either_word_serves() -> None:
    sheet = Blank(Vector(600.0, 300.0, 20.0), 0, TOP, grained=False)

    assert list(Groove(side=TOP, at=((LEFT, 5.0),), width=12, depth=6).problems(sheet)) == []
    assert list(Dado(side=TOP, at=((FRONT, 5.0),), width=12, depth=6).problems(sheet)) == []


BESIDE_TOP = "`left`, `right`, `front`, `rear` serve"


@pytest.mark.parametrize(
    ("more", "problems"),
    [
        ({}, []),
        ({"at": ()}, []),
        ({"at": ((TOP, 5.0),)}, [("at", f"a distance from `top` says nothing about a place on `top`; {BESIDE_TOP}")]),
        (
            {"at": ((LEFT, 5.0), (RIGHT, 5.0))},
            [
                ("at", "`right` and `left` both give the place in one direction; keep one"),
                ("at", "a trench runs right across: give the distance from one side only, and `stop` to end it"),
            ],
        ),
        (
            {"at": ((LEFT, 5.0), (FRONT, 5.0))},
            [("at", "a trench runs right across: give the distance from one side only, and `stop` to end it")],
        ),
        (
            {"at": ((LEFT, ((FRONT, 5.0),)),)},
            [("at", "to swing it, give the distance at both ends of its run")],
        ),
        (
            {"at": ((LEFT, ((FRONT, 5.0), (TOP, 6.0))),)},
            [("at", "to swing it, give the distance at `front` and at `rear`")],
        ),
        (
            {"stop": ((LEFT, 5.0),)},
            [("stop", "this cut runs from `front` to `rear` and can't stop short of `left`")],
        ),
        ({"tilt": 10.0}, [("tilt", "tilted walls drift as they go in: say `toward: left` or `toward: right`")]),
        ({"tilt": 10.0, "toward": FRONT}, [("toward", "the walls can lean toward `left` or `right`, not `front`")]),
        ({"radius": 3.0}, [("radius", "a trench that runs out has no corner for a radius; give it a `stop`")]),
        ({"radius": 3.0, "stop": ((FRONT, 5.0),)}, []),
        (
            {"tilt": 10.0, "toward": LEFT, "radius": 3.0, "stop": ((FRONT, 5.0),)},
            [("stop", "a tilted trench can be stopped only where it is neither swung nor rounded")],
        ),
        ({"radius": 6.0, "stop": ((FRONT, 5.0),)}, []),
        ({"radius": 6.1, "stop": ((FRONT, 5.0),)}, [("radius", "a corner radius of 6.1 mm does not fit")]),
        (
            {"stop": ((FRONT, 200.0), (REAR, 100.0))},
            [("stop", "it stops 300 mm short of a run of 300 mm: nothing is left of it")],
        ),
        (
            {"row": Row(count=2, pitch=20, toward=BOTTOM)},
            [("row", f"a row on `top` can't run toward `bottom`; {BESIDE_TOP}")],
        ),
    ],
)
def test_what_cannot_be_cut_is_said(more: dict[str, object], problems: list[tuple[str, str]]) -> None:
    cut = Dado(**{"side": TOP, "at": ((LEFT, 100.0),), "width": 12, "depth": 6, **more})  # type: ignore[arg-type]

    assert list(cut.problems(BOARD)) == problems
