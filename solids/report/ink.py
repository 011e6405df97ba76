"""From what shows of each face to SVG paths: flat fills, edges, and dashes for what is gone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
import shapely

from solids.kernel.mesh import Floats
from solids.model.part import Part
from solids.model.side import SIDES
from solids.report.visible import Surface

INK, TINT, PLAIN = "#2b2622", "#4f8fb8", "#d9c7a3"
PALER = 0.25  # how far wood is drawn toward white, so that lines stand out on dark kinds
TINTED = 0.75  # how far a tinted face leaves the wood's own colour
GRID = 0.05  # px: points nearer than this are one
SPECK = 0.2  # px²: less is not drawn
SHORT = 0.3  # px: a shorter line is not drawn


def fills(polygons: Iterable[tuple[str, Any]]) -> Iterator[str]:
    """One path a colour; its own thin line closes the seam between two faces of one colour."""
    by_colour: dict[str, list[Any]] = {}
    for colour, polygon in polygons:
        by_colour.setdefault(colour, []).append(polygon)
    for colour, shapes in sorted(by_colour.items()):
        whole = shapely.normalize(shapely.simplify(_joined(shapes), GRID))
        rings = [r for p in shapely.get_parts(whole).tolist() for r in (p.exterior, *p.interiors)]
        if rings:
            path = "".join(line(np.asarray(r.coords)[:-1]) + "z" for r in rings)
            yield f'<path d="{path}" fill="{colour}" fill-rule="evenodd" stroke="{colour}" stroke-width=".5"/>'


def colour(part: Part, normal: Floats, tinted: bool) -> str:
    """The wood's colour, lighter the more the face looks up and left; in 24 steps, so that round walls take few."""
    rgb = _rgb(part.stock.colour if part.stock else PLAIN)
    rgb += (255 - rgb) * PALER
    if tinted:
        rgb += (_rgb(TINT) - rgb) * TINTED
    light = 0.80 + 0.20 * normal[2] - 0.11 * normal[0] - 0.04 * normal[1]
    rgb = np.minimum(255, rgb * max(0.5, round(light * 24) / 24))
    return "#" + "".join(f"{round(c):02x}" for c in rgb.tolist())


def _rgb(text: str) -> Floats:
    return np.array([int(text[k : k + 2], 16) for k in (1, 3, 5)], float)


@dataclass(frozen=True, slots=True)
class Lines:
    """The outer outline, the edges within it, and the light lines where a face runs into a round one."""

    outer: Any
    dark: Any
    light: Any

    @classmethod
    def of(cls, surfaces: Sequence[Surface], drawn: Sequence[Any]) -> Lines:
        faces: dict[tuple[int, int], list[Any]] = {}
        groups: dict[tuple[int, int], list[Any]] = {}
        for s, polygon in zip(surfaces, drawn, strict=True):
            faces.setdefault((s.part, s.source), []).append(polygon)
            groups.setdefault((s.part, s.group), []).append(polygon)
        outer = _outline([[p for ps in groups.values() for p in ps]])
        dark = beside(_outline(groups.values()), [outer], 2 * GRID)
        light = beside(_outline(faces.values()), [outer, dark], 2 * GRID)
        return cls(outer, dark, light)

    def elements(self) -> Iterator[str]:
        for shape, wide, ink in ((self.light, 0.5, 0.35), (self.dark, 0.8, 0.9), (self.outer, 1.4, 1.0)):
            yield from stroked(shape, wide, f' stroke-opacity="{ink:g}"' if ink < 1 else "")


def beside(lines: Any, drawn: Sequence[Any], near: float) -> Any:
    """Lines without what of them is drawn already, or runs that near to it, in px."""
    return shapely.difference(
        lines, shapely.union_all(shapely.buffer(shapely.simplify(drawn, GRID), near, quad_segs=1))
    )


def _outline(sets: Iterable[list[Any]]) -> Any:
    """The outlines of several sets of polygons, each line once."""
    return shapely.union_all([shapely.boundary(_joined(s)) for s in sets], grid_size=GRID)


def _joined(polygons: list[Any]) -> Any:
    """Polygons in one, with no seam where two lie a rounding error apart, and no specks."""
    fat = shapely.buffer(polygons, GRID / 2, join_style="mitre")
    whole = shapely.buffer(shapely.union_all(fat), -GRID / 2, join_style="mitre")
    parts = [p for p in shapely.get_parts(whole).tolist() if p.area > SPECK]
    return shapely.MultiPolygon(
        [shapely.Polygon(p.exterior, [r for r in p.interiors if shapely.Polygon(r).area > SPECK]) for p in parts]
    )


def stroked(shape: Any, wide: float, more: str = "") -> Iterator[str]:
    """Lines as one path; nothing where there are none."""
    merged = shapely.normalize(shapely.simplify(shapely.line_merge(shape), GRID))
    pieces = [p for p in shapely.get_parts(merged).tolist() if p.geom_type == "LineString" and p.length > SHORT]
    if pieces:
        path = "".join(line(np.asarray(p.coords)) for p in pieces)
        yield f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="{wide:g}"{more}/>'


def missing(part: Part, toward: Floats) -> Iterator[tuple[Floats, Floats]]:
    """The arrises of a part's blank that would show, as pairs of points of the room."""
    points = [np.array(part.frame.point(c)) for c in part.blank.corners()]
    shows = [float(np.array(part.frame.direction(s.outward)) @ toward) > 1e-6 for s in SIDES]
    for a, b in combinations(range(8), 2):
        apart = [i for i in range(3) if (a ^ b) >> i & 1]
        beside = [2 * i + (a >> i & 1) for i in range(3) if i not in apart]
        if len(apart) == 1 and any(shows[k] for k in beside):
            yield points[a], points[b]


def line(points: Floats) -> str:
    """`M` and the points, to a tenth of a px."""
    return "M" + " ".join(f"{short(x)} {short(y)}" for x, y in points.tolist())


def short(value: float) -> str:
    """A number to one decimal, in as few letters as can be."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
