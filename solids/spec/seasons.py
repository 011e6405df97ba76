"""`seasons`, `loads` and `vary`: the air that a piece lives in, what lies on it, and the family that it is one of."""

from __future__ import annotations

from dataclasses import replace

from solids.model.family import Varied
from solids.model.finding import Place
from solids.model.load import Load
from solids.model.piece import Piece
from solids.model.seasons import Seasons
from solids.spec.joining import Directory, part_ids
from solids.spec.scope import Scope, as_map, each, refuse_unknown
from solids.spec.source import Entry, Map, Node
from solids.spec.values import Reading, read_record

VARY_KEYS = ("from", "to", "step")


def seasons(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`seasons: {humidity: [35, 65], temperature: 21 C, made_at: 45}`."""
    return replace(piece, seasons=read_record(Seasons, node, Reading(scope), "`seasons`"))


def loads(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`loads: {shelf: {spread: 20 lb/ft}}`: what lies on a part, or on each of its copies."""
    own = Directory(list(piece.parts))

    def load(entry: Entry) -> list[Load]:
        given = as_map(entry.value, scope.ledger, entry.key.place, "a load")
        found: Load = read_record(Load, given, Reading(scope), "a load")
        if found.spread is None and found.total is None and found.middle is None:
            told = "a load says how much: `spread: 20 lb/ft`, `total: 40 kg` or `middle: 40 kg`"
            raise scope.ledger.tell(given.place, told)
        ids = part_ids(entry.key, own, scope)
        return [replace(found, part=id_, place=entry.key.place) for id_ in ids]

    found = each(load, node.entries.values())
    return replace(piece, loads=tuple(one for several in found for one in several))


def vary(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`vary: {width: {from: 700, to: 900, step: 50}}`: the family that `dryfit vary` tries."""
    return replace(piece, vary=tuple(each(lambda entry: _varied(entry, scope), node.entries.values())))


def _varied(entry: Entry, scope: Scope) -> Varied:
    name = entry.key
    thing = scope.things.get(name.text)
    if thing is None or thing.what not in ("size", "number"):
        near = scope.nearest(name.text, "size", "number")
        raise scope.ledger.tell(name.place, f"`vary` changes sizes and numbers, and none is called `{name.text}`{near}")
    given = as_map(entry.value, scope.ledger, name.place, f"what `{name.text}` runs through")
    given = refuse_unknown(given, VARY_KEYS, scope.ledger, f"what `{name.text}` runs through")
    for key in VARY_KEYS:
        if given.get(key) is None:
            raise scope.ledger.tell(given.place, f"`{name.text}` lacks `{key}`, as `{{from: 700, to: 900, step: 50}}`")
    kind = scope.lookup(name.text).kind
    ends = each(lambda key: _value(given.get(key), kind, scope, name.place), VARY_KEYS)
    try:
        return Varied.of(name.text, kind, *ends)
    except ValueError as e:
        raise scope.ledger.tell(given.place, str(e)) from None


def _value(node: Node | None, kind: str, scope: Scope, place: Place) -> float:
    """mm, degrees or a plain number, as the size or number is that it stands for. Raises Told."""
    if kind == "length":
        return scope.length(node, place)
    return scope.angle(node, place) if kind == "angle" else scope.number(node, place)
