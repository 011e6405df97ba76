"""The sizes in a joint's detail: what each part is cut with, in words, and the sockets that one has for the other."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any

import shapely

from solids.cuts.saw import sawn
from solids.drawing.callouts.drilled import depth_words
from solids.drawing.dimension import Asked, Side, beyond, tiers
from solids.drawing.figures import Figures
from solids.drawing.sheet import Box, Mark, Point
from solids.model.geometry import Bore, Prism, Vector
from solids.model.part import Blank, Part
from solids.model.piece import Joint

LEAST = 1.0  # mm² of one part within the hull of the other: less is no socket
SQUARE = 0.98  # of its own box that a socket covers


def axes(part: Part, names: Sequence[str]) -> Iterator[tuple[Vector, Vector]]:
    """Where the axis of each hole and pocket among a part's cuts begins and ends, in the room."""
    for made in part.cuts:
        if made.name in names and made.cut.kind in ("hole", "mortise"):
            for waste in made.cut.waste(part.blank):
                if isinstance(waste, Bore):
                    start, end = waste.start, waste.start.plus(waste.axis.times(waste.depth))
                elif isinstance(waste, Prism):
                    n = len(waste.outline)
                    a, b = (math.fsum(v) / n for v in zip(*((c.a, c.b) for c in waste.outline), strict=True))
                    start, end = (waste.frame.point(Vector(a, b, z)) for z in (0.0, waste.depth))
                else:
                    continue
                yield part.frame.point(start), part.frame.point(end)


def told(joint: Joint, part: Part, figures: Figures) -> list[str]:
    """What the joint has cut into a part, each once with its number."""
    names = {name for id_, name in joint.cuts if id_ == part.id}
    found: dict[str, int] = {}
    for made in part.cuts:
        if made.name in names and made.cut.kind in SIZES:
            words = SIZES[made.cut.kind](made.cut, part.blank, figures)
            if words:
                found[words] = found.get(words, 0) + 1
    return [f"{n}× {words}" if n > 1 else words for words, n in found.items()]


def _both(angle: float, figures: Figures) -> str:
    return f"{figures.angle(angle)} ({figures.angle(90 - angle)})"


def _trench(cut: Any, _: Blank, figures: Figures) -> str:
    return f"{cut.kind} {figures.length(cut.width)} wide, {figures.length(cut.depth)} deep"


def _saw(cut: Any, blank: Blank, figures: Figures) -> str:
    """A bevel, a miter or both, from square; nothing for a cut that is square."""
    if cut.kind == "trim":
        cut = sawn(blank, cut.side, cut.plane(blank))
    words = []
    if getattr(cut, "angle", 0.0):
        words.append(f"miter {_both(cut.angle, figures)}")
    if getattr(cut, "tilt", 0.0):
        words.append(f"{'blade' if words else 'bevel'} {_both(cut.tilt, figures)}")
    return ", ".join(words)


def _stand(cut: Any, _: Blank, figures: Figures) -> str:
    wide = f", {figures.length(cut.width)} wide" if cut.kind == "tenon" else ""
    thick = f", {figures.length(cut.thickness)} thick" if cut.thickness is not None else ""
    return f"{cut.kind} {figures.length(cut.length)} long{wide}{thick}"


def _hole(cut: Any, _: Blank, figures: Figures) -> str:
    words = f"Ø{figures.length(cut.diameter)}{depth_words(cut.depth, figures)}"
    if cut.counterbore is not None:
        sunk = cut.counterbore
        words += f", counterbore Ø{figures.length(sunk.diameter)}, {figures.length(sunk.depth)} deep"
    if cut.countersink is not None:
        words += f", countersink Ø{figures.length(cut.countersink.diameter)}"
    return words


SIZES: dict[str, Callable[[Any, Blank, Figures], str]] = {
    "dado": _trench, "groove": _trench, "bevel": _saw, "miter": _saw, "compound": _saw, "trim": _saw,
    "tongue": _stand, "tenon": _stand, "hole": _hole,
    "rabbet": lambda c, _, f: f"rabbet {f.length(c.width)} wide, {f.length(c.depth)} deep",
    "mortise": lambda c, _, f: f"mortise {f.size(*c.size)}{depth_words(c.depth, f)}",
    "notch": lambda c, _, f: f"notch {f.size(*(d for _, d in c.corner))}",
}  # fmt: skip


def sockets(own: Any, other: Any, scale: float, box: Box, figures: Figures) -> list[Mark]:
    """The width and the depth of each square socket that one part's cut face has for the other's."""
    asked: dict[Side, list[Asked]] = {}
    hull = shapely.convex_hull(own)
    for air in shapely.get_parts(shapely.difference(hull, own)).tolist():
        left, bottom, right, top = air.bounds
        is_square = air.area > SQUARE * (right - left) * (top - bottom)
        if not is_square or air.intersection(other).area < LEAST:
            continue
        up = (bottom + top) * scale > box.bottom + box.top
        out = (left + right) * scale > box.left + box.right
        y, x = (top if up else bottom), (right if out else left)
        ends: list[tuple[Side, Point, Point, float]] = [
            ("above" if up else "below", (left, y), (right, y), right - left),
            ("right" if out else "left", (x, bottom), (x, top), top - bottom),
        ]
        for side, a, b, value in ends:
            p, q = ((u * scale, v * scale) for u, v in (a, b))
            asked.setdefault(side, []).append(Asked(p, q, figures.length(value), value))
    marks: list[Mark] = []
    for side in sorted(asked):
        marks += tiers(side, beyond(box, marks, side), asked[side], scale, upright=figures.upright)
    return marks
