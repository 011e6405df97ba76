"""Whether the mesh that was measured and the solid that is sent are the same wood.

Flat sides must agree to rounding. A round side is a polygon in the mesh, so
what it bounds may differ by no more than lies between the two. The polygon has
the circle's own area; where nothing else meets a round side, what it bounds is
held to rounding too.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from solids.kernel.faces import FaceSet, face_planes
from solids.kernel.mesh import TOOL, Floats, bounds, chords, placed
from solids.kernel.shape import Shape, names
from solids.kernel.solid import volume
from solids.kernel.trace import SAME, Round, named_faces, round_sides
from solids.model.geometry import Bore, Plane, Prism

CLOSE = 1e-9  # relative
LEAST = 1e-5  # mm² or mm³: a trim that ends in a corner may leave a hair of a side on one of the two
# A polygon of the arc's own area whose ends stay put swings out farther than its sagitta, by a third at two chords.
SWING = 1.5
SLICES = 200


@dataclass(frozen=True, slots=True)
class _Rough:
    """A round side that something else meets; its mesh lies within `off` mm of it."""

    round: Round
    off: float


def differences(shape: Shape, faces: FaceSet, solid: Any) -> list[str]:
    """Where mesh and solid differ, as plain sentences; none where they are the same.

    Compared are the volume, the area of every plane that a side lies in, and
    that each of the solid's faces lies on a side at all.
    """
    rough = list(_rough_sides(shape))
    found = list(_volume_difference(shape, faces, solid, rough))
    known = {key: p for key, p in face_planes(shape).items() if p is not None}
    groups = _coplanar(known)
    meshed, made = np.zeros(len(groups)), np.zeros(len(groups))
    group_of = {key: k for k, keys in enumerate(groups) for key in keys}
    for source, size in zip(faces.source.tolist(), faces.area.tolist(), strict=True):
        meshed[group_of[source]] += size
    for sources, size, planar in named_faces(solid, shape):
        if not sources:
            found.append(f"a {'flat' if planar else 'round'} face of {size:.6f} mm² of the solid lies on no side")
        elif planar:
            made[group_of[sources[0]]] += size
    for keys, on_mesh, on_solid in zip(groups, meshed.tolist(), made.tolist(), strict=True):
        allowed = CLOSE * max(on_mesh, on_solid) + LEAST + _spread(keys, known[keys[0]], rough)
        if abs(on_mesh - on_solid) > allowed:
            found.append(_told(_side_name(shape, keys[0]), on_mesh, on_solid, allowed, "mm²"))
    return found


def _told(what: str, on_mesh: float, on_solid: float, allowed: float, unit: str) -> str:
    apart = abs(on_mesh - on_solid)
    return (
        f"{what} is {on_mesh:.6f} {unit} on the mesh and {on_solid:.6f} {unit} on the solid, "
        f"{apart:.6f} apart where {allowed:.6f} would do"
    )


def _side_name(shape: Shape, key: int) -> str:
    """A side as a maker may find it: its name, and the cut's place in the part's list."""
    tool, side = divmod(key, TOOL)
    if not tool:
        return f"the {names(shape.blank)[side]} side"
    waste = shape.tools[tool - 1].waste
    name = waste.name if isinstance(waste, Plane) else names(waste)[side]
    return f"the {name} of cut {shape.tools[tool - 1].cut + 1}"


def _volume_difference(shape: Shape, faces: FaceSet, solid: Any, rough: list[_Rough]) -> Iterator[str]:
    exact = volume(solid)
    low, high = bounds(shape.blank)
    longest = float(np.linalg.norm(high - low))
    allowed = CLOSE * exact + LEAST + sum(_shell(r, longest) for r in rough)
    if abs(faces.volume - exact) > allowed:
        yield _told("the volume", faces.volume, exact, allowed, "mm³")


def _shell(rough: _Rough, longest: float) -> float:
    """The most that can lie between a round side and its mesh, in mm³."""
    r = rough.round
    return abs(r.swept) * (max(r.radius, r.radius_at(r.depth)) + rough.off) * rough.off * min(r.depth, longest)


def _coplanar(known: dict[int, Plane]) -> list[list[int]]:
    """Sides in groups of one plane, the first of each the least."""
    keys = sorted(known)
    numbers = np.array([(*known[k].normal, known[k].offset) for k in keys], float)
    groups: list[list[int]] = []
    left = np.ones(len(keys), bool)
    for k in range(len(keys)):
        if left[k]:
            same = left & (np.abs(numbers - numbers[k]).max(axis=1) < SAME)
            groups.append([keys[i] for i in np.flatnonzero(same)])
            left &= ~same
    return groups


def _spread(keys: list[int], plane: Plane, rough: list[_Rough]) -> float:
    """The most that round sides can change the area of one plane, in mm²."""
    total = 0.0
    for r in rough:
        own_wall = any(k // TOOL == r.round.key // TOOL for k in keys) and abs(plane.normal.dot(r.round.frame.z)) < 0.5
        if not own_wall:  # a round side ends at its own tool's walls, in the mesh just as in the solid
            total += _section(r, plane)
    return total


def _section(rough: _Rough, plane: Plane) -> float:
    """The area in which a plane cuts what lies between a round side and its mesh, in mm²."""
    r, off = rough.round, rough.off
    n = r.frame.local_direction(plane.normal)
    along, across = n.z, math.hypot(n.x, n.y)
    foot = plane.offset - plane.normal.dot(r.frame.origin)
    if across < SAME:
        at = foot / along
        return abs(r.swept) * (r.radius_at(at) + off) * off if -SAME <= at <= r.depth + SAME else 0.0
    low, high = 0.0, r.depth
    if abs(along) > SAME:
        reach = across * (max(r.radius, r.radius_at(r.depth)) + off)
        ends = sorted(((foot - reach) / along, (foot + reach) / along))
        low, high = max(low, ends[0]), min(high, ends[1])
    if low >= high:
        return 0.0
    z = low + (high - low) * (np.arange(SLICES) + 0.5) / SLICES
    distance = np.abs(foot - along * z) / across
    radius = r.radius + r.slope * z
    widths = _chord(radius + off, distance) - _chord(radius - off, distance)
    return float(widths.mean()) * (high - low) / across


def _chord(radius: Floats, distance: Floats) -> Floats:
    """How long a line at a distance from a circle's centre runs inside it."""
    inside = np.maximum(radius, 0.0) ** 2 - distance**2
    chord: Floats = 2 * np.sqrt(np.maximum(inside, 0.0))
    return chord


def _rough_sides(shape: Shape) -> Iterator[_Rough]:
    """The round sides that another tool meets, or that the blank's sides cut off slanting or lengthwise."""
    rounds = list(round_sides(shape))
    hulls = {r.key: _hull(r) for r in rounds}
    blank_rounds = [_box(hulls[r.key]) for r in rounds if r.key < TOOL]
    blank = [p for key, p in face_planes(shape).items() if p is not None and key < TOOL]
    boxes = [None if isinstance(t.waste, Plane) else _tool_box(t.waste) for t in shape.tools]
    for r in rounds:
        own, hull = r.key // TOOL - 1, hulls[r.key]
        others = [b for k, b in enumerate(boxes) if b is not None and k != own]
        cuts = [t.waste for t in shape.tools if isinstance(t.waste, Plane)]
        if own >= 0:
            others += blank_rounds
            cuts += [p for p in blank if abs(p.normal.dot(r.frame.z)) < 1 - CLOSE]
        if any(_overlap(_box(hull), b) for b in others) or any(_crosses(p, hull) for p in cuts):
            yield _Rough(r, _off(r))


def _off(r: Round) -> float:
    radius = max(r.radius, r.radius_at(r.depth))
    return SWING * radius * (1 - math.cos(abs(r.swept) / chords(radius, r.swept) / 2))


def _hull(r: Round) -> Floats:
    """Points that a round side and its mesh lie between; the ends of an arc stay just where they are."""
    n = chords(max(r.radius, r.radius_at(r.depth)), r.swept)
    is_arc = abs(r.swept) < 2 * math.pi
    turns = r.start + r.swept * np.arange(n + is_arc) / n
    out = np.full(len(turns), _off(r))
    if is_arc:
        out[[0, -1]] = 0.0
    rings = []
    for z in (0.0, r.depth):
        wide = out + r.radius_at(z)
        rings.append(np.column_stack([wide * np.cos(turns), wide * np.sin(turns), np.full(len(turns), z)]))
    return placed(np.concatenate(rings), r.frame)


def _crosses(plane: Plane, hull: Floats) -> bool:
    return bool((hull @ np.array(plane.normal)).max() > plane.offset + SAME)


def _box(points: Floats) -> tuple[Floats, Floats]:
    return points.min(0) - SAME, points.max(0) + SAME


def _overlap(a: tuple[Floats, Floats], b: tuple[Floats, Floats]) -> bool:
    return bool((a[0] <= b[1]).all() and (b[0] <= a[1]).all())


def _tool_box(waste: Bore | Prism) -> tuple[Floats, Floats]:
    """The box of a tool; of a bore, one that more than holds it."""
    if isinstance(waste, Prism):
        return bounds(waste)
    ends = np.array([waste.start, waste.start.plus(waste.axis.times(waste.depth))])
    wide = 1.1 * max(waste.radius, waste.far_radius)
    return ends.min(0) - wide, ends.max(0) + wide
