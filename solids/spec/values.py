"""One value of a spec, read as the field that takes it asks: the table of all kinds, and those made of others."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Plane
from solids.model.opening import Opening
from solids.model.part import Stock
from solids.spec import amounts, plain
from solids.spec.outlining import closed_outline, outline, points
from solids.spec.plain import Reading, side
from solids.spec.scope import Told, as_list, as_map, as_word, each, refuse_unknown
from solids.spec.source import Entry, Items, Map, Node, Word

MANY = 1000  # copies, cuts in a row


def read(kind: f.Kind, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    """The value of a field. Raises Told."""
    return _READERS[type(kind)](kind, node, r, place, what)


def read_record(type_: type, node: Map, r: Reading, what: str, head: str = "", known: tuple[str, ...] = ()) -> Any:
    """A dataclass from a map, every field's mistake told; `head` is the key that holds the heading field.

    Raises Told where any field could not be read.
    """
    fields = f.declared(type_)
    keys = {(head if d.metadata["head"] else f.key_of(d)): d for d in fields}
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
    raise r.tell(node.place, f"{what} lacks `{f.key_of(d)}`: {d.metadata['says']}")


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


def _records(kind: f.Records, node: Node | None, r: Reading, place: Place, what: str) -> tuple[Any, ...]:
    items = list(node.items) if isinstance(node, Items) else [node]
    one = f.Record(kind.type)
    return tuple(each(lambda k: _record(one, items[k], r, place, f"{what}.{k + 1}" if k else what), range(len(items))))


def _chosen(kind: f.Chosen, node: Node | None, r: Reading, place: Place, what: str) -> tuple[tuple[str, Any], ...]:
    given = as_map(node, r.scope.ledger, place, what)
    given = refuse_unknown(given, kind.words, r.scope.ledger, what)
    if not given.entries or (len(given.entries) > 1 and not kind.many):
        several = "or several of " if kind.many else ""
        words = ", ".join(f"`{w}`" for w in kind.words)
        raise r.tell(given.place, f"{what} names one {several}of {words}, as `{{{kind.words[0]}: ...}}`")

    def pair(entry: Entry) -> tuple[str, Any]:
        word = entry.key.text
        r.places[f"{what.strip('`')}.{word}"] = entry.value.place
        return word, read(kind.of, entry.value, r, entry.key.place, f"{what} `{word}`")

    return tuple(each(pair, given.entries.values()))


def _either(kind: f.Either, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    return read(kind.map if isinstance(node, Map) else kind.other, node, r, place, what)


def _yes_no(kind: f.YesNo, node: Node | None, r: Reading, place: Place, what: str) -> bool:
    word = as_word(node, r.scope.ledger, place, what)
    if word.text not in ("yes", "no"):
        raise r.tell(word.place, f"{what} is `yes` or `no`, not `{word.text[:40]}`")
    return word.text == "yes"


def _names(kind: f.Names, node: Node | None, r: Reading, place: Place, what: str) -> tuple[str, ...]:
    found = each(lambda i: plain.name(f.Name(), i, r, place, what), as_list(node, r.scope.ledger, place, what))
    if len(set(found)) < len(found):
        twice = next(n for n in found if found.count(n) > 1)
        raise r.tell(node.place if node else place, f"`{twice}` stands twice in {what}; names are unique")
    return tuple(found)


def _stock_name(kind: f.StockName, node: Node | None, r: Reading, place: Place, what: str) -> Stock:
    return r.scope.stock(as_word(node, r.scope.ledger, place, "the name of a stock"))


def _hardware_name(kind: f.HardwareName, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    word = as_word(node, r.scope.ledger, place, "the name of some hardware")
    found = r.scope.hardware(word)
    if found.kind not in kind.kinds:
        raise r.tell(word.place, f"`{word.text}` is a {found.kind}; {what} takes a {' or a '.join(kind.kinds)}")
    return found


def _opening_of(kind: f.OpeningOf, node: Node | None, r: Reading, place: Place, what: str) -> Opening:
    if node is None or r.opening is None:
        raise r.tell(node.place if node else place, f"{what} has nothing to refer to")
    return r.opening(node, place)


def _assembly_name(kind: f.AssemblyName, node: Node | None, r: Reading, place: Place, what: str) -> Any:
    word = as_word(node, r.scope.ledger, place, f"the name of {kind.kind}")
    if r.beside is None:
        raise r.tell(word.place, f"{what} has nothing to refer to")
    return r.beside(word, kind.kind)


_READERS: Mapping[type, Callable[..., Any]] = {
    f.Length: plain.length,
    f.Angle: plain.angle,
    f.Count: plain.count,
    f.Percent: amounts.percent,
    f.Percents: amounts.percents,
    f.Temperature: amounts.temperature,
    f.Weight: amounts.weight,
    f.Text: plain.text,
    f.Name: plain.name,
    f.Choice: plain.choice,
    f.SideOf: plain.side_of,
    f.SidesOf: plain.sides_of,
    f.CornerOf: plain.corner_of,
    f.Distances: plain.distances,
    f.At: plain.at_distances,
    f.Lengths: plain.lengths,
    f.Outline: outline,
    f.Points: points,
    f.Record: _record,
    f.Records: _records,
    f.Chosen: _chosen,
    f.Either: _either,
    f.YesNo: _yes_no,
    f.Names: _names,
    f.StockName: _stock_name,
    f.HardwareName: _hardware_name,
    f.OpeningOf: _opening_of,
    f.AssemblyName: _assembly_name,
    f.Target: _target,
    f.PartName: _part_name,
}

__all__ = ["MANY", "Items", "Reading", "closed_outline", "read", "read_record", "side"]
