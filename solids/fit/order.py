"""How a piece comes apart, and so how it goes together: which part leaves along which straight line.

For each direction that a face looks in, a part is held by every other that it
would run into anywhere on its way out. What nothing holds comes off; where
nothing comes off alone, the smallest group does, and is taken apart in turn.
Putting together is the same the other way round. The first contact is between
a face that looks ahead and one that looks back, whose outlines overlap when
both are laid along the way; so nothing is sampled.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from solids.fit.dryfit import DryFit
from solids.fit.facing import gap_at
from solids.fit.scene import laid, plane_axes
from solids.kernel.mesh import Floats, Ints
from solids.model.geometry import Vector

MOST_WAYS = 26  # directions that are tried, the most common first
SLIP = 1e-3  # a face this near along the way slides
BACK = 0.05  # mm that a thing may lie behind and still be in the way
LEAST_AREA = 0.5  # mm²: less of an overlap is a corner that passes
LEAST_WIDTH = 0.1  # mm: thinner ones are outlines that share an edge
SLIDES = -0.5  # what sliding along a joint counts, where drawing straight off it counts 1
OWN_WAY = 0.3  # what it counts that a part moves along its own length, width or thickness: hands do that best

Holds: TypeAlias = dict[int, set[int]]  # the units that each unit runs into
Move: TypeAlias = tuple[set[int], int]  # units that come off together, and the number of the way


@dataclass(frozen=True, slots=True)
class Removal:
    """Parts that come off together, by their numbers, and which way; None for what stays to the last."""

    parts: tuple[int, ...]
    toward: Vector | None


@dataclass(frozen=True, slots=True)
class Knot:
    """Parts that no straight line frees; for each direction tried, the parts that hold them."""

    parts: tuple[int, ...]
    held: tuple[tuple[Vector, tuple[int, ...]], ...]


@dataclass(frozen=True, slots=True)
class TakenApart:
    """A piece taken apart: what comes off, in that order, and what never does."""

    removals: tuple[Removal, ...]
    knots: tuple[Knot, ...]


def take_apart(dry: DryFit, units: Iterable[Sequence[int]]) -> TakenApart:
    """Take units asunder, each a few part numbers that stay together: first what comes off most squarely."""
    return _Parting(dry, [tuple(u) for u in units]).run()


def ways_out(dry: DryFit, parts: Iterable[int]) -> Floats:
    """The directions (n, 3) worth trying: those that faces of these parts look in, and opposite; most common first."""
    chosen = np.isin(dry.scene.part, np.fromiter(parts, np.int64))
    normals = np.round(np.concatenate([dry.scene.normal[chosen], -dry.scene.normal[chosen]]), 6) + 0.0
    if not len(normals):
        return np.zeros((0, 3))
    found, counts = np.unique(normals, axis=0, return_counts=True)
    best = np.lexsort((*(-found.T[::-1]), -counts))[:MOST_WAYS]
    return np.asarray(found[best] / np.linalg.norm(found[best], axis=1)[:, None])


class _Parting:
    """One taking apart."""

    def __init__(self, dry: DryFit, units: list[tuple[int, ...]]) -> None:
        self.dry = dry
        self.units = units
        self.unit_of = np.full(len(dry.piece.parts), -1)
        for k, parts in enumerate(units):
            self.unit_of[list(parts)] = k
        self.ways = ways_out(dry, (p for parts in units for p in parts))
        self._known: dict[int, Holds] = {}
        self.opens = self._opens()
        self.own_ways = [self._own_ways(parts) for parts in units]

    def run(self) -> TakenApart:
        removals: list[Removal] = []
        knots: list[Knot] = []
        work = [set(range(len(self.units)))]
        while work:
            rest = work.pop()
            while len(rest) > 1:
                moves = self._best(rest) or self._group(rest)
                if not moves:
                    knots.append(self._knot(rest))
                    break
                for units, way in moves:
                    removals.append(Removal(self._parts(units), Vector(*self.ways[way].tolist())))
                    rest -= units
                    if len(units) > 1:
                        work.append(units)
            else:
                removals += [Removal(self._parts(rest), None)] if rest else []
        return TakenApart(tuple(removals), tuple(knots))

    def _parts(self, units: Iterable[int]) -> tuple[int, ...]:
        return tuple(sorted(p for u in units for p in self.units[u]))

    def holds(self, way: int) -> Holds:
        """What each unit runs into that way, worked out when first asked for."""
        if way not in self._known:
            self._known[way] = self._holds(self.ways[way])
        return self._known[way]

    def _free(self, way: int, rest: set[int]) -> list[int]:
        """The units that nothing holds that way."""
        holds = self.holds(way)
        return [u for u in sorted(rest) if holds.get(u, set()).isdisjoint(rest)]

    def _best(self, rest: set[int]) -> list[Move]:
        """The unit that nothing holds, of several the one whose joints open most squarely."""
        best, moves = -np.inf, []
        for way in range(len(self.ways)):
            for unit in self._free(way, rest):
                score = self._score(unit, way, rest)
                if score > best + 1e-9:
                    best, moves = score, [({unit}, way)]
        return moves

    def _group(self, rest: set[int]) -> list[Move]:
        """The smallest group that comes off together: what a unit pushes before it goes along."""
        best: Move | None = None
        for way in range(len(self.ways)):
            for unit in sorted(rest):
                pushed = _reached(unit, self.holds(way), rest)
                if len(pushed) < len(best[0] if best else rest):
                    best = (pushed, way)
        return [best] if best else []

    def _knot(self, rest: set[int]) -> Knot:
        held = []
        for k, way in enumerate(self.ways):
            by = {other for unit in rest for other in self.holds(k).get(unit, set()) & rest}
            held.append((Vector(*way.tolist()), self._parts(by)))
        return Knot(self._parts(rest), tuple(held))

    def _score(self, unit: int, way: int, rest: set[int]) -> float:
        """How squarely the joints of a unit open along a way, by area: 1 straight off, less than 0 sliding."""
        total = opened = 0.0
        for other, (by_way, area) in self.opens.get(unit, {}).items():
            if other in rest:
                opened += by_way[way]
                total += area
        straight = OWN_WAY if self.own_ways[unit][way] else 0.0
        return (opened / total if total else 0.0) + straight

    def _own_ways(self, parts: tuple[int, ...]) -> Floats:
        """Which ways run along the axes of one of these parts."""
        axes = self.dry.scene.rotation[list(parts)].transpose(0, 2, 1).reshape(-1, 3)
        return np.asarray(np.abs(self.ways @ axes.T).max(1, initial=0.0) > 1 - 1e-6)

    def _opens(self) -> dict[int, dict[int, tuple[Floats, float]]]:
        """For each unit and the one it touches: what their contact counts along each way, and its area."""
        found: dict[int, dict[int, tuple[Floats, float]]] = defaultdict(dict)
        facing, scene = self.dry.facing, self.dry.scene
        for k in np.flatnonzero(facing.least < 1.0).tolist():
            pair = self.unit_of[scene.part[facing.a[k]]], self.unit_of[scene.part[facing.b[k]]]
            if -1 in pair or pair[0] == pair[1]:
                continue
            for (own, other), along in ((pair, facing.along[k]), (pair[::-1], -facing.along[k])):
                away = -(self.ways @ along)
                counts = np.where(away > 0.1, away, SLIDES) * facing.area[k]
                before, area = found[int(own)].get(int(other), (np.zeros(len(self.ways)), 0.0))
                found[int(own)][int(other)] = (before + counts, area + float(facing.area[k]))
        return found

    def _holds(self, way: Floats) -> Holds:
        """The units that each unit would run into on its way, however far off."""
        ahead, behind = self._faces(way)
        found: Holds = defaultdict(set)
        for a, b in _met(self.dry, ahead, behind, way, self.unit_of):
            found[a].add(b)
        return found

    def _faces(self, way: Floats) -> tuple[Ints, Ints]:
        """Faces that look ahead, and those that look back."""
        scene = self.dry.scene
        slope = scene.normal @ way
        ours = self.unit_of[scene.part] >= 0
        return np.flatnonzero(ours & (slope > SLIP)), np.flatnonzero(ours & (slope < -SLIP))


def _reached(unit: int, holds: Holds, rest: set[int]) -> set[int]:
    """A unit with all that it pushes, and all that these push."""
    found, left = {unit}, [unit]
    while left:
        for other in holds.get(left.pop(), set()) & rest - found:
            found.add(other)
            left.append(other)
    return found


def _met(dry: DryFit, ahead: Ints, behind: Ints, way: Floats, unit_of: Ints) -> Iterator[tuple[int, int]]:
    """Pairs of units, the first of which runs into the second."""
    if not len(ahead) or not len(behind):
        return
    i, j = shapely.STRtree(along(dry, behind, way)).query(along(dry, ahead, way))
    a, b = ahead[i], behind[j]
    part = dry.scene.part
    keep = unit_of[part[a]] != unit_of[part[b]]
    a, b = a[keep], b[keep]
    met = runs_into(dry, a, b, way)
    yield from set(zip(unit_of[part[a[met]]].tolist(), unit_of[part[b[met]]].tolist(), strict=True))


def runs_into(dry: DryFit, a: Ints, b: Ints, way: Floats) -> NDArray[np.bool_]:
    """Which of the faces a, which look ahead, would run into the faces b beside them, which look back."""
    scene = dry.scene
    far = np.maximum(scene.low[b] * way, scene.high[b] * way).sum(1)
    near = np.minimum(scene.low[a] * way, scene.high[a] * way).sum(1)
    met = (far > near - BACK) & ~_clashing(dry, a, b)
    k = np.flatnonzero(met)
    faces, where = np.unique(np.concatenate([a[k], b[k]]), return_inverse=True)
    outlines = along(dry, faces, way)[where]
    shared = shapely.intersection(outlines[: len(k)], outlines[len(k) :])
    area = shapely.area(shared)
    large = (area > LEAST_AREA) & (2 * area > LEAST_WIDTH * shapely.length(shared))
    met[k[~large]] = False
    k, shared = k[large], shared[large]
    if len(k):
        nearest, farthest = _gaps(dry, a[k], b[k], way, shared)
        met[k] = (farthest > BACK) | (nearest > -BACK)
    return np.asarray(met)


def along(dry: DryFit, faces: Ints, way: Floats) -> Floats:
    """The outlines of faces, laid along a way."""
    x, y = plane_axes(way[None])
    n = len(faces)
    return laid(dry.scene, faces, np.repeat(x, n, 0), np.repeat(y, n, 0), np.zeros((n, 3)))


def _gaps(dry: DryFit, a: Ints, b: Ints, way: Floats, shared: Floats) -> tuple[Floats, Floats]:
    """The least and greatest way from faces a to faces b over what they share, in mm."""
    x, y = plane_axes(way[None])
    flat, k = shapely.get_coordinates(shared, return_index=True)
    points = x * flat[:, :1] + y * flat[:, 1:]
    gap = gap_at(dry.scene, a[k], b[k], np.repeat(way[None], len(k), 0), points)
    nearest, farthest = np.full(len(a), np.inf), np.full(len(a), -np.inf)
    np.minimum.at(nearest, k, gap)
    np.maximum.at(farthest, k, gap)
    return nearest, farthest


def _clashing(dry: DryFit, a: Ints, b: Ints) -> Ints:
    """Which pairs of faces belong to parts that share wood: that is told as what it is."""
    if not dry.clashes:
        return np.zeros(len(a), bool)
    count = len(dry.piece.parts)
    shared = np.array([min(p) * count + max(p) for p in dry.clashes])
    p, q = dry.scene.part[a], dry.scene.part[b]
    return np.asarray(np.isin(np.minimum(p, q) * count + np.maximum(p, q), shared))
