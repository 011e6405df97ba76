"""What each kind of cut has to say on a drawing: one table, by the kind's name."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from solids.drawing.board import NEAR, Board
from solids.drawing.callouts import arrises, drilled, sawn, standing, trenches
from solids.drawing.callouts.callout import Callout, Place
from solids.drawing.figures import Figures
from solids.model.geometry import Vector, arc, sides
from solids.model.part import Part
from solids.model.side import Side

TOLD: dict[str, Callable[[Any, Board, Figures], Iterator[Callout]]] = {
    "bevel": sawn.bevel, "miter": sawn.miter, "compound": sawn.compound, "trim": sawn.trim, "taper": sawn.taper,
    "rabbet": trenches.rabbet, "dado": trenches.trench, "groove": trenches.trench,
    "tongue": standing.tongue, "tenon": standing.tenon, "notch": standing.notch,
    "mortise": drilled.mortise, "hole": drilled.hole, "cutout": drilled.cutout,
    "chamfer": arrises.chamfer, "roundover": arrises.roundover,
}  # fmt: skip


def callouts(board: Board, figures: Figures) -> list[Callout]:
    """All that the part's cuts have to say, the same ones said once with their number."""
    found = [c for made in board.part.cuts for c in TOLD[made.cut.kind](made.cut, board, figures)]
    return merged([*_outline(board, figures), *found])


def worked(part: Part) -> dict[Side, int]:
    """How many cuts each side of the blank is the mouth of."""
    count: dict[Side, int] = {}
    for made in part.cuts:
        cut: Any = made.cut
        side = getattr(cut, "on", None) or getattr(cut, "side", None)
        if side is not None:
            count[side] = count.get(side, 0) + 1
    return count


def merged(found: list[Callout]) -> list[Callout]:
    """Callouts with the same words on the same side as one, with all their places; profiles once each."""
    out: list[Callout] = []
    alike: dict[tuple[object, ...], int] = {}
    for c in found:
        key = (c.way, c.lines, c.profile.likeness if c.profile is not None else None)
        k = alike.setdefault(key, len(out))
        if k == len(out):
            out.append(c)
        else:
            out[k] = replace(
                out[k],
                tips=out[k].tips + c.tips,
                places=out[k].places + c.places,
                centres=out[k].centres + c.centres,
                count=out[k].count + c.count,
                bores=out[k].bores + c.bores,
            )
    return out


def _outline(board: Board, figures: Figures) -> Iterator[Callout]:
    """The points of a blank that is no rectangle, and its radii."""
    blank = board.part.blank
    places: list[Place] = []
    for p, q in sides(blank.outline) if blank.outline else ():
        spot = board.point(_laid(board, p.a, p.b))
        places += [Place(0, spot.x), Place(1, spot.y)]
        if p.bulge:
            a, b, radius, start, swept = arc(p, q)
            tips = tuple(
                board.point(_laid(board, *_on_circle(a, b, radius, start + swept * share))) for share in (0.5, 0.3, 0.7)
            )
            yield Callout(NEAR, (f"R{figures.length(radius)}",), tips)
    if places:
        yield Callout(NEAR, places=tuple(places))


def _on_circle(a: float, b: float, radius: float, angle: float) -> tuple[float, float]:
    return a + radius * math.cos(angle), b + radius * math.sin(angle)


def _laid(board: Board, a: float, b: float) -> Vector:
    """A point along the grain and across, on the face that is looked at, in the blank's axes."""
    blank = board.part.blank
    spot = [0.0, 0.0, 0.0]
    spot[blank.grain], spot[blank.across] = a, b
    face = board.side(NEAR)
    spot[face.axis] = blank.size[face.axis] if face.sign > 0 else 0.0
    return Vector(*spot)
