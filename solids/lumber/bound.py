"""How many boards any layout takes at the least, whatever its order: by area, and by what can't lie side by side.

Pieces a kerf apart on a board are pieces a kerf larger that touch, on a board a
kerf larger. A size is then told as a share of the largest board and put through
a function that never lets shares that fit together come to more than 1; so the
products of the two, summed, are no more than the boards there are (the lower
bounds of Fekete and Schepers for packing in two dimensions, from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from itertools import product
from typing import TypeAlias

from solids.lumber.laid import Item, Least
from solids.model.boards import Board

NOISE = 1e-9
STAIRS = (1, 2, 3, 4)  # more parts of a board than these are never the bound of furniture
MOST_SETS = 4096  # sets of boards that are all looked at
Share: TypeAlias = Callable[[float], float]


def least(items: Sequence[Item], boards: Sequence[Board], saw: float, beside: Sequence[Board] = ()) -> Least:
    """The least that any layout begins of `boards`, where some may lie on boards `beside` them that count for nothing.

    Right for what fits on them at all; straight cuts or not make no difference to it.
    """
    boards = [b for b in boards if any(fits(i, b) for i in items)]
    own = [i for i in items if not any(fits(i, b) for b in beside)]
    room = sum(_held(b, saw) * b.count for b in beside)
    wanted = sum(_taken(i, saw) for i in items) - room
    count = max(_side_by_side(own, boards, saw), _by_area(wanted, boards, saw), 1 if own or wanted > NOISE else 0)
    return Least(count, _least_area(wanted, count, boards, saw))


def fits(item: Item, board: Board) -> bool:
    """Whether a board has room for an item by itself."""
    ways = [(item.length, item.width), *([(item.width, item.length)] if item.turns else [])]
    return any(a <= board.length + 1e-3 and b <= board.width + 1e-3 for a, b in ways)


def _held(board: Board, saw: float) -> float:
    return (board.length + saw) * (board.width + saw)


def _taken(item: Item, saw: float) -> float:
    """The area that an item takes up, its kerfs with it; of what is no rectangle only its wood."""
    return item.wood if _is_skewed(item) else (item.length + saw) * (item.width + saw)


def _is_skewed(item: Item) -> bool:
    return any(c.outline for c in item.cuttings)


def _by_area(wanted: float, boards: Sequence[Board], saw: float) -> int:
    """How many of the largest boards hold so much area."""
    every = sorted((_held(b, saw) for b in boards for _ in range(b.count)), reverse=True)
    count = 0
    while wanted > 1e-3 and count < len(every):
        wanted -= every[count]
        count += 1
    return count


def _side_by_side(items: Iterable[Item], boards: Sequence[Board], saw: float) -> int:
    """By shares of the largest board: two that are each longer than its half do not lie end to end."""
    long, wide = (max((b.size[k] for b in boards), default=0.0) + saw for k in (0, 1))
    shares = [_shares(i, long, wide, saw) for i in items if not _is_skewed(i)]
    if not shares:
        return 0
    seen = [sorted({min(way[k], 1 - way[k]) for ways in shares for way in ways}) for k in (0, 1)]
    functions = [_functions(s) for s in seen]
    sums = (sum(min(f(a) * g(b) for a, b in ways) for ways in shares) for f, g in product(*functions))
    return max(math.ceil(s - 1e-6) for s in sums)


def _shares(item: Item, long: float, wide: float, saw: float) -> list[tuple[float, float]]:
    a, b = item.length + saw, item.width + saw
    ways = [(a / long, b / wide), *([(b / long, a / wide)] if item.turns else [])]
    return [(x, y) for x, y in ways if x <= 1 + 1e-4 and y <= 1 + 1e-4] or [(0.0, 0.0)]


def _functions(seen: Iterable[float]) -> list[Share]:
    """The functions that are worth trying for the sizes that there are."""
    edges = [e for e in seen if 0 < e <= 0.5][:24]
    return [lambda x: x, *(_edge(e) for e in edges), *(_stair(k) for k in STAIRS)]


def _edge(e: float) -> Share:
    """Small ones count for nothing, so large ones count for all."""
    return lambda x: 1.0 if x > 1 - e + NOISE else x if x >= e - NOISE else 0.0


def _stair(k: int) -> Share:
    """At most k pieces longer than a share of 1 / (k + 1) lie end to end."""

    def share(x: float) -> float:
        steps = x * (k + 1)
        return x if abs(steps - round(steps)) < 1e-6 else math.floor(steps) / k

    return share


def _least_area(wanted: float, count: int, boards: Sequence[Board], saw: float) -> float:
    """The least area of so many boards or more that hold so much; mm²."""
    sizes = {b.size for b in boards}
    if not sizes:
        return 0.0
    if len(sizes) == 1:
        return count * boards[0].length * boards[0].width
    if math.prod(b.count + 1 for b in boards) > MOST_SETS:
        return sum(sorted(b.length * b.width for b in boards for _ in range(b.count))[:count])
    sets = product(*(range(b.count + 1) for b in boards))
    enough = (
        sum(n * b.length * b.width for n, b in zip(some, boards, strict=True))
        for some in sets
        if sum(some) >= count and sum(n * _held(b, saw) for n, b in zip(some, boards, strict=True)) >= wanted - 1e-3
    )
    return min(enough, default=0.0)
