"""What moves, as declared: `moving: {lid: {parts: [lid], slide: {front: 300}}}`, or a `swing`."""

from __future__ import annotations

from solids.model.finding import Place
from solids.model.geometry import Vector
from solids.model.motion import Body, Motion, Slide, Swing
from solids.model.part import Part
from solids.spec.joining import Directory, part_ids
from solids.spec.placing import point
from solids.spec.plain import Reading, side
from solids.spec.scope import Scope, Told, as_list, as_map, as_word, each, refuse_unknown
from solids.spec.source import Entry, Map, Node


def bodies_of(node: Node | None, parts: list[Part], scope: Scope) -> list[Body]:
    """What `moving` says of the parts of a group; what can't be read is told and left out."""
    if node is None:
        return []
    own = Directory(parts)

    def body(entry: Entry) -> Body:
        given = as_map(entry.value, scope.ledger, entry.key.place, "what moves")
        given = refuse_unknown(given, ("parts", "slide", "swing"), scope.ledger, "what moves")
        words = as_list(given.get("parts"), scope.ledger, given.place, "`parts`")
        names = each(lambda n: as_word(n, scope.ledger, given.place, "a part"), words)
        ids = [id_ for word in names for id_ in part_ids(word, own, scope)]
        return Body(entry.key.text, tuple(dict.fromkeys(ids)), _motion(given, scope), entry.key.place)

    try:
        return each(body, as_map(node, scope.ledger, node.place, "`moving`").entries.values())
    except Told:
        return []


def _motion(node: Map, scope: Scope) -> Motion:
    slide, swing = node.get("slide"), node.get("swing")
    if (slide is None) == (swing is None):
        raise scope.ledger.tell(node.place, "what moves has a `slide`, as `{front: 300}`, or a `swing`")
    return _slide(slide, scope) if slide is not None else _swing(swing, scope, node.place)


def _slide(node: Node, scope: Scope) -> Slide:
    """`{front: 300}`, or `{toward: [x, y, z], by: 300}` where it runs askew."""
    given = as_map(node, scope.ledger, node.place, "`slide`")
    if "toward" in given.entries:
        given = refuse_unknown(given, ("toward", "by"), scope.ledger, "a `slide`")
        toward = point(given.get("toward"), scope, given.place)
        return Slide(_direction(toward, scope, given.place), _over_0(given.get("by"), scope, given.place))
    if len(given.entries) != 1:
        raise scope.ledger.tell(given.place, "a `slide` names one side and how far, as `{front: 300}`")
    entry = next(iter(given.entries.values()))
    toward = side(entry.key, Reading(scope), entry.key.place, "`slide`").outward
    return Slide(toward, _over_0(entry.value, scope, entry.key.place))


def _swing(node: Node | None, scope: Scope, place: Place) -> Swing:
    """`{about: [x, y, z], axis: [x, y, z], by: 110}`: by the right-hand rule about the axis."""
    given = as_map(node, scope.ledger, place, "`swing`")
    given = refuse_unknown(given, ("about", "axis", "by"), scope.ledger, "a `swing`")
    about, axis = each(lambda key: point(given.get(key), scope, given.place), ("about", "axis"))
    by = scope.angle(given.get("by"), given.place)
    if not 0 < by <= 360:
        raise scope.ledger.tell(given.place, f"`by` is {by:g} degrees; a swing is over 0 and up to 360")
    return Swing(about, _direction(axis, scope, given.place), by)


def _direction(v: Vector, scope: Scope, place: Place) -> Vector:
    if v.length() < 1e-12:
        raise scope.ledger.tell(place, "[0, 0, 0] has no direction")
    return v.unit()


def _over_0(node: Node | None, scope: Scope, place: Place) -> float:
    value = scope.length(node, place)
    if value <= 0:
        raise scope.ledger.tell(node.place if node else place, f"the way is {value:g} mm; it must be over 0")
    return value
