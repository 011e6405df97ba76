"""Wood that is held across its grain: how far it wants to move where something keeps it, and where its slots end."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from solids.fit.contacts import HOUSINGS, Contact
from solids.fit.growth import Growth
from solids.fit.holding import Grip, fasteners, grip_of, holes, is_fast, is_glued, joints_of
from solids.fit.season import Year
from solids.kernel.mesh import Floats
from solids.model.geometry import Vector
from solids.model.piece import Joint

ALIKE = 1e-7  # for one percent: wood that grows as much the same way holds nothing back
FLAT = 0.5  # cosine: a joint whose faces look more than this along the width is closed by the movement, not sheared


@dataclass(frozen=True, slots=True)
class Restraint:
    """How far a part and those that hold it want to part company along its width, in mm from driest to most humid.

    `fast` where the spec says that they are glued or screwed; `width` is how far apart the outermost places are.
    """

    part: int
    holders: tuple[int, ...]
    moves: float
    width: float
    fast: bool
    point: Vector


@dataclass(frozen=True, slots=True)
class Slotted:
    """A screw in a slot: `moves` how far the wood goes at it, one way, at most; `play` how far it may; mm."""

    joint: Joint
    part: int
    other: int
    cut: str
    moves: float
    play: float
    point: Vector


def restraints(year: Year) -> Iterator[Restraint]:
    """What each part of solid wood is held by, where that keeps it from moving: fast, and by housings alone."""
    for i in np.flatnonzero(year.growth.moving).tolist():
        held: dict[bool, list[Held]] = defaultdict(list)
        for c in year.contacts[i]:
            if grip_of(year.dry, c) in (Grip.GLUED, Grip.HOUSED) and not _is_free(year, c):
                held[is_fast(year.dry, c)] += _held(year, i, c)
        for fast, places in held.items():
            if _most(year, i, places) > year.dry.limits.cross_grain:
                yield from _restraint(year, i, places, fast)


def _is_free(year: Year, c: Contact) -> bool:
    """Whether a slot lets the wood go, it is a panel that floats in its frame, or the one just lies on the other."""
    if is_fast(year.dry, c):
        return False
    if not joints_of(year.dry, c) and c.host.kind not in HOUSINGS:
        return True
    slotted = any(hole.slot is not None for j in joints_of(year.dry, c) for hole, _, _ in holes(year.dry, j))
    return slotted or bool(year.dry.floating_panels & set(c.parts))


@dataclass(frozen=True, slots=True)
class Held:
    """Where another part holds the one that is looked at: its screws, or the corners of what is glued or housed."""

    other: int
    corners: Floats
    point: Vector


def _held(year: Year, i: int, c: Contact) -> list[Held]:
    other, across = (c.host.part if c.guest.part == i else c.guest.part), year.growth.across(i)
    unlike = across @ (year.growth.strain[i] - year.growth.strain[other]) @ across
    if abs(float(unlike)) < ALIKE or abs(float(year.dry.facing.along[c.index] @ across)) > FLAT:
        return []
    points = fasteners(year.dry, c) if not is_glued(year.dry, c) else []
    corners = np.array(points) if points else year.dry.facing.take(np.array([c.index])).corners()[0]
    return [Held(other, corners, c.point)]


def _span(year: Year) -> float:
    return year.moisture.wettest - year.moisture.driest


def _most(year: Year, i: int, places: list[Held]) -> float:
    """The most that it could be held back by, if all that holds it were one: a cheap bound."""
    if not places:
        return 0.0
    across = year.growth.across(i)
    unlike = max(abs(float(across @ (year.growth.strain[i] - year.growth.strain[h.other]) @ across)) for h in places)
    return unlike * float(np.ptp(np.concatenate([h.corners for h in places]) @ across)) * _span(year)


def _restraint(year: Year, i: int, places: list[Held], fast: bool) -> Iterator[Restraint]:
    """Of the holders that hang together without the part, the group that it moves on from the most."""
    free = year.growth.without(i)
    groups = free.groups()
    together: dict[int, list[Held]] = defaultdict(list)
    for h in places:
        together[groups[h.other]].append(h)
    worst = max((_parted(year, free, i, own, fast) for own in together.values()), key=lambda r: r.moves)
    if worst.moves > year.dry.limits.cross_grain:
        yield worst


def _parted(year: Year, free: Growth, i: int, places: list[Held], fast: bool) -> Restraint:
    """How unlike the movements of a part and of what holds it are, along its width."""
    across = year.growth.across(i)
    apart = []
    for h in places:
        own, theirs = (free.move(np.full(len(h.corners), p), h.corners) for p in (i, h.other))
        apart.append((own - theirs) @ across)
    width = float(np.ptp(np.concatenate([h.corners for h in places]) @ across))
    middle = Vector(*(float(np.mean([h.point[k] for h in places])) for k in range(3)))
    others = tuple(dict.fromkeys(h.other for h in places))
    return Restraint(i, others, float(np.ptp(np.concatenate(apart))) * _span(year), width, fast, middle)


def slots(year: Year) -> Iterator[Slotted]:
    """Every screw in a slot, with how far the wood goes there."""
    for joint in year.dry.piece.joints:
        a, b = year.dry.number[joint.a], year.dry.number[joint.b]
        for hole, part, name in holes(year.dry, joint):
            slot = hole.slot
            if slot is None:
                continue
            play = (slot.length - hole.diameter) / 2
            way = slot.toward.outward
            middle = part.frame.point(hole.centre(part.blank).plus(way.times(play)))
            along = np.array(part.frame.direction(way))
            moves = abs(_between(year, a, b, np.array([middle]), along)) * max(map(abs, year.moisture.changes))
            yield Slotted(joint, a, b, name, moves, play, middle)


def _between(year: Year, a: int, b: int, point: Floats, along: Floats) -> float:
    """How far part a goes on from part b at a point, along a direction; mm for one percent."""
    own, theirs = (year.growth.move(np.array([p]), point)[0] for p in (a, b))
    return float((own - theirs) @ along)
