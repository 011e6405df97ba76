"""The six sides of a part as it is set down, before it leans or turns. They stay with the wood."""

from __future__ import annotations

from enum import Enum

from solids.model.geometry import AXES, Vector


class Side(Enum):
    """A side by the maker's word; x runs to the right, y to the rear, z to the top."""

    LEFT = "left"
    RIGHT = "right"
    FRONT = "front"
    REAR = "rear"
    BOTTOM = "bottom"
    TOP = "top"

    @property
    def axis(self) -> int:
        """0, 1 or 2: the axis that this side looks along."""
        return _ORDER.index(self) // 2

    @property
    def sign(self) -> int:
        """-1 for left, front and bottom; 1 for right, rear and top."""
        return 1 if _ORDER.index(self) % 2 else -1

    @property
    def opposite(self) -> Side:
        return _ORDER[_ORDER.index(self) ^ 1]

    @property
    def outward(self) -> Vector:
        return AXES[self.axis].times(self.sign)

    @property
    def inward(self) -> Vector:
        return AXES[self.axis].times(-self.sign)

    def mirrored(self, axis: int) -> Side:
        """The handed twin's word for this side."""
        return self.opposite if self.axis == axis else self

    def __str__(self) -> str:
        return self.value


_ORDER = (Side.LEFT, Side.RIGHT, Side.FRONT, Side.REAR, Side.BOTTOM, Side.TOP)
SIDES = _ORDER


def sides_of(axis: int) -> tuple[Side, Side]:
    """The two sides across an axis: left and right, front and rear, or bottom and top."""
    return _ORDER[2 * axis], _ORDER[2 * axis + 1]


def toward(axis: int, sign: float) -> Side:
    """The side that looks along an axis, forward or back."""
    return _ORDER[2 * axis + (sign > 0)]
