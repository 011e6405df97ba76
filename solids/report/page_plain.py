"""Pictures of findings that no cut through a joint shows: a part in pieces, a cut in the air, a part that floats."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from solids.fit.dryfit import DryFit
from solids.fit.tell import Tell
from solids.kernel.mesh import Floats, arc_points
from solids.model.finding import Finding
from solids.model.geometry import Bore, Plane, Prism, Vector, Waste, sides
from solids.model.part import Part
from solids.report.ink import Lines, colour, fills, line
from solids.report.page_layout import TALL
from solids.report.page_moving import moving_picture
from solids.report.page_section import WIDE, put_name
from solids.report.page_words import label
from solids.report.picture import VIEWS, Mark, Panel, panel
from solids.report.visible import Surface, View, surfaces_of_mesh, visible

EDGE = 18.0  # px round the wood
APART = 0.12  # of a part's length: how far pieces are drawn from each other
FAR = 400.0  # mm: a part further off is no neighbour
AS_ONE = ("passage", "heavy")  # findings of a module, all of whose parts are meant alike
MOST_NAMED = 4  # of the parts that are drawn together
MISSES = "#d81e3a"


def plain_picture(dry: DryFit, f: Finding) -> tuple[Panel, str]:
    """The parts of a finding, and in words what is done to show it."""
    parts = [dry.number[p] for p in f.parts]
    own = {m for m in f.cuts if m.startswith(f"{f.parts[0]}.")}
    if f.kind == "in-two" and parts:
        return _in_pieces(dry, parts[0]), "the pieces drawn apart"
    if f.kind == "misses" and parts:
        return _in_the_air(dry, parts[0], own), "what the cut would take in dashes"
    if f.kind == "floating" and parts:
        return _floating(dry, parts[0])
    moving = moving_picture(dry, f)
    if moving is not None:
        return moving
    if f.cuts:
        return _tinted(dry, parts if f.kind == "ring-open" else parts[:1], set(f.cuts)), "the cut in blue"
    if len(parts) < 2 or f.kind in AS_ONE:
        return _together(dry, parts, False), ""
    return _together(dry, parts, True), f"in blue: {f.parts[0]}"


def _together(dry: DryFit, parts: Sequence[int], first: bool) -> Panel:
    """All the parts as they stand, the first in blue where it is the one that matters; the largest of them named."""
    chosen = [dry.part(k) for k in parts]
    named = sorted(chosen, key=lambda p: (p is not chosen[0], -round(max(p.blank.size), 3)))[:MOST_NAMED]
    return panel(
        chosen, solids=[dry.scene.solids[k] for k in parts], size=(WIDE - 60, WIDE * TALL - 40),
        marks=[_name(p) for p in named],
        highlight=(lambda part, made: part.id == chosen[0].id) if first else None,
    )  # fmt: skip


def _tinted(dry: DryFit, parts: Sequence[int], cuts: set[str]) -> Panel:
    """Parts as they stand, the cuts that are meant in blue."""
    chosen = [dry.part(k) for k in parts]
    solids = [dry.scene.solids[k] for k in parts]
    return panel(
        chosen, solids=solids, size=(WIDE - 60, WIDE * TALL - 40), marks=[_name(p) for p in chosen],
        highlight=(lambda part, made: made is not None and f"{part.id}.{made.name}" in cuts) if cuts else None,
    )  # fmt: skip


def _name(part: Part) -> Mark:
    x, y, z = part.frame.point(part.blank.middle())
    return Mark(part.id, ((x, y, z),))


def _floating(dry: DryFit, i: int) -> tuple[Panel, str]:
    """The part in blue with what is nearest to it, and how far that is."""
    own, boxes = dry.scene.world(i), (dry.scene.part_low, dry.scene.part_high)
    apart = {
        j: float(own.min_gap(dry.scene.world(j), FAR))
        for j in range(len(dry.piece.parts))
        if j != i and np.all(boxes[0][j] < boxes[1][i] + FAR) and np.all(boxes[1][j] > boxes[0][i] - FAR)
    }
    near = min(apart, key=lambda j: (round(apart[j], 6), j), default=None)
    shown = [i] if near is None else [i, near]
    found = panel(
        [dry.part(k) for k in shown], solids=[dry.scene.solids[k] for k in shown], view=View.of(*VIEWS[0][:2]),
        size=(WIDE - 60, WIDE * TALL - 40), marks=[_name(dry.part(k)) for k in shown],
        highlight=lambda part, made: part.id == dry.part(i).id,
    )  # fmt: skip
    if near is None or apart[near] >= FAR:
        return found, "the part in blue"
    return found, f"the part in blue, with {dry.part(near).id}, which is nearest: {Tell(dry).small(apart[near])} off"


def _in_pieces(dry: DryFit, i: int) -> Panel:
    """The bodies that a part falls into, each other one in blue, drawn apart."""
    part = dry.part(i)
    bodies = dry.scene.world(i).decompose()
    boxes = [np.asarray(b.bounding_box()).reshape(2, 3).mean(0) for b in bodies]
    axis = int(np.argmax(np.round(np.ptp(boxes, axis=0), 3)))
    order = sorted(range(len(bodies)), key=lambda k: (round(float(boxes[k][axis]), 6), *np.round(boxes[k], 6).tolist()))
    step = np.zeros(3)
    step[axis] = APART * max(part.blank.size)
    meshes = [bodies[k].translate((step * n).tolist()) for n, k in enumerate(order)]
    return _Drawing([(part, m, n % 2 == 1) for n, m in enumerate(meshes)], ()).panel()


def _in_the_air(dry: DryFit, i: int, cuts: set[str]) -> Panel:
    """The part, and beside it in dashes what the cut would take."""
    part = dry.part(i)
    wastes = [w for m in part.cuts if f"{part.id}.{m.name}" in cuts for w in m.cut.waste(part.blank)]
    return _Drawing([(part, dry.scene.world(i), False)], [o for w in wastes for o in _outline(part, w)]).panel()


def _outline(part: Part, waste: Waste) -> Iterator[Floats]:
    """The arrises of what a cut takes, as lines of the room; none of a saw cut, which has no end."""
    if isinstance(waste, Plane):
        return
    if isinstance(waste, Prism):
        flat = _rounded(waste)
        ends = [[waste.frame.point(Vector(a, b, z)) for a, b, _ in flat] for z in (0.0, waste.depth)]
        corners = [n for n, (_, _, is_corner) in enumerate(flat) if is_corner]
    else:
        ends = [_ring(waste, waste.radius, 0.0), _ring(waste, waste.far_radius, waste.depth)]
        corners = [0, 12]
    room = [np.array([part.frame.point(p) for p in e]) for e in ends]
    for ring in room:
        yield np.vstack([ring, ring[:1]])
    for n in corners:
        yield np.array([room[0][n], room[1][n]])


def _rounded(prism: Prism) -> list[tuple[float, float, bool]]:
    """The outline's points, arcs as several; with each whether it is a corner."""
    out = []
    for p, q in sides(prism.outline):
        out.append((p.a, p.b, True))
        out += [(a, b, False) for a, b in (arc_points(p, q) if p.bulge else ())]
    return out


def _ring(bore: Bore, radius: float, deep: float) -> list[Vector]:
    x = bore.axis.cross(Vector(0, 0, 1) if abs(bore.axis.z) < 0.9 else Vector(1, 0, 0)).unit()
    y = bore.axis.cross(x)
    middle = bore.start.plus(bore.axis.times(deep))
    turns = [2 * math.pi * k / 24 for k in range(24)]
    return [middle.plus(x.times(radius * math.cos(t))).plus(y.times(radius * math.sin(t))) for t in turns]


class _Drawing:
    """Meshes of the room seen aslant, as large as the picture lets them be."""

    def __init__(self, wood: Sequence[tuple[Part, Any, bool]], dashes: Sequence[Floats]) -> None:
        self.wood, self.dashes = wood, dashes
        self.view = min((View.of(*v[:2]) for v in VIEWS), key=self._hidden) if dashes else View.of(*VIEWS[0][:2])
        self.surfaces: list[Surface] = []
        for k, (_, mesh, _tint) in enumerate(wood):
            self.surfaces += surfaces_of_mesh(k, mesh, self.view)
        self.flat = visible(self.surfaces)
        points = np.vstack([shapely.get_coordinates(self.flat), *(self.view.flat(d) for d in dashes)])
        low, high = points.min(0), points.max(0)
        room = np.array([WIDE, WIDE * TALL])
        self.scale = float(((room - 2 * EDGE) / np.maximum(high - low, 1e-9)).min())
        self.middle, self.centre = (low + high) / 2, room / 2

    def _hidden(self, view: View) -> float:
        """How far what is in dashes lies behind the wood."""
        middle = np.mean([d.mean(0) for d in self.dashes], axis=0)
        box = np.asarray(self.wood[0][1].bounding_box()).reshape(2, 3).mean(0)
        return round(float((box - middle) @ view.toward), 3)

    def px(self, flat: Any) -> Floats:
        return np.asarray((flat - self.middle) * (self.scale, -self.scale) + self.centre, float)

    def panel(self) -> Panel:
        return Panel(tuple(self._elements()), WIDE, WIDE * TALL)

    def _elements(self) -> Iterator[str]:
        drawn = [shapely.transform(v, self.px) for v in self.flat]
        for k, (part, _, tint) in enumerate(self.wood):
            own = [(colour(part, s.normal, tint), v) for s, v in zip(self.surfaces, drawn, strict=True) if s.part == k]
            yield f'<g data-part="{label(part.id)}">'
            yield from fills(own)
            yield "</g>"
        yield from Lines.of(self.surfaces, drawn).elements()
        if self.dashes:
            path = "".join(line(self.px(self.view.flat(d))) for d in self.dashes)
            yield f'<path d="{path}" fill="none" stroke="#fff" stroke-opacity=".7" stroke-width="3.5"/>'
            yield (
                f'<path data-shape="missed" d="{path}" fill="none" stroke="{MISSES}" stroke-width="1.6" '
                'stroke-dasharray="5 3"/>'
            )
        taken: list[Any] = []
        name = self.wood[0][0].id
        yield from put_name(name, shapely.union_all(drawn, grid_size=0.01), taken)
