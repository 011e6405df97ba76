"""Where things stand: `place`, `lean`, `turn`, `copies` and `mirror about`, read into frames."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import NamedTuple

from solids.model.field import mirrored, mirrored_outline
from solids.model.finding import Place
from solids.model.geometry import STILL, Frame, Vector, X, Y, Z, rotation
from solids.model.part import Blank, Part
from solids.model.side import SIDES, Side
from solids.spec.ledger import quoted
from solids.spec.scope import Scope, Told, as_list, as_map, as_word, each, nearest, refuse_unknown
from solids.spec.source import Entry, Items, Map, Node, Word
from solids.spec.values import MANY, Reading, side

AXIS_WORDS = {"across": 0, "deep": 1, "up": 2}
AXES_WORDS = tuple(AXIS_WORDS)
MIRROR = "a mirror stands at one of `x`, `y` and `z`, as `about: {x: width / 2}`"
ROOM_AXES = {"x": 0, "y": 1, "z": 2}


class SetDown(NamedTuple):
    """How a part lies before it leans: its least corner, the axis of its length, the side its face looks to."""

    at: Vector
    grain: int
    face: Side


def point(node: Node | None, scope: Scope, place: Place, count: int = 3) -> Vector:
    """A point of the room, `[x, y, z]`, or `[x, y]` with z 0. Raises Told."""
    at = node.place if node else place
    items = list(node.items) if isinstance(node, Items) else []
    if len(items) != count:
        shape = "`[x, y, z]`" if count == 3 else "`[x, y]`"
        raise scope.ledger.tell(at, f"a point is {shape}; {len(items) or 'no'} values stand here")
    values = each(lambda i: scope.length(i, i.place), items)
    return Vector(*values, *[0.0] * (3 - count))


def set_down(node: Map | None, scope: Scope) -> SetDown:
    """How `place` sets a part down; lying flat along x at the origin where nothing is said. Raises Told."""
    if node is None:
        return SetDown(Vector(0.0, 0.0, 0.0), 0, Side.TOP)
    node = refuse_unknown(node, ("at", "length", "face", "lean", "turn"), scope.ledger, "a `place`")
    at, (grain, face) = each(lambda read: read(node, scope), (_at, _facing))
    return SetDown(at, grain, face)


def _at(node: Map, scope: Scope) -> Vector:
    return point(node.get("at"), scope, node.place) if node.get("at") else Vector(0.0, 0.0, 0.0)


def _facing(node: Map, scope: Scope) -> tuple[int, Side]:
    """The axis of the length and the side that the face looks to. Raises Told."""
    length, face = node.get("length"), node.get("face")
    if length is None and face is None:
        return 0, Side.TOP
    if length is None or face is None:
        lacks = "length: across, deep or up" if length is None else "face: the side that its face looks to"
        raise scope.ledger.tell(node.place, f"this place lacks `{lacks}`")
    grain, looks = each(lambda read: read(), (lambda: _grain(length, scope), lambda: _face(face, scope)))
    if looks.axis == grain:
        told = f"the face can't look to `{looks}`: the length runs that way (`{AXES_WORDS[grain]}`)"
        raise scope.ledger.tell(face.place, told)
    return grain, looks


def _grain(node: Node, scope: Scope) -> int:
    word = as_word(node, scope.ledger, node.place, "across, deep or up")
    if word.text not in AXIS_WORDS:
        raise scope.ledger.tell(word.place, f"`length` is {quoted(word.text)}{nearest(word.text, AXIS_WORDS)}")
    return AXIS_WORDS[word.text]


def _face(node: Node, scope: Scope) -> Side:
    return side(node, Reading(scope), node.place, "`face`")


def standing(node: Map | None, scope: Scope, at: Vector, size: Vector, corner: Vector) -> Frame:
    """The frame after `lean` and `turn`; `corner` is the least corner of the box that leans, in its own axes.

    Raises Told.
    """
    frame = Frame(origin=at)
    if node is None:
        return frame

    def tip() -> Frame:
        lean = node.get("lean")
        if lean is None:
            return STILL
        return _leaning(as_map(lean, scope.ledger, node.place, "`lean`"), scope, frame, size, corner)

    def swing() -> Frame:
        turn = node.get("turn")
        return _turning(turn, scope, at) if turn is not None else STILL

    tipped_by, turned_by = each(lambda read: read(), (tip, swing))
    return frame.within(tipped_by).within(turned_by)


def _leaning(node: Map, scope: Scope, frame: Frame, size: Vector, corner: Vector) -> Frame:
    """One tip that shows each angle given, seen square on, about the edge or corner that it leans away from."""
    r = Reading(scope)
    angles: dict[Side, float] = {}

    def angle(entry: Entry) -> None:
        s = side(entry.key, r, entry.key.place, "`lean`")
        if s.axis == 2:
            raise r.tell(entry.key.place, f"nothing leans to its `{s}`; a lean is to left, right, front or rear")
        if s.opposite in angles:
            raise r.tell(entry.key.place, f"it can't lean `{s}` and `{s.opposite}` at once")
        value = scope.angle(entry.value, entry.key.place)
        if not 0 <= value < 90:
            other = f"; for the other way name the other side, `{s.opposite}`" if value < 0 else ""
            told = f"a lean is from plumb, 0 to under 90 degrees; this is {value:g}{other}"
            raise r.tell(entry.value.place, told)
        angles[s] = value

    node = refuse_unknown(node, (*map(str, SIDES), "back", "about"), scope.ledger, "a `lean`")
    each(angle, [e for key, e in node.entries.items() if key != "about"])
    if not angles:
        raise r.tell(node.place, "a lean names a side and an angle, as `{right: 12}`")
    pivot = _pivot(node.get("about"), r, angles, frame, size, corner)
    return tipped(angles, pivot)


def tipped(angles: dict[Side, float], pivot: Vector) -> Frame:
    """The tip about a point that shows the angle of each side, in degrees from plumb."""
    slope = Vector(0.0, 0.0, 0.0)
    for s, value in angles.items():
        slope = slope.plus(s.outward.times(math.tan(math.radians(value))))
    if slope.length() == 0:
        return STILL
    only = next(iter(angles.values()))
    angle = only if len(angles) == 1 else math.degrees(math.atan(slope.length()))
    return rotation(Z.cross(slope.unit()), angle, pivot)


def _pivot(
    node: Node | None, r: Reading, angles: dict[Side, float], frame: Frame, size: Vector, corner: Vector
) -> Vector:
    if isinstance(node, Items) and len(node.items) == 3:
        return point(node, r.scope, node.place)
    away = [s.opposite for s in angles] + [Side.BOTTOM]
    if node is not None:
        words = as_list(node, r.scope.ledger, node.place, "`about`")
        if len(words) != 2:
            raise r.tell(node.place, "`about` is an edge by two sides, as `[bottom, right]`, or a point `[x, y, z]`")
        away = [side(w, r, node.place, "`about`") for w in words]
        if away[0].axis == away[1].axis:
            raise r.tell(node.place, f"`{away[0]}` and `{away[1]}` meet in no edge")
    at = list(corner)
    for s in away:
        at[s.axis] = corner[s.axis] + (size[s.axis] if s.sign > 0 else 0.0)
    return frame.point(Vector(*at))


def _turning(node: Node, scope: Scope, at: Vector) -> Frame:
    if isinstance(node, Map):
        node = refuse_unknown(node, ("by", "about"), scope.ledger, "a `turn`")
        if node.get("by") is None:
            raise scope.ledger.tell(node.place, "a `turn` lacks `by`: the angle, as `{by: 30, about: [0, 0]}`")
        by = scope.angle(node.get("by"), node.place)
        about = point(node.get("about"), scope, node.place, 2) if node.get("about") else at
        return rotation(Z, by, about)
    return rotation(Z, scope.angle(node, node.place), at)


def sized(grain: int, face: Side, length: float, width: float, thickness: float) -> Vector:
    """The blank's extents along x, y and z as set down."""
    size = [width, width, width]
    size[grain] = length
    size[face.axis] = thickness
    return Vector(*size)


def repeated(node: Node | None, scope: Scope) -> list[Frame] | None:
    """The moves of `copies`, the first of them none; None where there are no copies. Raises Told."""
    if node is None:
        return None
    given = as_map(node, scope.ledger, node.place, "`copies`")
    given = refuse_unknown(given, ("count", "step", "turn", "about"), scope.ledger, "`copies`")
    count, move = each(lambda read: read(given, scope), (_copy_count, _step))
    return [move(k) for k in range(count)]


def _copy_count(given: Map, scope: Scope) -> int:
    if given.get("count") is None:
        raise scope.ledger.tell(given.place, "`copies` lack their `count`")
    count = scope.count(given.get("count"), given.place)
    if not 1 <= count <= MANY:
        told = f"`count` is {count}; it lies between 1 and {MANY}"
        raise scope.ledger.tell((given.get("count") or given).place, told)
    return count


def _step(given: Map, scope: Scope) -> Callable[[int], Frame]:
    """Where the k-th copy stands. Raises Told."""
    step, turn = given.get("step"), given.get("turn")
    if (step is None) == (turn is None):
        raise scope.ledger.tell(given.place, "copies take a `step: [x, y, z]`, or a `turn` with `about: [x, y]`")
    if step is not None:
        by = point(step, scope, given.place)
        return lambda k: Frame(origin=by.times(k))
    angle = scope.angle(turn, given.place)
    about = point(given.get("about"), scope, given.place, 2) if given.get("about") else Vector(0.0, 0.0, 0.0)
    return lambda k: rotation(Z, angle * k, about)


def mirror_plane(node: Node | None, scope: Scope, place: Place) -> tuple[int, float]:
    """The axis and place of `about: {x: value}`. Raises Told."""
    if node is None:
        raise scope.ledger.tell(place, f"a handed twin lacks `about`: {MIRROR}")
    return square_plane(as_map(node, scope.ledger, place, "`about`"), scope, "`about`", MIRROR)


def square_plane(node: Map, scope: Scope, what: str, told: str) -> tuple[int, float]:
    """The axis and place of a plane as `{x: value}`. Raises Told."""
    given = refuse_unknown(node, ROOM_AXES, scope.ledger, what)
    known = list(given.entries)
    if not known and node.entries:
        raise Told(what)
    if len(known) != 1:
        raise scope.ledger.tell(given.place, told)
    return ROOM_AXES[known[0]], scope.length(given.get(known[0]), given.place)


def twin_blank(blank: Blank, axis: int) -> Blank:
    """The handed twin's blank."""
    outline = mirrored_outline(blank.outline, blank, axis) if blank.outline else ()
    return replace(blank, face=blank.face.mirrored(axis), outline=outline)


def twin_frame(blank: Blank, frame: Frame, axis: int, at: float) -> Frame:
    """Where the handed twin's blank stands: its own least corner is the other's greatest along the axis."""
    flipped = frame.mirrored(axis, at)
    back = (X, Y, Z)[axis].times(blank.size[axis])
    return flipped._replace(origin=flipped.point(back.times(-1)))


def twin(part: Part, axis: int, at: float) -> Part:
    """The handed twin of a part, its cuts with it."""
    cuts = tuple(replace(m, cut=mirrored(m.cut, part.blank, axis)) for m in part.cuts)
    return replace(
        part,
        blank=twin_blank(part.blank, axis),
        frame=twin_frame(part.blank, part.frame, axis, at),
        cuts=cuts,
        mirrored=not part.mirrored,
    )


def box_of(boxes: Iterable[tuple[Vector, Vector]]) -> tuple[Vector, Vector]:
    """The least and greatest corner of several boxes together; a point at 0 for none."""
    found = list(boxes)
    if not found:
        return Vector(0, 0, 0), Vector(0, 0, 0)
    low = Vector(*(min(b[0][i] for b in found) for i in range(3)))
    high = Vector(*(max(b[1][i] for b in found) for i in range(3)))
    return low, high


__all__ = ["SIDES", "Told", "Word"]
