"""Values that stand by themselves: lengths, angles, words, sides, and lists and maps of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Plane
from solids.model.opening import Opening
from solids.model.part import Blank
from solids.model.side import SIDES, Side
from solids.spec.ledger import NO_NAME, is_name, quoted
from solids.spec.scope import Scope, Told, as_list, as_map, as_word, each, nearest
from solids.spec.source import Entry, Map, Node, Word

SIDE_WORDS = tuple(str(s) for s in SIDES)
LEAST = 1e-6  # mm: a size below is a slip
NO_SIGN = "no sign is ever needed here: name the other side instead"
Target = Callable[[Node, Place], Plane]


@dataclass(frozen=True, slots=True)
class Reading:
    """What it takes to read a value: names, the part that it is for, and what stands beside an assembly."""

    scope: Scope
    blank: Blank | None = None
    target: Target | None = None
    opening: Callable[[Node, Place], Opening] | None = None
    beside: Callable[[Word, str], Any] | None = None
    places: dict[str, Place] = field(default_factory=dict)

    def tell(self, place: Place, message: str) -> Told:
        return self.scope.ledger.tell(place, message)


def length(kind: f.Length, node: Node | None, r: Reading, place: Place, what: str, under: str = "") -> float:
    """mm, over 0 unless its kind lets in more. Raises Told."""
    value = r.scope.length(node, place)
    if kind.signed:
        return value
    if 0 < value < LEAST and not kind.zero:
        raise r.tell(node.place if node else place, f"{what} is {value:g} mm, too little to cut")
    if value < 0 or (value == 0 and not kind.zero):
        told = "it must not be under 0" if kind.zero else "it must be over 0"
        raise r.tell(node.place if node else place, f"{what} is {value:g} mm; {under if under and value < 0 else told}")
    return value


def angle(kind: f.Angle, node: Node | None, r: Reading, place: Place, what: str) -> float:
    """Degrees within the bounds of its kind. Raises Told."""
    value = r.scope.angle(node, place)
    low = value >= kind.least if kind.closed else value > kind.least
    if not low or value >= kind.most:
        at = node.place if node else place
        least = f"from {kind.least:g} on" if kind.closed else f"over {kind.least:g}"
        raise r.tell(at, f"{what} is {value:g} degrees; it must be {least} and under {kind.most:g}")
    return value


def count(kind: f.Count, node: Node | None, r: Reading, place: Place, what: str) -> int:
    """A whole number within the bounds of its kind. Raises Told."""
    value = r.scope.count(node, place)
    if not kind.least <= value <= kind.most:
        at = node.place if node else place
        raise r.tell(at, f"{what} is {value}; it lies between {kind.least} and {kind.most}")
    return value


def text(kind: f.Text, node: Node | None, r: Reading, place: Place, what: str) -> str:
    """Any words. Raises Told."""
    return as_word(node, r.scope.ledger, place, what).text


def name(kind: f.Name, node: Node | None, r: Reading, place: Place, what: str) -> str:
    """A lawful name. Raises Told."""
    word = as_word(node, r.scope.ledger, place, what)
    if not is_name(word.text):
        raise r.tell(word.place, f"{quoted(word.text)} {NO_NAME}")
    return word.text


def choice(kind: f.Choice, node: Node | None, r: Reading, place: Place, what: str) -> str:
    """One of the words of its kind. Raises Told."""
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


def side_of(kind: f.SideOf, node: Node | None, r: Reading, place: Place, what: str) -> Side:
    """A side, of those that serve on this part. Raises Told."""
    found = side(node, r, place, what)
    if r.blank is not None and r.blank.kind_of(found) not in kind.kinds:
        blank = r.blank
        lawful = [s for s in SIDES if blank.kind_of(s) in kind.kinds]
        is_a = {"end": "an end", "edge": "an edge", "face": "a broad face"}[blank.kind_of(found)]
        serve = ", ".join(f"`{s}`" for s in lawful)
        raise r.tell(node.place if node else place, f"`{found}` is {is_a} of this part; {what} takes {serve}")
    return found


def sides_of(kind: f.SidesOf, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Side, ...]:
    """One or more sides, each once. Raises Told."""
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


def corner_of(kind: f.CornerOf, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Side, Side]:
    """An edge and a broad face. Raises Told."""
    items = as_list(node, r.scope.ledger, place, what)
    if len(items) != 2:
        raise r.tell(node.place if node else place, f"{what} is an edge and a broad face, as `[front, top]`")
    edge, face = each(lambda i: side(i, r, place, what), items)
    return edge, face


def distances(kind: f.Distances, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Any, ...]:
    """Pairs of a side and mm. Raises Told."""
    given = as_map(node, r.scope.ledger, place, what)
    one = f.Length(zero=kind.zero)
    if not given.entries:
        raise r.tell(given.place, f"{what} names no side")

    def pair(entry: Entry) -> tuple[Side, float]:
        s = side(entry.key, r, entry.key.place, what)
        r.places[f"{what.strip('`')}.{s}"] = entry.value.place
        return s, length(one, entry.value, r, entry.key.place, f"{what} from `{s}`", NO_SIGN)

    return tuple(each(pair, given.entries.values()))


def at_distances(kind: f.At, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Any, ...]:
    """Pairs of a side and mm, or of a side and such pairs where a trench is swung. Raises Told."""
    given = as_map(node, r.scope.ledger, place, what)

    def pair(entry: Entry) -> tuple[Side, Any]:
        s = side(entry.key, r, entry.key.place, what)
        r.places[f"at.{s}"] = entry.value.place
        if isinstance(entry.value, Map) and kind.swung:
            return s, distances(f.Distances(zero=True), entry.value, r, entry.key.place, what)
        return s, length(f.Length(zero=True), entry.value, r, entry.key.place, f"{what} from `{s}`", NO_SIGN)

    return tuple(each(pair, given.entries.values()))


def lengths(kind: f.Lengths, node: Node | None, r: Reading, place: Place, what: str) -> tuple[float, ...]:
    """That many lengths, each over 0. Raises Told."""
    items = as_list(node, r.scope.ledger, place, what)
    if len(items) == 1 and kind.one:
        return (length(f.Length(), items[0], r, place, what),) * kind.count
    if kind.count and len(items) != kind.count:
        raise r.tell(
            node.place if node else place, f"{what} is a list of {kind.count} lengths; {len(items)} stand here"
        )
    for k, item in enumerate(items):
        r.places[f"{what.strip('`')}.{k + 1}"] = item.place
    return tuple(each(lambda i: length(f.Length(), i, r, place, what), items))
