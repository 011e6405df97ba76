"""How a piece comes apart, and so how it goes together: which part leaves along which straight line.

For each direction that a face looks in, a part is held by every other that it
would run into anywhere on its way out. What nothing holds comes off; where
nothing comes off alone, the smallest group does, and is taken apart in turn.
Putting together is the same the other way round."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely

from solids.fit.ahead import SLIP, along, pinned, pins, runs_into, ways_out
from solids.fit.bodies import body_of
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats, Ints
from solids.model.geometry import Vector

SLIDES = -0.5  # what sliding along a joint counts, where drawing straight off it counts 1
SNUG = 0.1  # mm: a joint with more play than this slides freely
DRY = 0.3  # what it counts that a part is not glued: it goes in last and comes out first
STEEP = 0.7  # how far up a contact looks that carries what is above it
MOVES = 2.0  # what it counts that a part is a door's or a drawer's: these go in last
OWN_WAY = 0.45  # what it counts that a part moves along its own length, width or thickness: hands do that best

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
    """A piece taken apart: what comes off, in that order, and what never does.

    The first run takes apart the whole; each other one a group that came off as
    one, before or after.
    """

    runs: tuple[tuple[Removal, ...], ...]
    knots: tuple[Knot, ...]

    @property
    def removals(self) -> tuple[Removal, ...]:
        return tuple(r for run in self.runs for r in run)


def take_apart(dry: DryFit, units: Iterable[Sequence[int]], standing: bool = False) -> TakenApart:
    """Take units asunder, each a few part numbers that stay together: first what comes off most squarely.

    `standing`: where they stand in the room, so that nothing is drawn from under what rests on it.
    """
    return _Parting(dry, [tuple(u) for u in units], standing).run()


class _Parting:
    """One taking apart."""

    def __init__(self, dry: DryFit, units: list[tuple[int, ...]], standing: bool) -> None:
        self.dry = dry
        self.units = units
        self.unit_of = np.full(len(dry.piece.parts), -1)
        for k, parts in enumerate(units):
            self.unit_of[list(parts)] = k
        self.ways = ways_out(dry, (p for parts in units for p in parts))
        if standing:
            self.ways = self.ways[self.ways[:, 2] > -0.05]  # nothing goes through the floor
        self.pins = pins(dry)
        self._known: dict[int, Holds] = {}
        self._carried = self._resting() if standing else {}
        self.opens, self.glued = self._opens(), self._glued()
        self.moving = self._moving()
        self.weight = [(not m, sum(map(self._stoutness, parts))) for m, parts in zip(self.moving, units, strict=True)]
        self.own_ways = [self._own_ways(parts) for parts in units]

    def run(self) -> TakenApart:
        runs: list[tuple[Removal, ...]] = []
        knots: list[Knot] = []
        work = [set(range(len(self.units)))]
        while work:
            rest, run = work.pop(), list[Removal]()
            while len(rest) > 1 and (move := self._best(rest) or self._group(rest)):
                units, way = move
                run.append(Removal(self._parts(units), Vector(*self.ways[way].tolist())))
                rest = rest - units
                if len(units) > 1:
                    work.append(units)
            if len(rest) > 1:
                knots.append(self._knot(rest))
            elif rest:
                run.append(Removal(self._parts(rest), None))
            runs.append(tuple(run))
        return TakenApart(tuple(runs), tuple(knots))

    def _moving(self) -> list[bool]:
        """Which units are of doors and drawers, where others stand still."""
        body = body_of(self.dry.piece)
        found = [all(self.dry.part(i).id in body for i in parts) for parts in self.units]
        return [False] * len(found) if all(found) else found

    def _stoutness(self, i: int) -> float:
        """How much a part is one to build on: by its wood and by how thick it is."""
        return float(self.dry.scene.solids[i].faces.volume) * self.dry.part(i).blank.thickness

    def _parts(self, units: Iterable[int]) -> tuple[int, ...]:
        return tuple(sorted(p for u in units for p in self.units[u]))

    def holds(self, way: int) -> Holds:
        """What each unit runs into that way, worked out when first asked for."""
        if way not in self._known:
            self._known[way] = self._holds(self.ways[way])
            for unit, above in self._carried.items():
                self._known[way].setdefault(unit, set()).update(above)
        return self._known[way]

    def _resting(self) -> Holds:
        """For each unit, those that rest on it."""
        found: Holds = defaultdict(set)
        facing, part = self.dry.facing, self.dry.scene.part
        for k in np.flatnonzero((facing.least < 1.0) & (np.abs(facing.along[:, 2]) > STEEP)).tolist():
            low, high = self.unit_of[part[facing.a[k]]], self.unit_of[part[facing.b[k]]]
            if facing.along[k, 2] < 0:
                low, high = high, low
            if low >= 0 and high >= 0 and low != high:
                found[int(low)].add(int(high))
        return found

    def _free(self, way: int, rest: set[int]) -> list[int]:
        """The units that nothing holds that way."""
        holds = self.holds(way)
        return [u for u in sorted(rest) if holds.get(u, set()).isdisjoint(rest)]

    def _best(self, rest: set[int]) -> Move | None:
        """The unit that nothing holds; of several the one that comes off best, but the stoutest stays to the last."""
        free = [(self._score(u, way, rest), u, way) for way in range(len(self.ways)) for u in self._free(way, rest)]
        free.sort(key=lambda f: (-round(f[0], 9), f[2], f[1]))
        largest = max(rest, key=lambda u: (self.weight[u][0], round(self.weight[u][1], 3), -u))
        lighter = [f for f in free if f[1] != largest]
        whole = (f for f in lighter if self._hangs_together(rest - {f[1]}))
        best = next(whole, None) or next(iter(lighter or free), None)
        return ({best[1]}, best[2]) if best else None

    def _hangs_together(self, rest: set[int]) -> bool:
        """Whether what is left is one thing still: then each part meets another when it is put back."""
        found, left = set(), [min(rest)]
        while left:
            unit = left.pop()
            if unit not in found:
                found.add(unit)
                left += self.opens.get(unit, {}).keys() & rest - found
        return found == rest

    def _group(self, rest: set[int]) -> Move | None:
        """The smallest group that comes off together: what a unit pushes before it goes along."""
        best: Move | None = None
        for way in range(len(self.ways)):
            for unit in sorted(rest):
                pushed = _reached(unit, self.holds(way), rest)
                if len(pushed) < len(best[0] if best else rest):
                    best = (pushed, way)
        return best

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
        dry = DRY if self.glued.get(unit, set()).isdisjoint(rest) else 0.0
        return (opened / total if total else 0.0) + straight + dry + (MOVES if self.moving[unit] else 0.0)

    def _glued(self) -> dict[int, set[int]]:
        """The units that each unit is glued to."""
        found: dict[int, set[int]] = defaultdict(set)
        for c in self.dry.contacts:
            i, j = (int(self.unit_of[p]) for p in c.parts)
            if c.least < 1.0 and -1 not in (i, j) and c.parts not in self.dry.apart and self.dry.fit_of(c) == "glue":
                found[i].add(j)
                found[j].add(i)
        return found

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
            slides = SLIDES if facing.least[k] < SNUG else 0.0
            for (own, other), toward in ((pair, facing.along[k]), (pair[::-1], -facing.along[k])):
                away = -(self.ways @ toward)
                counts = np.where(away > 0.1, away, slides) * facing.area[k]
                before, area = found[int(own)].get(int(other), (np.zeros(len(self.ways)), 0.0))
                found[int(own)][int(other)] = (before + counts, area + float(facing.area[k]))
        return found

    def _holds(self, way: Floats) -> Holds:
        """The units that each unit would run into on its way, however far off."""
        ahead, behind = self._faces(way)
        found: Holds = defaultdict(set)
        pinned_units = ((int(self.unit_of[i]), int(self.unit_of[j])) for i, j in pinned(self.pins, way))
        for a, b in (*_met(self.dry, ahead, behind, way, self.unit_of), *pinned_units):
            if a != b and a >= 0 and b >= 0:
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
