"""Parts laid out on the boards and sheets there are, so that straight cuts from edge to edge free them all.

Few parts are tried in every way; many by a general solver in many orders. Beside
what was found stands the least that any layout takes, so that it is known whether
a board could be spared.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Any

from solids.data.yard import new_sheet
from solids.lumber.bound import fits, least
from solids.lumber.exact import exactly
from solids.lumber.laid import Item, Layout, Least
from solids.lumber.nesting import nested
from solids.lumber.packing import Packing, packed
from solids.lumber.rough import Cutting, cuttings, kerf
from solids.model.boards import Board
from solids.model.part import Stock
from solids.model.piece import Piece

NEW = "new sheet"


def layouts(piece: Piece) -> tuple[Layout, ...]:
    """Every stock of a piece laid out on what is on hand, by name; sheets that are missing are bought."""
    wanted: dict[str, list[Cutting]] = defaultdict(list)
    for cutting in cuttings(piece):
        wanted[cutting.stock.name].append(cutting)
    return tuple(layout(piece, wanted[name]) for name in sorted(wanted))


def layout(piece: Piece, wanted: list[Cutting]) -> Layout:
    """The cuttings of one stock on what is on hand; sheets that are missing are new ones."""
    stock, saw = wanted[0].stock, kerf(piece.shop)
    items = sorted(_items(wanted, saw), key=lambda i: (-i.length, -i.width, i.cuttings[0].part, i.cuttings[0].strip))
    own = [b for b in piece.on_hand if b.stock.name == stock.name]
    found, known = _best(items, own, saw)
    if found.left and not stock.solid_wood:
        found, known = _with_new(items, own, _sheet(stock), saw, found)
    left = tuple(c for item in found.left for c in item.cuttings)
    boards = tuple(replace(b, new=b.board.name == NEW and b.board not in own) for b in found.laid)
    return Layout(stock, boards, left, saw, None if left or not boards else known)


def _sheet(stock: Stock) -> Board:
    return Board(stock=stock, size=new_sheet(stock.material), name=NEW)


def _best(items: Sequence[Item], boards: Sequence[Board], saw: float) -> tuple[Packing, Least]:
    """The best that is found, and the least that there could be."""
    known = least(items, boards, saw)
    found = packed(list(items), list(boards), saw, known.area)
    if found.cost[0] == 0 and found.cost[1] <= known.area + 1e-3:
        return found, known
    every = exactly(items, boards, saw)
    if every is None:
        return found, known
    best = every if every.cost < found.cost else found
    return best, _proven(items, best, known)


def _proven(items: Sequence[Item], best: Packing, known: Least) -> Least:
    """What is best of all ways that were tried is the least; parts that are no rectangles can lie in more ways yet."""
    if any(c.outline for i in items for c in i.cuttings):
        return known
    return Least(max(known.boards, 1), best.cost[1], tried=True)


def _with_new(
    items: Sequence[Item], own: Sequence[Board], sheet: Board, saw: float, found: Packing
) -> tuple[Packing, Least]:
    """The fewest new sheets beside what is on hand: from the least that there could be upward, until all is laid."""
    can = [i for i in items if any(fits(i, b) for b in (*own, sheet))]
    out = [i for i in items if i not in can]
    beyond = [i for i in found.left if i in can]
    after = packed(beyond, [replace(sheet, count=max(1, len(beyond)))], saw)
    count = len(after.laid)
    known = least(can, [replace(sheet, count=count)], saw, own)
    for fewer in range(known.boards, count):
        tried, proof = _best(can, [*own, replace(sheet, count=fewer)], saw)
        if not tried.left:
            return Packing(tried.laid, out), known
        if proof.tried and known.boards == fewer:
            known = Least(fewer + 1, (fewer + 1) * sheet.length * sheet.width, tried=True)
    return Packing([*found.laid, *after.laid], [*out, *after.left]), known


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
