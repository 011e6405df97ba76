"""What a layout is: cuttings as rectangles, where each lies, and the boards that hold them."""

from __future__ import annotations

from dataclasses import dataclass

from solids.lumber.nesting import Pair, plain_outline
from solids.lumber.rough import Cutting
from solids.model.boards import Board
from solids.model.part import Stock


@dataclass(frozen=True, slots=True)
class Item:
    """What is placed at once: one cutting, or a nested pair of equal ones; mm."""

    cuttings: tuple[Cutting, ...]
    length: float
    width: float
    pair: Pair | None = None

    @property
    def turns(self) -> bool:
        """Whether it may lie across the board."""
        return all(c.turns for c in self.cuttings)

    @property
    def area(self) -> float:
        """Of its rectangle, in mm²."""
        return self.length * self.width

    @property
    def wood(self) -> float:
        """Of what is cut out of it, in mm²: less than its rectangle where that is no rectangle."""
        return sum(_area(c) for c in self.cuttings)


@dataclass(frozen=True, slots=True)
class Placed:
    """An item on a board: its least corner, along the grain and across, and its size there; mm."""

    item: Item
    at: tuple[float, float]
    size: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Laid:
    """One board with what is sawn from it; `number` counts boards of one name, `new` is still to be bought."""

    board: Board
    number: int
    placed: tuple[Placed, ...]
    new: bool = False

    @property
    def area(self) -> float:
        """Of the whole board, in mm²."""
        return self.board.length * self.board.width


@dataclass(frozen=True, slots=True)
class Least:
    """What any layout takes: so many boards, and so much of them, in mm²; `tried` says that every way was tried."""

    boards: int
    area: float
    tried: bool = False


@dataclass(frozen=True, slots=True)
class Layout:
    """One stock laid out: the boards used, what finds no place on any of them, and the least that could be used.

    `least` is of the new boards where some are bought, else of those on hand;
    None where nothing is laid out or something is left over.
    """

    stock: Stock
    boards: tuple[Laid, ...]
    left: tuple[Cutting, ...]
    kerf: float
    least: Least | None = None

    @property
    def counted(self) -> tuple[Laid, ...]:
        """The boards that `least` speaks of."""
        return tuple(b for b in self.boards if b.new) or self.boards

    @property
    def is_fewest(self) -> bool:
        """Whether it is known that no layout takes fewer boards, or where they differ in size, less of them."""
        return self.least is not None and self.least.area >= sum(b.area for b in self.counted) - 1e-3


def _area(c: Cutting) -> float:
    if not c.outline:
        return c.length * c.width
    points = plain_outline(c.outline)
    turns = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in turns)) / 2
