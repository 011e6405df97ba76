"""A piece drawn apart: which part comes off when, and how far from its place it is shown.

The order is that of taking apart: first what is carried as one, then drawers and
doors as they are, then parts. In the order of putting together, each is set as
far out along its way as clears all that stands already, so that nothing is
hidden and every line of assembly can be followed.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from solids.fit.bodies import whole_bodies
from solids.fit.dryfit import DryFit
from solids.fit.order import take_apart
from solids.kernel.mesh import Floats

GAP = 0.05  # between two parts drawn apart, as a share of the piece's diagonal
MOST_PARTS = 300  # more than this are drawn apart from the middle: finding an order would take too long
SPREAD = 0.45  # by which share of its distance from the middle a part is then moved

Unit: TypeAlias = tuple[int, ...]
Boxes: TypeAlias = dict[Unit, Floats]  # least and greatest corner of each unit, with what is drawn apart in it
Removed: TypeAlias = "tuple[Unit, Floats | None]"  # parts that come off together and which way; None for what stays
Known: TypeAlias = "dict[Hashable, list[Removed]]"


@dataclass(frozen=True, slots=True)
class Step:
    """Parts that come off together, by their numbers, and by how much they are shown from where they stood, in mm.

    `name` is that of a module, a drawer or a door, or the id of a part.
    """

    name: str
    parts: tuple[int, ...]
    offset: tuple[float, float, float]


def asunder(dry: DryFit, known: Known | None = None) -> tuple[Step, ...]:
    """What comes off, in that order; a part that comes off with a drawer and then from it is in two steps.

    `known` keeps the orders that were found, by what stands where, for a piece that is drawn apart again and again.
    """
    standing = [i for i in range(len(dry.piece.parts)) if np.isfinite(dry.scene.part_low[i]).all()]
    if len(standing) > MOST_PARTS:
        return _from_the_middle(dry, standing)
    modules = {_numbers(dry, m.parts, standing): m.name for m in dry.piece.modules}
    bodies = {_numbers(dry, b.parts, standing): b.name for b in whole_bodies(dry.piece)}
    names = {(i,): dry.part(i).id for i in standing} | bodies | modules
    gap = GAP * float(np.linalg.norm(np.ptp(_all(dry, standing), axis=0))) if standing else 0.0
    boxes: Boxes = {(i,): _box(dry, (i,)) for i in standing}
    drawing = _Drawing(dry, names, boxes, gap, {} if known is None else known)
    return tuple(drawing.taken(tuple(standing), [list(modules), list(bodies)]))


def offsets(steps: Sequence[Step], count: int) -> Floats:
    """(parts, 3): how far each part is from its place when all steps are done, in mm."""
    total = np.zeros((count, 3))
    for step in steps:
        total[list(step.parts)] += step.offset
    return total


def _numbers(dry: DryFit, ids: Sequence[str], standing: Sequence[int]) -> Unit:
    return tuple(sorted({dry.number[p] for p in ids} & set(standing)))


class _Drawing:
    """One piece being drawn apart."""

    def __init__(self, dry: DryFit, names: dict[Unit, str], boxes: Boxes, gap: float, known: Known) -> None:
        self.dry, self.names, self.boxes, self.gap, self.known = dry, names, boxes, gap, known

    def taken(self, parts: Unit, levels: list[list[Unit]]) -> list[Step]:
        """The steps for some parts: first the groups that they are in, by levels, then each group from within."""
        units: list[Unit] = []
        inner: list[Step] = []
        free = set(parts)
        for depth, groups in enumerate(levels):
            for group in groups:
                if len(group) > 1 and free.issuperset(group) and len(group) < len(parts):
                    steps = self.taken(group, levels[depth + 1 :])
                    self.boxes[group] = _union([self.boxes[(i,)] + _offset_of(steps, i) for i in group])
                    units.append(group)
                    inner += steps
                    free -= set(group)
        standing = len(levels) == 2 and bool(levels[0])  # modules are set where they stand
        return [*self._apart([*units, *((i,) for i in sorted(free))], standing), *inner]

    def _apart(self, units: Sequence[Unit], standing: bool) -> list[Step]:
        """Units taken asunder, in the order of taking off; what is knotted stays together."""
        unit_of = {i: u for u in units for i in u}
        found: list[Step] = []
        placed: list[Floats] = []
        for parts, way in reversed(self._order(units, standing)):
            own = tuple(dict.fromkeys(unit_of[i] for i in parts))
            box = _union([self.boxes[u] for u in own])
            offset = np.zeros(3) if way is None else _clear(box, way, placed, self.gap)
            placed.append(box + offset)
            if np.any(offset):
                together = tuple(i for u in own for i in u)
                x, y, z = np.round(offset, 3).tolist()
                found.append(Step(self.names.get(own[0], ""), together, (x, y, z)))
        return found[::-1]

    def _order(self, units: Sequence[Unit], standing: bool) -> list[Removed]:
        """The order of taking units off; found once for parts of the same wood in the same places."""
        numbers = [i for u in units for i in u]
        key = (standing, tuple(len(u) for u in units), _stands(self.dry, numbers))
        if key not in self.known:
            place = {i: n for n, i in enumerate(numbers)}
            found = _removals(self.dry, units, standing)
            self.known[key] = [(tuple(place[i] for i in parts), way) for parts, way in found]
        return [(tuple(numbers[n] for n in places), way) for places, way in self.known[key]]


def _stands(dry: DryFit, numbers: Sequence[int]) -> Hashable:
    """What these parts are made of, where they stand, and which of them share wood."""
    scene, own = dry.scene, set(numbers)
    places = np.round(np.concatenate([scene.rotation[numbers].reshape(-1, 9), scene.origin[numbers]], axis=1), 6)
    shared = tuple(sorted(pair for pair in dry.clashes if own.issuperset(pair)))
    return tuple(scene.solids[i].shape.key for i in numbers), places.tobytes(), shared


def _removals(dry: DryFit, units: Sequence[Unit], standing: bool) -> list[Removed]:
    """Each unit and the way that it goes, in order; None for what stays."""
    found: list[Removed] = []
    apart = take_apart(dry, units, standing)
    for removal in apart.removals:
        if removal.toward is None or _comes_apart(removal.parts, units):
            found.append((removal.parts, None if removal.toward is None else np.array(removal.toward)))
    return [*found, *((knot.parts, None) for knot in apart.knots)]


def _comes_apart(parts: Unit, units: Sequence[Unit]) -> bool:
    """Whether these parts are one unit: a group that comes off and is taken apart later is shown by its units."""
    return any(set(parts) == set(u) for u in units)


def _clear(box: Floats, way: Floats, placed: Sequence[Floats], gap: float) -> Floats:
    """How far along a way a box must go to lie beyond every placed box that its shadow meets."""
    far = 0.0
    near = _least(box, way)
    for other in placed:
        if _shadows_meet(box, other, way):
            far = max(far, _least(other, -way) * -1 - near + gap)
    return np.asarray(way * (far or gap))


def _least(box: Floats, way: Floats) -> float:
    return float(np.where(way > 0, box[0] * way, box[1] * way).sum())


def _shadows_meet(a: Floats, b: Floats, way: Floats) -> bool:
    """Whether two boxes, laid along a way, cover some of each other: by their extents square to it."""
    x = np.cross(way, np.eye(3)[int(np.argmin(np.abs(way)))])
    x /= np.linalg.norm(x)
    for axis in (x, np.cross(way, x)):
        low_a, high_a, low_b, high_b = _least(a, axis), -_least(a, -axis), _least(b, axis), -_least(b, -axis)
        if high_a <= low_b + 1e-6 or high_b <= low_a + 1e-6:
            return False
    return True


def _box(dry: DryFit, parts: Sequence[int]) -> Floats:
    return _union([np.array([dry.scene.part_low[i], dry.scene.part_high[i]]) for i in parts])


def _union(boxes: Sequence[Floats]) -> Floats:
    every = np.array(boxes)
    return np.array([every[:, 0].min(0), every[:, 1].max(0)])


def _all(dry: DryFit, parts: Sequence[int]) -> Floats:
    return np.concatenate([dry.scene.part_low[list(parts)], dry.scene.part_high[list(parts)]])


def _offset_of(steps: Sequence[Step], part: int) -> Floats:
    return np.asarray(np.sum([step.offset for step in steps if part in step.parts] or [(0.0, 0.0, 0.0)], axis=0))


def _from_the_middle(dry: DryFit, standing: Sequence[int]) -> tuple[Step, ...]:
    """Each part away from the middle of all, the outermost first."""
    box = _box(dry, standing)
    middle = box.mean(0)
    away = {i: (_box(dry, (i,)).mean(0) - middle) * SPREAD for i in standing}
    order = sorted(standing, key=lambda i: (-round(float(np.linalg.norm(away[i])), 3), i))
    steps = []
    for i in order:
        x, y, z = np.round(away[i], 3).tolist()
        if x or y or z:
            steps.append(Step(dry.part(i).id, (i,), (x, y, z)))
    return tuple(steps)
