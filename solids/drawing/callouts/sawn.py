"""Straight saw cuts: bevels in section, miters and tapers on the face, and what a trim comes to at the saw."""

from __future__ import annotations

import math
from collections.abc import Iterator

from solids.cuts.saw import Bevel, Compound, Miter, sawn
from solids.cuts.taper import Taper
from solids.cuts.trim import Trim
from solids.drawing.board import NEAR, Board
from solids.drawing.callouts.callout import Callout, Profile, Tilt
from solids.drawing.figures import Figures
from solids.model.geometry import Plane, Vector
from solids.model.side import Side


def bevel(cut: Bevel, board: Board, figures: Figures) -> Iterator[Callout]:
    """The angle from square, in section, at the long point."""
    if not cut.tilt:
        return
    axis, sign = board.way(cut.side)
    thick, deep = board.size[2], board.size[2] * math.tan(math.radians(cut.tilt))
    long_z = thick if board.way(cut.long)[1] > 0 else 0.0
    short_z = thick - long_z
    point = board.coordinate(cut.side, cut.inset)
    back = point - sign * deep
    tilt = Tilt((point, long_z), (point, short_z), (back, short_z), cut.tilt)
    profile = Profile(
        run=1 - axis,
        start=min(point, back),
        end=max(point, back),
        where=(board.low[1 - axis], board.high[1 - axis]),
        likeness=("bevel", axis, sign, long_z, round(cut.tilt, 6), round(cut.inset, 6)),
        tilts=(tilt,),
    )
    yield Callout(NEAR, profile=profile)


def miter(cut: Miter, board: Board, figures: Figures) -> Iterator[Callout]:
    """Its angle on the face, and where it comes out."""
    text = f"Miter {_both(cut.angle, figures)}, long at {cut.long}"
    yield _on_face((text,), cut.plane(board.part.blank), board)


def compound(cut: Compound, board: Board, figures: Figures) -> Iterator[Callout]:
    """Both angles: on the face that stays long, and of the blade."""
    edge, face = cut.long
    lines = (
        f"Compound cut, long at {edge} and {face}:",
        f"miter {_both(cut.angle, figures)} on {face}",
        f"blade {_both(cut.tilt, figures)} from square",
    )
    yield _on_face(lines, cut.plane(board.part.blank), board)


def trim(cut: Trim, board: Board, figures: Figures) -> Iterator[Callout]:
    """The saw cut that it comes to; where none does, how far in it comes out at each corner."""
    plane = cut.plane(board.part.blank)
    made = sawn(board.part.blank, cut.side, plane)
    if isinstance(made, Bevel):
        yield from bevel(made, board, figures)
    elif isinstance(made, Miter):
        yield from miter(made, board, figures)
    elif isinstance(made, Compound):
        yield from compound(made, board, figures)
    else:
        yield _sloped(cut.side, plane, board, figures)


def taper(cut: Taper, board: Board, figures: Figures) -> Iterator[Callout]:
    """Where it begins and how deep it is at the end."""
    end, deep = cut.by[0]
    begins = cut.stop[0][1] if cut.stop else 0.0
    slope = math.degrees(math.atan(deep / (board.size[0] - begins)))
    lines = (
        f"Taper of the {cut.side}: {figures.length(deep)} at the {end} end,",
        f"from nothing {figures.length(begins)} from the {end.opposite} end ({figures.angle(slope)})",
    )
    at = board.coordinate(end.opposite, begins)
    far = board.coordinate(end, 0.0)
    axis, sign = board.way(cut.side)
    rim = board.size[axis] if sign > 0 else 0.0
    tips = []
    for share in (0.75, 0.5, 0.9):
        p = [at + (far - at) * share, board.size[1] / 2, board.high[2]]
        p[axis] = rim - sign * deep * share
        tips.append(Vector(*p))
    yield Callout(NEAR, lines, tuple(tips))


def _both(angle: float, figures: Figures) -> str:
    return f"{figures.angle(angle)} ({figures.angle(90 - angle)})"


def _on_face(lines: tuple[str, ...], plane: Plane, board: Board) -> Callout:
    """A note at the line in which a plane leaves the face that is looked at."""
    p = board.plane(plane)
    tips = []
    for share in (0.5, 0.3, 0.7, 0.15, 0.85):
        y = board.low[1] + (board.high[1] - board.low[1]) * share
        x = (p.offset - p.normal.y * y - p.normal.z * board.high[2]) / p.normal.x
        if board.low.x - 1e-6 <= x <= board.high.x + 1e-6:
            tips.append(Vector(x, y, board.high[2]))
    return Callout(NEAR, lines, tuple(tips))


def _sloped(side: Side, plane: Plane, board: Board, figures: Figures) -> Callout:
    """How far in from the side the plane lies at each of the four corners of the blank there."""
    blank = board.part.blank
    axis = side.axis
    others = [s for s in Side if s.axis != axis]
    lines = [f"Sawn at the {side}, so far in:"]
    for a in (s for s in others if s.axis == others[0].axis):
        for b in (s for s in others if s.axis != a.axis):
            p = [0.0, 0.0, 0.0]
            for s in (side, a, b):
                p[s.axis] = blank.size[s.axis] if s.sign > 0 else 0.0
            inset = (plane.normal.dot(Vector(*p)) - plane.offset) / plane.normal.dot(side.outward)
            lines.append(f"{figures.length(inset)} at {a} and {b}")
    middle = blank.middle()
    n = plane.normal[axis]
    rest = math.fsum(plane.normal[i] * middle[i] for i in range(3) if i != axis)
    spot = Vector(*((plane.offset - rest) / n if i == axis else middle[i] for i in range(3)))
    return Callout(NEAR, tuple(lines), (board.point(spot),))
