"""A list's items that start with what they are: `{rabbet: rear, ...}`, `{house: shelf, ...}`."""

from __future__ import annotations

from typing import Any

from solids.model.finding import Place
from solids.spec.scope import as_map, nearest
from solids.spec.source import Node
from solids.spec.values import Reading, read_record


def item_of(table: dict[str, type[Any]], node: Node, r: Reading, what: str) -> tuple[Any, Place]:
    """The item as the dataclass that the table has for it, and its place. Raises Told."""
    given = as_map(node, r.scope.ledger, node.place, what)
    heads = [k for k in given.entries if k in table]
    if not heads:
        first = next(iter(given.entries.values()), None)
        word = first.key.text if first else ""
        at = first.key.place if first else given.place
        hint = nearest(word, table) or "; there is " + ", ".join(f"`{k}`" for k in table)
        raise r.tell(at, f"{what} starts with what it is, and `{word[:40]}` is none{hint}")
    if len(heads) > 1:
        second = given.entries[heads[1]].key
        raise r.tell(
            second.place, f"`{heads[0]}` and `{heads[1]}` in one: make two items of the list, each in its braces"
        )
    kind = heads[0]
    value = read_record(table[kind], given, r, f"a {kind}", head=kind)
    return value, given.entries[kind].key.place
