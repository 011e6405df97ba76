"""The four pictures of a piece: as it is, drawn apart, opened, and in a room at eye height."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

import numpy as np
from PIL import Image

from solids.fit.bodies import whole_bodies
from solids.fit.check import Report
from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats
from solids.model.geometry import STILL, Frame, Vector
from solids.model.motion import Slide
from solids.picture.asunder import asunder, offsets
from solids.picture.camera import camera_round, camera_standing
from solids.picture.draw import draw
from solids.picture.shade import Ground
from solids.picture.stage import Stage, skins_of, stage_of
from solids.picture.surroundings import wall_behind, with_surroundings

SIZE = (1600, 1000)  # px
TURN, RISE = -34.0, 20.0  # degrees from the front, and from level
STANDING_TURN = -20.0
EYE = 1600.0  # mm above the floor: common practice for the eye height of one who stands
OAK_FLOOR = (0.70, 0.64, 0.56)
STAGGER = 0.7  # by how much less the topmost of many drawers is opened than the lowest
MOST_APART = 0.5  # of 255 levels, on average
EMPTY = (244, 242, 238)


class Pictures:
    """The pictures of one piece, each made when it is first asked for."""

    def __init__(self, dry: DryFit, size: tuple[int, int] = SIZE) -> None:
        self.dry = dry
        self.size = size
        self._skins = skins_of(dry)

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to be seen."""
        return not any(len(s.faces) for s in self._skins)

    @cached_property
    def _stage(self) -> Stage:
        return stage_of(self.dry, skins=self._skins)

    def preview(self) -> Image.Image:
        """The piece as it stands."""
        return self._round(self._stage)

    def exploded(self) -> Image.Image:
        """Every part along the way on which it comes off."""
        total = offsets(asunder(self.dry), len(self.dry.piece.parts))
        stage = self._moved([Frame(origin=Vector(*row)) for row in total.tolist()])
        return draw(stage, camera_round(stage.points, TURN, RISE, self.size))

    def opened(self) -> Image.Image:
        """Every drawer and door open."""
        return self._round(self._moved(self._open_moves()))

    def room(self) -> Image.Image:
        """As one sees it who stands before it."""
        stage = self._stage
        points = stage.points
        floor = float(points[:, 2].min())
        wall = wall_behind(points, self.dry.piece.room)
        camera = camera_standing(points, floor, STANDING_TURN, EYE, self.size)
        stage = with_surroundings(stage, self.dry.piece.room, camera, floor, wall)
        return draw(stage, camera, Ground(floor, wall, OAK_FLOOR, shadow=0.34))

    def _moved(self, moves: Sequence[Frame]) -> Stage:
        return stage_of(self.dry, moves, self._skins)

    def _round(self, stage: Stage) -> Image.Image:
        if self.is_empty:
            return Image.new("RGB", self.size, EMPTY)
        camera = camera_round(stage.points, TURN, RISE, self.size)
        return draw(stage, camera, Ground(float(stage.points[:, 2].min())))

    def _open_moves(self) -> list[Frame]:
        """Doors all the way; of drawers the higher ones less, so that each shows what it holds."""
        moves = [STILL] * len(self.dry.piece.parts)
        bodies = whole_bodies(self.dry.piece)
        levels = sorted({self._top(b.parts) for b in bodies if isinstance(b.motion, Slide)})
        for body in bodies:
            share = 1.0
            if isinstance(body.motion, Slide):
                share -= STAGGER * levels.index(self._top(body.parts)) / len(levels)
            for part in body.parts:
                moves[self.dry.number[part]] = body.motion.at(share)
        return moves

    def _top(self, parts: Sequence[str]) -> float:
        high: Floats = self.dry.scene.part_high[[self.dry.number[p] for p in parts]]
        return round(float(np.max(high[:, 2])), 3)


def png(image: Image.Image) -> bytes:
    """The picture as a PNG; the same picture has the same bytes."""
    out = io.BytesIO()
    image.save(out, "PNG", compress_level=6)
    return out.getvalue()


def looks_the_same(old: bytes, new: bytes) -> bool:
    """Whether two PNGs are of one size and hardly differ: another machine's rounding moves an edge here and there."""
    a, b = (Image.open(io.BytesIO(data)).convert("RGB") for data in (old, new))
    return a.size == b.size and float(np.abs(np.asarray(a, float) - np.asarray(b, float)).mean()) <= MOST_APART


def write_pictures(report: Report, folder: Path) -> None:
    """preview.png, exploded.png, open.png where anything opens, and room.png. OSError where the disk says no."""
    pictures = Pictures(report.dry)
    (folder / "preview.png").write_bytes(png(pictures.preview()))
    if pictures.is_empty:
        return
    (folder / "exploded.png").write_bytes(png(pictures.exploded()))
    if report.piece.bodies:
        (folder / "open.png").write_bytes(png(pictures.opened()))
    (folder / "room.png").write_bytes(png(pictures.room()))
