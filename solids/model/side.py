"""The six sides of a part as it is set down, before it leans or turns. They stay with the wood."""

from __future__ import annotations

from enum import Enum

from solids.model.geometry import AXES, Vector


class Side(Enum):
    """A side by the maker's word; x runs to the right, y to the rear, z to the top.

    `axis` is 0, 1 or 2, the axis that it looks along; `sign` is -1 for left, front
    and bottom, 1 for right, rear and top.
    """

    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"
    REAR = "rear"
    BOTTOM = "bottom"
    TOP = "top"

    axis: int
    sign: int
    outward: Vector
    inward: Vector
    opposite: Side

    def mirrored(self, axis: int) -> Side:
        """The handed twin's word for this side."""
        return self.opposite if self.axis == axis else self

    def __str__(self) -> str:
        return str(self.value)


SIDES = (Side.LEFT, Side.RIGHT, Side.FRONT, Side.REAR, Side.BOTTOM, Side.TOP)
for _k, _side in enumerate(SIDES):  # once and for all: every cut asks for these
    _side.axis, _side.sign, _side.opposite = _k // 2, 1 if _k % 2 else -1, SIDES[_k ^ 1]
    _side.outward = AXES[_side.axis].times(_side.sign)
    _side.inward = AXES[_side.axis].times(-_side.sign)


def sides_of(axis: int) -> tuple[Side, Side]:
    """The two sides across an axis: left and right, front and rear, or bottom and top."""
    return SIDES[2 * axis], SIDES[2 * axis + 1]
