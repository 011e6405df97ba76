"""How parts of solid wood grow with the water in them, and how each then lies in the room.

Across its grain a board grows in proportion to the change of its moisture; along
it, not to speak of. All of it is about some place that stays: where it is glued,
else where its housings and its hardware hold it, else its middle. One set of
linear equations finds that place for every part at once: what is glued goes
along wholly, what sits in a housing goes along square to its walls, and what
keeps a gap stays in the middle of it.

Everything is for one percent of moisture; a season is that many times as much.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from solids.data.moisture import coefficients
from solids.fit.dryfit import DryFit
from solids.fit.facing import Facing, facing
from solids.fit.holding import Grip, fasteners, grip_of, is_glued
from solids.fit.scene import near_parts
from solids.kernel.mesh import Floats, Ints
from solids.model.part import Part

REACH = 8.0  # mm: parts that keep apart are looked at so far, and as far as the widest gap that is asked for
FREELY = 1e-13  # the least hold: it leaves a part that nothing holds where it is
LARGE = 10_000.0  # mm²: a patch from here on holds as well as any
# How firmly two parts hold each other: square to where they meet, and along it. Each kind counts for nothing beside
# the one before it, so a reveal never pulls at what is glued.
FIRM = {Grip.GLUED: (1.0, 1.0), Grip.HOUSED: (1e-4, 1e-8), Grip.HUNG: (1e-4, 1e-4), Grip.APART: (1e-8, 1e-9)}


@dataclass(frozen=True, slots=True)
class Holds:
    """What holds what: parts i and j (m,), at a point (m, 3) in mm, with a stiffness (m, 3, 3) of no unit.

    `apart` (m,) where only a gap is between them, which holds nothing together.
    """

    i: Ints
    j: Ints
    point: Floats
    stiffness: Floats
    apart: NDArray[np.bool_]

    def take(self, keep: NDArray[np.bool_]) -> Holds:
        """Those that a mask picks."""
        return Holds(self.i[keep], self.j[keep], self.point[keep], self.stiffness[keep], self.apart[keep])


@dataclass(frozen=True)
class Growth:
    """The growth of every part of a piece for one percent of moisture.

    `strain` (parts, 3, 3) in the room's axes, about `centre` (parts, 3) in mm,
    and `shift` (parts, 3) in mm, by which it is carried with what holds it.
    `gaps` are the faces of parts that are meant to keep apart, `holds` what holds what.
    """

    dry: DryFit
    strain: Floats
    centre: Floats
    shift: Floats
    gaps: Facing
    holds: Holds

    def move(self, part: Ints, points: Floats) -> Floats:
        """Where points of parts go, in mm for one percent of moisture."""
        moved: Floats = np.einsum("kij,kj->ki", self.strain[part], points - self.centre[part]) + self.shift[part]
        return moved

    def widening(self, found: Facing) -> tuple[Floats, Floats, Ints]:
        """The gap at each corner of facing pairs, in mm, how much it widens for one percent, and whose corner it is."""
        corners, k = found.corners()
        ends, moves = [], []
        for faces in (found.a[k], found.b[k]):
            normal, along = self.dry.scene.normal[faces], found.along[k]
            slant = np.einsum("ij,ij->i", normal, along)
            reach = (self.dry.scene.offset[faces] - np.einsum("ij,ij->i", normal, corners)) / slant
            moved = self.move(self.dry.scene.part[faces], corners + along * reach[:, None])
            ends.append(reach)
            moves.append(np.einsum("ij,ij->i", normal, moved) / slant)
        return ends[1] - ends[0], moves[1] - moves[0], k

    def without(self, i: int) -> Growth:
        """The same where a part lets go of all that it holds; right for what it hung together with."""
        group = self.groups()
        own = np.array(group) == group[i]
        h = self.holds
        rest = h.take(own[h.i] & own[h.j] & (h.i != i) & (h.j != i))
        return replace(self, shift=_shifts(self.strain, self.centre, rest), holds=rest)

    def groups(self) -> list[int]:
        """By part, the number of the group of parts that it hangs together with, reveals aside."""
        group = list(range(len(self.centre)))
        firm = self.holds.take(~self.holds.apart)
        for i, j in zip(firm.i.tolist(), firm.j.tolist(), strict=True):
            a, b = _root(group, i), _root(group, j)
            group[max(a, b)] = min(a, b)
        return [_root(group, i) for i in range(len(group))]

    @cached_property
    def moving(self) -> NDArray[np.bool_]:
        """Which parts grow at all."""
        grows: NDArray[np.bool_] = np.abs(self.strain).max(axis=(1, 2)) > 0
        return grows

    def across(self, i: int) -> Floats:
        """The direction in which a part grows the most with its width, in the room."""
        return np.array(self.dry.part(i).frame.direction(self.dry.part(i).blank.edges[1].outward))


def growth_of(dry: DryFit) -> Growth:
    """How every part grows, held as the piece holds it."""
    strain = np.array([_strain(p) for p in dry.piece.parts])
    centre = np.array([p.frame.point(p.blank.middle()) for p in dry.piece.parts], float)
    gaps = _gaps(dry)
    holds = _holds([*_at_contacts(dry), *_across_gaps(dry, gaps)])
    return Growth(dry, strain, centre, _shifts(strain, centre, holds), gaps, holds)


def _strain(part: Part) -> Floats:
    """Change of size for one percent of moisture, as a matrix of the room; nothing for sheet goods."""
    out = np.zeros((3, 3))
    stock = part.stock
    grows = coefficients(stock.material, stock.sawn) if stock is not None and stock.solid_wood else None
    if grows is None:
        return out
    for side, share in ((part.blank.edges[1], grows.width), (part.blank.face, grows.thickness)):
        way = np.array(part.frame.direction(side.outward))
        out += share * np.outer(way, way)
    return out


class _Hold(NamedTuple):
    """How two parts hold each other at a point: square to a normal and along the joint, over an area in mm²."""

    i: int
    j: int
    point: Floats
    normal: Floats
    grip: Grip
    area: float


def _holds(found: list[_Hold]) -> Holds:
    """All of them in arrays."""
    if not found:
        none = np.zeros(0, np.int64)
        return Holds(none, none, np.zeros((0, 3)), np.zeros((0, 3, 3)), none.astype(bool))
    normal = np.array([h.normal for h in found])
    firm = np.array([FIRM[h.grip] for h in found])
    firm *= np.clip(np.array([h.area for h in found]) / LARGE, 0.01, 1.0)[:, None]
    square = normal[:, :, None] * normal[:, None, :]
    stiffness = firm[:, 0, None, None] * square + firm[:, 1, None, None] * (np.eye(3) - square)
    i, j = (np.array([h[k] for h in found], np.int64) for k in (0, 1))
    apart = np.array([h.grip is Grip.APART for h in found])
    return Holds(i, j, np.array([h.point for h in found]), stiffness, apart)


def _at_contacts(dry: DryFit) -> Iterator[_Hold]:
    """What holds where parts meet."""
    for c in dry.contacts:
        grip = grip_of(dry, c)
        if grip is not None:
            normal, area = dry.facing.along[c.index], float(dry.facing.area[c.index])
            screws = fasteners(dry, c) if grip is Grip.GLUED and not is_glued(dry, c) else []
            point = np.mean([*screws], axis=0) if screws else np.array(c.point)
            yield _Hold(*c.parts, point, normal, grip, area)


def _across_gaps(dry: DryFit, gaps: Facing) -> Iterator[_Hold]:
    """What holds across gaps: hardware well, a reveal only so far that nothing floats away."""
    hung = {k for k, joints in dry.joints_by_pair.items() if any(j.kind in ("clearance", "hinge") for j in joints)}
    for k in range(len(gaps)):
        i, j = (int(dry.scene.part[f]) for f in (gaps.a[k], gaps.b[k]))
        grip = Grip.HUNG if (min(i, j), max(i, j)) in hung else Grip.APART
        yield _Hold(i, j, gaps.middle[k], gaps.along[k], grip, float(gaps.area[k]))


def _gaps(dry: DryFit) -> Facing:
    """The faces that look at each other across every gap that is meant to stay open."""
    asked = max((j.asked or 0.0 for j in dry.piece.joints), default=0.0)
    reach = REACH + asked
    i, j = near_parts(dry.scene, reach)
    keep = np.fromiter(((a, b) in dry.apart for a, b in zip(i.tolist(), j.tolist(), strict=True)), bool, len(i))
    return facing(dry.scene, (i[keep], j[keep]), reach, dry.limits.angle)


def _shifts(strain: Floats, centre: Floats, holds: Holds) -> Floats:
    """How far every part is carried by what holds it: the least squares of all that does not go along."""
    if not len(holds.i):
        return np.zeros_like(centre)
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import spsolve

    own = np.unique(np.concatenate([holds.i, holds.j]))  # only what is held has anywhere to go
    place = np.zeros(len(centre), np.int64)
    place[own] = np.arange(len(own))
    i, j = place[holds.i], place[holds.j]
    grown = [np.einsum("kij,kj->ki", strain[p], holds.point - centre[p]) for p in (holds.i, holds.j)]
    pull = np.einsum("kij,kj->ki", holds.stiffness, grown[1] - grown[0])
    force = np.zeros((len(own), 3))
    np.add.at(force, i, pull)
    np.add.at(force, j, -pull)
    row, column = np.divmod(np.arange(9), 3)
    blocks = ((i, i, 1.0), (j, j, 1.0), (i, j, -1.0), (j, i, -1.0))
    rows = np.concatenate([(3 * p[:, None] + row).ravel() for p, _, _ in blocks])
    columns = np.concatenate([(3 * q[:, None] + column).ravel() for _, q, _ in blocks])
    values = np.concatenate([(sign * holds.stiffness).ravel() for _, _, sign in blocks])
    every = np.arange(3 * len(own))
    entries = np.concatenate([values, np.full(len(every), FREELY)])
    at = np.concatenate([rows, every]), np.concatenate([columns, every])
    found: Floats = np.zeros_like(centre)
    found[own] = spsolve(coo_matrix((entries, at)).tocsc(), force.ravel()).reshape(-1, 3)
    return found


def _root(group: list[int], i: int) -> int:
    while group[i] != i:
        i = group[i]
    return i
