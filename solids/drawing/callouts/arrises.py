"""Chamfers and roundovers: which arrises, and their profile once."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.cuts import SAWN
from solids.cuts.arris import Chamfer, Roundover
from solids.drawing.board import NEAR, Board
from solids.drawing.callouts.callout import Bend, Callout, Profile, Width
from solids.drawing.figures import Figures
from solids.model.geometry import Vector
from solids.model.side import Side


def chamfer(cut: Chamfer, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its two sizes on the face and down the side."""
    size = figures.length(cut.size[0]) if cut.size[0] == cut.size[1] else figures.size(*cut.size)
    yield from _broken("Chamfer", size, cut, board, cut.size)


def roundover(cut: Roundover, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its radius."""
    yield from _broken("Roundover", f"R{figures.length(cut.radius)}", cut, board, (cut.radius, cut.radius))


def _broken(
    name: str, size: str, cut: Chamfer | Roundover, board: Board, sizes: tuple[float, float]
) -> Iterator[Callout]:
    where = "all round" if len(cut.sides) == 4 else " and ".join(str(s) for s in cut.sides)
    way = board.way(cut.on)
    sawn = {made.cut.side for made in board.part.cuts if made.cut.kind in SAWN}  # type: ignore[attr-defined]
    square = [side for side in cut.sides if side not in sawn] or cut.sides  # where a saw has been it is elsewhere
    tips = tuple(_tip(side, cut.on, board, sizes[0]) for side in square)
    profile = next((p for side in cut.sides if (p := _profile(side, cut, board, sizes)) is not None), None)
    words = f"{name}, {where}, on {cut.on}" if profile is not None else f"{name} {size}, {where}, on {cut.on}"
    yield Callout(way if way[0] == 2 else NEAR, (words,), tips, profile=profile)


def _tip(side: Side, on: Side, board: Board, size: float) -> Vector:
    """The middle of the broken arris, where the slope ends on the face."""
    p = [(a + b) / 2 for a, b in zip(board.low, board.high, strict=True)]
    for s, inset in ((side, size), (on, 0.0)):
        p[board.way(s)[0]] = board.coordinate(s, inset)
    return Vector(*p)


def _profile(side: Side, cut: Chamfer | Roundover, board: Board, size: tuple[float, float]) -> Profile | None:
    """Across the arris; None where that runs through the thickness and is seen whole on the face."""
    a, b = board.way(side), board.way(cut.on)
    run = 3 - a[0] - b[0]
    if run == 2:
        return None
    on_face, down = size
    insets = {a[0]: (side, on_face), b[0]: (cut.on, down)}
    u_axis = 1 - run
    u0, u1 = (board.coordinate(insets[u_axis][0], d) for d in (0.0, insets[u_axis][1]))
    z0, z1 = (board.coordinate(insets[2][0], d) for d in (0.0, insets[2][1]))
    extent = board.low[run], board.high[run]
    likeness = (cut.kind, run, *(round(v, 6) for v in (u0, u1, z0, z1)))
    if isinstance(cut, Roundover):
        r, half = cut.radius, math.sqrt(0.5)
        way = (1.0 if u0 > u1 else -1.0) * half, (1.0 if z0 > z1 else -1.0) * half
        bends = (Bend((u1, z1), r, (u1 + r * way[0], z1 + r * way[1])),)
        return Profile(run, min(u0, u1), max(u0, u1), extent, likeness, bends=bends)
    widths = (Width((u0, z1), (u1, z0), 0, abs(u1 - u0)), Width((u0, z1), (u1, z0), 1, abs(z1 - z0)))
    return Profile(run, min(u0, u1), max(u0, u1), extent, likeness, widths)
