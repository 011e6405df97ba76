"""An opening by the parts on its four sides: `{left: P, right: P, bottom: P, top: P}`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solids.model.geometry import STILL, Frame, Plane, Vector
from solids.model.opening import Opening
from solids.model.part import Part
from solids.model.side import SIDES
from solids.spec.ledger import quoted
from solids.spec.parts import Bare
from solids.spec.scope import Scope, Told, as_word, each, nearest, refuse_unknown
from solids.spec.source import Map, Word

if TYPE_CHECKING:
    from solids.spec.groups import Group

SQUARE = 1e-6  # how far from square to the front a side may be
FOUR = ("left", "right", "bottom", "top")


def opening_between(node: Map, group: Group, scope: Scope) -> Opening:
    """What lies between four parts, in the axes of the group or assembly that all four belong to. Raises Told."""
    node = refuse_unknown(node, FOUR, scope.ledger, "an opening")
    words = each(lambda side: as_word(node.get(side), scope.ledger, node.place, f"the part on the {side}"), FOUR)
    bares = each(lambda word: _one(word, group, scope), words)
    frame = _common_frame(words, group)
    standing = [Part(b.id, b.blank, b.frame.seen_from(frame)) for b in bares]
    middle = _middle(standing)
    planes = [_facing_in(part, middle, word, scope) for part, word in zip(standing, words, strict=True)]
    boxes = [part.extents() for part in standing]
    front, rear = max(low.y for low, _ in boxes), min(high.y for _, high in boxes)
    if rear - front < 1e-6:
        raise scope.ledger.tell(
            node.place, "these four parts don't stand round one opening: their depths don't overlap"
        )
    try:
        found = Opening.between(planes, front, rear)
    except ValueError as e:
        raise scope.ledger.tell(node.place, f"{e}: look which part is on which side") from None
    sides = tuple((side, word.text) for side, word in zip(FOUR, words, strict=True))
    return Opening(found.corners, front, rear, frame, sides)


def _one(word: Word, group: Group, scope: Scope) -> Bare:
    found = group.find(word.text)
    if len(found) == 1:
        return found[0]
    if scope.ledger.partial and not found:
        raise Told(word.text)
    if found:
        told = f"{quoted(word.text)} stands for {len(found)} parts; say which, as `{found[0].id}`"
        raise scope.ledger.tell(word.place, told)
    head, dot, rest = word.text.partition(".")
    within = group.groups.get(head)
    known = scope.known()
    if within is not None and dot and rest:
        known = [f"{head}.{b.id}" for b in within.inner.get().bares()]
    raise scope.ledger.tell(word.place, f"no part is called {quoted(word.text)}{nearest(word.text, known)}")


def _common_frame(words: list[Word], group: Group) -> Frame:
    """Where the group stands that all four are in; the outer axes where they are in several, or in none."""
    heads = {w.text.split(".")[0] for w in words}
    one = group.groups.get(next(iter(heads))) if len(heads) == 1 else None
    if one is None or one.is_twin or one.moves.get() is not None:
        return STILL
    return one.frame.get()


def _middle(parts: list[Part]) -> Vector:
    left, right, bottom, top = (p.frame.point(p.blank.middle()) for p in parts)
    return Vector((left.x + right.x) / 2, left.y, (bottom.z + top.z) / 2)


def _facing_in(part: Part, middle: Vector, word: Word, scope: Scope) -> Plane:
    """The side of a part that looks into the opening, as a plane that looks out of it. Raises Told."""
    inward = [p for p in (part.side_plane(s) for s in SIDES) if p.normal.dot(middle) > p.offset]
    square = [p for p in inward if abs(p.normal.y) < SQUARE]
    if not square:
        raise scope.ledger.tell(
            word.place, f"`{word.text}` has no side that looks into the opening, square to the front"
        )
    nearest_first = max(square, key=lambda p: p.normal.dot(middle) - p.offset)
    return Plane(nearest_first.normal.times(-1), -nearest_first.offset)
