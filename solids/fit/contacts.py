"""What each facing pair is to a maker: a housing's wall or floor, two bevels, a shoulder, or two plain faces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely

from solids.fit.facing import Facing
from solids.fit.scene import Scene
from solids.kernel.mesh import TOOL, Floats
from solids.model.geometry import Corner, Plane, Prism, Vector, Waste
from solids.model.part import Made, Part

TRENCHES = ("dado", "groove", "mortise")
STEPS = ("rabbet", "notch", "cutout")
SLANTS = ("bevel", "miter", "compound", "trim", "taper")
STANDS = ("tongue", "tenon")
HOUSINGS = ("dado", "groove", "mortise", "rabbet")

Meeting = Literal["wall", "floor", "end", "step", "miter", "slant", "shoulder", "plain"]


@dataclass(frozen=True, slots=True)
class Surface:
    """One side of a contact: which part and face, the cut it came from, its tool and what it is in it."""

    part: int
    face: int
    made: Made | None
    tool: int
    role: str

    @property
    def kind(self) -> str:
        return self.made.cut.kind if self.made else "blank"


@dataclass(frozen=True, slots=True)
class Contact:
    """A facing pair: `host` is the surface that was made for the other, where one was; gap in mm, angle in degrees."""

    index: int
    meeting: Meeting
    host: Surface
    guest: Surface
    least: float
    greatest: float
    angle: float
    point: Vector

    @property
    def parts(self) -> tuple[int, int]:
        return self.host.part, self.guest.part


def contacts_of(scene: Scene, facing: Facing) -> list[Contact]:
    """Every facing pair as a contact."""
    found = []
    for k in range(len(facing)):
        point = Vector(*facing.middle[k].tolist())
        a, b = (_surface(scene, int(side[k]), point) for side in (facing.a, facing.b))
        meeting, first = _meeting(a, b)
        host, guest = (a, b) if first else (b, a)
        gap = float(facing.least[k]), float(facing.greatest[k])
        found.append(Contact(k, meeting, host, guest, *gap, float(facing.angle[k]), point))
    return found


def _meeting(a: Surface, b: Surface) -> tuple[Meeting, bool]:
    """What two surfaces are to each other, and whether the first is the host."""
    if a.kind in SLANTS and b.kind in SLANTS:
        return "miter", True
    for first, s, other in ((True, a, b), (False, b, a)):
        if s.kind in TRENCHES:
            both = other.kind in TRENCHES and s.role == "floor" and other.role != "floor"
            if not both:
                return _trench_role(s.role), first
    for first, s in ((True, a), (False, b)):
        if s.kind in STEPS:
            return "end" if s.role == "stop" else "step", first
    for first, s in ((True, a), (False, b)):
        if s.kind in STANDS:
            return "shoulder" if s.role == "shoulder" else "plain", first
    for first, s in ((True, a), (False, b)):
        if s.kind in SLANTS:
            return "slant", first
    return "plain", True


def _trench_role(role: str) -> Meeting:
    if role == "floor":
        return "floor"
    return "end" if role == "stop" else "wall"


def _surface(scene: Scene, face: int, point: Vector) -> Surface:
    part, source = int(scene.part[face]), int(scene.source[face])
    if scene.also[face]:
        source = _source_at(scene, face, point)
    made = scene.cut_of(part, source)
    return Surface(part, face, made, source // TOOL, _role(scene, part, source))


def _role(scene: Scene, part: int, source: int) -> str:
    tool, side = divmod(source, TOOL)
    shape = scene.solids[part].shape
    waste = shape.blank if tool == 0 else shape.tools[tool - 1].waste
    if isinstance(waste, Prism):
        return waste.names[side]
    return ("wall", "mouth", "floor")[side] if side < 3 else waste.name


def _source_at(scene: Scene, face: int, point: Vector) -> int:
    """Where sides of several cuts lie in one plane, the one that covers a point of it."""
    part = int(scene.part[face])
    local = (np.array(point) - scene.origin[part]) @ scene.rotation[part]
    local -= _off_plane(scene, face, part, local)
    first = int(scene.source[face])
    for source in (first, *scene.also[face]):
        tool, side = divmod(source, TOOL)
        waste = scene.solids[part].shape.tools[tool - 1].waste if tool else scene.solids[part].shape.blank
        if covers(waste, side, Vector(*local.tolist())):
            return source
    return first


def _off_plane(scene: Scene, face: int, part: int, local: Floats) -> Floats:
    normal = scene.normal[face] @ scene.rotation[part]
    offset = scene.offset[face] - scene.normal[face] @ scene.origin[part]
    out: Floats = normal * (local @ normal - offset)
    return out


def covers(waste: Waste, side: int, point: Vector) -> bool:
    """Whether a point of a side's plane lies within that side of the shape."""
    if isinstance(waste, Plane):
        return True
    if not isinstance(waste, Prism):
        off = point.minus(waste.start)
        return off.minus(waste.axis.times(off.dot(waste.axis))).length() < waste.radius + 1e-6
    p = waste.frame.local_point(point)
    n = len(waste.outline)
    if side < n:
        a, b = waste.outline[side], waste.outline[(side + 1) % n]
        return _along(a, b, p) and -1e-6 < p.z < waste.depth + 1e-6
    polygon = shapely.Polygon([(c.a, c.b) for c in waste.outline])
    return bool(shapely.dwithin(polygon, shapely.Point(p.x, p.y), 1e-6))


def _along(a: Corner, b: Corner, p: Vector) -> bool:
    da, db = b.a - a.a, b.b - a.b
    t = ((p.x - a.a) * da + (p.y - a.b) * db) / (da * da + db * db)
    return -1e-9 < t < 1 + 1e-9


def housing_depth(parts: tuple[Part, ...]) -> float:
    """How deep the deepest dado, groove, rabbet or mortise is, in mm: how far a guest may be from what it should meet.

    A rabbet has two faces that a guest should meet, each as far off as the other is wide.
    """
    deepest = 0.0
    for part in parts:
        for made in part.cuts:
            if made.cut.kind in HOUSINGS:
                deepest = max(deepest, getattr(made.cut, "depth", None) or part.blank.thickness)
            if made.cut.kind == "rabbet":
                deepest = max(deepest, getattr(made.cut, "width", 0.0))
    return min(deepest, 60.0)
