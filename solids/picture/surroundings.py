"""What stands in the room beside the piece and is not made: walls, radiators, as plain boxes that hide nothing of it.

A box that would stand between the eye and the piece is left out: the picture is of the piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from solids.kernel.mesh import Floats, Ints
from solids.model.carrying import Obstacle
from solids.picture.camera import Camera
from solids.picture.raster import seen
from solids.picture.stage import Stage, rgb

PLASTER = "#c6c4be"
REACH = 900.0  # mm round the piece as far as what stands there is drawn
LEAST_THICK = 1.0  # mm of a box that must be left within that
WALL_GAP = 4.0  # mm between the piece and a wall that the spec doesn't give
TOUCH = 1.0  # mm by which a piece may reach into the wall that it stands against
MOST_HIDDEN = 0.01  # share of the piece that a box may hide
LOOK = 320  # px across the small picture in which it is seen what hides what
CORNERS = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)])
SIDES = (
    (0, 1, 3, 2),
    (4, 6, 7, 5),
    (0, 4, 5, 1),
    (2, 3, 7, 6),
    (0, 2, 6, 4),
    (1, 5, 7, 3),
)  # anticlockwise from outside


def wall_behind(points: Floats, room: Sequence[Obstacle]) -> float:
    """The y of the wall: of what stands behind the piece over its whole length, else just behind it."""
    left, rear, right = float(points[:, 0].min()), float(points[:, 1].max()), float(points[:, 0].max())
    there = [o.low.y for o in room if o.low.y >= rear - TOUCH and o.low.x <= left and o.high.x >= right]
    return min(there, default=rear + WALL_GAP)


def with_surroundings(stage: Stage, room: Sequence[Obstacle], camera: Camera, floor: float, wall: float) -> Stage:
    """The stage and, as further parts without grain, what stands in the room above the floor and before the wall."""
    for obstacle in room:
        box = _nearby(stage.points, obstacle, floor, wall)
        if box is not None and _hides(stage, box, camera) <= MOST_HIDDEN:
            stage = _beside(stage, box)
    return stage


def _nearby(points: Floats, obstacle: Obstacle, floor: float, wall: float) -> Floats | None:
    """Its least and greatest corner (2, 3), as far as it stands near the piece and in the room."""
    low = np.maximum(obstacle.low, points.min(0) - REACH)
    high = np.minimum(obstacle.high, points.max(0) + REACH)
    low[2], high[1] = max(low[2], floor), min(high[1], wall)
    return np.array([low, high]) if bool((high - low >= LEAST_THICK).all()) else None


def _triangles(box: Floats) -> Floats:
    """(12, 3, 3), two for each side, looking out."""
    corners = box[0] + CORNERS * (box[1] - box[0])
    return np.array([corners[[side[0], side[k], side[k + 1]]] for side in SIDES for k in (1, 2)])


def _hides(stage: Stage, box: Floats, camera: Camera) -> float:
    """The share of what is seen of the piece that the box would cover; 1 where it reaches past the eye."""
    triangles = _triangles(box)
    if bool((-((triangles - camera.eye) @ camera.back) <= 1.0).any()):
        return 1.0
    small = replace(
        camera, focus=camera.focus * LOOK / camera.width, width=LOOK, height=LOOK,
        centre=(camera.centre[0] * LOOK / camera.width, camera.centre[1] * LOOK / camera.width),
    )  # fmt: skip
    shown = _triangle_seen(stage.corners, small) >= 0
    covered = _triangle_seen(np.concatenate([stage.corners, triangles]), small) >= len(stage.corners)
    return float((shown & covered).sum() / max(int(shown.sum()), 1))


def _triangle_seen(corners: Floats, camera: Camera) -> Ints:
    return np.asarray(seen(*camera.project(corners), camera.width, camera.height).triangle)


def _beside(stage: Stage, box: Floats) -> Stage:
    triangles = _triangles(box)
    normal = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    number = len(stage.colour)
    return Stage(
        np.concatenate([stage.corners, triangles]),
        np.concatenate([stage.normals, np.repeat(normal[:, None], 3, axis=1)]),
        np.append(stage.part, np.full(12, number)),
        np.append(stage.face, np.repeat(np.arange(6), 2)),
        np.concatenate([stage.turn, np.eye(3)[None]]),
        np.concatenate([stage.origin, box[:1]]),
        np.concatenate([stage.colour, [rgb(PLASTER)]]),
        np.append(stage.grain, 0.0),
    )
