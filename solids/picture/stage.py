"""What stands before the camera: every triangle of every part, where it is shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from solids.fit.dryfit import DryFit
from solids.kernel.mesh import Floats, Ints, placed
from solids.kernel.skin import Skin, skin_of_mesh
from solids.model.geometry import STILL, Frame

BARE = "#b0a890"  # a part that no stock is named for


@dataclass(frozen=True, slots=True)
class Stage:
    """Triangles in the room: corners (t, 3, 3) in mm, normals (t, 3, 3), the part (t,) and its face (t,) of each.

    Over parts: turn (p, 3, 3) and origin (p, 3) from the bench to where it is
    shown; colour (p, 3), sRGB, 0 to 1; grain (p,), how plainly it shows.
    """

    corners: Floats
    normals: Floats
    part: Ints
    face: Ints
    turn: Floats
    origin: Floats
    colour: Floats
    grain: Floats

    @property
    def points(self) -> Floats:
        """Every corner (n, 3)."""
        return self.corners.reshape(-1, 3)


def skins_of(dry: DryFit) -> tuple[Skin, ...]:
    """The skin of each part on the bench; parts of the same wood share one."""
    known: dict[str, Skin] = {}
    for solid in dry.scene.solids:
        if solid.shape.key not in known:
            known[solid.shape.key] = skin_of_mesh(solid.mesh)
    return tuple(known[s.shape.key] for s in dry.scene.solids)


def stage_of(dry: DryFit, moves: Sequence[Frame] = (), skins: Sequence[Skin] = ()) -> Stage:
    """The piece, each part moved from its place by one of `moves`, in the order of its parts; as it is without them."""
    skins = skins or skins_of(dry)
    parts = dry.piece.parts
    moves = moves or [STILL] * len(parts)
    frames = [p.blank.bench().within(p.frame).within(m) for p, m in zip(parts, moves, strict=True)]
    turn = np.array([[f.x, f.y, f.z] for f in frames], float).reshape(-1, 3, 3)
    corners = [placed(s.points, f)[s.faces] for s, f in zip(skins, frames, strict=True)]
    normals = [s.normals @ r for s, r in zip(skins, turn, strict=True)]
    sizes = [len(s.faces) for s in skins]
    colours = [p.stock.colour if p.stock else BARE for p in parts]
    return Stage(
        _joined(corners), _joined(normals), np.repeat(np.arange(len(parts)), sizes),
        np.concatenate([s.source for s in skins]) if skins else np.zeros(0, np.int64),
        turn, np.array([f.origin for f in frames], float).reshape(-1, 3),
        np.array([rgb(c) for c in colours], float).reshape(-1, 3),
        np.array([1.0 if p.blank.grained else 0.45 for p in parts], float),
    )  # fmt: skip


def rgb(colour: str) -> tuple[float, float, float]:
    """`#rrggbb` as three shares, 0 to 1."""
    r, g, b = (int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return r, g, b


def _joined(arrays: list[Floats]) -> Floats:
    return np.concatenate(arrays) if arrays else np.zeros((0, 3, 3))
