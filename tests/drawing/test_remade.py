"""Parts made again from what is printed on their sheets, and from nothing else: the wood must come out the same.

The sizes are chosen so that few of them can be printed exactly: what is made
again may differ from the solid by what the rounding of each figure allows, and
by no more. Volumes are worked by hand; the solid's own is Open CASCADE's.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

import pytest
import shapely
from drawing.drafting import BOTTOM, FRONT, LEFT, REAR, RIGHT, TOP, board, group_of, part_of
from drawing.reading import Page, allowed, figure

from solids.cuts.arris import Chamfer, Roundover
from solids.cuts.cutout import Cutout
from solids.cuts.hole import Counterbore, Hole
from solids.cuts.mortise import Mortise
from solids.cuts.rabbet import Rabbet
from solids.cuts.row import Row
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.taper import Taper
from solids.cuts.tenon import Tenon
from solids.cuts.trench import Dado
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of
from solids.model.part import Part
from solids.units import Units

BOARD = board(912.34, 287.27, 19.63)
MM, DEGREE = 0.05, 0.005  # half of the last printed digit
SIXTY_FOURTH = 25.4 / 128


def must_be_the_wood(
    part: Part, formula: Callable[..., float], numbers: Sequence[float], halves: Sequence[float]
) -> None:
    truth = float(solid_of(shape_of(part)).Volume())
    made = formula(*numbers)
    least = min(h for h in halves if h)

    assert made == pytest.approx(truth, abs=allowed(formula, numbers, halves) + 1e-6 * truth * least)
    assert abs(made - truth) > 0  # the printed figures are rounded: a sheet that knew better would not be printed


def level(dimensions: Sequence[object]) -> list[float]:
    return sorted(d.value for d in dimensions if d.kind == "linear" and d.level)  # type: ignore[attr-defined]


def upright(dimensions: Sequence[object]) -> list[float]:
    return sorted(d.value for d in dimensions if d.kind == "linear" and not d.level)  # type: ignore[attr-defined]


@pytest.mark.parametrize(("units", "half"), [("mm", MM), ("in", SIXTY_FOURTH)])
def test_a_side_with_a_dado_and_a_rabbet(units: Units, half: float) -> None:
    dado = Dado(side=TOP, at=((LEFT, 150.27),), width=18.33, depth=7.12)
    part = part_of(BOARD, dado, Rabbet(side=FRONT, on=BOTTOM, width=11.41, depth=9.08))
    page = Page(part, units)
    housed = page.section(page.note(r"Dado, section ([A-Z])–\1")[1])
    stepped = page.section(page.note(r"Rabbet, section ([A-Z])–\1")[1])
    thick = max(upright(page.section("A")) + level(page.section("A")))
    (wide,), (deep, *_) = level(housed), upright(housed)
    (across,), (down, *_) = level(stepped), upright(stepped)

    def wood(a: float, b: float, t: float, w: float, d: float, x: float, y: float) -> float:
        return a * b * t - w * d * b - x * y * a  # 7 and 9 of 19 deep: they do not meet

    numbers = (page.length(), page.width(), thick, wide, deep, across, down)
    must_be_the_wood(part, wood, numbers, [half] * 7)
    assert pytest.approx(min(level(page.face())), abs=half) == 150.27


def test_a_board_mitered_at_one_end_and_leaning_at_the_other() -> None:
    part = part_of(BOARD, Miter(side=RIGHT, angle=22.37, long=FRONT), Bevel(side=LEFT, tilt=14.61, long=TOP))
    page = Page(part)
    miter = figure(page.note(r"Miter ([\d.]+)° \([\d.]+°\), long at front")[1])
    (bevel,) = [d.value for d in page.dimensions if d.kind == "angular"]
    thick = max(upright(page.section("A")))

    def wood(a: float, b: float, t: float, m: float, v: float) -> float:
        return a * b * t - b * b * t * math.tan(math.radians(m)) / 2 - b * t * t * math.tan(math.radians(v)) / 2

    numbers = (page.length(), page.width(), thick, miter, bevel)
    must_be_the_wood(part, wood, numbers, [MM, MM, MM, DEGREE, DEGREE])


def test_a_wall_that_leans_and_turns_is_cut_from_both_its_angles() -> None:
    cut = Compound(side=RIGHT, angle=20.13, tilt=11.48, long=(FRONT, TOP))
    part = part_of(BOARD, cut)
    page = Page(part)
    miter = figure(page.note(r"miter ([\d.]+)° \([\d.]+°\) on top")[1])
    blade = figure(page.note(r"blade ([\d.]+)° \([\d.]+°\) from square")[1])
    thick = min(upright(page.face()))

    def wood(a: float, b: float, t: float, m: float, v: float) -> float:
        # The blade's slope is square to its line on the face: along the board that is 1 / cos of the miter as far.
        m, v = math.radians(m), math.radians(v)
        return a * b * t - b * b * t * math.tan(m) / 2 - b * t * t * math.tan(v) / math.cos(m) / 2

    numbers = (page.length(), page.width(), thick, miter, blade)
    must_be_the_wood(part, wood, numbers, [MM, MM, MM, DEGREE, DEGREE])


def test_a_tapered_leg() -> None:
    part = part_of(board(702.46, 61.73, 44.29), Taper(side=FRONT, by=((RIGHT, 23.64),), stop=((LEFT, 148.32),)))
    page = Page(part)
    by = figure(page.note(r"Taper of the front: ([\d.]+) at the right end,")[1])
    start = figure(page.note(r"from nothing ([\d.]+) from the left end \([\d.]+°\)")[1])
    thick = min(upright(page.face()))

    def wood(a: float, b: float, t: float, d: float, s: float) -> float:
        return a * b * t - (a - s) * d / 2 * t

    must_be_the_wood(part, wood, (page.length(), page.width(), thick, by, start), [MM] * 5)


def test_a_panel_with_a_rounded_cutout_a_roundover_and_a_chamfer() -> None:
    part = part_of(
        BOARD,
        Cutout(side=TOP, at=((LEFT, 301.16), (FRONT, 92.21)), size=(120.34, 41.27), radius=9.37),
        Roundover(sides=(FRONT,), on=TOP, radius=6.23),
        Chamfer(sides=(REAR,), on=TOP, size=(5.12, 3.08)),
    )
    page = Page(part)
    cutout = page.note(r"Cutout ([\d.]+) × ([\d.]+) through")
    corner = figure(page.note(r"corners R([\d.]+)")[1])
    shown = [d for letter in "AB" for d in page.section(letter)]
    (bend,) = [d.value for d in shown if d.kind == "radius"]
    (wide,), (down, thick) = level(shown), upright(shown)

    def wood(a: float, b: float, t: float, p: float, q: float, r: float, o: float, c: float, d: float) -> float:
        opening = (p * q - (4 - math.pi) * r * r) * t
        return a * b * t - opening - (1 - math.pi / 4) * o * o * a - c * d / 2 * a

    sizes = figure(cutout[1]), figure(cutout[2])
    numbers = (page.length(), page.width(), thick, *sizes, corner, bend, wide, down)
    must_be_the_wood(part, wood, numbers, [MM] * 9)


def test_a_rail_with_a_mortise_in_its_edge_and_a_tenon() -> None:
    part = part_of(
        board(512.34, 87.27, 29.63),
        Mortise(side=REAR, at=((LEFT, 101.62),), size=(60.23, 8.14), depth=30.41),
        Tenon(side=RIGHT, length=24.58, width=44.36, thickness=9.87, at=((FRONT, 20.04),)),
    )
    page = Page(part)
    mortise = page.note(r"Mortise ([\d.]+) × ([\d.]+), ([\d.]+) deep")
    note = page.note(r"Tenon ([\d.]+) wide, section ([A-Z])–\2")
    shown = page.section(note[2])
    (long,) = level(shown)
    cheek, stands, thick = upright(shown)

    def wood(a: float, b: float, t: float, p: float, q: float, d: float, w: float, s: float, n: float) -> float:
        return (a - s) * b * t - p * q * d + w * s * n

    sizes = tuple(figure(mortise[k]) for k in (1, 2, 3))
    numbers = (page.length(), page.width(), thick, *sizes, figure(note[1]), long, stands)
    must_be_the_wood(part, wood, numbers, [MM] * 9)
    assert cheek == pytest.approx((29.63 - 9.87) / 2, abs=MM + 1e-9)


HOLES = [
    Hole(side=TOP, at=((LEFT, 41.27 + 93.14 * k), (FRONT, 52.36 + 31.08 * (k % 3))), diameter=5.0 + k % 2, depth=12.34)
    for k in range(7)
]
ROW = Row(count=9, pitch=32.02, toward=RIGHT)
SUNK = Counterbore(diameter=17.13, depth=6.21)


def test_a_panel_with_many_holes_is_bored_from_its_table() -> None:
    row = Hole(side=TOP, at=((LEFT, 45.13), (REAR, 37.24)), diameter=5.0, depth=11.22, row=ROW)
    head = Hole(side=TOP, at=((LEFT, 840.09), (FRONT, 60.18)), diameter=9.0, counterbore=SUNK)
    part = part_of(BOARD, *HOLES, row, head)
    page = Page(part)
    rows = page.table("HOLE", "X from left", "Y from front", "SIZE", "ROW")
    thick = min(d.value for d in page.face())
    bores = [bored(size, more) for _, _, _, size, *more in rows]

    assert len(rows) == 9
    assert sum(n for n, *_ in bores) == 7 + 9 + 1

    def wood(a: float, b: float, t: float, *depths: float) -> float:
        gone = sum(
            n * math.pi / 4 * (d * d * (t if k is None else k) + (w * w - d * d) * s)
            for (n, d, _, w, s), k in zip(bores, (*depths[:-1], None), strict=True)
        )
        return a * b * t - gone

    numbers = (page.length(), page.width(), thick, *(deep for _, _, deep, *_ in bores))
    slack = math.pi / 4 * (17.2**2 - 9**2) * MM + math.pi / 2 * 17.2 * 6.3 * MM  # the counterbore's own two figures
    truth = float(solid_of(shape_of(part)).Volume())
    assert wood(*numbers) == pytest.approx(truth, abs=allowed(wood, numbers, [MM] * len(numbers)) + slack)
    must_be_air_at(part, [(figure(x), figure(y), bored(s, m)[1], m) for _, x, y, s, *m in rows])


def bored(size: str, more: Sequence[str]) -> tuple[int, float, float, float, float]:
    """How many, diameter, depth (0 through), and a counterbore's two sizes, as a table prints them."""
    told = re.fullmatch(r"Ø([\d.]+)(?:, ([\d.]+) deep| through)(?:, counterbore Ø([\d.]+), ([\d.]+) deep)?", size)
    assert told is not None, size
    count = int(more[0].split()[0]) if more else 1
    d = float(told[1])
    return count, d, float(told[2] or 0), float(told[3] or d), float(told[4] or 0)


def must_be_air_at(part: Part, holes: Sequence[tuple[float, float, float, Sequence[str]]]) -> None:
    """A millimetre under the face: air at each hole's middle and nearly out to its rim, wood outside it."""
    cut = group_of(part).mesh.slice(19.63 - 7.0).to_polygons()
    wood = shapely.Polygon()
    for ring in cut:
        wood = wood.symmetric_difference(shapely.Polygon(ring))
    for x, y, d, more in holes:
        pitch = float(re.search(r"× ([\d.]+) =", more[0])[1]) if more else 0.0  # type: ignore[index]
        for k in range(int(more[0].split()[0]) if more else 1):
            spot = shapely.Point(x + k * pitch, y)
            assert wood.intersection(spot.buffer(d / 2 - 0.3)).is_empty, (x, y)
            assert wood.contains(shapely.LineString(spot.buffer(d / 2 + 0.3).exterior.coords)), (x, y)
