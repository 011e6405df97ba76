"""One value of a spec, read as the field that takes it asks."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Corner, Plane, rounded
from solids.model.part import Blank
from solids.model.side import SIDES, Side
from solids.spec.ledger import NO_NAME, is_name, quoted
from solids.spec.scope import Scope, Told, as_list, as_map, as_word, each, nearest, refuse_unknown
from solids.spec.source import Entry, Items, Map, Node, Word

SIDE_WORDS = tuple(str(s) for s in SIDES)
MANY = 1000  # copies, cuts in a row
LEAST = 1e-6  # mm: a size below is a slip
NO_SIGN = "no sign is ever needed here: name the other side instead"
Target = Callable[[Node, Place], Plane]


@dataclass(frozen=True, slots=True)
class Reading:
    """What it takes to read a value: names, and the part that it is for."""

    scope: Scope
    blank: Blank | None = None
    target: Target | None = None
    places: dict[str, Place] = field(default_factory=dict)

    def tell(self, place: Place, message: str) -> Told:
        return self.scope.ledger.tell(place, message)


def read(kind: f.Kind, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    """The value of a field. Raises Told."""
    return _READERS[type(kind)](kind, node, r, place, what)


def read_record(type_: type, node: Map, r: Reading, what: str, head: str = "", known: tuple[str, ...] = ()) -> Any:
    """A dataclass from a map, every field's mistake told; `head` is the key that holds the heading field.

    Raises Told where any field could not be read.
    """
    fields = f.declared(type_)
    keys = {(head if d.metadata["head"] else d.name): d for d in fields}
    failed = any(k not in keys and k not in known for k in node.entries)
    node = refuse_unknown(node, (*keys, *known), r.scope.ledger, what)
    values: dict[str, Any] = {}
    for key, d in keys.items():
        given = node.entries.get(key)
        try:
            if given is None:
                values[d.name] = _default(d, node, r, what)
                continue
            values[d.name] = read(d.metadata["kind"], given.value, r, given.key.place, f"`{key}`")
            r.places[d.name] = given.value.place
        except Told:
            failed = True
    if failed:
        raise Told(what)
    return type_(**values)


def _default(d: dataclasses.Field[Any], node: Map, r: Reading, what: str) -> Any:
    if d.default is not dataclasses.MISSING:
        return d.default
    raise r.tell(node.place, f"{what} lacks `{d.name}`: {d.metadata['says']}")


def _length(kind: f.Length, node: Node | None, r: Reading, place: Place, what: str, under: str = "") -> float:
    value = r.scope.length(node, place)
    if kind.signed:
        return value
    if 0 < value < LEAST and not kind.zero:
        raise r.tell(node.place if node else place, f"{what} is {value:g} mm, too little to cut")
    if value < 0 or (value == 0 and not kind.zero):
        told = "it must not be under 0" if kind.zero else "it must be over 0"
        raise r.tell(node.place if node else place, f"{what} is {value:g} mm; {under if under and value < 0 else told}")
    return value


def _angle(kind: f.Angle, node: Node | None, r: Reading, place: Place, what: str) -> float:
    value = r.scope.angle(node, place)
    low = value >= kind.least if kind.closed else value > kind.least
    if not low or value >= kind.most:
        at = node.place if node else place
        least = f"from {kind.least:g} on" if kind.closed else f"over {kind.least:g}"
        raise r.tell(at, f"{what} is {value:g} degrees; it must be {least} and under {kind.most:g}")
    return value


def _count(kind: f.Count, node: Node | None, r: Reading, place: Place, what: str) -> int:
    value = r.scope.count(node, place)
    if not kind.least <= value <= kind.most:
        at = node.place if node else place
        raise r.tell(at, f"{what} is {value}; it lies between {kind.least} and {kind.most}")
    return value


def _text(kind: f.Text, node: Node | None, r: Reading, place: Place, what: str) -> str:
    return as_word(node, r.scope.ledger, place, what).text


def _name(kind: f.Name, node: Node | None, r: Reading, place: Place, what: str) -> str:
    word = as_word(node, r.scope.ledger, place, what)
    if not is_name(word.text):
        raise r.tell(word.place, f"{quoted(word.text)} {NO_NAME}")
    return word.text


def _choice(kind: f.Choice, node: Node | None, r: Reading, place: Place, what: str) -> str:
    word = as_word(node, r.scope.ledger, place, what)
    if word.text not in kind.words:
        raise r.tell(word.place, f"{what} is {quoted(word.text)}{nearest(word.text, kind.words)}")
    return word.text


def side(node: Node | None, r: Reading, place: Place, what: str) -> Side:
    """A side by its word. Raises Told."""
    word = as_word(node, r.scope.ledger, place, f"a side for {what}")
    if word.text in SIDE_WORDS:
        return Side(word.text)
    if word.text == "back":
        raise r.tell(word.place, "no side is called `back`: it is `rear`, or the face's opposite by its own name")
    if word.text.partition(":")[0] in SIDE_WORDS:
        raise r.tell(word.place, f"{quoted(word.text)} lacks a space after the `:`")
    raise r.tell(word.place, f"{quoted(word.text)} is no side{nearest(word.text, SIDE_WORDS)}")


def _side_of(kind: f.SideOf, node: Node | None, r: Reading, place: Place, what: str) -> Side:
    found = side(node, r, place, what)
    if r.blank is not None and r.blank.kind_of(found) not in kind.kinds:
        blank = r.blank
        lawful = [s for s in SIDES if blank.kind_of(s) in kind.kinds]
        is_a = {"end": "an end", "edge": "an edge", "face": "a broad face"}[blank.kind_of(found)]
        serve = ", ".join(f"`{s}`" for s in lawful)
        raise r.tell(node.place if node else place, f"`{found}` is {is_a} of this part; {what} takes {serve}")
    return found


def _sides_of(kind: f.SidesOf, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Side, ...]:
    found: list[Side] = []
    for item in as_list(node, r.scope.ledger, place, what):
        text = item.text if isinstance(item, Word) else ""
        if text in ("ends", "edges", "all"):
            if r.blank is None:
                raise Told(what)  # of a part whose blank could not be read
            b = r.blank
            found += {"ends": b.ends, "edges": b.edges, "all": (*b.ends, *b.edges)}[text]
        else:
            found.append(side(item, r, place, what))
    return tuple(dict.fromkeys(found))


def _corner_of(kind: f.CornerOf, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Side, Side]:
    items = as_list(node, r.scope.ledger, place, what)
    if len(items) != 2:
        raise r.tell(node.place if node else place, f"{what} is an edge and a broad face, as `[front, top]`")
    edge, face = each(lambda i: side(i, r, place, what), items)
    return edge, face


def _distances(kind: f.Distances, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Any, ...]:
    given = as_map(node, r.scope.ledger, place, what)
    one = f.Length(zero=kind.zero)
    if not given.entries:
        raise r.tell(given.place, f"{what} names no side")

    def pair(entry: Entry) -> tuple[Side, float]:
        s = side(entry.key, r, entry.key.place, what)
        r.places[f"{what.strip('`')}.{s}"] = entry.value.place
        return s, _length(one, entry.value, r, entry.key.place, f"{what} from `{s}`", NO_SIGN)

    return tuple(each(pair, given.entries.values()))


def _at(kind: f.At, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Any, ...]:
    given = as_map(node, r.scope.ledger, place, what)

    def pair(entry: Entry) -> tuple[Side, Any]:
        s = side(entry.key, r, entry.key.place, what)
        r.places[f"at.{s}"] = entry.value.place
        if isinstance(entry.value, Map) and kind.swung:
            return s, _distances(f.Distances(zero=True), entry.value, r, entry.key.place, what)
        return s, _length(f.Length(zero=True), entry.value, r, entry.key.place, f"{what} from `{s}`", NO_SIGN)

    return tuple(each(pair, given.entries.values()))


def _lengths(kind: f.Lengths, node: Node | None, r: Reading, place: Place, what: str) -> tuple[float, ...]:
    items = as_list(node, r.scope.ledger, place, what)
    if len(items) == 1 and kind.one:
        return (_length(f.Length(), items[0], r, place, what),) * kind.count
    if len(items) != kind.count:
        raise r.tell(
            node.place if node else place, f"{what} is a list of {kind.count} lengths; {len(items)} stand here"
        )
    for k, item in enumerate(items):
        r.places[f"{what.strip('`')}.{k + 1}"] = item.place
    return tuple(each(lambda i: _length(f.Length(), i, r, place, what), items))


def _outline(kind: f.Outline, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Corner, ...]:

    def corner(item: Node) -> tuple[float, float, float]:
        numbers = as_list(item, r.scope.ledger, place, "a point")
        if len(numbers) not in (2, 3):
            raise r.tell(item.place, "a point is `[a, b]`, or `[a, b, corner radius]`")
        a, b, *rest = each(lambda n: _length(f.Length(zero=True), n, r, item.place, "a point's distance"), numbers)
        return a, b, rest[0] if rest else 0.0

    points = each(corner, as_list(node, r.scope.ledger, place, what))
    at = node.place if node else place
    if len(points) < 3:
        raise r.tell(at, f"{what} takes three points or more; {len(points)} stand here")
    return closed_outline(points, r, at, what)


def closed_outline(points: list[tuple[float, float, float]], r: Reading, at: Place, what: str) -> tuple[Corner, ...]:
    """The points as an anticlockwise outline that does not cross itself. Raises Told."""
    area = sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, points[1:] + points[:1], strict=True)) / 2
    if abs(area) < 1e-6:
        raise r.tell(at, f"{what} encloses no area")
    ordered = points if area > 0 else points[::-1]
    crossing = _crossing(ordered)
    if crossing:
        raise r.tell(at, f"{what} crosses itself: side {crossing[0]} and side {crossing[1]}")
    try:
        return rounded(ordered)
    except ValueError as e:
        raise r.tell(at, f"{what}: {e}") from None


def _crossing(points: list[tuple[float, float, float]]) -> tuple[int, int] | None:
    """Two sides that meet where they should not, counted from 1."""
    n = len(points)

    def turn(p: tuple[float, ...], q: tuple[float, ...], s: tuple[float, ...]) -> float:
        return (q[0] - p[0]) * (s[1] - p[1]) - (q[1] - p[1]) * (s[0] - p[0])

    for i in range(n):
        a, b = points[i], points[(i + 1) % n]
        if abs(a[0] - b[0]) < 1e-9 and abs(a[1] - b[1]) < 1e-9:
            return i + 1, (i + 1) % n + 1
        for j in range(i + 2, n - (i == 0)):
            c, d = points[j], points[(j + 1) % n]
            if turn(a, b, c) * turn(a, b, d) <= 0 and turn(c, d, a) * turn(c, d, b) <= 0:
                return i + 1, j + 1
    return None


def _record(kind: f.Record, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    inner = dataclasses.replace(r, places={})
    value = read_record(kind.type, as_map(node, r.scope.ledger, place, what), inner, what)
    r.places.update({f"{what.strip('`')}.{k}": v for k, v in inner.places.items()})
    return value


def _target(kind: f.Target, node: Node | None, r: Reading, place: Place, what: str) -> Plane:
    if node is None or r.target is None:
        raise r.tell(node.place if node else place, f"{what} has nothing to refer to")
    return r.target(node, place)


def _part_name(kind: f.PartName, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Word, ...]:
    items = as_list(node, r.scope.ledger, place, what) if kind.many else [node]
    return tuple(as_word(i, r.scope.ledger, place, f"the name of a part for {what}") for i in items)


_READERS: Mapping[type, Callable[..., Any]] = {
    f.Length: _length,
    f.Angle: _angle,
    f.Count: _count,
    f.Text: _text,
    f.Name: _name,
    f.Choice: _choice,
    f.SideOf: _side_of,
    f.SidesOf: _sides_of,
    f.CornerOf: _corner_of,
    f.Distances: _distances,
    f.At: _at,
    f.Lengths: _lengths,
    f.Outline: _outline,
    f.Record: _record,
    f.Target: _target,
    f.PartName: _part_name,
}

__all__ = ["MANY", "Items", "Reading", "read", "read_record", "side"]
