"""The numbers that both kernels make a part from: its blank and its tools, on the bench."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, replace
from functools import lru_cache
from operator import itemgetter

from solids.cuts import wastes
from solids.model.geometry import STILL, Bore, Corner, Frame, Plane, Prism, Vector, Waste, arc, outline_area, sides
from solids.model.part import Blank, Cut, Made, Part

OVER = 1.0  # mm that a tool's side flush with the blank's surface is pushed beyond it
SAME = 1e-6  # mm: planes nearer than this are one plane
DIGITS = 9  # decimals that a number is rounded to before two shapes are called the same


@dataclass(frozen=True, slots=True)
class Tool:
    """One thing taken away, which of the part's cuts asked for it, and its place among all as the spec has them."""

    waste: Waste
    cut: int
    order: int = 0


@dataclass(frozen=True, slots=True)
class Shape:
    """A part with no name and no place: the blank less its tools, x along the grain, z out of the face.

    Two parts with the same `key` are the same wood.
    """

    blank: Prism
    tools: tuple[Tool, ...]
    key: str


def shape_of(part: Part) -> Shape:
    """The part's wood on the bench."""
    return _cut(part.blank, tuple(m.cut for m in part.cuts))


@lru_cache(maxsize=8192)
def _cut(blank: Blank, cuts: tuple[Cut, ...]) -> Shape:
    """A blank with cuts, on the bench; kept, for most parts have their like, and most trials leave most as they are."""
    to_bench = STILL.seen_from(blank.bench())
    wood = clean(blank.prism().moved(to_bench))
    assert isinstance(wood, Prism)
    support = supporting_planes(wood)
    tools: list[Tool] = []
    for k, made in wastes(blank, [Made("", c) for c in cuts]):
        for waste in made:
            moved = clean(waste.moved(to_bench))
            if isinstance(moved, Prism) and outline_area(moved.outline) < SAME:
                continue  # two stands a rounding error apart leave a block without width between them
            tools.append(Tool(proud(moved, support) if isinstance(moved, Prism) else moved, k, len(tools)))
    # In one order whatever the spec's: two walls of a ring are one wood, though their miters are listed crosswise.
    numbered = sorted(((_numbers(t.waste), t) for t in tools), key=itemgetter(0))
    return Shape(wood, tuple(t for _, t in numbered), _key([_numbers(wood), *(n for n, _ in numbered)]))


def _key(numbers: list[str]) -> str:
    """A hash of the numbers alone; names and what asked for a cut don't change the wood."""
    return hashlib.sha256("|".join(numbers).encode()).hexdigest()[:32]


def nearly(shape: Shape, digits: int) -> str:
    """What two parts share that are the same wood to so many decimals, however their numbers were worked out."""
    return "|".join([_numbers(shape.blank, digits), *sorted(_numbers(t.waste, digits) for t in shape.tools)])


def _numbers(waste: Waste, digits: int = DIGITS) -> str:
    if isinstance(waste, Plane):
        numbers = [*waste.normal, waste.offset]
    elif isinstance(waste, Bore):
        numbers = [*waste.start, *waste.axis, waste.radius, waste.far_radius, waste.depth]
    else:
        f = waste.frame
        numbers = [*f.x, *f.y, *f.z, *f.origin, waste.depth, *(v for c in waste.outline for v in c)]
    return type(waste).__name__ + ",".join(repr(round(v, digits) + 0.0) for v in numbers)


def clean(waste: Waste) -> Waste:
    """The same shape with square directions made exact, and the numbers of square shapes free of rounding noise.

    372 + 18 and 400 - 10 must be the same number, or two walls in one plane
    leave a skin between them. A slanted shape is never rounded.
    """
    if isinstance(waste, Bore):
        return replace(waste, axis=_snapped(waste.axis))
    if isinstance(waste, Plane):
        n = _snapped(waste.normal)
        square = 1.0 in (abs(n.x), abs(n.y), abs(n.z))
        return replace(waste, normal=n, offset=round(waste.offset, DIGITS) if square else waste.offset)
    f = waste.frame
    snapped = Frame(_snapped(f.x), _snapped(f.y), _snapped(f.z), f.origin)
    if not is_square(snapped):
        return replace(waste, frame=snapped)
    origin = Vector(*(round(c, DIGITS) + 0.0 for c in f.origin))
    outline = tuple(Corner(round(c.a, DIGITS), round(c.b, DIGITS), c.bulge) for c in waste.outline)
    return replace(waste, frame=snapped._replace(origin=origin), outline=outline, depth=round(waste.depth, DIGITS))


def _snapped(v: Vector) -> Vector:
    if max(abs(c) for c in v) > 1 - 1e-14:
        return Vector(*(float(round(c)) + 0.0 for c in v))
    return v


def is_square(frame: Frame) -> bool:
    """Whether all three axes run along those of the bench."""
    return all(max(abs(c) for c in v) == 1.0 for v in frame[:3])


def planes(waste: Waste) -> list[Plane | None]:
    """The planes of a shape's sides, looking out of it; None where a side is round."""
    if isinstance(waste, Plane):
        return [Plane(waste.normal.times(-1), -waste.offset, waste.name)]
    if isinstance(waste, Bore):
        end = waste.start.plus(waste.axis.times(waste.depth))
        floor = Plane.through(end, waste.axis, "floor") if waste.far_radius else None
        return [None, Plane.through(waste.start, waste.axis.times(-1), "mouth"), floor]
    return _prism_planes(waste)


def _prism_planes(prism: Prism) -> list[Plane | None]:
    """Of each side of the outline, then the floor and the lid. Written out in numbers: all parts' sides pass here."""
    x, y, z, o = prism.frame
    out: list[Plane | None] = []
    for (p, q), name in zip(sides(prism.outline), prism.names, strict=False):
        if p.bulge:
            out.append(None)
            continue
        a, b = q.b - p.b, p.a - q.a
        k = 1 / math.sqrt(a * a + b * b)
        n = Vector((x.x * a + y.x * b) * k, (x.y * a + y.y * b) * k, (x.z * a + y.z * b) * k)
        out.append(Plane(n, n.dot(o) + (a * p.a + b * p.b) * k, name))
    depth = z.dot(o)
    out.append(Plane(z.times(-1), -depth, prism.names[-2]))
    out.append(Plane(z, depth + prism.depth, prism.names[-1]))
    return out


def names(waste: Waste) -> tuple[str, ...]:
    """The names of a shape's sides, in the order of `planes`."""
    if isinstance(waste, Plane):
        return (waste.name,)
    if isinstance(waste, Bore):
        return (waste.name, "mouth", "floor")
    return waste.names


def supporting_planes(blank: Prism) -> list[Plane]:
    """The sides of a blank that all of it lies behind."""
    found = [p for p in planes(blank) if p is not None]
    if len(found) == 6 and len(blank.outline) == 4 and blank.names[:4] == ("front", "right", "rear", "left"):
        return found  # a plain board
    points = [blank.frame.point(Vector(a, b, z)) for a, b in _extremes(blank) for z in (0.0, blank.depth)]
    return [p for p in found if all(p.normal.dot(x) <= p.offset + SAME for x in points)]


def _extremes(prism: Prism) -> list[tuple[float, float]]:
    """Corners of an outline, and the four far points of each of its arcs' circles."""
    points = [(c.a, c.b) for c in prism.outline]
    for p, q in sides(prism.outline):
        if p.bulge:
            a, b, r, start, swept = arc(p, q)
            for k in range(1, 9):
                t = start + swept * k / 9
                points.append((a + r * math.cos(t), b + r * math.sin(t)))
    return points


def proud(tool: Prism, support: list[Plane]) -> Prism:
    """The tool with each side that is flush with the blank's surface moved out of the wood: no skins."""
    flush = [p is not None and any(_same(p, s) for s in support) for p in planes(tool)]
    if not any(flush):
        return tool
    floor, lid = flush[-2], flush[-1]
    frame, depth = tool.frame, tool.depth + OVER * (floor + lid)
    if floor:
        frame = frame._replace(origin=frame.point(Vector(0.0, 0.0, -OVER)))
    outline, names = _widened(tool, flush[:-2])
    return replace(tool, frame=frame, depth=depth, outline=outline, names=names)


def _same(a: Plane, b: Plane) -> bool:
    return a.normal.dot(b.normal) > 1 - 1e-9 and abs(a.offset - b.offset) < SAME


def _widened(tool: Prism, flush: list[bool]) -> tuple[tuple[Corner, ...], tuple[str, ...]]:
    """The outline and names with its flush sides stepped out square by `OVER`; a jog joins each to its neighbours."""
    corners: list[Corner] = []
    names: list[str] = []
    n = len(tool.outline)
    for k, (p, q) in enumerate(sides(tool.outline)):
        name = tool.names[k]
        if not flush[k]:
            corners.append(p)
            names.append(name)
            continue
        long = math.hypot(q.a - p.a, q.b - p.b)
        da, db = (q.b - p.b) / long * OVER, (p.a - q.a) / long * OVER
        before, after = flush[k - 1], flush[(k + 1) % n]
        start = _met(tool.outline, k, da, db, before)
        if not before:
            corners.append(p)
            names.append(name)
        corners.append(start)
        names.append(name)
        if not after:
            corners.append(Corner(q.a + da, q.b + db))
            names.append(name)
    return tuple(corners), (*names, *tool.names[-2:])


def _met(outline: tuple[Corner, ...], k: int, da: float, db: float, before: bool) -> Corner:
    """Where a stepped-out side begins: at its own start moved out, or where two such sides meet."""
    p = outline[k]
    if not before:
        return Corner(p.a + da, p.b + db)
    o = outline[k - 1]
    long = math.hypot(p.a - o.a, p.b - o.b)
    ea, eb = (p.b - o.b) / long * OVER, (o.a - p.a) / long * OVER
    cross = da * eb - db * ea
    if abs(cross) < 1e-9:
        return Corner(p.a + da, p.b + db)
    d2, e2 = da * p.a + db * p.b + OVER * OVER, ea * p.a + eb * p.b + OVER * OVER
    return Corner((d2 * eb - e2 * db) / cross, (da * e2 - ea * d2) / cross)
