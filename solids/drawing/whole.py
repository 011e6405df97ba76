"""The piece put together, or some of its parts: what stands where, seen from any side or cut through anywhere."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import shapely

from solids.drawing.group import marked
from solids.kernel.projection import projected
from solids.kernel.strokes import Stroke, clean
from solids.model.geometry import Frame, Vector
from solids.model.part import Part

if TYPE_CHECKING:
    from solids.fit.check import Report


@dataclass(frozen=True, slots=True)
class Standing:
    """One part where it stands; `frame` takes its solid and its mesh from the bench to the room."""

    part: Part
    mark: int
    name: str
    solid: Any
    mesh: Any
    frame: Frame

    def moved(self, by: Vector) -> Standing:
        frame = self.frame._replace(origin=self.frame.origin.plus(by))
        return Standing(self.part, self.mark, self.name, self.solid, self.mesh, frame)

    def points(self) -> Any:
        """The corners of its mesh in the room, (n, 3)."""
        points = np.asarray(self.mesh.to_mesh64().vert_properties)[:, :3]
        return points @ np.array(self.frame[:3]) + np.array(self.frame.origin)

    def world(self) -> Any:
        """Its mesh in the room."""
        return self.mesh.transform(np.column_stack([np.array(self.frame[:3]).T, np.array(self.frame.origin)]))


@dataclass(frozen=True, slots=True)
class Whole:
    """Parts that are drawn together; `low` and `high` bound them, in mm of the room."""

    standing: tuple[Standing, ...]
    low: Vector
    high: Vector

    def strokes(self, toward: Vector, right: Vector, *, hidden: bool = False) -> list[Stroke]:
        """All strokes as seen from where `toward` points, each part's own cleaned by themselves."""
        raw = projected([(s.solid, s.frame) for s in self.standing], toward, right, hidden=hidden)
        by_part: dict[int, list[Stroke]] = {}
        for s in raw:
            by_part.setdefault(s.part, []).append(s)
        return [s for k in sorted(by_part) for s in clean(by_part[k])]

    def size(self, axis: int) -> float:
        return self.high[axis] - self.low[axis]


def whole_of(standing: Sequence[Standing]) -> Whole:
    """Those parts with the box round them. Raises ValueError where there are none."""
    points = np.vstack([s.points() for s in standing])
    low, high = (Vector(*(round(float(v), 6) + 0.0 for v in f(points, axis=0))) for f in (np.min, np.max))
    return Whole(tuple(standing), low, high)


def standing_parts(report: Report, made: Mapping[str, Any], names: Mapping[str, str]) -> list[Standing]:
    """Every part of the piece where it stands."""
    solids = report.dry.scene.solids
    number = marked(report)
    return [
        Standing(p, number[p.id], names[s.shape.key], made[s.shape.key], s.mesh, p.blank.bench().within(p.frame))
        for p, s in zip(report.piece.parts, solids, strict=True)
    ]


def some(standing: Sequence[Standing], ids: Collection[str]) -> list[Standing]:
    """Those of the parts that have these ids."""
    return [s for s in standing if s.part.id in ids]


def sliced(standing: Sequence[Standing], plane: Frame) -> Iterator[tuple[Standing, Any]]:
    """What the plane through a frame's x and y cuts of each part, as a shapely geometry in those axes."""
    rows = np.array(plane[:3])
    move = np.column_stack([rows, -rows @ np.array(plane.origin)])
    for s in standing:
        loops = s.world().transform(move).slice(0.0).to_polygons()
        cut: Any = shapely.Polygon()
        for ring in loops:
            cut = cut.symmetric_difference(shapely.Polygon(np.asarray(ring)[:, :2]))
        cut = shapely.set_precision(cut, 1e-6)
        if not cut.is_empty:
            yield s, cut
