"""Where a picture is taken from: points of the room to places on the picture, and back."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from solids.kernel.mesh import Floats

MARGIN = 0.07  # share of the picture left free on each side
NEAREST_STAND = 2500.0  # mm between the eye and the front of a piece
STANDING_SHARE = (0.66, 0.62)  # of the picture's width and height that a piece in a room takes at most


@dataclass(frozen=True, slots=True)
class Camera:
    """Right, up and back are unit vectors of the room; `focus` is px between eye and picture; `centre` where it looks.

    Verticals stay upright where `back` is level: `centre` then shifts the picture, as a shift lens does.
    """

    eye: Floats
    right: Floats
    up: Floats
    back: Floats
    focus: float
    centre: tuple[float, float]
    width: int
    height: int

    def project(self, points: Floats) -> tuple[Floats, Floats]:
        """Places on the picture (..., 2) in px from its upper left corner, and how near (...,), as 1 / mm."""
        q = points - self.eye
        near = 1.0 / np.maximum(-(q @ self.back), 1e-3)
        x = self.centre[0] + self.focus * (q @ self.right) * near
        y = self.centre[1] - self.focus * (q @ self.up) * near
        return np.stack([x, y], axis=-1), near

    def rays(self, x: Floats, y: Floats) -> Floats:
        """(n, 3): ways from the eye through places on the picture, each 1 deep."""
        across, down = (x - self.centre[0]) / self.focus, (y - self.centre[1]) / self.focus
        ways = np.column_stack([across, down, np.ones(len(x))]) @ np.array([self.right, -self.up, -self.back])
        return np.asarray(ways)

    def scaled(self, by: int) -> Camera:
        """The same view with `by` times as many px each way."""
        centre = (self.centre[0] * by, self.centre[1] * by)
        return replace(self, focus=self.focus * by, centre=centre, width=self.width * by, height=self.height * by)


def camera_round(points: Floats, turn: float, rise: float, size: tuple[int, int], field: float = 24.0) -> Camera:
    """A view of all the points, as near as they allow, from `turn` degrees right of the front and `rise` above it.

    `field` is how much the height of the picture takes in, in degrees.
    """
    a, e = math.radians(turn), math.radians(rise)
    back = np.array([math.sin(a) * math.cos(e), -math.cos(a) * math.cos(e), math.sin(e)])
    right = np.array([math.cos(a), math.sin(a), 0.0])
    up = np.cross(back, right)
    width, height = size
    half = math.tan(math.radians(field) / 2)
    focus = height / 2 / half
    middle = (points.min(0) + points.max(0)) / 2
    q = points - middle
    # Centred on what is seen, which isn't the middle of the box: what is nearer looks larger.
    for _ in range(3):
        far = _distance(q, right, up, back, half * (1 - 2 * MARGIN), half * width / height * (1 - 2 * MARGIN))
        depth = far - q @ back
        x, y = (q @ right) / depth, (q @ up) / depth
        shift = far * ((x.min() + x.max()) / 2 * right + (y.min() + y.max()) / 2 * up)
        middle, q = middle + shift, q - shift
    return Camera(middle + back * far, right, up, back, focus, (width / 2, height / 2), width, height)


def _distance(q: Floats, right: Floats, up: Floats, back: Floats, tall: float, wide: float) -> float:
    """The least distance from which all points are in view."""
    return float(max((np.abs(q @ up) / tall + q @ back).max(), (np.abs(q @ right) / wide + q @ back).max()))


def camera_standing(
    points: Floats, floor: float, turn: float, eye: float, size: tuple[int, int], field: float = 32.0
) -> Camera:
    """What one sees who stands before the points, `eye` mm above the floor, with all verticals upright.

    As near as leaves room round the piece, and no nearer than one stands to look at furniture.
    """
    a = math.radians(turn)
    back = np.array([math.sin(a), -math.cos(a), 0.0])
    right, up = np.array([math.cos(a), math.sin(a), 0.0]), np.array([0.0, 0.0, 1.0])
    width, height = size
    focus = height / 2 / math.tan(math.radians(field) / 2)
    middle = (points.min(0) + points.max(0)) / 2
    middle[2] = floor + eye
    front = float(((points - middle) @ back).max())
    far = NEAREST_STAND
    for _ in range(8):
        camera = Camera(middle + back * (front + far), right, up, back, focus, (0.0, 0.0), width, height)
        seen, _ = camera.project(points)
        low, high = seen.min(0), seen.max(0)
        far *= max(1.0, float(((high - low) / (np.array(size) * STANDING_SHARE)).max()))
    x, y = (low + high) / 2
    # Shifted as by a shift lens: the piece a little below the middle, with floor before it.
    return replace(camera, centre=(width / 2 - x, height * 0.54 - y))
