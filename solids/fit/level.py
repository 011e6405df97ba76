"""What of a piece is level with what: the faces of neighbours that lie in one plane, to a hair.

A piece is full of them, and each was meant. A wrong number breaks some; the
change that was the right one brings them all back, and another does not. Where
a part is so far off that it meets what it never should, that is what tells.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from solids.fit.change import FARTHEST, FLAT, HAIR
from solids.fit.rows import Planes, lasting
from solids.fit.scene import Scene, face_pairs, near_parts
from solids.fit.trials import Candidate
from solids.kernel.mesh import Floats, Ints
from solids.model.finding import Finding
from solids.model.piece import Figure, Piece

if TYPE_CHECKING:
    from solids.fit.search import Search

NEIGHBOURS = 1.0  # mm between the boxes of two parts
REACH = 10.0  # mm: the same where one of them may be that far off
LEVEL = 1e-3  # mm: planes nearer than this are one
PARALLEL = 1e-9  # of the normals' product: a few thousandths of a degree
SMALLEST = 4  # changes of one number that are tried


def level_faces(scene: Scene) -> int:
    """How many pairs of faces of neighbouring parts lie in one plane, looking the same way or at each other."""
    _, _, _, apart = _parallel(scene, NEIGHBOURS)
    return int((np.abs(apart) < LEVEL).sum())


def _parallel(scene: Scene, reach: float) -> tuple[Ints, Ints, Floats, Floats]:
    """Parallel faces of neighbours: 1 where they look the same way and -1 where at each other; mm between planes."""
    a, b = face_pairs(scene, *near_parts(scene, reach), reach)
    across = np.einsum("ij,ij->i", scene.normal[a], scene.normal[b])
    keep = np.abs(across) > 1 - PARALLEL
    a, b, way = a[keep], b[keep], np.sign(across[keep])
    return a, b, way, scene.offset[a] - way * scene.offset[b]


def by_level(search: Search, stops: list[Finding], figures: list[Figure]) -> Iterator[Candidate]:
    """For each number the change that brings the most faces level, less those that it takes out of level."""
    scene = search.dry.scene
    a, b, way, apart = _parallel(scene, REACH)
    for figure in figures:
        after = search.hair(figure) if search.has_time() else None
        if after is None:
            continue
        moved = _moved(search, after)
        slope = moved[a] - way * moved[b]
        runs = np.abs(slope) > FLAT
        for change in level_at(apart[runs], slope[runs], FARTHEST[figure.is_angle]):
            for value in search.values(figure, change, change):
                yield Candidate(figure, value, 0, search.merit(figure, value, 1.0))


def level_at(apart: Floats, slope: Floats, farthest: float) -> list[float]:
    """The smallest changes that bring a pair level."""
    changes = np.round(-apart / slope, 4)
    found = np.unique(changes[(np.abs(apart) > LEVEL) & (np.abs(changes) < farthest)])
    return [float(c) for c in found[np.argsort(np.abs(found), kind="stable")][:SMALLEST]]


def _moved(search: Search, after: Piece) -> Floats:
    """How far each face's plane moves for each mm or degree that a number grows, along its normal."""
    scene, before = search.dry.scene, search.piece
    moved = np.zeros(len(scene.part))
    planes = Planes(after)
    for i in (k for k, (p, q) in enumerate(zip(before.parts, after.parts, strict=True)) if p != q):
        for face in range(int(scene.first[i]), int(scene.first[i + 1])):
            key = lasting(search.dry, i, int(scene.source[face]))
            here, there = search.planes.of(key), planes.of(key)
            if here is not None and there is not None:
                moved[face] = (there[1] - here[1]) / HAIR
    return moved
