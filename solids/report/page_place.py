"""A place laid out for drawing: the two parts as cut through, the gap or the common wood, and its size on a line."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.report.page_layout import Layout, Move, sliced
from solids.report.page_short import missing_wood
from solids.report.page_spot import Spot
from solids.report.visible import View

NOTHING = 1e-9  # mm²
Colouring: TypeAlias = Literal["gap", "clash", "web"]


@dataclass(frozen=True, slots=True)
class Size:
    """A measure on the picture's plane: between two points, its line drawn `off` to the side."""

    text: str
    ends: tuple[Floats, Floats]
    off: Floats


@dataclass(frozen=True, slots=True)
class Note:
    """A few words beside a point of the picture's plane."""

    text: str
    at: Floats


@dataclass(frozen=True, slots=True)
class Place:
    """What a picture of a place shows, in mm about its point on the plane of the cut.

    `cut` is what the cut shows of the host and of the guest, the guest as it is
    moved; lengths at the coloured shape are drawn `factor` times as wide. `steel`
    is what fastens them, `axes` the centre lines of the holes.
    """

    spot: Spot
    view: View
    width: float
    factor: int
    move: Move
    cut: tuple[Any, ...]
    shape: Any
    colouring: Colouring
    sizes: tuple[Size, ...]
    notes: tuple[Note, ...]
    middle: Floats
    steel: tuple[Any, ...] = ()
    axes: tuple[tuple[Floats, Floats], ...] = ()

    @property
    def parts(self) -> tuple[int, ...]:
        return (self.spot.host,) if self.spot.host == self.spot.guest else (self.spot.host, self.spot.guest)


def place_of(dry: DryFit, spot: Spot) -> Place | None:
    """Cut the place open, move what must be moved, find the shape to colour and measure it; None where it hides."""
    lay = Layout(dry, spot)
    shape, colouring = _shape(lay)
    if not shape.area > NOTHING:
        return None
    cut = lay.cut[:1] if spot.host == spot.guest else lay.cut
    sizes, notes = _play(lay, shape) if spot.kind == "play" else (_sizes(lay, shape), _angle(lay))
    return Place(spot, lay.view, lay.width, lay.factor, lay.move, cut, shape, colouring, sizes, notes, lay.middle())


def _shape(lay: Layout) -> tuple[Any, Colouring]:
    """What is coloured, and what it is."""
    s = lay.spot
    if s.kind == "short":
        return shapely.difference(_missing(lay, (s.host, s.guest)), shapely.union_all(lay.cut)), "gap"
    if s.kind == "web":
        return shapely.intersection(lay.cut[0], _quad(lay, *s.faces)), "web"
    if s.kind == "step":
        return _stepped(lay)
    if s.kind == "strip":
        return _bare(lay), "gap"
    common = _near(lay, shapely.intersection(*lay.cut))
    if common.area > NOTHING and s.kind != "angle" and s.size < 0:
        return common, "clash"
    pairs = [s.faces] + [s.walls] * (s.kind == "play")
    open_ = shapely.difference(shapely.union_all([_quad(lay, *p) for p in pairs]), shapely.union_all(lay.cut))
    if open_.area > NOTHING:
        return open_, "gap"
    touching = shapely.LineString([lay.on(s.faces[0], t) for t in lay.span])
    return shapely.buffer(touching, lay.width / 250, cap_style="flat"), "gap"


def _missing(lay: Layout, of: tuple[int, ...]) -> Any:
    """What the cut would show of the wood that parts lack."""
    found = [m.mesh for m in missing_wood(lay.dry, lay.spot.host, lay.spot.guest) if m.part in of]
    return shapely.union_all([sliced(mesh, lay.view, lay.spot.point) for mesh in found])


def _near(lay: Layout, common: Any) -> Any:
    """Of what the two share, the pieces at the place."""
    here = shapely.Point(lay.middle() if lay.spot.kind == "play" else np.zeros(2))
    pieces = [p for p in shapely.get_parts(common).tolist() if p.geom_type == "Polygon"]
    return shapely.union_all([p for p in pieces if p.distance(here) < lay.width / 3])


def _quad(lay: Layout, a: int, b: int) -> Any:
    """What lies between two faces over what they have in common."""
    t0, t1 = lay.span
    host = [lay.on(a, t) for t in (t0, t1)]
    guest = [lay.on(b, t) for t in (t1, t0)]
    if lay.spot.kind != "web":
        guest = list(lay.move.flat(guest))
    return shapely.make_valid(shapely.Polygon([*host, *guest]))


def _stepped(lay: Layout) -> tuple[Any, Colouring]:
    """Of the part that stands proud, what is beyond the other's face; else what it lacks up to it."""
    far = 3 * lay.width
    level, top = _levels(lay)

    def band(low: float, high: float) -> Any:
        corners = [(-far, low), (far, low), (far, high), (-far, high)]
        return shapely.Polygon([lay.across * t + lay.along * u for t, u in corners])

    if top > level:
        return shapely.intersection(lay.cut[1], band(level, top + 1e-6)), "clash"
    skin = shapely.intersection(lay.cut[1], band(top - lay.width / 50, top + 1e-6))
    t = shapely.get_coordinates(skin) @ lay.across if not shapely.is_empty(skin) else np.zeros(1)
    corners = [(t.min(), top), (t.max(), top), (t.max(), level), (t.min(), level)]
    lacking = shapely.Polygon([lay.across * v + lay.along * u for v, u in corners])
    return shapely.difference(lacking, shapely.union_all(lay.cut)), "gap"


def _levels(lay: Layout) -> tuple[float, float]:
    """How far along the measure the host's face lies, and the guest's as it is drawn."""
    level, top = (lay.at(f, 0.0) for f in lay.spot.faces)
    return level, level + (top - level) * lay.factor


def _bare(lay: Layout) -> Any:
    """The strip of one bevel that the other does not cover."""
    trace = shapely.LineString([lay.across * t for t in (-lay.width, lay.width)])
    band = shapely.buffer(trace, 0.02, cap_style="flat")
    on = [shapely.intersection(shapely.boundary(c), band) for c in lay.cut]
    fat = [shapely.buffer(o, lay.width / 90, cap_style="flat", join_style="mitre") for o in on]
    pieces = shapely.get_parts(shapely.symmetric_difference(*fat)).tolist()
    return max(pieces, key=lambda p: round(float(np.ptp(shapely.get_coordinates(p) @ lay.across)), 3))


def _sizes(lay: Layout, shape: Any) -> tuple[Size, ...]:
    """The line on which the finding's number stands."""
    s, text = lay.spot, lay.spot.texts[0]
    points = shapely.get_coordinates(_missing(lay, (s.host,)) if s.kind == "short" else shape)
    u, t = points @ lay.along, points @ lay.across
    off = np.zeros(2)
    if s.kind == "strip":
        ends = lay.across * t.min(), lay.across * t.max()
        off = _out_of_wood(lay, (ends[0] + ends[1]) / 2) * lay.width / 8
    elif s.kind == "step":
        at = lay.across * float(np.clip(t.mean(), -lay.width / 6, lay.width / 6))
        level, top = _levels(lay)
        ends = at + lay.along * level, at + lay.along * top
    elif s.faces[0] < 0:
        at = lay.across * float(t[u > u.max() - 1e-6].mean() if s.kind == "short" else t.mean())
        ends = at + lay.along * u.min(), at + lay.along * u.max()
    else:
        where = _widest(lay)
        guest = lay.on(s.faces[1], where)
        ends = lay.on(s.faces[0], where), guest if s.kind == "web" else lay.move.flat(guest)
    return (Size(text, ends, off),)


def _widest(lay: Layout) -> float:
    """Where to measure: in the middle, or at the open end of what runs apart."""
    middle = sum(lay.span) / 2
    if lay.spot.kind in ("clash", "web"):
        return middle
    ends = lay.ends()
    if abs(ends[1] - ends[0]) < 0.05 * max(abs(ends[0]), abs(ends[1]), 1e-9):
        return middle
    return lay.span[0] if ends[0] > ends[1] else lay.span[1]


def _out_of_wood(lay: Layout, middle: Floats) -> Floats:
    """The way along the measure that leads out of the wood."""
    step = lay.along * lay.width / 8
    is_wood = shapely.contains_xy(shapely.union_all(lay.cut), *(middle + step))
    return np.asarray(-lay.along if is_wood else lay.along, float)


def _angle(lay: Layout) -> tuple[Note, ...]:
    """By how much bevels miss, told where they touch."""
    if lay.spot.kind != "angle":
        return ()
    ends = lay.ends()
    return (Note(lay.spot.texts[1], lay.on(lay.spot.faces[0], lay.span[0 if ends[0] <= ends[1] else 1])),)


def _play(lay: Layout, shape: Any) -> tuple[tuple[Size, ...], tuple[Note, ...]]:
    """The trench measured below its floor, what stands in it beyond its mouth; and the difference in words."""
    s = lay.spot
    walls = [lay.at(f, 0.0) for f in (s.faces[0], s.walls[0])]
    cheeks = [float(lay.move.flat(lay.on(f, 0.0)) @ lay.along) for f in (s.faces[1], s.walls[1])]
    window = shapely.box(*(lay.middle() - lay.width / 2), *(lay.middle() + lay.width / 2))
    guest = np.array(shapely.centroid(shapely.intersection(lay.cut[1], window)).coords[0])
    floor, mouth = lay.span if float(guest @ lay.across) > sum(lay.span) / 2 else lay.span[::-1]
    out = lay.across * float(np.sign(mouth - floor)) * lay.width / 9
    largest = max(shapely.get_parts(shape).tolist(), key=lambda p: round(p.area, 6))
    note = f"{s.texts[0]} {'too narrow' if s.size < -1e-6 else 'of play'}"
    at_floor, at_mouth = lay.across * floor, lay.across * mouth
    sizes = (
        Size(s.texts[1], (at_floor + lay.along * walls[0], at_floor + lay.along * walls[1]), -out),
        Size(s.texts[2], (at_mouth + lay.along * cheeks[0], at_mouth + lay.along * cheeks[1]), out),
    )
    return sizes, (Note(note, np.array(shapely.point_on_surface(largest).coords[0])),)
