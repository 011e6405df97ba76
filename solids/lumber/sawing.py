"""The order in which a board is sawn up, each cut straight through what is left, and the offcuts worth keeping."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from solids.lumber.laid import Laid, Placed

NEAR = 0.02  # mm: twice what the solver's whole numbers may be off
KEEP_LENGTH, KEEP_WIDTH = 300.0, 60.0  # mm: an offcut under this is waste (common practice)


class Box(NamedTuple):
    """Part of a board, from its least corner, along the grain and across; mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def length(self) -> float:
        return self.x1 - self.x0

    @property
    def width(self) -> float:
        return self.y1 - self.y0


class SawCut(NamedTuple):
    """One cut: a `rip` along the grain or a crosscut, `size` mm off what is left, and where it runs on the board."""

    rip: bool
    size: float
    at: float
    within: Box


@dataclass(frozen=True, slots=True)
class Sawn:
    """A board sawn up: the cuts in their order, what is left that is worth keeping, and the share that is used."""

    cuts: tuple[SawCut, ...]
    offcuts: tuple[Box, ...]
    used: float


def sawn(laid: Laid, kerf: float) -> Sawn:
    """How a board is sawn up: solid wood crosscut first, sheets ripped first."""
    whole = Box(0.0, 0.0, laid.board.length, laid.board.width)
    rip_first = not laid.board.stock.solid_wood
    steps = list(_parted(whole, laid.placed, kerf, rip_first))
    cuts = tuple(s for s in steps if isinstance(s, SawCut))
    free = [s for s in steps if isinstance(s, Box) and is_kept(s)]
    free.sort(key=lambda b: (-round(b.length * b.width, 3), b.x0, b.y0))
    used = sum(c.length * c.width for p in laid.placed for c in p.item.cuttings)
    return Sawn(cuts, tuple(free), used / (laid.board.length * laid.board.width))


def is_kept(box: Box) -> bool:
    """Whether an offcut is worth keeping."""
    return box.length >= KEEP_LENGTH and box.width >= KEEP_WIDTH


def box_of(placed: Placed) -> Box:
    """Where an item lies on its board."""
    (x, y), (length, width) = placed.at, placed.size
    return Box(x, y, x + length, y + width)


def _parted(box: Box, placed: tuple[Placed, ...], kerf: float, rip: bool) -> Iterator[SawCut | Box]:
    """The cuts that part a box, each before those in what it frees; a box that is left empty is an offcut.

    Raises AssertionError where no straight cut parts two pieces: the solver never lays them so.
    """
    if not placed:
        yield box
        return
    lines = {along: _lines(box, placed, kerf, along) for along in (rip, not rip)}
    offcuts = [(_empty(box, placed, along, at, kerf), along, at) for along, found in lines.items() for at in found]
    largest = max(offcuts, key=lambda o: (round(o[0], 3), o[1] is rip, -o[2]), default=None)
    if largest is None:
        assert len(placed) == 1, "no straight cut parts these pieces"
        return
    kept, along, at = largest  # the largest offcut comes off whole, before the rest is sawn up
    if not kept:
        along = rip if lines[rip] else not rip
        at = lines[along][0]
    near, far = _halves(box, at, kerf, along)
    yield SawCut(along, at - (box.y0 if along else box.x0), at, box)
    yield from _parted(near, _inside(near, placed), kerf, rip)
    yield from _parted(far, _inside(far, placed), kerf, rip)


def _lines(box: Box, placed: tuple[Placed, ...], kerf: float, along: bool) -> list[float]:
    """Where straight cuts can run: just past a piece or a kerf before one, through none, not at the box's own ends."""
    spans = [_span(p, along) for p in placed]
    start, end = (box.y0, box.y1) if along else (box.x0, box.x1)
    wanted = {high for _, high in spans} | {low - kerf for low, _ in spans}
    return [
        at
        for at in sorted(at for at in wanted if start + NEAR < at < end - NEAR)
        if all(high <= at + NEAR or low >= at + kerf - NEAR for low, high in spans)
    ]


def _span(placed: Placed, along: bool) -> tuple[float, float]:
    box = box_of(placed)
    return (box.y0, box.y1) if along else (box.x0, box.x1)


def _empty(box: Box, placed: tuple[Placed, ...], along: bool, at: float, kerf: float) -> float:
    """What comes off empty on one side of a cut and is worth keeping, in mm²; 0 where there is nothing."""
    empty = (half for half in _halves(box, at, kerf, along) if not _inside(half, placed))
    return max((half.length * half.width for half in empty if is_kept(half)), default=0.0)


def _halves(box: Box, at: float, kerf: float, along: bool) -> tuple[Box, Box]:
    if along:
        return box._replace(y1=at), box._replace(y0=min(at + kerf, box.y1))
    return box._replace(x1=at), box._replace(x0=min(at + kerf, box.x1))


def _inside(box: Box, placed: tuple[Placed, ...]) -> tuple[Placed, ...]:
    middles = [((b.x0 + b.x1) / 2, (b.y0 + b.y1) / 2) for b in map(box_of, placed)]
    return tuple(p for p, (x, y) in zip(placed, middles, strict=True) if box.x0 < x < box.x1 and box.y0 < y < box.y1)
