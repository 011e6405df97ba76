"""Rows: everything on a piece that a maker would measure, as sums of gaps between planes.

A row is cheap to measure again when a number of the spec changes: the planes of
the faces that it lies between are worked out anew, nothing else.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from solids.fit.apart import across, band_of
from solids.fit.contacts import HOUSINGS, TRENCHES, Contact
from solids.fit.dryfit import DryFit
from solids.fit.facing import Facing, gap_at
from solids.fit.rules.housing import band
from solids.kernel.faces import face_planes
from solids.kernel.mesh import TOOL, Floats
from solids.kernel.shape import Shape, shape_of
from solids.model.part import Part
from solids.model.piece import Piece

FREE = 1e9  # mm: no bound
Plane = tuple[Floats, float]
Key = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Term:
    """A gap from face a to face b on the line through a point; a face is part, tool and side as the spec has them."""

    a: Key
    b: Key
    point: tuple[float, float, float]
    along: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Row:
    """The sum of its terms, less what a joint asks for, should lie from `least` to `most`; mm."""

    parts: tuple[int, int]
    terms: tuple[Term, ...]
    value: float
    least: float
    most: float
    joint: int = -1

    @property
    def off(self) -> float:
        """How far the value is out of its band, in mm."""
        return max(0.0, self.least - self.value, self.value - self.most)


def rows_of(dry: DryFit, parts: set[int], every_corner: bool = False) -> list[Row]:
    """The rows that involve any of the given parts; where a gap is even, at one corner of it or at every one."""
    trenches: dict[tuple[int, int, int], list[Contact]] = defaultdict(list)
    rows: list[Row] = []
    for c in dry.contacts:
        if not parts & set(c.parts):
            continue
        if c.meeting == "wall":
            trenches[c.host.part, c.host.tool, c.guest.part].append(c)
        rows += _single(dry, c, every_corner)
    for walls in trenches.values():
        rows += _widths(dry, walls)
    return rows + _steps(dry, parts) + _asked(dry, parts)


def _single(dry: DryFit, c: Contact, every_corner: bool) -> list[Row]:
    """One gap, or one at each end where it is not even; at every corner where that is asked for."""
    corners, gaps = corners_of(dry, c)
    least, most = _bounds(dry, c)
    picks = [int(np.argmin(gaps)), int(np.argmax(gaps))]
    if float(np.ptp(gaps)) < 1e-6:
        picks = picks[:1]
    if every_corner:
        picks = list(range(len(gaps)))
    return [Row(c.parts, (_term(dry, c, corners[k]),), float(gaps[k]), least, most) for k in picks]


def corners_of(dry: DryFit, c: Contact) -> tuple[Floats, Floats]:
    """The corners of a contact's overlap in the room, and the gap at each."""
    one = dry.facing.take(np.array([c.index]))
    corners, k = one.corners()
    return corners, gap_at(dry.scene, one.a[k], one.b[k], one.along[k], corners)


def _term(dry: DryFit, c: Contact, point: Floats) -> Term:
    a, b = int(dry.facing.a[c.index]), int(dry.facing.b[c.index])
    along = tuple(dry.facing.along[c.index].tolist())
    return Term(_key(dry, c, a), _key(dry, c, b), tuple(point.tolist()), along)


def _key(dry: DryFit, c: Contact, face: int) -> Key:
    """The face by the source that covers this contact."""
    surface = c.host if c.host.face == face else c.guest
    source = int(dry.scene.source[face])
    if source // TOOL != surface.tool:
        source = next((s for s in dry.scene.also[face] if s // TOOL == surface.tool), source)
    return lasting(dry, int(dry.scene.part[face]), source)


def lasting(dry: DryFit, part: int, source: int) -> Key:
    """A face by what stays the same when numbers change: tools are sorted by their numbers."""
    return part, *_ordered(dry.scene.solids[part].shape, source)


def _ordered(shape: Shape, source: int) -> tuple[int, int]:
    tool, side = divmod(source, TOOL)
    return (shape.tools[tool - 1].order + 1 if tool else 0), side


def _bounds(dry: DryFit, c: Contact) -> tuple[float, float]:
    """The band that a single gap should lie in."""
    limits, fit = dry.limits, dry.fit_of(c)
    press = -limits.press if c.least >= -limits.press else 0.0  # what runs in is brought back to touching
    pair = (min(c.parts), max(c.parts))
    joined = pair in dry.joints_by_pair
    if c.meeting in ("miter", "slant"):
        return press, limits.glue.most
    if c.meeting == "floor":
        return press, limits.loose.most if fit == "loose" else limits.seat.most
    if c.meeting == "step" and c.host.kind in HOUSINGS:
        return press, limits.loose.most if fit == "loose" else limits.seat.most
    if c.meeting == "shoulder":
        return press, limits.glue.most if fit == "glue" else limits.slip.most
    if c.meeting == "plain" and joined and c.host.kind not in TRENCHES:
        nearest = min(abs(o.least) for o in dry.by_pair[pair])
        asked = any(j.kind == "touch" for j in dry.joints_by_pair[pair]) and abs(c.least) <= nearest + 1e-6
        if asked or abs(c.least) <= limits.glue.most:
            return press, limits.glue.most
    return press, FREE


def _widths(dry: DryFit, walls: list[Contact]) -> list[Row]:
    """The play between two walls and their guest, as one row of two terms."""
    n = dry.scene.normal[walls[0].host.face]
    one = [c for c in walls if float(dry.scene.normal[c.host.face] @ n) > 0.9]
    other = [c for c in walls if float(dry.scene.normal[c.host.face] @ n) < -0.9]
    if not one or not other:
        return []
    pair = (min(one, key=lambda c: c.least), min(other, key=lambda c: c.least))
    terms, value = [], 0.0
    for c in pair:
        corners, gaps = corners_of(dry, c)
        k = int(np.argmin(gaps))
        terms.append(_term(dry, c, corners[k]))
        value += float(gaps[k])
    allowed = band(dry, dry.fit_of(walls[0]))
    return [Row(walls[0].parts, tuple(terms), value, allowed.least, allowed.most)]


def _steps(dry: DryFit, parts: set[int]) -> list[Row]:
    """Steps that are too high."""
    rows = []
    for s in dry.steps:
        i, j = int(dry.scene.part[s.a]), int(dry.scene.part[s.b])
        if not parts & {i, j} or abs(s.height) >= dry.limits.flush:
            continue
        along = dry.scene.normal[s.a] + dry.scene.normal[s.b]
        along = along / np.linalg.norm(along)
        keys = [lasting(dry, int(dry.scene.part[f]), int(dry.scene.source[f])) for f in (s.a, s.b)]
        term = Term(keys[0], keys[1], s.point, tuple(along.tolist()))
        rows.append(Row((i, j), (term,), s.height, -dry.limits.step, dry.limits.step))
    return rows


def _asked(dry: DryFit, parts: set[int]) -> list[Row]:
    """Gaps that a reveal or a runner asks for, at their narrowest and at their widest."""
    rows = []
    for k, joint in enumerate(dry.piece.joints):
        i, j = dry.number[joint.a], dry.number[joint.b]
        if joint.kind not in ("reveal", "clearance") or not parts & {i, j}:
            continue
        if (pair := across(dry, i, j, joint.asked or 0.0)) is not None:
            rows += _gaps(dry, pair, k, band_of(dry, joint))
    return rows


def _gaps(dry: DryFit, pair: Facing, joint: int, band: float) -> list[Row]:
    """One pair of faces at the corner where they are nearest and at the one where they are furthest apart."""
    corners, k = pair.corners()
    gaps = gap_at(dry.scene, pair.a[k], pair.b[k], pair.along[k], corners)
    i, j = (int(dry.scene.part[side[0]]) for side in (pair.a, pair.b))
    keys = [lasting(dry, int(dry.scene.part[f]), int(dry.scene.source[f])) for f in (pair.a[0], pair.b[0])]
    along, asked = tuple(pair.along[0].tolist()), dry.piece.joints[joint].asked or 0.0
    ends = dict.fromkeys((int(np.argmin(gaps)), int(np.argmax(gaps))))
    terms = [(c, Term(keys[0], keys[1], tuple(corners[c].tolist()), along)) for c in ends]
    return [Row((i, j), (term,), float(gaps[c]) - asked, -band, band, joint) for c, term in terms]


def planes_of(part: Part) -> dict[tuple[int, int], Plane]:
    """The planes of a part's faces in the room, by tool and side."""
    frame = part.blank.bench().within(part.frame)
    found = {}
    shape = shape_of(part)
    for source, plane in face_planes(shape).items():
        if plane is not None:
            moved = plane.moved(frame)
            found[_ordered(shape, source)] = (np.array(moved.normal), moved.offset)
    return found


class Planes:
    """The planes of a piece's faces in the room, worked out from its numbers when asked for."""

    def __init__(self, piece: Piece) -> None:
        self.piece = piece
        self.known: dict[int, dict[tuple[int, int], Plane]] = {}

    def of(self, key: Key) -> Plane | None:
        """Normal and offset of a face; None where it has no plane now."""
        part, tool, side = key
        if part not in self.known:
            self.known[part] = planes_of(self.piece.parts[part])
        return self.known[part].get((tool, side))

    def value(self, row: Row) -> float | None:
        """The row measured on these planes."""
        total = -(self.piece.joints[row.joint].asked or 0.0) if row.joint >= 0 else 0.0
        for t in row.terms:
            a, b = self.of(t.a), self.of(t.b)
            if a is None or b is None:
                return None
            point, along = np.array(t.point), np.array(t.along)
            ends = []
            for normal, offset in (a, b):
                slant = float(normal @ along)
                if abs(slant) < 1e-6:
                    return None
                ends.append((offset - float(normal @ point)) / slant)
            total += ends[1] - ends[0]
        return total
