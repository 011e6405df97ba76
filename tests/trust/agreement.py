"""Random parts and assemblies measured in four ways: CadQuery, manifold3d, trimesh and closed formulas.

Run `python -m trust.agreement 2000 200 7` from `tests/` for 2,000 parts and 200 assemblies from seed 7 on; a few run
with the tests. `README.md` beside this file says where they differ, and why.
"""

from __future__ import annotations

import math
import random
import sys
from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import trimesh
from kernel.nasty import complaints, nasty_part

from solids.cuts import CUTS
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.kernel.solid import solid_of, volume
from solids.model.geometry import STILL, Vector
from solids.model.part import Blank, Made, Part
from solids.model.side import Side

CLOSE = 1e-9  # relative, where all is flat
SINGLE = 2.0**-23  # relative: what single precision makes of a number
GAP = 1e-6  # mm


# Parts -------------------------------------------------------------------------------------------


def as_trimesh(manifold: Any) -> trimesh.Trimesh:
    """The same triangles in trimesh, which reckons with them by formulas of its own."""
    mesh = manifold.to_mesh64()
    return trimesh.Trimesh(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts), process=False)


def of_a_part(seed: int) -> Iterator[str]:
    """Where the four ways differ on an awkward part."""
    yield from complaints(seed)  # CadQuery and manifold3d: volume, and the area of each side
    manifold = manifold_of(shape_of(nasty_part(seed)))
    mesh = as_trimesh(manifold)
    if manifold.num_tri() and not mesh.is_watertight:
        yield "trimesh finds it open"
    if abs(mesh.volume - manifold.volume()) > CLOSE * max(manifold.volume(), 1.0):
        yield f"manifold3d {manifold.volume():.6f}, trimesh {mesh.volume:.6f} mm³"
    if abs(mesh.area - manifold.surface_area()) > CLOSE * max(manifold.surface_area(), 1.0):
        yield f"manifold3d {manifold.surface_area():.6f}, trimesh {mesh.area:.6f} mm²"


class Plain(NamedTuple):
    """A part whose volume is known by a closed formula, in mm³."""

    part: Part
    volume: float
    is_round: bool


def plain_part(seed: int) -> Plain:
    """A board of L x W x T with a cut of each of some kinds, none of which meets another.

    A dado of w x d takes w d W; a hole of diameter a takes pi a² / 4 times its depth; a bevel of t at an end takes
    T² tan t / 2 times W.
    """
    dice = random.Random(seed)
    length, width, thick = dice.uniform(300, 900), dice.uniform(80, 400), dice.uniform(12, 40)
    blank = Blank(Vector(length, width, thick), 0, Side.TOP, grained=False)
    cuts, left = [], length * width * thick
    if dice.random() < 0.7:
        w, d = dice.uniform(5, 25), dice.uniform(0.1, 0.6) * thick
        cuts.append(CUTS["dado"](side=Side.TOP, at=((Side.LEFT, dice.uniform(60, 120)),), width=w, depth=d))
        left -= w * d * width
    if dice.random() < 0.7:
        tilt = dice.uniform(1, 50)
        cuts.append(CUTS["bevel"](side=Side.RIGHT, tilt=tilt, long=Side.BOTTOM))
        left -= thick**2 * math.tan(math.radians(tilt)) / 2 * width
    is_round = dice.random() < 0.5
    if is_round:
        across, deep = dice.uniform(3, 20), dice.uniform(0.2, 0.9) * thick
        at = ((Side.LEFT, 200.0), (Side.FRONT, width / 2))
        cuts.append(CUTS["hole"](side=Side.TOP, at=at, diameter=across, depth=deep))
        left -= math.pi * across**2 / 4 * deep
    made = tuple(Made(f"c{k}", cut) for k, cut in enumerate(cuts))
    return Plain(Part(f"plain{seed}", blank, STILL, made), left, is_round)


def of_a_formula(seed: int) -> Iterator[str]:
    """Where a kernel differs from the closed formula."""
    plain = plain_part(seed)
    shape = shape_of(plain.part)
    manifold = manifold_of(shape)
    solid = volume(solid_of(shape))
    for name, found in (
        ("manifold3d", manifold.volume()),
        ("trimesh", as_trimesh(manifold).volume),
        ("CadQuery", solid),
    ):
        if abs(found - plain.volume) > CLOSE * plain.volume:
            yield f"{name} {found:.6f}, by formula {plain.volume:.6f} mm³"


# Assemblies --------------------------------------------------------------------------------------


class Pair(NamedTuple):
    """Two boxes with their sides along the axes: sizes and where their low corners stand, in mm."""

    a: tuple[float, float, float]
    b: tuple[float, float, float]
    at: tuple[float, float, float]  # of b; a's is the origin


def pair(dice: random.Random) -> Pair:
    """Two boxes: apart, overlapping, one in the other, or flush in one or more of their sides."""
    a = tuple(dice.uniform(5, 200) for _ in range(3))
    b = tuple(dice.uniform(5, 200) for _ in range(3))
    at = tuple(dice.choice((dice.uniform(-b[k], a[k]), dice.uniform(-b[k] - 60, a[k] + 60), 0.0, a[k], -b[k]))
               for k in range(3))  # fmt: skip
    return Pair(a, b, at)  # type: ignore[arg-type]


def shared(p: Pair) -> float:
    """mm³ that both hold: the product of what their sides share on each axis."""
    laps = [min(p.a[k], p.at[k] + p.b[k]) - max(0.0, p.at[k]) for k in range(3)]
    return math.prod(max(lap, 0.0) for lap in laps)


def apart(p: Pair) -> float:
    """mm between the two, by Pythagoras over what parts them on each axis; 0 where they meet."""
    gaps = [max(p.at[k] - p.a[k], -p.at[k] - p.b[k], 0.0) for k in range(3)]
    return math.hypot(*gaps)


def of_a_pair(p: Pair) -> Iterator[str]:
    """Where overlap or distance of two boxes differ, measured in three ways, from the closed formula."""
    import cadquery as cq
    import manifold3d as m

    boxes = [m.Manifold.cube(list(p.a)), m.Manifold.cube(list(p.b)).translate(list(p.at))]
    solids = [cq.Solid.makeBox(*p.a), cq.Solid.makeBox(*p.b, cq.Vector(*p.at))]
    yield from compared(boxes, solids, f"{p}", {"by formula": (shared(p), apart(p))})


def of_a_turned_pair(dice: random.Random) -> Iterator[str]:
    """Where overlap or distance of two parts with flat cuts, turned any way, differ among three kernels."""
    flat = (n for n in dice.sample(range(10_000), 200) if not plain_part(n).is_round)
    numbers = [next(flat), next(flat)]
    shapes = [shape_of(plain_part(n).part) for n in numbers]
    poses = [pose(dice) for _ in shapes]
    placed = [manifold_of(s).transform(move) for s, move in zip(shapes, poses, strict=True)]
    solids = [solid_of(s).moved(located(move)) for s, move in zip(shapes, poses, strict=True)]
    yield from compared(placed, solids, f"plain parts {numbers}", {})


def located(move: Any) -> Any:
    """The same move for CadQuery."""
    import cadquery as cq
    from OCP.gp import gp_Trsf

    found = gp_Trsf()
    found.SetValues(*(float(v) for v in move.flatten()))
    return cq.Location(found)


def pose(dice: random.Random) -> Any:
    """A turn about a random axis and a move, as (3, 4): by a unit quaternion."""
    w, x, y, z = (v for v in np.array([dice.gauss(0, 1) for _ in range(4)]))
    n = math.sqrt(w * w + x * x + y * y + z * z)
    w, x, y, z = w / n, x / n, y / n, z / n
    turn = np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
        [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
        [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
    ])  # fmt: skip
    return np.column_stack([turn, [dice.uniform(-250, 250) for _ in range(3)]])


def compared(meshes: list[Any], solids: list[Any], what: str, known: dict[str, tuple[float, float]]) -> Iterator[str]:
    """Where two bodies' overlap in mm³ or distance in mm differ, first of what is known, or else of manifold3d."""
    common, gap = meshes[0] ^ meshes[1], meshes[0].min_gap(meshes[1], 2000.0)
    name, (overlap, distance) = next(iter(known.items()), ("manifold3d", (common.volume(), gap)))
    fine = CLOSE * max(overlap, 1000.0)
    overlaps = {
        "manifold3d": (common.volume(), fine), "CadQuery": (volume(solids[0].intersect(solids[1])), fine),
        "trimesh": by_trimesh(meshes),
    }  # fmt: skip
    for way, (found, allowed) in overlaps.items():
        if abs(found - overlap) > allowed:
            yield f"overlap: {way} {found:.9f}, {name} {overlap:.9f} mm³; {what}"
    for way, found in {"manifold3d": gap, "CadQuery": solids[0].distance(solids[1])}.items():
        if abs(found - distance) > GAP and not (way == "CadQuery" and overlap > 0):  # to it solids are their skins
            yield f"distance: {way} {found:.9f}, {name} {distance:.9f} mm; {what}"


def by_trimesh(meshes: list[Any]) -> tuple[float, float]:
    """The overlap in mm³, and how exact that can be: trimesh hands every corner on in single precision."""
    with np.errstate(divide="ignore", invalid="ignore"):
        both = trimesh.boolean.intersection([as_trimesh(mesh) for mesh in meshes], engine="manifold")
        found = float(both.volume) if len(both.faces) else 0.0
    reach = max(abs(v) for mesh in meshes for v in mesh.bounding_box())
    area = max(float(both.area), min(mesh.surface_area() for mesh in meshes) * 1e-3)
    return found, SINGLE * reach * area


def of_an_assembly(seed: int) -> Iterator[str]:
    """Where the ways differ on pairs of boxes along the axes, and of parts turned any way."""
    dice = random.Random(seed)
    for _ in range(8):
        yield from of_a_pair(pair(dice))
    for _ in range(2):
        yield from of_a_turned_pair(dice)


def main(parts: int, assemblies: int, first: int = 0) -> int:
    """Measure so many of each; 1 where two ways differ."""
    counts = Counter[str]()
    judges = (("part", of_a_part, parts), ("formula", of_a_formula, parts), ("assembly", of_an_assembly, assemblies))
    for what, judge, many in judges:
        for seed in range(first, first + many):
            told = list(judge(seed))
            counts[f"{what}, {'differs' if told else 'agrees'}"] += 1
            for line in told:
                print(f"{what} {seed}: {line}", flush=True)
    print(f"from seed {first}: {dict(counts)}")
    return int(any("differs" in key for key in counts))


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
