"""Where to look at a finding: which two faces it is about, and the plane that cuts the place open."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.fit.facing import facing
from solids.fit.scene import Scene, laid, plane_axes
from solids.fit.tell import Tell
from solids.kernel.mesh import TOOL, Floats
from solids.model.finding import Finding
from solids.report.page_short import missing_wood

Kind: TypeAlias = Literal["gap", "clash", "play", "step", "web", "angle", "strip", "short", "bored"]
LIKED = np.array([0.5, -1.0, 0.8])  # a place is rather looked at from the front, the right and above
SLANT = 0.03  # degrees between two faces from which the cut is laid square to where their planes meet
CROSSING = 3.0  # mm: a cut across the edge where two outlines meet runs no further in the strip about it
INTO = 0.01  # of its length: how far from where a part is shortest the cut is laid
ABOUT = 1.2  # a gap between two faces may be so many times what the finding says, where the wood leans


@dataclass(frozen=True, slots=True)
class Spot:
    """A place: parts and faces by number (-1 for none), `along` from the host's face to the guest's.

    The cut is square to `toward`, which points to the eye; `span` is where the
    two faces overlap on its trace, in mm from the point. `walls` are the other
    wall of a trench and the other cheek of what stands in it. `said` is the
    sentence that it shows, where that is one of those below the finding.
    """

    kind: Kind
    host: int
    guest: int
    faces: tuple[int, int]
    point: Floats
    along: Floats
    toward: Floats
    span: tuple[float, float]
    size: float
    texts: tuple[str, ...]
    walls: tuple[int, int] = (-1, -1)
    said: str = ""

    @property
    def across(self) -> Floats:
        """The direction in the cut that is square to the measure."""
        return np.cross(self.toward, self.along)


def spot_of(dry: DryFit, f: Finding) -> Spot | None:
    """The place of a finding, or of the first one below it that has one."""
    for g in (f, *f.folded):
        if len(g.parts) > 1 or g.kind == "thin-wood":
            for look in _LOOKS.get(g.kind, (_contact, _declared)):
                found = look(dry, g)
                if found is not None:
                    return found if g is f else replace(found, said=g.message)
    return None


def reach(scene: Scene, face: int, point: Floats, along: Floats) -> float:
    """How far a face's plane is from a point along a direction."""
    n = scene.normal[face]
    return float((scene.offset[face] - n @ point) / (n @ along))


def _faces(dry: DryFit, part: int) -> range:
    return range(int(dry.scene.first[part]), int(dry.scene.first[part + 1]))


def measure(dry: DryFit, f: Finding) -> str:
    """The finding's own number, as its sentence says it."""
    v, small = f.values, Tell(dry).small
    if "difference" in v and f.kind not in ("reveal", "clearance"):
        return small(abs(v["difference"]))
    if "degrees" in v and f.kind == "miter-mismatch":
        return small(v["opening"])
    for key in ("room", "lip", "distance", "step", "left", "depth"):
        if key in v:
            return small(v[key])
    if "greatest" in v:
        same = v["greatest"] - v["least"] < 1e-3
        return small(v["greatest"]) if same else f"{small(v['least'])} to {small(v['greatest'])}"
    return ""


def _between(dry: DryFit, kind: Kind, faces: tuple[int, int], point: Floats, texts: tuple[str, ...]) -> Spot | None:
    """The cut through two faces that look at each other, laid so that it shows what is between."""
    scene = dry.scene
    na, nb = scene.normal[faces[0]], scene.normal[faces[1]]
    along = na - nb
    along = along / np.linalg.norm(along)
    x, y = plane_axes(along[None])
    outlines = [laid(scene, np.array([k]), x, y, point[None])[0] for k in faces]
    overlap = shapely.intersection(*outlines)
    if shapely.is_empty(overlap):
        return None
    if not shapely.dwithin(overlap, shapely.Point(0, 0), 1e-6):
        at = shapely.get_coordinates(shapely.point_on_surface(overlap))[0]
        point = point + x[0] * at[0] + y[0] * at[1]
        overlap = shapely.transform(overlap, lambda p: p - at)
    turn = np.cross(na, nb)
    slanted = np.linalg.norm(turn) > np.sin(np.radians(SLANT))
    toward = to_eye(turn if slanted else _longest(overlap, x[0], y[0]))
    across = np.cross(toward, along)
    span = _span(overlap, np.array([across @ x[0], across @ y[0]]))
    size = reach(scene, faces[1], point, along) - reach(scene, faces[0], point, along)
    host, guest = (int(scene.part[k]) for k in faces)
    return Spot(kind, host, guest, faces, point, along, toward, span, size, texts)


def _longest(overlap: object, x: Floats, y: Floats) -> Floats:
    """The way in which an outline runs furthest."""
    box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(overlap))
    sides = np.diff(box, axis=0)[:2] if len(box) > 2 else np.array([[1.0, 0.0]])
    way = sides[int(np.argmax(np.round(np.linalg.norm(sides, axis=1), 6)))]
    return np.asarray(x * way[0] + y * way[1], float)


def to_eye(way: Floats) -> Floats:
    """That way or its opposite, as a unit vector: the one that is rather looked at from."""
    way = way / np.linalg.norm(way)
    return way if float(way @ LIKED) >= 0 else -way


def _span(overlap: object, way: Floats) -> tuple[float, float]:
    """Where a line through 0 runs within an outline: the stretch nearest to 0."""
    line = shapely.LineString([-way * 1e5, way * 1e5])
    pieces = [p for p in shapely.get_parts(shapely.intersection(overlap, line)) if p.length > 1e-9]
    if not pieces:
        return (0.0, 0.0)
    nearest = min(pieces, key=lambda p: (round(p.distance(shapely.Point(0, 0)), 6), -p.length))
    t = shapely.get_coordinates(nearest) @ way
    return float(t.min()), float(t.max())


def _contact(dry: DryFit, f: Finding) -> Spot | None:
    """The contact that the finding was measured on."""
    c = next((c for c in dry.contacts if c.point == f.at), None)
    if c is None:
        return None
    kind: Kind = "clash" if c.least < -dry.limits.press else "gap"
    return _between(dry, kind, (c.host.face, c.guest.face), np.array(c.point), (measure(dry, f),))


def _angle(dry: DryFit, f: Finding) -> Spot | None:
    spot = _contact(dry, f)
    if spot is None or spot.span[1] - spot.span[0] < 1e-6:
        return spot
    return replace(spot, kind="angle", texts=(measure(dry, f), Tell(dry).angle(f.values["degrees"])))


def _play(dry: DryFit, f: Finding) -> Spot | None:
    """Both walls of the trench and both cheeks of what stands in it."""
    spot = _contact(dry, f)
    if spot is None:
        return None
    scene, small = dry.scene, Tell(dry).small
    wall = _opposite(dry, spot.faces[0], -f.values["width"], True)
    cheek = _opposite(dry, spot.faces[1], f.values["guest"], False)
    texts = (measure(dry, f), small(f.values["width"]), small(f.values["guest"]))
    if wall < 0 or cheek < 0 or abs(float(scene.normal[wall] @ scene.normal[spot.faces[0]]) + 1) > 1e-3:
        return replace(spot, texts=texts[:1])
    return replace(spot, kind="play", walls=(wall, cheek), size=f.values["difference"], texts=texts)


def _opposite(dry: DryFit, face: int, apart: float, same_tool: bool) -> int:
    """The face of the same part, and the same cut, that looks the other way so far off; -1 where there is none."""
    scene = dry.scene
    for k in _faces(dry, int(scene.part[face])):
        if same_tool and scene.source[k] // TOOL != scene.source[face] // TOOL:
            continue
        opposite = float(scene.normal[k] @ scene.normal[face]) < -0.9999
        if opposite and abs(float(scene.offset[k] + scene.offset[face]) - apart) < 0.02:
            return k
    return -1


def _step(dry: DryFit, f: Finding) -> Spot | None:
    s = next((s for s in dry.steps if f.at is not None and s.point == tuple(f.at)), None)
    if s is None:
        return None
    host_first = dry.part(int(dry.scene.part[s.a])).id == f.parts[1]
    faces = (s.a, s.b) if host_first else (s.b, s.a)
    scene = dry.scene
    along = scene.normal[faces[0]] + scene.normal[faces[1]]
    along = along / np.linalg.norm(along)
    point, way = _through_both(scene, faces, np.array(s.point), along)
    size = reach(scene, faces[1], point, along) - reach(scene, faces[0], point, along)
    host, guest = (int(scene.part[k]) for k in faces)
    return Spot("step", host, guest, faces, point, along, to_eye(way), (0.0, 0.0), size, (measure(dry, f),))


def _through_both(scene: Scene, faces: tuple[int, int], point: Floats, along: Floats) -> tuple[Floats, Floats]:
    """Where, and square to which way, a cut goes through both of two faces that lie beside each other."""
    x, y = plane_axes(along[None])
    outlines = [laid(scene, np.array([k]), x, y, point[None])[0] for k in faces]
    strip = shapely.intersection(*(shapely.buffer(o, 0.6, join_style="mitre") for o in outlines))
    corners = shapely.get_coordinates(strip)
    best, most = (point, y[0]), 0.0
    for way, other in ((np.array([1.0, 0.0]), np.array([0.0, 1.0])), (np.array([0.0, 1.0]), np.array([1.0, 0.0]))):
        low, high = (corners @ way).min(), (corners @ way).max()
        for share in (0.5, 0.35, 0.65, 0.2, 0.8, 0.05, 0.95):
            at = way * (low + share * (high - low))
            line = shapely.LineString([at - other * 1e4, at + other * 1e4])
            for here in shapely.get_parts(shapely.intersection(line, strip)).tolist():
                if not 0 < here.length < CROSSING:  # longer ones run along the edge
                    continue
                near = shapely.intersection(line, shapely.buffer(here, 10.0))
                shown = min(float(shapely.intersection(near, o).length) for o in outlines)
                if shown > most + 1e-6:
                    middle = at + other * float(np.array(shapely.centroid(here).coords[0]) @ other - at @ other)
                    most, best = shown, (point + x[0] * middle[0] + y[0] * middle[1], x[0] * way[0] + y[0] * way[1])
    return best


def _web(dry: DryFit, f: Finding) -> Spot | None:
    w = next((w for w in dry.webs if f.at is not None and w.point == tuple(f.at)), None)
    return _between(dry, "web", (w.a, w.b), np.array(w.point), (measure(dry, f),)) if w else None


def _lip(dry: DryFit, f: Finding) -> Spot | None:
    if "lip" not in f.values:
        return None
    spot = _contact(dry, f)
    return replace(spot, kind="strip") if spot else None


def _clash(dry: DryFit, f: Finding) -> Spot | None:
    """Through the middle of the largest lump of common wood, along the way in which it is as deep as was said."""
    i, j = sorted((dry.number[f.parts[0]], dry.number[f.parts[1]]))
    common = dry.scene.world(i) ^ dry.scene.world(j)
    if not common.num_tri():
        return None
    lump = max(common.decompose(), key=lambda m: round(float(m.volume()), 6))
    points = np.asarray(lump.to_mesh64().vert_properties)[:, :3]
    normals = dry.scene.normal[[k for p in (i, j) for k in _faces(dry, p)]]
    normals = np.unique(np.round(normals, 9), axis=0)
    wide = np.ptp(points @ normals.T, axis=0)
    along = normals[int(np.argmin(np.round(np.abs(wide - f.values["depth"]), 6)))]
    square = [n for n in normals if abs(float(n @ along)) < 1e-6] or [plane_axes(along[None])[0][0]]
    toward = to_eye(square[int(np.argmax([round(float(np.ptp(points @ n)), 6) for n in square]))])
    middle = (points.min(0) + points.max(0)) / 2
    middle = middle + toward * (float((points @ toward).min() + (points @ toward).max()) / 2 - float(middle @ toward))
    t = points @ np.cross(toward, along) - float(middle @ np.cross(toward, along))
    span = float(t.min()), float(t.max())
    return Spot("clash", i, j, (-1, -1), middle, along, toward, span, -f.values["depth"], (measure(dry, f),))


def _declared(dry: DryFit, f: Finding) -> Spot | None:
    """Two parts that a joint wants together: the faces that are as far apart as was said."""
    gap = next((f.values[k] for k in ("distance", "room", "greatest") if k in f.values), 0.0)
    i, j = dry.number[f.parts[0]], dry.number[f.parts[1]]
    spot = _short(dry, f, i, j)
    if spot is not None or gap <= 0:
        return spot
    pair = np.array([min(i, j)]), np.array([max(i, j)])
    found = facing(dry.scene, pair, ABOUT * gap + 1, dry.limits.angle)
    fitting = [k for k in range(len(found)) if gap / ABOUT < found.greatest[k] < gap * ABOUT]
    if not fitting:
        return None
    k = min(fitting, key=lambda k: (round(abs(float(found.greatest[k]) - gap), 3), -round(float(found.area[k]), 3)))
    faces = int(found.a[k]), int(found.b[k])
    return _between(dry, "gap", faces, found.middle[k], (measure(dry, f),))


def _short(dry: DryFit, f: Finding, i: int, j: int) -> Spot | None:
    """A part that does not run to the plane that its joint cuts it on: what is missing of it, cut open."""
    found = missing_wood(dry, i, j)
    if not found:
        return None
    lack = max(found, key=lambda m: round(m.short, 6))
    toward = to_eye(lack.level)
    t = [float(p @ toward) for p in lack.points]
    low, high = min(t), max(t)
    longest = float(lack.longest @ toward)
    at = (low + high) / 2 if lack.even else longest + INTO * ((low if longest > (low + high) / 2 else high) - longest)
    point = lack.longest + toward * (at - longest)
    other = j if lack.part == i else i
    kind: Kind = "short"
    return Spot(kind, lack.part, other, (-1, -1), point, lack.along, toward, (0.0, 0.0), lack.short, (measure(dry, f),))


_LOOKS: dict[str, tuple[Callable[[DryFit, Finding], Spot | None], ...]] = {
    "tight": (_play,),
    "loose": (_play,),
    "miter-mismatch": (_angle,),
    "proud": (_step,),
    "shy": (_step,),
    "thin-wood": (_web,),
    "open-joint": (_lip, _contact, _declared),
    "interference": (_contact, _clash),
}
