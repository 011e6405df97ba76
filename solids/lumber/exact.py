"""Every way to saw a few items out of boards with straight cuts from edge to edge, tried to the end.

What can be sawn so is either one item, or two such groups beside each other or
one above the other with a kerf between. For each group of items all boxes that
it can be sawn from are kept, less those that are larger than another both ways.
Items of one size are the same item, so the groups are few where parts are alike.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from typing import TypeAlias

from solids.lumber.laid import Item, Laid, Placed
from solids.lumber.packing import Packing, in_order
from solids.model.boards import Board

ROUND = 0.004  # mm that a box may be over its board: less than what the solver's own rounding allows
MOST = 250_000  # pairs of boxes that are looked at: about half a second
Counts: TypeAlias = tuple[int, ...]  # how many of each size


class TooMany(Exception):
    """There are more ways than are tried."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box that holds a group: one item of a kind, turned or not, or two boxes end to end or side by side; mm."""

    length: float
    width: float
    kind: int = -1
    turned: bool = False
    parts: tuple[Box, Box] | None = None
    end_to_end: bool = False


@dataclass(frozen=True, slots=True)
class Chosen:
    """Boards begun so far: their area in mm², and what is sawn from each, as the board's number and a box."""

    area: float
    boards: tuple[tuple[int, Box], ...]

    @property
    def cost(self) -> tuple[float, int]:
        return round(self.area, 3), len(self.boards)


class Exact:
    """Items by size, the boards, and every box that a group of the items can be sawn from."""

    def __init__(self, items: Sequence[Item], boards: Sequence[Board], saw: float) -> None:
        self.items: dict[tuple[float, float, bool], list[Item]] = defaultdict(list)
        for item in items:
            self.items[round(item.length, 4), round(item.width, 4), item.turns].append(item)
        self.sizes = list(self.items)
        self.boards, self.saw, self.looked = boards, saw, 0
        self.whole: Counts = tuple(len(own) for own in self.items.values())

    def best(self) -> Packing | None:
        """The packing that leaves the least, then begins the least; None where there are too many ways to try."""
        try:
            return self._packing(self._chosen(self._boxes()))
        except TooMany:
            return None

    def _look(self, ways: int = 1) -> None:
        self.looked += ways
        if self.looked > MOST:
            raise TooMany

    def _boxes(self) -> dict[Counts, list[Box]]:
        """For each group all boxes worth having, by their length; groups that fit on no board are left out."""
        found: dict[Counts, list[Box]] = {}
        for group in self._groups():
            ways = list(self._single(group)) if sum(group) == 1 else list(self._parted(group, found))
            if ways:
                found[group] = _smallest(ways)
        return found

    def _groups(self) -> list[Counts]:
        """All groups of the items, the smallest first."""
        self._look(math.prod(n + 1 for n in self.whole))
        groups = product(*(range(n + 1) for n in self.whole))
        return sorted((g for g in groups if any(g)), key=lambda g: (sum(g), g))

    def _single(self, group: Counts) -> Iterator[Box]:
        kind = group.index(1)
        length, width, turns = self.sizes[kind]
        for box in (Box(length, width, kind), *([Box(width, length, kind, turned=True)] if turns else [])):
            if self._has_room(box.length, box.width):
                yield box

    def _parted(self, group: Counts, found: dict[Counts, list[Box]]) -> Iterator[Box]:
        for some in product(*(range(n + 1) for n in group)):
            self._look()
            rest = tuple(n - m for n, m in zip(group, some, strict=True))
            if some <= rest and some in found and rest in found:
                for a, b in product(found[some], found[rest]):
                    self._look()
                    yield from self._joined(a, b)

    def _joined(self, a: Box, b: Box) -> Iterator[Box]:
        long, wide = a.length + self.saw + b.length, max(a.width, b.width)
        if self._has_room(long, wide):
            yield Box(long, wide, parts=(a, b), end_to_end=True)
        long, wide = max(a.length, b.length), a.width + self.saw + b.width
        if self._has_room(long, wide):
            yield Box(long, wide, parts=(a, b))

    def _has_room(self, length: float, width: float) -> bool:
        return any(_is_on(length, width, b) for b in self.boards)

    def _chosen(self, boxes: dict[Counts, list[Box]]) -> tuple[Counts, Chosen]:
        """Board by board: for each group that may still be left, the cheapest way there."""
        ways: dict[Counts, Chosen] = {self.whole: Chosen(0.0, ())}
        for number, board in enumerate(self.boards):
            fitting = {g: box for g, some in boxes.items() if (box := _first_on(some, board)) is not None}
            for _ in range(min(board.count, sum(self.whole))):
                before = ways
                ways = self._sawn_from(number, board, fitting, before)
                if ways == before:
                    break
        return min(ways.items(), key=lambda way: (round(self._area(way[0]), 3), way[1].cost, way[0]))

    def _sawn_from(
        self, number: int, board: Board, fitting: dict[Counts, Box], before: dict[Counts, Chosen]
    ) -> dict[Counts, Chosen]:
        """All that one more board can be used for."""
        ways = dict(before)
        for left, chosen in before.items():
            self._look(len(fitting))
            for group, box in fitting.items():
                rest = tuple(n - m for n, m in zip(left, group, strict=True))
                if min(rest) < 0:
                    continue
                more = Chosen(chosen.area + board.length * board.width, (*chosen.boards, (number, box)))
                if rest not in ways or more.cost < ways[rest].cost:
                    ways[rest] = more
        return ways

    def _area(self, group: Counts) -> float:
        return sum(n * length * width for n, (length, width, _) in zip(group, self.sizes, strict=True))

    def _packing(self, found: tuple[Counts, Chosen]) -> Packing:
        _, chosen = found
        stacks = {kind: list(own) for kind, own in enumerate(self.items.values())}
        laid, used = [], [0] * len(self.boards)
        for number, box in chosen.boards:
            used[number] += 1
            placed = list(self._placed(box, (0.0, 0.0), stacks))
            laid.append(Laid(self.boards[number], used[number], in_order(placed)))
        return Packing(laid, [item for own in stacks.values() for item in own])

    def _placed(self, box: Box, at: tuple[float, float], stacks: dict[int, list[Item]]) -> Iterator[Placed]:
        if box.parts is None:
            yield Placed(stacks[box.kind].pop(0), at, (box.length, box.width))
            return
        first, second = box.parts
        x, y = at
        there = (x + first.length + self.saw, y) if box.end_to_end else (x, y + first.width + self.saw)
        yield from self._placed(first, at, stacks)
        yield from self._placed(second, there, stacks)


def exactly(items: Sequence[Item], boards: Sequence[Board], saw: float) -> Packing | None:
    """The best packing there is by straight cuts; None where there are too many ways to try them all."""
    return Exact(items, boards, saw).best() if items and boards else None


def _is_on(length: float, width: float, board: Board) -> bool:
    return length <= board.length + ROUND and width <= board.width + ROUND


def _first_on(boxes: list[Box], board: Board) -> Box | None:
    return next((b for b in boxes if _is_on(b.length, b.width, board)), None)


def _smallest(boxes: list[Box]) -> list[Box]:
    """Those that no other is as small as both ways, by their length."""
    kept: list[Box] = []
    for box in sorted(boxes, key=lambda b: (b.length, b.width)):
        if not kept or box.width < kept[-1].width - 1e-9:
            kept.append(box)
    return kept
