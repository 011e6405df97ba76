"""What a spec says of the piece as a whole, once its parts are known: one function a section, and their table.

A section that can't be read leaves the piece as it was; its mistakes are told.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TypeAlias

from solids.model.carrying import Module, Obstacle, Passage
from solids.model.geometry import Vector
from solids.model.piece import Piece
from solids.spec.joining import Directory, part_ids
from solids.spec.on_hand import on_hand
from solids.spec.placing import point
from solids.spec.scope import Scope, Told, as_list, as_map, as_word, each, refuse_unknown
from solids.spec.seasons import loads, seasons, vary
from solids.spec.source import Entry, Map
from solids.spec.values import Reading, read_record

Section: TypeAlias = Callable[[Map, Scope, Piece], Piece]


def modules(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`modules: {one: [bay.1, slab]}`: what is carried as one."""
    own = Directory(list(piece.parts))
    taken: dict[str, str] = {}

    def module(entry: Entry) -> Module:
        names = as_list(entry.value, scope.ledger, entry.key.place, "the parts of a module")
        ids: list[str] = []
        for name in names:
            word = as_word(name, scope.ledger, entry.key.place, "a part")
            for id_ in part_ids(word, own, scope):
                if taken.setdefault(id_, entry.key.text) != entry.key.text:
                    told = f"`{id_}` is in the module `{taken[id_]}` already; a part is carried once"
                    raise scope.ledger.tell(word.place, told)
                ids.append(id_)
        return Module(entry.key.text, tuple(dict.fromkeys(ids)), entry.key.place)

    return replace(piece, modules=tuple(each(module, node.entries.values())))


def passages(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`passages: {door: {width, height}}`: what every module must go through."""

    def passage(entry: Entry) -> Passage:
        given = as_map(entry.value, scope.ledger, entry.key.place, "a passage")
        found: Passage = read_record(Passage, given, Reading(scope), "a passage")
        return replace(found, name=entry.key.text, place=entry.key.place)

    return replace(piece, passages=tuple(each(passage, node.entries.values())))


def room(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`room: {wall: {from: [x, y, z], to: [x, y, z]}}`: what stands there and is not made."""

    def obstacle(entry: Entry) -> Obstacle:
        given = as_map(entry.value, scope.ledger, entry.key.place, "what stands in the room")
        given = refuse_unknown(given, ("from", "to"), scope.ledger, "what stands in the room")
        a, b = each(lambda key: point(given.get(key), scope, given.place), ("from", "to"))
        low = Vector(*(min(p, q) for p, q in zip(a, b, strict=True)))
        high = Vector(*(max(p, q) for p, q in zip(a, b, strict=True)))
        if min(q - p for p, q in zip(low, high, strict=True)) < 1e-6:
            told = f"`{entry.key.text}` has no thickness: its two corners differ in x, y and z"
            raise scope.ledger.tell(given.place, told)
        return Obstacle(entry.key.text, low, high, entry.key.place)

    return replace(piece, room=tuple(each(obstacle, node.entries.values())))


def drawing(node: Map, scope: Scope, piece: Piece) -> Piece:
    """`drawing: {client: ..., revision: B}`: words for the title block."""
    words = {k: as_word(e.value, scope.ledger, e.key.place, f"`{k}`").text for k, e in node.entries.items()}
    return replace(piece, drawing=words)


SECTIONS: dict[str, Section] = {
    "modules": modules, "passages": passages, "room": room, "drawing": drawing,
    "on_hand": on_hand,
    "seasons": seasons, "loads": loads, "vary": vary,
}  # fmt: skip


def with_sections(piece: Piece, tree: Map, scope: Scope) -> Piece:
    """The piece with what the spec says of it as a whole."""
    for key, read in SECTIONS.items():
        entry = tree.entries.get(key)
        if entry is None:
            continue
        try:
            piece = read(as_map(entry.value, scope.ledger, entry.key.place, f"`{key}`"), scope, piece)
        except Told:
            continue
    return piece
