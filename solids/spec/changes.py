"""A maker's changes to what an assembly wrote: fields of one part replaced, cuts added, a part left out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solids.spec.ledger import Ledger, Told, as_map, as_word, nearest, quoted
from solids.spec.source import Entry, Items, Map, Node, Word

HEADS_OF_TWO = 2  # a list of parts that a joint joins has two or more


def with_changes(tree: Map, changes: Map, ledger: Ledger) -> Map:
    """The group `tree` with the maker's `parts` on top. Raises Told where a part is none of its own."""
    known = dict(_parts(tree, ""))
    failed = False
    for name, entry in changes.entries.items():
        paths = [p for p in known if p == name or _numberless(p) == name]
        if not paths:
            ledger.tell(entry.key.place, f"no part here is called {quoted(name)}{nearest(name, known)}")
            failed = True
        for path in paths:
            change = as_map(entry.value, ledger, entry.key.place, f"what changes of `{name}`")
            tree = _at(tree, path.split("."), change, ledger)
    if failed:
        raise Told("parts")
    return _without_parts(tree, left_out(tree, changes))


def left_out(tree: Map, changes: Map) -> list[str]:
    """The parts of a group that a maker's `parts` leave out, each by its path."""
    names = [name for name, e in changes.entries.items() if isinstance(e.value, Map) and "omit" in e.value.entries]
    return [p for p, _ in _parts(tree, "") if p in names or _numberless(p) in names]


def without(item: Node, gone: list[str]) -> Node | None:
    """A joint without the parts that are gone; None where too few are left to join."""
    if not isinstance(item, Map):
        return item
    entries = {}
    for key, entry in item.entries.items():
        left = _left(entry.value, gone)
        if left is None:
            return None
        entries[key] = Entry(entry.key, left)
    return Map(entries, item.place)


def _left(node: Node, gone: list[str]) -> Node | None:
    if isinstance(node, Word):
        return None if node.text in gone else node
    if isinstance(node, Items) and any(isinstance(i, Word) and i.text in gone for i in node.items):
        items = tuple(i for i in node.items if not (isinstance(i, Word) and i.text in gone))
        return Items(items, node.place) if items else None
    return node


def _numberless(path: str) -> str:
    return ".".join(s for s in path.split(".") if not s.isdigit())


def _parts(tree: Map, before: str) -> Iterator[tuple[str, Node]]:
    """Every part by its path: `left`, `wall.1`."""
    parts, groups = tree.get("parts"), tree.get("groups")
    if isinstance(parts, Map):
        yield from ((before + name, e.value) for name, e in parts.entries.items())
    if isinstance(groups, Map):
        for name, e in groups.entries.items():
            if isinstance(e.value, Map):
                yield from _parts(e.value, f"{before}{name}.")


def _at(tree: Map, path: list[str], change: Map, ledger: Ledger) -> Map:
    """The group with one part changed."""
    where = "parts" if len(path) == 1 else "groups"
    held = tree.entries[where]
    assert isinstance(held.value, Map)
    entry = held.value.entries[path[0]]
    assert isinstance(entry.value, Map)
    inner = _changed(entry.value, change, ledger) if len(path) == 1 else _at(entry.value, path[1:], change, ledger)
    entries = {**held.value.entries, path[0]: Entry(entry.key, inner)}
    return Map({**tree.entries, where: Entry(held.key, Map(entries, held.value.place))}, tree.place)


def _changed(part: Map, change: Map, ledger: Ledger) -> Map:
    """A part with the fields that the maker gives; `cuts` are added, a `place` is replaced field by field."""
    entries = dict(part.entries)
    for key, entry in change.entries.items():
        own = entries.get(key)
        if key == "omit":
            if as_word(entry.value, ledger, entry.key.place, "`yes`").text != "yes":
                raise ledger.tell(entry.value.place, "`omit` is `yes`, or is not there at all")
        elif key == "cuts" and own and isinstance(own.value, Items) and isinstance(entry.value, Items):
            both = Items((*own.value.items, *entry.value.items), entry.value.place)
            entries[key] = Entry(entry.key, both)
        elif key == "place" and own and isinstance(own.value, Map) and isinstance(entry.value, Map):
            entries[key] = Entry(entry.key, Map({**own.value.entries, **entry.value.entries}, own.value.place))
        else:
            entries[key] = entry
    return Map(entries, part.place)


def _without_parts(tree: Map, gone: list[str]) -> Map:
    """The group without some of its parts, its joints and what moves with those that are left."""
    if not gone:
        return tree
    entries = dict(tree.entries)
    own = {p for p in gone if "." not in p}
    for key, entry in tree.entries.items():
        if key == "parts" and isinstance(entry.value, Map):
            left = {n: e for n, e in entry.value.entries.items() if n not in own}
            entries[key] = Entry(entry.key, Map(left, entry.value.place))
        elif key == "groups" and isinstance(entry.value, Map):
            entries[key] = Entry(entry.key, _without_in_groups(entry.value, gone))
        elif key == "joints" and isinstance(entry.value, Items):
            kept = tuple(k for i in entry.value.items if (k := without(i, gone)) is not None)
            entries[key] = Entry(entry.key, Items(tuple(joining(kept)), entry.value.place))
        elif key == "moving" and isinstance(entry.value, Map):
            entries[key] = Entry(entry.key, _still_moving(entry.value, gone))
    return Map(entries, tree.place)


def _without_in_groups(groups: Map, gone: list[str]) -> Map:
    entries = {}
    for name, e in groups.entries.items():
        inner = [p.partition(".")[2] for p in gone if p.startswith(name + ".")]
        entries[name] = Entry(e.key, _without_parts(e.value, inner)) if isinstance(e.value, Map) else e
    return Map(entries, groups.place)


def joining(items: Iterable[Node]) -> list[Node]:
    """Only joints that still name two parts."""
    return [i for i in items if not isinstance(i, Map) or _joins_two(i)]


def _joins_two(item: Map) -> bool:
    head = next(iter(item.entries.values())).value
    return "into" in item.entries or not isinstance(head, Items) or len(head.items) >= HEADS_OF_TWO


def _still_moving(moving: Map, gone: list[str]) -> Map:
    entries = {}
    for name, e in moving.entries.items():
        left = without(e.value, gone)
        if left is not None:
            entries[name] = Entry(e.key, left)
    return Map(entries, moving.place)
