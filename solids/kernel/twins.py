"""Which distinct parts are one wood turned round, and which are handed twins, as a mirror shows one in the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from solids.kernel.shape import Shape, nearly, shape_of
from solids.model.field import mirrored, mirrored_outline
from solids.model.marks import natural
from solids.model.part import Part

SAME = 5  # decimals of a mm to which two parts are one wood to a maker


def alike(parts: Sequence[Part], shapes: Sequence[Shape]) -> tuple[tuple[str, bool], ...]:
    """For each part the key of all that bear its mark, one wood of one stock, and whether it is the mirrored one.

    The same whatever order the parts are listed in. Where a stock has only
    mirrored ones those are as drawn.
    """
    order = sorted(range(len(parts)), key=lambda i: (parts[i].mirrored, natural(parts[i].id)))
    found = dict(zip(order, hands([parts[i] for i in order], [shapes[i] for i in order]), strict=True))
    keys = {i: f"{found[i][0]}|{stock.name if (stock := parts[i].stock) else ''}" for i in order}
    drawn = {keys[i] for i in order if not found[i][1]}
    return tuple((keys[i], found[i][1] and keys[i] in drawn) for i in range(len(parts)))


def hands(parts: Sequence[Part], shapes: Sequence[Shape]) -> tuple[tuple[str, bool], ...]:
    """For each part a key that its copies and its handed twins share, and whether it is the mirrored one.

    As drawn is the wood of the part that comes first. What is the same wood
    turned end for end or over is a copy; so is a twin that has no hand.
    """
    known: dict[str, tuple[str, bool]] = {}
    found: dict[str, tuple[str, bool]] = {}
    for part, shape in zip(parts, shapes, strict=True):
        if shape.key in found:
            continue
        key = nearly(shape, SAME)
        if key not in known:
            known[key] = (shape.key, False)
            for turned, is_twin in _seen(part):
                known.setdefault(turned, (shape.key, is_twin))
        found[shape.key] = known[key]
    return tuple(found[shape.key] for shape in shapes)


def _seen(part: Part) -> Iterator[tuple[str, bool]]:
    """The keys of the same wood turned by two mirrors, then of that which one mirror or three show."""
    for mirrors in (2, 1, 3):
        for axes in combinations(range(3), mirrors):
            seen = part
            for axis in axes:
                seen = _mirrored(seen, axis)
            yield nearly(shape_of(seen), SAME), mirrors != 2


def _mirrored(part: Part, axis: int) -> Part:
    blank = part.blank
    outline = mirrored_outline(blank.outline, blank, axis) if blank.outline else ()
    cuts = tuple(replace(made, cut=mirrored(made.cut, blank, axis)) for made in part.cuts)
    return replace(part, blank=replace(blank, face=blank.face.mirrored(axis), outline=outline), cuts=cuts)
