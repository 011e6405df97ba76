"""Parts laid out on the boards and sheets there are, so that straight cuts from edge to edge free them all.

The packing itself is left to a general solver for rectangles, tried in many
orders; what uses the least wood is kept. Each piece is packed with a kerf to
its right and above it, on a board that is a kerf larger: so neighbours stand a
kerf apart and nothing is lost at the board's own edge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import rectpack

from solids.data.yard import new_sheet
from solids.lumber.nesting import Pair, nested
from solids.lumber.rough import Cutting, cuttings, kerf
from solids.model.boards import Board
from solids.model.part import Stock
from solids.model.piece import Piece

FINE = 10_000  # steps a mm: the solver counts in whole numbers
SPARE = 50  # steps by which a board is larger, so that rounding never turns a part away
MOST_SHEETS = 500  # new ones of one stock


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


@dataclass(frozen=True, slots=True)
class Item:
    """What the solver places: one cutting, or a nested pair of equal ones."""

    cuttings: tuple[Cutting, ...]
    length: float
    width: float
    pair: Pair | None = None


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


@dataclass(frozen=True, slots=True)
class Layout:
    """One stock laid out: the boards used, and what finds no place on any of them."""

    stock: Stock
    boards: tuple[Laid, ...]
    left: tuple[Cutting, ...]
    kerf: float


def layouts(piece: Piece) -> tuple[Layout, ...]:
    """Every stock of a piece laid out on what is on hand, by name; sheets that are missing are bought."""
    wanted: dict[str, list[Cutting]] = defaultdict(list)
    for cutting in cuttings(piece):
        wanted[cutting.stock.name].append(cutting)
    return tuple(layout(piece, wanted[name]) for name in sorted(wanted))


def layout(piece: Piece, wanted: list[Cutting]) -> Layout:
    """The cuttings of one stock on what is on hand; sheets that are missing are new ones."""
    stock, saw = wanted[0].stock, kerf(piece.shop)
    items = list(_items(wanted, saw))
    boards, left = packed(items, [b for b in piece.on_hand if b.stock.name == stock.name], saw)
    if left and not stock.solid_wood:
        length, width = new_sheet(stock.material)
        new = Board(stock=stock, size=(length, width), count=min(len(left), MOST_SHEETS), name="new sheet")
        bought, left = packed(left, [new], saw)
        boards += [replace(b, new=True) for b in bought]
    return Layout(stock, tuple(boards), tuple(c for item in left for c in item.cuttings), saw)


def _items(wanted: Iterable[Cutting], saw: float) -> Iterator[Item]:
    """Cuttings as rectangles, equal skewed ones by pairs."""
    skewed: dict[tuple[Any, ...], list[Cutting]] = defaultdict(list)
    for c in wanted:
        if c.outline:
            skewed[c.length, c.width, c.outline].append(c)
        else:
            yield Item((c,), c.length, c.width)
    for alike in skewed.values():
        pair = nested(alike[0], saw) if len(alike) > 1 else None
        while pair is not None and len(alike) > 1:
            yield Item((alike.pop(0), alike.pop(0)), pair.length, pair.width, pair)
        yield from (Item((c,), c.length, c.width) for c in alike)


def packed(items: list[Item], boards: list[Board], saw: float) -> tuple[list[Laid], list[Item]]:
    """The best of many tries: the fewest items left over, then the least area of boards begun."""
    if not items or not boards:
        return [], items
    tries = (
        _try(items, ordered, saw, solver, order)
        for ordered, solver, order in product(_board_orders(boards), SOLVERS, ORDERS)
    )
    laid, left = min(tries, key=_cost)
    return laid, left


def _board_orders(boards: list[Board]) -> list[list[Board]]:
    """Offcuts first, and whole boards first."""
    small = sorted(boards, key=lambda b: (b.length * b.width, b.name))
    return [small, small[::-1]] if len(small) > 1 else [small]


def _cost(outcome: tuple[list[Laid], list[Item]]) -> tuple[float, float, int]:
    laid, left = outcome
    unplaced = sum(i.length * i.width for i in left)
    return round(unplaced, 3), round(sum(b.board.length * b.board.width for b in laid), 3), len(laid)


def _try(
    items: list[Item], boards: list[Board], saw: float, solver: type[Any], order: Any
) -> tuple[list[Laid], list[Item]]:
    turns = all(c.turns for item in items for c in item.cuttings)
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
        laid.append(Laid(board, number, tuple(sorted(placed, key=lambda p: (p.at[1], p.at[0])))))
    return [b for b in laid if b.placed], [item for k, item in enumerate(items) if k not in done]


def _steps(mm: float) -> int:
    return round(mm * FINE)


def _placed(item: Item, r: Any, saw: float) -> Placed:
    turned = abs(r.width / FINE - saw - item.length) > 2 / FINE
    size = (item.width, item.length) if turned else (item.length, item.width)
    return Placed(item, (r.x / FINE, r.y / FINE), size)
