"""A place cut open and seen aslant: what lies before the cut is taken away, so that the joint can be looked into."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely
from manifold3d import CrossSection, FillRule

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.model.part import Part
from solids.report.ink import Lines, colour, fills, stroked
from solids.report.page_layout import TALL
from solids.report.page_place import Place
from solids.report.page_section import INKS, WIDE, put_name
from solids.report.page_spot import LIKED
from solids.report.page_words import label
from solids.report.picture import Panel
from solids.report.visible import Surface, View, surfaces_of_mesh, visible

WIDER = 2.6  # times as much as the flat cut shows
SIDEWAYS, ABOVE = 0.55, 0.45  # how far the eye is moved off the line square to the cut
DEEP = 0.02  # of the width: how far into the joint the colour is drawn


def opened(dry: DryFit, place: Place) -> Panel:
    """The two parts from the cut on to the back, with the gap or the common wood in colour."""
    view = _aslant(place.view)
    wood = [_behind(dry.scene.world(place.parts[0]), place)]
    if len(place.parts) > 1:
        moved = dry.scene.world(place.parts[1]).transform(place.move.room(place.view, place.spot.point))
        wood.append(_behind(moved, place))
    surfaces = surfaces_of_mesh(-1, _coloured(place), view)  # first, so that it wins where it lies in one plane
    for k, mesh in enumerate(wood):
        surfaces += surfaces_of_mesh(k, mesh, view)
    return _Aslant(dry, place, view, surfaces).panel()


def _aslant(flat: View) -> View:
    """The eye a little above the cut and to one side of it."""
    side = 1.0 if float(flat.right @ LIKED) >= 0 else -1.0
    over = 1.0 if float(flat.up @ LIKED) >= -0.9 else -1.0
    eye = flat.toward + side * SIDEWAYS * flat.right + over * ABOVE * flat.up
    eye = eye / np.linalg.norm(eye)
    right = np.cross(flat.up, eye)
    right = right / np.linalg.norm(right)
    return View(right, np.cross(eye, right), eye)


def _behind(mesh: Any, place: Place) -> Any:
    toward = place.view.toward
    return mesh.trim_by_plane((-toward).tolist(), -float(toward @ place.spot.point))


def _coloured(place: Place) -> Any:
    """The coloured shape as a thin slab at the cut."""
    depth = DEEP * place.width
    polygons = [p for p in shapely.get_parts(place.shape).tolist() if p.geom_type == "Polygon"]
    rings = [np.asarray(r.coords)[:-1] for p in polygons for r in (p.exterior, *p.interiors)]
    slab = CrossSection(rings, FillRule.EvenOdd).extrude(depth).translate((0.0, 0.0, -depth))
    base = np.column_stack([place.view.right, place.view.up, place.view.toward])
    return slab.transform(np.column_stack([base, place.spot.point]))


class _Aslant:
    """From mm on the slanting picture's plane to px."""

    def __init__(self, dry: DryFit, place: Place, view: View, surfaces: Sequence[Surface]) -> None:
        self.dry, self.place, self.view, self.surfaces = dry, place, view, surfaces
        self.parts: list[Part] = [dry.part(k) for k in place.parts]
        self.scale = WIDE / (place.width * WIDER)
        base = np.column_stack([place.view.right, place.view.up])
        self.middle = view.flat(place.spot.point + base @ place.middle)[0]
        self.window = shapely.box(0, 0, WIDE, WIDE * TALL)

    def px(self, flat: Any) -> Floats:
        out: Floats = (flat - self.middle) * (self.scale, -self.scale) + np.array([WIDE, WIDE * TALL]) / 2
        return out

    def panel(self) -> Panel:
        shown = [shapely.transform(v, self.px) for v in visible(self.surfaces)]
        return Panel(tuple(self._elements(shown)), WIDE, WIDE * TALL)

    def _elements(self, shown: list[Any]) -> Iterator[str]:
        seen = [shapely.intersection(v, self.window) for v in shown]
        for k, part in enumerate(self.parts):
            own = [(s, v) for s, v in zip(self.surfaces, seen, strict=True) if s.part == k]
            yield f'<g data-part="{label(part.id)}">'
            yield from fills((self._colour(part, s), v) for s, v in own)
            yield from self._hatched(k, [v for s, v in own if self._is_cut(s)])
            yield "</g>"
        colouring = self.place.colouring
        yield f'<g data-shape="{colouring}">'
        yield from fills((INKS[colouring][0], v) for s, v in zip(self.surfaces, seen, strict=True) if s.part < 0)
        yield "</g>"
        lines = Lines.of(self.surfaces, shown)
        inside = shapely.buffer(self.window, -0.3)
        yield from Lines(*(shapely.intersection(z, inside) for z in (lines.outer, lines.dark, lines.light))).elements()
        taken: list[Any] = []
        for k, part in enumerate(self.parts):
            own_seen = [v for s, v in zip(self.surfaces, seen, strict=True) if s.part == k]
            yield from put_name(part.id, shapely.union_all(own_seen, grid_size=0.01), taken)

    def _is_cut(self, s: Surface) -> bool:
        return float(s.normal @ self.place.view.toward) > 1 - 1e-9 and self._at_cut(s)

    def _at_cut(self, s: Surface) -> bool:
        """Whether a face that looks to the eye lies in the plane of the cut."""
        flat = self.view.flat(self.place.spot.point)[0]
        ahead = float(s.depth[0] + flat @ s.depth[1:] - self.place.spot.point @ self.view.toward)
        return abs(ahead) < 1e-4

    def _colour(self, part: Part, s: Surface) -> str:
        return colour(part, np.array([0.3, 0.0, 0.95]) if self._is_cut(s) else s.normal * 0.9, False)

    def _hatched(self, k: int, faces: list[Any]) -> Iterator[str]:
        """Lines on cut wood, as on the flat cut."""
        step, far, side = self.place.width / 14, 3 * self.place.width, (1.0, -1.0)[k % 2]
        base = np.column_stack([self.place.view.right, self.place.view.up])
        ends = [[(u - far, -side * far), (u + far, side * far)] for u in np.arange(-2 * far, 2 * far, step)]
        room = np.array(ends).reshape(-1, 2) @ base.T + self.place.spot.point
        lines = shapely.MultiLineString(list(self.px(self.view.flat(room)).reshape(-1, 2, 2)))
        yield from stroked(shapely.intersection(lines, shapely.union_all(faces)), 0.6, ' stroke-opacity=".3"')
