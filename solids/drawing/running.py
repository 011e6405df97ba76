"""Running dimensions: many places along a side, each told from one datum at the end of its own line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from solids.drawing.dimension import CLEAR, GAP, HEIGHT, Lying, Side, rise
from solids.drawing.pens import DIMENSION
from solids.drawing.sheet import Arc, Box, Dimension, Line, Mark, Point, Text


class Running(NamedTuple):
    """A place on a side that is told from the datum: where it is on the outline, and its figure."""

    at: Point
    text: str
    value: float


def running(
    side: Side,
    box: Box,
    origin: Point,
    asked: Sequence[Running],
    scale: float,
    skip: float = 0.0,
    *,
    upright: bool = False,
) -> list[Mark]:
    """Running dimensions: each extension line ends at its figure, counted from a ring at the datum."""
    lying = Lying(side, upright)
    rim = {"below": box.bottom, "above": box.top, "left": box.left, "right": box.right}[side]
    start, bend, end = (rim + lying.out * (skip + d) for d in (2.0, 4.0, 9.0))
    order = sorted(asked, key=lambda r: lying.along(r.at))
    spots = spread(
        [lying.along(r.at) for r in order], [(lying.length(r.text) if upright else rise(r.text)) + 1.7 for r in order]
    )
    zero = lying.along(origin)
    marks: list[Mark] = [Arc(lying.place(zero, start), 0.8, DIMENSION)]
    for r, spot in zip(order, spots, strict=True):
        u = lying.along(r.at)
        lines = [
            Line(lying.place(u, lying.off(r.at) + lying.out * GAP), lying.place(u, bend), DIMENSION),
            Line(lying.place(u, bend), lying.place(spot, end - lying.out * 2.0), DIMENSION),
            Line(lying.place(spot, end - lying.out * 2.0), lying.place(spot, end), DIMENSION),
        ]
        text = _end_text(lying, spot, end + lying.out * CLEAR, r.text)
        points = (origin, r.at, lying.place(spot, end))
        angle = 0.0 if lying.level else 90.0
        marks.append(Dimension("ordinate", (*lines, text), points, r.text, r.value, scale, angle))
    return marks


def _end_text(lying: Lying, along: float, off: float, text: str) -> Text:
    """A figure that goes on where its line ends."""
    outward = lying.out > 0
    if lying.level and lying.upright:
        return Text((along, off + lying.out * rise(text) / 2), text, HEIGHT, "middle", "middle", 0.0, DIMENSION)
    if lying.level:
        return Text((along, off), text, HEIGHT, "left" if outward else "right", "middle", 90.0, DIMENSION)
    return Text((off, along), text, HEIGHT, "left" if outward else "right", "middle", 0.0, DIMENSION)


def spread(wanted: Sequence[float], rooms: Sequence[float]) -> list[float]:
    """Places near those wanted, in their order, each with its room; clusters are shifted as little as can be."""
    groups: list[tuple[float, list[int]]] = []  # where a cluster begins, and who is in it
    for k, w in enumerate(wanted):
        groups.append((w - rooms[k] / 2, [k]))
        while len(groups) > 1 and groups[-2][0] + math.fsum(rooms[i] for i in groups[-2][1]) > groups[-1][0] + 1e-9:
            members = groups[-2][1] + groups.pop()[1]
            offsets, reached = [], 0.0
            for i in members:
                offsets.append(wanted[i] - reached - rooms[i] / 2)
                reached += rooms[i]
            groups[-1] = (math.fsum(offsets) / len(offsets), members)
    out = [0.0] * len(wanted)
    for begin, members in groups:
        at = begin
        for i in members:
            out[i] = at + rooms[i] / 2
            at += rooms[i]
    return out
