"""A spec's text as a tree of text: YAML 1.2 read into maps, lists and words that remember their lines.

Every scalar stays text; what it means is decided where it is used. Anchors,
aliases, tags, doubled keys, and anything that is too big or too deep are
mistakes with a place.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from solids.model.finding import Mistake, Place, SpecError
from solids.spec.events import Event, NotYaml, quick, thorough

MOST_BYTES = 4_000_000
MOST_NODES = 200_000
MOST_DEPTH = 40
QUOTED = ("'", '"', "|", ">")
# Control characters, and those that make a line read in another order than it is written.
_CONTROL = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"
)


@dataclass(frozen=True, slots=True)
class Word:
    """A scalar: its text and where it stands. `quoted` words are never empty by mistake."""

    text: str
    place: Place
    quoted: bool = False


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Entry:
    """One key of a map with its value."""

    key: Word
    value: Node


@dataclass(frozen=True, slots=True)
class Map:
    """A map; keys are unique."""

    entries: dict[str, Entry]
    place: Place

    def get(self, key: str) -> Node | None:
        entry = self.entries.get(key)
        return entry.value if entry else None


Node: TypeAlias = Word | Items | Map


def load(path: Path, name: str | None = None) -> Map:
    """Read a spec file into a tree.

    Raises SpecError where it can't be read: no such file, not UTF-8, not YAML,
    not a map.
    """
    name = name or str(path)
    try:
        with path.open("rb") as file:
            raw = file.read(MOST_BYTES + 1)
    except OSError as e:
        raise SpecError([Mistake(Place(name, 1, 1), f"can't read this file: {e.strerror}")]) from None
    if len(raw) > MOST_BYTES:
        told = f"the file is over {MOST_BYTES // 1_000_000} MB; a spec is a page or two of text"
        raise SpecError([Mistake(Place(name, 1, 1), told)])
    return parse(decode(raw, name), name)


def decode(raw: bytes, name: str) -> str:
    """UTF-8 text, with or without its mark; a mistake names the first byte that is not."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as e:
        before = raw[: e.start].decode("utf-8", "replace")
        line, column = before.count("\n") + 1, len(before) - before.rfind("\n")
        told = f"byte 0x{raw[e.start]:02x} is not UTF-8 text; save the file as UTF-8"
        raise SpecError([Mistake(Place(name, line, column), told)]) from None


def parse(text: str, name: str) -> Map:
    """Read a spec's text into a tree; `name` is the file's name in messages."""
    _refuse_controls(text, name)
    node = _quick_tree(text, name) or _tree(thorough(text), name)
    if isinstance(node, Map):
        return node
    if isinstance(node, Word) and not node.text and not node.quoted:
        return Map({}, node.place)
    told = "a spec is a map: `title:`, `units:`, `stock:`, `parts:` and so on"
    raise SpecError([Mistake(node.place, told)])


def _quick_tree(text: str, name: str) -> Node | None:
    """The tree by the quick parser; None where it can't be trusted with the text, or there is a mistake to be told."""
    events = quick(text)
    try:
        return _tree(iter(events), name) if events is not None else None
    except _TooLarge:  # what is too large for the one need not be read by the other
        raise
    except SpecError:
        return None


def _refuse_controls(text: str, name: str) -> None:
    m = _CONTROL.search(text)
    if m:
        line, column = text.count("\n", 0, m.start()) + 1, m.start() - text.rfind("\n", 0, m.start())
        told = f"character U+{ord(m[0]):04X} is not text; take it out"
        raise SpecError([Mistake(Place(name, line, column), told)])


def _tree(events: Iterator[Event], name: str) -> Node:
    """The tree that a text's events describe. Raises SpecError with every mistake in them."""
    builder = _Builder(name)
    try:
        node = builder.document(events)
    except RecursionError:
        raise SpecError([Mistake(Place(name, 1, 1), "lists and maps are nested too deep")]) from None
    if builder.mistakes:
        raise SpecError(builder.mistakes)
    return node


class _TooLarge(SpecError):
    """More values, or deeper, than a spec may have."""


class _Builder:
    """Turns a YAML parser's events into a tree, one mistake at a time or all at once."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.mistakes: list[Mistake] = []
        self.nodes = 0

    def document(self, events: Iterator[Event]) -> Node:
        """The first document's tree; that there are more is a mistake."""
        node: Node = Map({}, Place(self.name, 1, 1))
        documents = 0
        try:
            for event in events:
                if event.kind != "document":
                    continue
                documents += 1
                if documents > 1:
                    self._tell(event, "a spec is one document: take out the line `---`")
                else:
                    node = self._node(next(events), events, 0)
        except NotYaml as e:
            self.mistakes.append(Mistake(Place(self.name, e.line, e.column), e.told))
        return node

    def _tell(self, event: Event, told: str) -> None:
        self.mistakes.append(Mistake(Place(self.name, event.line, event.column), told))

    def _node(self, event: Event, events: Iterator[Event], depth: int) -> Node:
        self.nodes += 1
        if self.nodes > MOST_NODES or depth > MOST_DEPTH:
            self._refuse_size(event)
        place = Place(self.name, event.line, event.column)
        if event.kind == "alias":
            told = "a spec has no aliases; write the value again, or make it a size"
            self._tell(event, f"`*{event.anchor[:60]}`: {told}")
            return Word("", place, quoted=True)
        if event.anchor or event.tag:
            self._refuse_marks(event)
        if event.kind == "scalar":
            return self._word(event, place)
        if event.kind == "list":
            return self._items(events, depth, place)
        return self._map(events, depth, place)

    def _refuse_size(self, event: Event) -> None:
        told = f"more than {MOST_NODES} values" if self.nodes > MOST_NODES else f"nested over {MOST_DEPTH} deep"
        place = Place(self.name, event.line, event.column)
        raise _TooLarge([Mistake(place, f"{told}; a spec is a page or two of text")])

    def _refuse_marks(self, event: Event) -> None:
        if event.anchor:
            shown = event.anchor[:60]
            self._tell(event, f"`&{shown}`: a spec has no anchors; make it a size, or use `mirror` or `copies`")
        if event.tag:
            shown = event.tag.replace("tag:yaml.org,2002:", "!!")[:60]
            self._tell(event, f"the tag `{shown}`: a spec has no tags; write the plain value")

    def _word(self, event: Event, place: Place) -> Word:
        if m := _CONTROL.search(event.text):
            self._tell(event, f"character U+{ord(m[0]):04X} is not text; take out its escape")
        return Word(event.text.strip(), place, quoted=event.style in QUOTED)

    def _items(self, events: Iterator[Event], depth: int, place: Place) -> Node:
        found: list[Node] = []
        for event in events:
            if event.kind == "end":
                break
            found.append(self._node(event, events, depth + 1))
        return Items(tuple(_rejoined(found)), place)

    def _map(self, events: Iterator[Event], depth: int, place: Place) -> Node:
        pairs: list[tuple[Word, Node]] = []
        for event in events:
            if event.kind == "end":
                break
            key = self._node(event, events, depth + 1)
            value = self._node(next(events), events, depth + 1)
            if not isinstance(key, Word):
                self.mistakes.append(Mistake(key.place, "a list or map can't be a key"))
                continue
            if pairs and _open_brackets(pairs[-1][1]) and isinstance(value, Word) and not value.text:
                pairs[-1] = (pairs[-1][0], _joined(pairs[-1][1], key))
                continue
            if isinstance(value, Word) and not value.text and not value.quoted:
                value = Word("", key.place)  # the parser puts it at the next key
                if not key.quoted:
                    key = Word(key.text.removesuffix(":"), key.place)  # and takes `{a:}` for a key `a:`
            pairs.append((key, value))
        return Map(self._unique(pairs), place)

    def _unique(self, pairs: list[tuple[Word, Node]]) -> dict[str, Entry]:
        entries: dict[str, Entry] = {}
        for key, value in pairs:
            if not key.text:
                self.mistakes.append(Mistake(key.place, "a key is missing before the `:`"))
            elif key.text in entries:
                first = entries[key.text].key.place
                told = f"`{key.text[:60]}` is written twice, first in line {first.line}; keep one"
                self.mistakes.append(Mistake(key.place, told))
            else:
                entries[key.text] = Entry(key, value)
        return entries


def _open_brackets(node: Node) -> bool:
    return isinstance(node, Word) and not node.quoted and node.text.count("(") > node.text.count(")")


def _joined(node: Node, after: Word) -> Word:
    assert isinstance(node, Word)
    return Word(f"{node.text}, {after.text}", node.place)


def _rejoined(items: list[Node]) -> list[Node]:
    """Items of a list that were one formula: a comma inside round brackets does not part them."""
    out: list[Node] = []
    for item in items:
        if out and _open_brackets(out[-1]) and isinstance(item, Word):
            out[-1] = _joined(out[-1], item)
        else:
            out.append(item)
    return out


def walk(node: Node, visit: Callable[[Word], None]) -> None:
    """Call `visit` for every scalar below `node`."""
    if isinstance(node, Word):
        visit(node)
    elif isinstance(node, Items):
        for item in node.items:
            walk(item, visit)
    else:
        for entry in node.entries.values():
            walk(entry.value, visit)


def inside(folder: Path, wanted: str) -> Path | None:
    """The file that a relative path names, if it stays in `folder`'s tree, links followed; else None."""
    if os.path.isabs(wanted) or "\\" in wanted or "\0" in wanted:
        return None
    try:
        target, root = (folder / wanted).resolve(), folder.resolve()
    except (OSError, RuntimeError, ValueError):
        return None
    return target if target.is_relative_to(root) else None
