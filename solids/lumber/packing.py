"""Items on boards by a general solver for rectangles, tried in many orders; the best is kept.

Each piece is packed with a kerf to its right and above it, on a board that is a
kerf larger: so neighbours stand a kerf apart and nothing is lost at the board's
own edge.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any, TypeAlias

import rectpack

from solids.lumber.laid import Item, Laid, Placed
from solids.lumber.sawing import sawn
from solids.model.boards import Board

FINE = 10_000  # steps a mm: the solver counts in whole numbers
SPARE = 50  # steps by which a board is larger, so that rounding never turns a part away
SHUFFLES = 10_000  # items placed in orders drawn by lot, where the usual orders leave it open whether fewer boards do
SEED = 20_260  # any number: the same every time, so that two runs say the same

Cost: TypeAlias = tuple[float, float, int]  # mm² left over, mm² of boards begun, how many


class _Straight:
    """Keeps every cut of the solver a straight one from edge to edge: free places are never joined."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, merge=False, **more)  # type: ignore[call-arg]


class _ShortSide(_Straight, rectpack.GuillotineBssfSas):  # type: ignore[misc]
    """The place whose shorter side is left with the least."""


class _Area(_Straight, rectpack.GuillotineBafLas):  # type: ignore[misc]
    """The place that is smallest, cut along its longer side."""


class _LongSide(_Straight, rectpack.GuillotineBlsfMinas):  # type: ignore[misc]
    """The place whose longer side is left with the least."""


SOLVERS = (_ShortSide, _Area, _LongSide)
ORDERS = (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_DIFF)


class Packing:
    """One way to lay items out: the boards with what is on them, and the items left over."""

    def __init__(self, laid: Sequence[Laid], left: Sequence[Item]) -> None:
        self.laid, self.left = list(laid), list(left)

    @property
    def cost(self) -> Cost:
        """The fewest left over, then the least of boards begun, then the fewest boards."""
        unplaced = sum(i.area for i in self.left)
        return round(unplaced, 3), round(sum(b.area for b in self.laid), 3), len(self.laid)

    def offcut(self, saw: float) -> float:
        """The largest offcut that it leaves, in mm²."""
        return max((o.length * o.width for b in self.laid for o in sawn(b, saw).offcuts), default=0.0)


def packed(items: list[Item], boards: list[Board], saw: float, least: float = 0.0) -> Packing:
    """The best of many tries; of equals the one with the largest offcut. Stops at `least` mm² of boards begun."""
    if not items or not boards:
        return Packing([], items)
    tries = [
        _try(items, ordered, saw, solver, order)
        for ordered, solver, order in product(_board_orders(boards), SOLVERS, ORDERS)
    ]
    best = min(t.cost for t in tries)
    if best[0] > 0 or best[1] > least + 1e-3:
        tries += _by_lot(items, boards, saw, best, least)
        best = min(t.cost for t in tries)
    return max((t for t in tries if t.cost == best), key=lambda t: round(t.offcut(saw), 3))


def _by_lot(items: list[Item], boards: list[Board], saw: float, best: Cost, least: float) -> Iterator[Packing]:
    """Tries in orders drawn by lot that do better than the best so far."""
    lot, order = random.Random(SEED), list(items)
    for k in range(SHUFFLES // len(items)):
        lot.shuffle(order)
        found = _try(order, _board_orders(boards)[0], saw, SOLVERS[k % len(SOLVERS)], rectpack.SORT_NONE)
        if found.cost < best:
            best = found.cost
            yield found
        if best[0] == 0 and best[1] <= least + 1e-3:
            return


def _board_orders(boards: list[Board]) -> list[list[Board]]:
    """Offcuts first, and whole boards first."""
    small = sorted(boards, key=lambda b: (b.length * b.width, b.name))
    return [small, small[::-1]] if len({b.size for b in boards}) > 1 else [small]


def _try(items: list[Item], boards: list[Board], saw: float, solver: type[Any], order: Any) -> Packing:
    turns = all(item.turns for item in items)
    packer = rectpack.newPacker(bin_algo=rectpack.PackingBin.BFF, pack_algo=solver, sort_algo=order, rotation=turns)
    for k, item in enumerate(items):
        packer.add_rect(_steps(item.length + saw), _steps(item.width + saw), rid=k)
    for board in boards:
        for n in range(board.count):
            packer.add_bin(_steps(board.length + saw) + SPARE, _steps(board.width + saw) + SPARE, bid=(board, n + 1))
    packer.pack()
    laid: list[Laid] = []
    done: set[int] = set()
    for sheet in packer:
        placed = [_placed(items[r.rid], r, saw) for r in sheet]
        done.update(r.rid for r in sheet)
        board, number = sheet.bid
        laid.append(Laid(board, number, in_order(placed)))
    return Packing([b for b in laid if b.placed], [item for k, item in enumerate(items) if k not in done])


def in_order(placed: Sequence[Placed]) -> tuple[Placed, ...]:
    """Pieces on a board from its near edge on, each row from its start."""
    return tuple(sorted(placed, key=lambda p: (p.at[1], p.at[0])))


def _steps(mm: float) -> int:
    return round(mm * FINE)


def _placed(item: Item, r: Any, saw: float) -> Placed:
    turned = abs(r.width / FINE - saw - item.length) > 2 / FINE
    size = (item.width, item.length) if turned else (item.length, item.width)
    return Placed(item, (r.x / FINE, r.y / FINE), size)
