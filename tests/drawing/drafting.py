"""Parts and sheets for tests of the drawings, and what can be read back from a sheet."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

from solids.cuts.arris import Chamfer, Roundover
from solids.cuts.cutout import Cutout
from solids.cuts.hole import Countersink, Hole
from solids.cuts.mortise import Mortise
from solids.cuts.notch import Notch
from solids.cuts.rabbet import Rabbet
from solids.cuts.row import Row
from solids.cuts.saw import Bevel, Compound, Miter
from solids.cuts.taper import Taper
from solids.cuts.tenon import Tenon, Tongue
from solids.cuts.trench import Dado, Groove
from solids.drawing.group import Group
from solids.drawing.part_sheet import part_sheet
from solids.drawing.sheet import Dimension, Mark, Sheet, Text, simple
from solids.drawing.title import Style
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of
from solids.model.geometry import STILL, Vector
from solids.model.part import Blank, Cut, Made, Part, Stock
from solids.model.side import SIDES, Side, sides_of
from solids.units import Units

LEFT, RIGHT, FRONT, REAR, BOTTOM, TOP = Side.LEFT, Side.RIGHT, Side.FRONT, Side.REAR, Side.BOTTOM, Side.TOP


def part_of(blank: Blank, *cuts: Cut, id_: str = "shelf") -> Part:
    made = tuple(Made(f"{c.kind}_{k}", c) for k, c in enumerate(cuts))
    stock = Stock("oak", "white oak", blank.thickness, blank.thickness, True, 750.0, "#b08a5a")
    return Part(id_, blank, STILL, made, stock=stock)


def board(length: float, width: float, thickness: float) -> Blank:
    """Lying flat, along x, its face up."""
    return Blank(Vector(length, width, thickness), 0, TOP)


def group_of(part: Part) -> Group:
    shape = shape_of(part)
    return Group(part, shape.key, manifold_of(shape), part.id, 1, (part.id,))


def drawn(part: Part, units: Units = "mm", **words: str) -> Sheet:
    return part_sheet(group_of(part), solid_of(shape_of(part)), Style.of(words, units, "A piece"))


def texts(sheet: Sheet | Any) -> list[str]:
    """Every line of text on a sheet."""
    return [m.text for m in simple(sheet.marks) if isinstance(m, Text)]


def values(sheet: Sheet) -> list[float]:
    """What its linear and running dimensions say, references in brackets left out; mm."""
    own = [d for d in dimensions(sheet) if d.kind in ("linear", "ordinate") and not d.text.startswith("(")]
    return sorted(round(d.value, 6) for d in own)


def dimensions(sheet: Sheet) -> Iterator[Dimension]:
    for mark in sheet.marks:
        found: Mark = mark
        if isinstance(found, Dimension):
            yield found


def random_part(seed: int, units: Units) -> Part:
    """A board with up to seven cuts of any kind anywhere, sizes as a shop has them; some of them absurd."""
    draw = random.Random(seed)

    def near(mm: float) -> float:
        return round(mm / 25.4 * 16) / 16 * 25.4 if units == "in" else round(mm * 2) / 2

    length, width = near(draw.uniform(120, 900)), near(draw.uniform(50, 420))
    thick = near(draw.choice([12, 18, 19, 20, 25.4, 40]))
    blank = Blank(Vector(length, width, thick), 0, draw.choice([TOP, BOTTOM]), grained=draw.random() < 0.8)
    cuts = [_random_cut(draw, blank, near) for _ in range(draw.randint(0, 7))]
    return part_of(blank, *(c for c in cuts if not list(c.problems(blank))))


def _random_cut(draw: random.Random, blank: Blank, near: Any) -> Any:
    length, width, thick = blank.size
    kind, end = draw.randrange(15), draw.choice([LEFT, RIGHT])
    stop = ((end, near(20)),) if draw.random() < 0.3 else ()
    row = Row(count=draw.randint(2, 4), pitch=near(draw.uniform(30, 60)), toward=RIGHT) if draw.random() < 0.3 else None
    edge, face = draw.choice([FRONT, REAR]), draw.choice([TOP, BOTTOM])
    if kind == 0:
        return Bevel(side=draw.choice([LEFT, RIGHT, FRONT, REAR]), tilt=draw.choice([5, 15, 22.5, 30, 45]), long=face)
    if kind == 1:
        return Miter(side=end, angle=draw.choice([8, 22.5, 30]), long=edge)
    if kind == 2:
        return Compound(side=end, angle=draw.choice([10, 20]), tilt=draw.choice([8, 25]), long=(edge, face))
    if kind == 3:
        side = draw.choice([LEFT, RIGHT, FRONT, REAR])
        return Rabbet(side=side, on=face, width=near(draw.uniform(4, 14)), depth=near(thick * 0.4), stop=stop)
    if kind in (4, 5):
        at = ((LEFT, near(draw.uniform(20, length * 0.8))),)
        return Dado(side=face, at=at, width=near(draw.uniform(6, 20)), depth=near(thick * 0.35), row=row)
    if kind == 6:
        return Groove(side=draw.choice([TOP, BOTTOM, FRONT, REAR]), width=near(6), depth=near(6))
    if kind == 7:
        return Tongue(side=end, length=near(10), thickness=near(thick * 0.4))
    if kind == 8:
        at = ((FRONT, near(width * 0.2)),)
        return Tenon(side=end, length=near(25), width=near(width * 0.5), thickness=near(thick * 0.4), at=at)
    if kind == 9:
        side = draw.choice([TOP, FRONT, REAR, BOTTOM])
        at = ((LEFT, near(draw.uniform(10, length * 0.6))),)
        return Mortise(side=side, at=at, size=(near(30), near(8)), depth=near(thick * 0.5), radius=0.0)
    if kind in (10, 11):
        return _random_hole(draw, blank, near)
    if kind == 12:
        return Notch(corner=((end, near(draw.uniform(10, 60))), (edge, near(draw.uniform(8, 30)))))
    if kind == 13:
        chamfer = Chamfer(sides=(draw.choice([FRONT, REAR, LEFT, RIGHT]),), on=TOP, size=(near(3), near(3)))
        return draw.choice([chamfer, Roundover(sides=(LEFT, RIGHT, FRONT, REAR), on=TOP, radius=near(4))])
    taper = Taper(side=edge, by=((RIGHT, near(width * 0.2)),), stop=((LEFT, near(length * 0.3)),))
    cutout = Cutout(side=TOP, at=((LEFT, near(length * 0.3)),), size=(near(60), near(25)), radius=near(6))
    return draw.choice([taper, cutout])


def _random_hole(draw: random.Random, blank: Blank, near: Any) -> Hole:
    side = draw.choice([TOP, TOP, BOTTOM, FRONT, REAR, LEFT, RIGHT])
    at = tuple(
        (draw.choice(sides_of(axis)), near(draw.uniform(0.1, 0.9) * blank.size[axis]))
        for axis in range(3)
        if axis != side.axis and draw.random() < 0.8
    )
    ways = [s for s in SIDES if s.axis != side.axis and blank.size[s.axis] > 100]
    row = None
    if ways and draw.random() < 0.4:
        row = Row(count=draw.randint(2, 9), pitch=near(draw.uniform(10, 32)), toward=draw.choice(ways))
    sink = Countersink(diameter=near(12)) if draw.random() < 0.2 else None
    depth = draw.choice([None, near(blank.thickness * 0.5)])
    return Hole(side=side, at=at, diameter=near(draw.choice([3, 5, 8])), depth=depth, row=row, countersink=sink)
