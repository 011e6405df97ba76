"""Random parts full of awkward coincidences, the same for the same seed.

Run `python -m kernel.nasty 2000` from `tests/` to compare the kernels on that
many; a first seed may follow.
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from solids.cuts import CUTS
from solids.cuts.hole import Counterbore, Countersink, Slot
from solids.cuts.row import Row
from solids.model.geometry import STILL, Corner, Plane, Vector, rounded
from solids.model.part import Blank, Made, Part
from solids.model.side import Side, sides_of

INCH = 25.4  # mm, exactly


@dataclass(frozen=True)
class Bench:
    """One blank and the numbers that its cuts share, so that their walls and floors meet."""

    pick: random.Random
    blank: Blank
    at: tuple[float, ...]
    width: float
    depth: float
    rabbet: float

    @property
    def end(self) -> Side:
        return self.blank.ends[1]

    @property
    def edge(self) -> Side:
        return self.blank.edges[1]

    @property
    def face(self) -> Side:
        return self.blank.broad[1]

    def any(self, *options: Any) -> Any:
        return self.pick.choice(options)

    def x(self) -> float:
        return self.pick.choice(self.at)


def bench(pick: random.Random) -> Bench:
    """A blank lying any of the ways that a board may lie."""
    length = pick.choice([400.0, 600.0, 23.5 * INCH])
    width = pick.choice([200.0, 300.0, 7.25 * INCH])
    thick = pick.choice([18.0, 19.05, 23 / 32 * INCH, 12.7])
    grain, across, through = pick.choice([(0, 1, 2), (0, 1, 2), (1, 0, 2), (2, 0, 1), (0, 2, 1), (2, 1, 0)])
    size = [0.0, 0.0, 0.0]
    size[grain], size[across], size[through] = length, width, thick
    blank = Blank(Vector(*size), grain, sides_of(through)[pick.randint(0, 1)], grained=False)
    rabbet = pick.choice([9.525, 6.35, 10.0, thick / 2])
    places = [80.0, 120.0, 152.4, 200.0, 260.0, 300.0, length - rabbet - 18.0, length - rabbet - thick]
    depth = pick.choice([6.35, thick / 3, 6.0, thick / 2, thick / 2])
    return Bench(pick, blank, tuple(pick.sample(places, 3)), pick.choice([18.0, thick, 6.0]), depth, rabbet)


def _saw(b: Bench) -> Any:
    side, face = b.any(*b.blank.ends, *b.blank.edges), b.any(*b.blank.broad)
    tilt = b.any(0.0, 45.0, 15.0, 37.5, 7.5)
    if side in b.blank.edges or b.pick.random() < 0.6:
        return CUTS["bevel"](side=side, tilt=tilt, long=face, inset=b.any(0.0, 0.0, b.rabbet))
    edge = b.any(*b.blank.edges)
    if b.pick.random() < 0.5:
        return CUTS["miter"](side=side, angle=b.any(45.0, 12.0, 30.0), long=edge)
    return CUTS["compound"](side=side, angle=b.any(12.0, 30.0), tilt=b.any(10.0, 22.5), long=(edge, face))


def _rabbet(b: Bench) -> Any:
    side = b.any(b.edge, b.edge, b.end, *b.blank.ends, *b.blank.edges)
    depth = b.any(b.depth, b.depth, b.blank.thickness / 2, b.blank.thickness)
    stop: Any = ()
    radius = 0.0
    if b.pick.random() < 0.3:
        axis = b.blank.grain if side in b.blank.edges else b.blank.across
        stop = ((sides_of(axis)[b.pick.randint(0, 1)], b.any(20.0, b.rabbet)),)
        radius = b.any(0.0, 3.0)
    return CUTS["rabbet"](side=side, on=b.face, width=b.rabbet, depth=depth, stop=stop, radius=radius)


def _dado(b: Bench) -> Any:
    x, stop, radius = b.x(), (), 0.0
    if b.pick.random() < 0.5:  # ends at the rabbet's wall, short of it, or before it
        stop = ((b.any(*b.blank.edges), b.any(b.rabbet, b.rabbet + 40.0, 20.0)),)
        radius = b.any(0.0, 0.0, b.width / 2, 2.0)
    tilt = b.any(0.0, 0.0, 0.0, 10.0, 8.0) if not radius else 0.0
    start = b.blank.ends[0]
    at: Any = ((start, x),)
    if b.pick.random() < 0.25 and not (tilt and stop):
        low, high = b.blank.edges
        at = ((start, ((low, x), (high, x + b.any(30.0, -25.0, 7.0)))),)
    return CUTS["dado"](
        side=b.any(b.face, b.face, b.face.opposite),
        at=at,
        width=b.width,
        depth=b.any(b.depth, b.depth, b.blank.thickness / 2),
        tilt=tilt,
        toward=b.any(*b.blank.ends) if tilt else None,
        stop=stop,
        radius=radius,
    )


def _groove(b: Bench) -> Any:
    return CUTS["groove"](
        side=b.any(b.face, b.face, b.edge),
        at=((b.any(*b.blank.edges), b.any(20.0, 30.0, b.rabbet, 0.0)),) if b.pick.random() < 0.8 else (),
        width=b.any(b.width, 6.0),
        depth=b.any(b.depth, 6.35),
        stop=((b.blank.ends[0], b.any(b.x(), 50.0)),) if b.pick.random() < 0.4 else (),
    )


def _hole(b: Bench) -> Any:
    """Tangent to a dado's wall, on the wall, or in its middle; as deep as the dado, deeper, or through."""
    diameter = b.any(5.0, 8.0, b.width)
    x = b.x() + b.any(0.0, diameter / 2, -diameter / 2, b.width / 2, b.width + diameter / 2, 2.5)
    more: dict[str, Any] = {"depth": b.any(b.depth, b.depth + 5.0, None, b.blank.thickness * 0.6)}
    extra = b.any("", "", "", "tilt", "bore", "sink", "slot", "row")
    if extra == "tilt":
        more |= {"tilt": b.any(20.0, 10.0, 45.0), "toward": b.any(*b.blank.ends, *b.blank.edges)}
    elif extra == "bore":
        more["counterbore"] = Counterbore(diameter=diameter + b.any(4.0, 8.0), depth=b.depth)
    elif extra == "sink":
        more["countersink"] = Countersink(diameter=diameter + 6.0, angle=b.any(90.0, 82.0))
    elif extra == "slot":
        more["slot"] = Slot(length=diameter + 20.0, toward=b.any(*b.blank.ends, *b.blank.edges))
    elif extra == "row":
        more["row"] = Row(count=4, pitch=b.any(32.0, diameter, diameter * 0.7), toward=b.any(b.edge, b.end))
    at = ((b.blank.ends[0], x), (b.blank.edges[0], b.any(60.0, 37.0, 22.5, b.rabbet)))
    if extra != "row" and b.pick.random() < 0.2:
        at = ((b.blank.ends[0], x), (b.blank.broad[0], b.blank.thickness / 2))
        more.pop("slot", None)
        return CUTS["hole"](side=b.edge, at=at, diameter=5.0, depth=30.0)
    return CUTS["hole"](side=b.any(b.face, b.face.opposite), at=at, diameter=diameter, **more)


def _tenon(b: Bench) -> Any:
    thick = b.any(b.blank.thickness - 2 * b.depth, b.blank.thickness - b.depth, 6.0)
    if b.pick.random() < 0.5:
        side = b.any(*b.blank.ends, b.edge)
        return CUTS["tongue"](side=side, length=b.any(10.0, b.rabbet), thickness=max(thick, 1.0))
    row = Row(count=b.any(2, 3), pitch=b.any(50.0, 60.0), toward=b.edge) if b.pick.random() < 0.4 else None
    width = b.any(40.0, 50.0) if row else b.any(100.0, b.blank.width - b.rabbet, 150.0)
    at = ((b.blank.broad[0], b.any(b.depth, 0.0)),) if b.pick.random() < 0.5 else ()
    return CUTS["tenon"](
        side=b.any(*b.blank.ends), length=b.any(40.0, 25.0), width=width, thickness=max(thick, 1.0), at=at, row=row
    )


def _mortise(b: Bench) -> Any:
    """Into the edge or the face, some side by side so that two walls lie in one plane."""
    row = Row(count=2, pitch=b.any(60.0, 80.0), toward=b.end) if b.pick.random() < 0.5 else None
    side = b.any(b.edge, b.face, b.face)
    size = (60.0, b.any(8.0, 6.0))
    return CUTS["mortise"](
        side=side,
        at=((b.blank.ends[0], b.x()),) if row is None or b.pick.random() < 0.7 else (),
        size=size,
        depth=b.any(30.0, b.depth, None) if side is b.edge else b.any(b.depth, 6.0, None),
        radius=b.any(0.0, size[1] / 2, 2.0),
        row=row,
    )


def _cutout(b: Bench) -> Any:
    """A recess as deep as a dado, an opening, a round one, an outline, or one that only touches the part."""
    depth = b.any(b.depth, b.depth, None)
    kind = b.any("size", "size", "round", "outline", "touch")
    low = b.blank.edges[0]
    if kind == "round":
        at = ((b.blank.ends[0], b.x()), (low, b.any(60.0, 100.0)))
        return CUTS["cutout"](side=b.face, at=at, diameter=b.any(35.0, 60.0, 26.0), depth=depth)
    if kind == "outline":
        x, r = b.x(), b.any(0.0, 8.0)
        plan = rounded([(x, 50.0, r), (x + 70.0, 50.0, 0.0), (x + 40.0, 90.0, r), (x + b.width, 130.0, 0.0)])
        return CUTS["cutout"](side=b.face, outline=plan, depth=depth)
    if kind == "touch":
        return CUTS["cutout"](side=b.face, at=((b.blank.ends[0], 50.0), (low, -20.0)), size=(40.0, 20.0), depth=depth)
    at = ((b.blank.ends[0], b.x() + b.any(0.0, b.width)), (low, b.any(60.0, 20.0, b.rabbet)))
    size, radius = (b.any(60.0, 120.0), 40.0), b.any(0.0, 10.0, 20.0)
    return CUTS["cutout"](side=b.face, at=at, size=size, radius=radius, depth=depth)


def _notch(b: Bench) -> Any:
    corner = ((b.any(*b.blank.ends), b.any(50.0, b.rabbet)), (b.any(*b.blank.edges), b.any(80.0, 20.0, b.rabbet)))
    return CUTS["notch"](corner=corner)


def _arris(b: Bench) -> Any:
    """One arris, two that meet, or all four round the corners."""
    ends, edges = b.blank.ends, b.blank.edges
    chosen = b.any((edges[0],), (edges[0], ends[1]), (edges[0], ends[1], edges[1], ends[0]))
    on = b.any(b.face, b.face.opposite)
    if b.pick.random() < 0.5:
        return CUTS["chamfer"](sides=chosen, on=on, size=b.any((3.0, 3.0), (5.0, 2.0), (b.depth, b.depth)))
    return CUTS["roundover"](sides=chosen, on=on, radius=b.any(6.0, 3.0, b.depth))


def _taper(b: Bench) -> Any:
    end = b.any(*b.blank.ends)
    stop = ((end.opposite, b.any(100.0, b.x())),) if b.pick.random() < 0.6 else ()
    return CUTS["taper"](side=b.any(*b.blank.edges), by=((end, b.any(20.0, 60.0)),), stop=stop)


def _trim(b: Bench) -> Any:
    """A plane askew in all three directions, or flush with the blank and so taking nothing."""
    end = b.any(*b.blank.ends)
    if b.pick.random() < 0.2:
        return CUTS["trim"](side=end, to=b.blank.plane(end))
    lean = end.outward.plus(b.edge.outward.times(b.any(0.1, -0.05, 0.0))).plus(b.face.outward.times(b.any(0.2, -0.1)))
    middle = b.blank.middle().plus(end.outward.times(b.blank.length / 2 - b.any(20.0, b.rabbet)))
    return CUTS["trim"](side=end, to=Plane.through(middle, lean))


MAKERS: tuple[Callable[[Bench], Any], ...] = (
    _saw, _saw, _rabbet, _rabbet, _dado, _dado, _dado, _groove, _groove, _hole, _hole, _hole,
    _tenon, _mortise, _cutout, _cutout, _notch, _arris, _arris, _taper, _trim,
)  # fmt: skip


def _shaped(b: Bench) -> Blank:
    """Now and then a blank with an outline of its own: a curved edge and a slanting end."""
    if b.pick.random() > 0.1:
        return b.blank
    length, width = b.blank.length, b.blank.width
    bulge = b.any(0.0, 0.1, -0.1, math.tan(math.radians(90) / 4))
    curve = Corner(length - 30.0, width, bulge)
    outline = (Corner(0, 0), Corner(length, 0), curve, Corner(length / 2, width), Corner(0, width))
    return Blank(b.blank.size, b.blank.grain, b.blank.face, outline, grained=False)


def _fits(cut: Any, blank: Blank) -> bool:
    """Whether a spec could ask for it."""
    if any(cut.problems(blank)):
        return False
    try:
        return bool(cut.waste(blank))
    except ValueError:  # a radius that its corner has no room for
        return False


def nasty_part(seed: int) -> Part:
    """The part of a seed: three to nine cuts, in any order."""
    b = bench(random.Random(seed))
    blank = _shaped(b)
    cuts = [b.pick.choice(MAKERS)(b) for _ in range(b.pick.randint(3, 9))]
    made = tuple(Made(f"c{k}", c) for k, c in enumerate(cuts) if _fits(c, blank))
    return Part(f"nasty{seed}", blank, STILL, made)


def complaints(seed: int, spent: dict[str, float] | None = None) -> Iterator[str]:
    """All that is wrong with how the kernels make one part; `spent` gathers seconds by step."""
    from solids.kernel.agree import differences
    from solids.kernel.faces import faces_of
    from solids.kernel.mesh import manifold_of
    from solids.kernel.shape import shape_of
    from solids.kernel.solid import solid_of
    from solids.kernel.triangles import OpenMesh, triangles_of

    spent = {} if spent is None else spent

    def timed(step: str, call: Callable[..., Any], *given: Any) -> Any:
        began = time.perf_counter()
        result = call(*given)
        spent[step] = spent.get(step, 0.0) + time.perf_counter() - began
        return result

    shape = shape_of(nasty_part(seed))
    faces = timed("mesh and faces", lambda: faces_of(shape, manifold_of(shape)))
    solid = timed("solid", solid_of, shape)
    yield from timed("agree", differences, shape, faces, solid)
    if not solid.isValid():
        yield "the solid is not valid"
    try:
        timed("triangles", triangles_of, solid)
    except OpenMesh as problem:
        yield str(problem)


def main(count: int, first: int = 0) -> None:
    """Compare the kernels on `count` parts and print what differs."""
    spent: dict[str, float] = {}
    bad = 0
    for seed in range(first, first + count):
        for told in complaints(seed, spent):
            bad += 1
            print(f"{seed}: {told}", flush=True)
    print(f"{count} parts, {bad} complaints;", ", ".join(f"{k} {v / count * 1000:.1f} ms" for k, v in spent.items()))


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
