"""What a drawer or a door meets on its way: the first contact, and the least room beside it.

Each stretch of a way is tried with what it sweeps, a little too large rather
than too small, and halved where that meets anything; so a way that is called
clear is clear, but for what sinks in less than `press`. Where halving ends
without an answer, the stretch that is left is told with the result.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np

from solids.fit.beside import ROOM, Pieces, Still, clearance, length_of
from solids.fit.bodies import whole_bodies
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats, box_mesh
from solids.kernel.swept import carried, convex_pieces, points_of, swept
from solids.model.geometry import Vector
from solids.model.motion import Body, Motion, Slide, Swing

FINEST = 0.02  # mm or degrees: a contact's place is known to this
LONGEST_TURN = 30.0  # degrees of a swing that are tried at once
STEPS = 3000  # tries for one body


@dataclass(frozen=True, slots=True)
class Meeting:
    """The first contact: `at` mm or degrees of the way, between a part and what is called `other`; `depth` in mm.

    `yields` where it is only met while it is open, and may be shut first.
    """

    at: float
    part: int
    other: str
    other_part: int
    opened: bool
    yields: bool
    depth: float
    point: Vector


@dataclass(frozen=True, slots=True)
class Way:
    """A body's whole way in mm or degrees; `clear` is the least room beside it, by `beside`; None where none is near.

    `unsure` is the longest stretch that halving could not settle, in mm or degrees.
    """

    body: Body
    whole: float
    meeting: Meeting | None
    clear: float | None
    beside: str
    unsure: float


def ways(dry: DryFit, *, beside: bool = True) -> tuple[Way, ...]:
    """The way of every body of a piece, alone and with each of the others open; the room beside it where asked for."""
    bodies = whole_bodies(dry.piece)
    convex = {i: convex_pieces(dry.scene.world(i)) for b in bodies for i in (dry.number[p] for p in b.parts)}
    return tuple(_way(dry, body, bodies, convex, beside) for body in bodies)


def _way(dry: DryFit, body: Body, bodies: tuple[Body, ...], convex: dict[int, list[Floats]], asked: bool) -> Way:
    pieces = [(i, corners) for i in (dry.number[p] for p in body.parts) for corners in convex[i]]
    low, high = _reach(pieces, body.motion)
    still = [s for s in _standing(dry, body, bodies) if _overlap(s, low, high)]
    whole = length_of(body.motion)
    found, unsure = None, 0.0
    for yields in (False, True):  # what is there in any case, then what may be shut first
        search = _Search(dry, body.motion, pieces, [s for s in still if s.yields == yields])
        found = found or search.first()
        unsure = max(unsure, search.unsure * whole)
    clear, beside = clearance(dry, body.motion, pieces, still) if asked else (None, "")
    return Way(body, whole, found, clear, beside, unsure)


def _standing(dry: DryFit, body: Body, bodies: tuple[Body, ...]) -> Iterator[Still]:
    """All that a body could meet: parts that stand, other bodies shut and open, and what is in the room.

    A drawer behind a door is no fault: the door is opened first, and so it can't be shut to make way.
    """
    doors = {p for b in bodies if isinstance(b.motion, Swing) and isinstance(body.motion, Slide) for p in b.parts}
    for i, part in enumerate(dry.piece.parts):
        if part.id not in body.parts and part.id not in doors:
            yield Still(part.id, i, dry.scene.world(i))
    for other in bodies:
        for id_ in other.parts if other.name != body.name else ():
            i = dry.number[id_]
            frame = other.motion.at(1.0)
            move = np.column_stack([np.array([frame.x, frame.y, frame.z]).T, frame.origin])
            yields = not (isinstance(body.motion, Slide) and isinstance(other.motion, Swing))
            yield Still(id_, i, dry.scene.world(i).transform(move), opened=True, yields=yields)
    for obstacle in dry.piece.room:
        yield Still(obstacle.name, -1, box_mesh(obstacle.low, obstacle.high))


def _reach(pieces: Pieces, motion: Motion) -> tuple[Floats, Floats]:
    """The box of all places that a body comes near on its way."""
    corners = np.concatenate([p for _, p in pieces])
    shares = np.linspace(0, 1, 2 if isinstance(motion, Slide) else 13)
    points = np.concatenate([carried(corners, motion, float(s)) for s in shares])
    more = ROOM if isinstance(motion, Slide) else ROOM + 0.01 * float(np.ptp(points, axis=0).max())
    return points.min(0) - more, points.max(0) + more


def _overlap(still: Still, low: Floats, high: Floats) -> bool:
    box = np.asarray(still.mesh.bounding_box()).reshape(2, 3)
    return bool(np.all(low < box[1]) and np.all(high > box[0]))


class _Search:
    """The first contact of one body, by halving its way."""

    def __init__(self, dry: DryFit, motion: Motion, pieces: Pieces, still: list[Still]) -> None:
        self.dry = dry
        self.motion = motion
        self.pieces = pieces
        self.still = still
        self.press = dry.limits.press
        self.steps = 0
        self.unsure = 0.0

    def first(self) -> Meeting | None:
        """The first contact; what shares wood when all is shut is told elsewhere."""
        whole = length_of(self.motion)
        longest = 1.0 if isinstance(self.motion, Slide) else min(1.0, LONGEST_TURN / whole)
        cuts = np.linspace(0, 1, int(np.ceil(1 / longest)) + 1)
        left = [(a, b, self._pairs()) for a, b in pairwise(cuts)][::-1]
        while left:
            start, end, pairs = left.pop()
            met = [pair for pair in pairs if self._meets(pair, start, end)]
            if not met:
                continue
            if (end - start) * whole > FINEST and self.steps < STEPS:
                middle = (start + end) / 2
                left += [(middle, end, met), (start, middle, met)]
                continue
            real = [pair for pair in met if self._shares(pair, end)]
            if real:
                return self._told(real[0], start, end)
            self.unsure = max(self.unsure, float(end - start))
        return None

    def _pairs(self) -> list[tuple[int, int]]:
        """Every piece with every thing, less those that share wood from the start."""
        shut = set(self.dry.clashes)
        pairs = []
        for p, (part, points) in enumerate(self.pieces):
            low, high = _reach([(part, points)], self.motion)
            for s, still in enumerate(self.still):
                if not _overlap(still, low + ROOM, high - ROOM):
                    continue
                known = (min(part, still.part), max(part, still.part)) in shut and not still.opened
                of_itself = still.opened or still.part < 0  # the room
                if known or (of_itself and self._sunk(self._common(swept(points, self.motion, 0, 0), still))):
                    continue  # the other's own way says that it can't open past this one
                pairs.append((p, s))
        return pairs

    def _meets(self, pair: tuple[int, int], start: float, end: float) -> bool:
        self.steps += 1
        return self._sunk(self._common(swept(self.pieces[pair[0]][1], self.motion, start, end), self.still[pair[1]]))

    def _shares(self, pair: tuple[int, int], share: float) -> bool:
        """Whether the parts themselves share wood there."""
        return self._sunk(self._common(self._moved(self.pieces[pair[0]][0], share), self.still[pair[1]]))

    def _moved(self, part: int, share: float) -> Any:
        frame = self.motion.at(share)
        move = np.column_stack([np.array([frame.x, frame.y, frame.z]).T, frame.origin])
        return self.dry.scene.world(part).transform(move)

    def _common(self, mesh: Any, still: Still) -> Any | None:
        a, b = mesh.bounding_box(), still.mesh.bounding_box()
        if any(a[k] >= b[k + 3] or b[k] >= a[k + 3] for k in range(3)):
            return None
        return mesh ^ still.mesh

    def _sunk(self, common: Any | None) -> bool:
        """Whether more than a skin is shared: twice the volume over the surface is the mean thickness."""
        if common is None or not common.num_tri() or common.volume() < 1e-6:
            return False
        return bool(2 * common.volume() / common.surface_area() > self.press / 2)

    def _told(self, pair: tuple[int, int], start: float, end: float) -> Meeting:
        part, still = self.pieces[pair[0]][0], self.still[pair[1]]
        common = self._moved(part, end) ^ still.mesh
        box = np.asarray(common.bounding_box()).reshape(2, 3)
        point = Vector(*((box[0] + box[1]) / 2).tolist())
        depth = self._depth(part, still, end)
        at = float(start * length_of(self.motion))
        return Meeting(at, part, still.name, still.part, still.opened, still.yields, depth, point)

    def _depth(self, part: int, still: Still, start: float) -> float:
        """How far the two would sink into each other, were the way gone to its end: across it, where it is straight."""
        deepest = 0.0
        for share in np.linspace(start, 1, 9):
            lump = self._common(self._moved(part, float(share)), still)
            if self._sunk(lump):
                deepest = max(deepest, _width(lump, [self._moved(part, float(share)), still.mesh], self.motion))
        return deepest


def _width(lump: Any, meshes: list[Any], motion: Motion) -> float:
    """A lump's least width square to a face of either; of those that lie along a straight way, where there are any."""
    points = points_of(lump)
    normals = np.unique(np.round(np.concatenate([_normals(m) for m in meshes]), 7), axis=0)
    if isinstance(motion, Slide):
        across = normals[np.abs(normals @ np.array(motion.toward)) < 1e-6]
        normals = across if len(across) else normals
    return float(np.ptp(points @ normals.T, axis=0).min())


def _normals(mesh: Any) -> Floats:
    raw = mesh.to_mesh64()
    points, triangles = np.asarray(raw.vert_properties, float)[:, :3], np.asarray(raw.tri_verts)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    square = np.cross(b - a, c - a)
    size = np.linalg.norm(square, axis=1)
    return np.asarray(square[size > 1e-9] / size[size > 1e-9, None])
