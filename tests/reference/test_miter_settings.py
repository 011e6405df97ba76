"""Published settings of the miter gauge and the blade, read back from the faces of solids.

Two neighbours of a regular box of n boards are set up with plain vectors, each
leaned from flat by the slope, one turned from the other by 360/n. The plane
between them is what the saw must make. It goes in as a plane; what comes out
is measured on the finished board with a square and a protractor.
"""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import NamedTuple

import numpy as np
import pytest
import woodwork as ww
from numpy.typing import NDArray

from solids.cuts.saw import Bevel, Compound, Miter, sawn
from solids.kernel.faces import faces_of
from solids.kernel.mesh import TOOL, manifold_of
from solids.model.geometry import Plane, Vector
from solids.model.part import Blank

LENGTH, WIDTH, THICKNESS = 2000.0, 120.0, 19.0
PRINTED = 0.01  # the tables have two decimals; so near must the geometry come


class Setting(NamedTuple):
    """One row of a printed table. `slope` is from flat: 0 is a frame on a table, 90 a box with upright sides."""

    sides: int
    slope: float
    miter: float | None
    tilt: float
    note: str


def settings() -> list[Setting]:
    with (Path(__file__).parent / "miter.csv").open(encoding="utf-8", newline="") as file:
        return [
            Setting(
                int(row["sides"]),
                float(row["slope_from_flat_deg"]),
                float(row["miter_gauge_deg"]) if row["miter_gauge_deg"] else None,
                float(row["blade_tilt_deg"]),
                row["note"],
            )
            for row in csv.DictReader(file)
        ]


SETTINGS = settings()


def plane_between(sides: int, slope: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The plane between a board and its right-hand neighbour, in the board's axes: a point, and what is square to it.

    The board lies along x, leans up and in by `slope` from its outer lower
    edge, and looks up or out; the box stands about the upright through 0.
    """
    s, turn = math.radians(slope), math.radians(360 / sides)
    about = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    along, across, face = np.array([[1, 0, 0], [0, math.cos(s), math.sin(s)], [0, -math.sin(s), math.cos(s)]])
    # The mirror that takes a board to its neighbour takes its length to the other's, run backward.
    mirror = along + about @ along
    mirror /= np.linalg.norm(mirror)
    for own, other in ((along, -about @ along), (across, about @ across), (face, about @ face)):
        assert own - 2 * (own @ mirror) * mirror == pytest.approx(other, abs=1e-12)
    # Where the outer lower edges meet: both 500 from the upright, the second's edge along `about @ along`.
    edge, next_edge = np.array([0, -500.0, 0]), about @ np.array([0, -500.0, 0])
    steps = np.linalg.solve(np.column_stack([along, -(about @ along)])[:2], (next_edge - edge)[:2])
    corner = edge + steps[0] * along
    start = corner - (LENGTH - 600) * along  # the board's least corner: 1400 along it lies the meeting point
    axes = np.array([along, across, face])
    return axes @ (corner - start), axes @ mirror


def cut_board(sides: int, slope: float) -> tuple[Blank, Bevel | Miter | Compound]:
    blank = Blank(Vector(LENGTH, WIDTH, THICKNESS), 0, ww.TOP)
    point, normal = plane_between(sides, slope)
    cut = sawn(blank, ww.RIGHT, Plane.through(Vector(*point.tolist()), Vector(*normal.tolist())))
    assert cut is not None
    return blank, cut


def measured(blank: Blank, cut: Bevel | Miter | Compound) -> tuple[float, float]:
    """The miter gauge and the blade, in degrees, as read on the one face that the saw left."""
    shape = ww.shape(blank, cut)
    found = faces_of(shape, manifold_of(shape))
    (k,) = np.flatnonzero(found.source >= TOOL)
    normal = found.normal[k]

    # The outline on the solid must lie in the plane that bears the face's name.
    first = int(found.point_counts[:k].sum())
    ring = found.points[first : first + int(found.point_counts[k])]
    assert ring @ normal == pytest.approx(np.full(len(ring), found.offset[k]), abs=1e-6)
    assert len(ring) == 4

    trace = np.cross(normal, (0, 0, 1))  # where the cut meets the broad face
    gauge = math.degrees(math.atan2(abs(trace[0]), abs(trace[1])))  # from square across the board
    return gauge, math.degrees(math.asin(abs(normal[2])))


def test_the_tables_are_whole() -> None:
    assert len(SETTINGS) == 101
    assert {(s.sides, s.slope) for s in SETTINGS} >= {(n, p) for n in range(4, 11) for p in range(0, 51, 5)}
    assert sum(s.miter is None for s in SETTINGS) == 8


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda s: f"{s.sides}-sides-{s.slope:g}")
def test_the_printed_settings_are_read_on_the_finished_board(setting: Setting) -> None:
    gauge, tilt = measured(*cut_board(setting.sides, setting.slope))
    slip = 0.02 if setting.note.startswith("a slip of the print") else 0.0

    assert tilt == pytest.approx(setting.tilt, abs=PRINTED)
    if setting.miter is not None:
        assert gauge == pytest.approx(setting.miter + slip, abs=PRINTED)


def test_the_one_slip_of_the_print_is_a_slip() -> None:
    (slip,) = (s for s in SETTINGS if s.note.startswith("a slip of the print"))
    # tan(miter) = cos(slope) tan(180/n): cos 25 x tan 25.714 = 0.43643, atan 23.58.
    by_hand = math.degrees(math.atan(math.cos(math.radians(25)) * math.tan(math.pi / 7)))

    assert (slip.sides, slip.slope, slip.miter) == (7, 25, 23.56)
    assert round(by_hand, 2) == 23.58
    assert measured(*cut_board(7, 25))[0] == pytest.approx(by_hand, abs=1e-9)


@pytest.mark.parametrize(("sides", "slope"), [(4, 45), (6, 12), (5, 90), (8, 0), (3, 30)])
def test_the_settings_follow_the_formulas(sides: int, slope: float) -> None:
    # tan(miter) = cos(slope) tan(180/n) and sin(tilt) = sin(slope) sin(180/n), by plane trigonometry.
    s, half = math.radians(slope), math.pi / sides
    gauge, tilt = measured(*cut_board(sides, slope))

    assert math.tan(math.radians(gauge)) == pytest.approx(math.cos(s) * math.tan(half), abs=1e-9)
    assert math.sin(math.radians(tilt)) == pytest.approx(math.sin(s) * math.sin(half), abs=1e-9)


@pytest.mark.parametrize("setting", [s for s in SETTINGS if s.sides in (4, 7)], ids=lambda s: f"{s.sides}-{s.slope:g}")
def test_the_cut_goes_through_the_line_where_the_boards_meet(setting: Setting) -> None:
    blank, cut = cut_board(setting.sides, setting.slope)
    point, normal = plane_between(setting.sides, setting.slope)
    plane = cut.plane(blank)

    assert tuple(plane.normal) == pytest.approx(tuple(normal), abs=1e-12)
    assert np.array(plane.normal) @ point == pytest.approx(plane.offset, abs=1e-9)


# Upright boards that meet at an inside angle: each is cut at half of it, so the blade tilts 90 - angle/2.
@pytest.mark.parametrize(
    ("inside", "tilt"),
    [(30, 75), (45, 67.5), (60, 60), (72, 54), (90, 45), (100, 40), (108, 36), (120, 30), (900 / 7, 180 / 7),
     (135, 22.5), (140, 20), (144, 18), (150, 15)],
)  # fmt: skip
def test_an_upright_corner_is_cut_at_half_its_inside_angle(inside: float, tilt: float) -> None:
    # The board along x, the other at `inside` from it; the plane between them holds the upright (its width, y
    # here) and the direction half way. The inside is where the face (z) looks.
    half = math.radians(inside / 2)
    blank = Blank(Vector(LENGTH, WIDTH, THICKNESS), 0, ww.TOP)
    cut = sawn(blank, ww.RIGHT, Plane.through(Vector(1500.0, 0.0, 0.0), Vector(math.sin(half), 0.0, math.cos(half))))
    assert isinstance(cut, Bevel)
    gauge, blade = measured(blank, cut)

    assert gauge == pytest.approx(0, abs=1e-9)
    assert blade == pytest.approx(tilt, abs=1e-9)
    assert cut.long is ww.BOTTOM
