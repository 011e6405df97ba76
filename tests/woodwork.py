"""Pieces of wood for tests of the cuts: made by the kernel, asked about by means of their own.

What the tests expect is said in distances from the sides of the blank, which
are worked out here by hand and not by the frames of the code under test.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeAlias

import manifold3d
import numpy as np
from numpy.typing import NDArray

from solids.kernel.faces import FaceSet, faces_of
from solids.kernel.mesh import manifold_of
from solids.kernel.shape import shape_of
from solids.model.field import mirrored
from solids.model.geometry import STILL, Vector
from solids.model.part import Blank, Cut, Made, Part
from solids.model.side import Side

LEFT, RIGHT, FRONT, REAR, BOTTOM, TOP = Side.LEFT, Side.RIGHT, Side.FRONT, Side.REAR, Side.BOTTOM, Side.TOP

# Written out by hand: the axis that each side looks along, and the side across from it.
AXIS = {LEFT: 0, RIGHT: 0, FRONT: 1, REAR: 1, BOTTOM: 2, TOP: 2}
ACROSS = {LEFT: RIGHT, RIGHT: LEFT, FRONT: REAR, REAR: FRONT, BOTTOM: TOP, TOP: BOTTOM}
LOW = (LEFT, FRONT, BOTTOM)

# The board of the contract's own table: 600 x 300 x 20, length across, face top.
BOARD = Blank(Vector(600.0, 300.0, 20.0), 0, TOP)

Points: TypeAlias = NDArray[np.float64]
Far: TypeAlias = dict[Side, Points]  # how far points are from each side of the blank
Margin: TypeAlias = Callable[[Far], Points]  # below 0 where the wood is gone, above where it stays


def blanks() -> Iterator[Blank]:
    """The same board set down in each of the twelve ways: along x, y or z, its face to any side beside."""
    for grain in range(3):
        for face in Side:
            if AXIS[face] == grain:
                continue
            size = [300.0, 300.0, 300.0]
            size[grain], size[AXIS[face]] = 600.0, 20.0
            yield Blank(Vector(*size), grain, face)


BLANKS = list(blanks())


def name_of(value: object) -> str:
    """What a blank or a side is called in a test's name."""
    if isinstance(value, Blank):
        return f"{'xyz'[value.grain]}-{value.face}"
    return str(value)


def ends(blank: Blank) -> tuple[Side, Side]:
    return (LEFT, RIGHT), (FRONT, REAR), (BOTTOM, TOP)[blank.grain] if False else _pair(blank.grain)  # type: ignore


def solid(blank: Blank, *cuts: Cut) -> Any:
    """The finished wood as a manifold, in the blank's own axes as set down."""
    made = tuple(Made(f"c{k}", c) for k, c in enumerate(cuts))
    bench = blank.bench()
    turned = np.column_stack([*bench[:3], bench.origin])
    return manifold_of(shape_of(Part("p", blank, STILL, made))).transform(turned)


def faces(blank: Blank, *cuts: Cut) -> FaceSet:
    """The finished wood's named faces, on the bench."""
    made = tuple(Made(f"c{k}", c) for k, c in enumerate(cuts))
    shape = shape_of(Part("p", blank, STILL, made))
    return faces_of(shape, manifold_of(shape))
