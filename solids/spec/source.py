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
from typing import Any, TypeAlias

from solids.model.finding import Mistake, Place, SpecError

MOST_BYTES = 4_000_000
MOST_NODES = 200_000
MOST_DEPTH = 40
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
    node = _Builder(name).build(text)
    if isinstance(node, Map):
        return node
    if isinstance(node, Word) and not node.text and not node.quoted:
        return Map({}, node.place)
    told = "a spec is a map: `title:`, `units:`, `stock:`, `parts:` and so on"
    raise SpecError([Mistake(node.place, told)])


class _Builder:
    """Turns the YAML parser's events into a tree, one mistake at a time or all at once."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.mistakes: list[Mistake] = []
        self.nodes = 0

    def build(self, text: str) -> Node:
        try:
            node = self._document(text)
        except RecursionError:
            raise SpecError([Mistake(Place(self.name, 1, 1), "lists and maps are nested too deep")]) from None
        if self.mistakes:
            raise SpecError(self.mistakes)
        return node

    def _document(self, text: str) -> Node:
        from ruamel.yaml import YAML
        from ruamel.yaml.error import YAMLError
        from ruamel.yaml.events import DocumentStartEvent, StreamEndEvent, StreamStartEvent

        self._refuse_controls(text)
        node: Node = Map({}, Place(self.name, 1, 1))
        documents = 0
        try:
            events = YAML(typ="safe", pure=True).parse(text)
            for event in events:
                if isinstance(event, DocumentStartEvent):
                    documents += 1
                    if documents > 1:
                        self._tell(event, "a spec is one document: take out the line `---`")
                    else:
                        node = self._node(next(events), events, 0)
                elif isinstance(event, (StreamStartEvent, StreamEndEvent)):
                    continue
        except YAMLError as e:
            self.mistakes.append(self._yaml_mistake(e, text))
        except (ValueError, OverflowError, AttributeError, IndexError, TypeError, KeyError) as e:
            # The YAML library fails in its own ways on mangled directives and escapes.
            self.mistakes.append(Mistake(Place(self.name, 1, 1), f"this is not YAML: {e}"))
        return node

    def _refuse_controls(self, text: str) -> None:
        m = _CONTROL.search(text)
        if m:
            line, column = text.count("\n", 0, m.start()) + 1, m.start() - text.rfind("\n", 0, m.start())
            told = f"character U+{ord(m[0]):04X} is not text; take it out"
            raise SpecError([Mistake(Place(self.name, line, column), told)])

    def _yaml_mistake(self, error: Any, text: str) -> Mistake:
        mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
        problem = getattr(error, "problem", None) or str(error).split("\n")[0]
        context = getattr(error, "context", None)
        line = mark.line + 1 if mark else 1
        column = mark.column + 1 if mark else 1
        lines = text.splitlines()
        near = lines[line - 1] if 0 < line <= len(lines) else ""
        hint = ""
        if "\t" in near:
            hint = "; a tab stands in this line: indent with spaces"
        elif "stream" in problem and ("flow" in str(context) or "quoted" in str(context)):
            hint = "; the file ends before a bracket or quote that was opened is closed"
        elif "flow" in str(context) and error.context_mark.line + 1 < line:
            opened = error.context_mark.line
            hint = f"; its bracket was opened in line {opened + 1}"
            if any(" #" in text for text in lines[opened : line - 1]):
                hint += ", and what stands behind ` #` is a comment"
        elif "mapping values" in problem:
            hint = "; text that holds `: ` goes in quotes"
        where = f" {context}" if context else ""
        return Mistake(Place(self.name, line, column), f"this is not YAML:{where} {problem}{hint}".replace("  ", " "))

    def _tell(self, event: Any, told: str) -> None:
        self.mistakes.append(Mistake(self._place(event), told))

    def _place(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.name, mark.line + 1, mark.column + 1)

    def _node(self, event: Any, events: Iterator[Any], depth: int) -> Node:
        from ruamel.yaml.events import AliasEvent, ScalarEvent, SequenceStartEvent

        self.nodes += 1
        if self.nodes > MOST_NODES or depth > MOST_DEPTH:
            told = f"more than {MOST_NODES} values" if self.nodes > MOST_NODES else f"nested over {MOST_DEPTH} deep"
            raise SpecError([Mistake(self._place(event), f"{told}; a spec is a page or two of text")])
        place, anchor = self._place(event), (event.anchor or "")[:60]
        if isinstance(event, AliasEvent):
            self._tell(event, f"`*{anchor}`: a spec has no aliases; write the value again, or make it a size")
            return Word("", place, quoted=True)
        if anchor:
            self._tell(event, f"`&{anchor}`: a spec has no anchors; make it a size, or use `mirror` or `copies`")
        tag = getattr(event, "tag", None)
        if tag:
            shown = str(tag).replace("tag:yaml.org,2002:", "!!")
            self._tell(event, f"the tag `{shown[:60]}`: a spec has no tags; write the plain value")
        if isinstance(event, ScalarEvent):
            if m := _CONTROL.search(event.value):
                self._tell(event, f"character U+{ord(m[0]):04X} is not text; take out its escape")
            return Word(event.value.strip(), place, quoted=event.style in ("'", '"', "|", ">"))
        if isinstance(event, SequenceStartEvent):
            return self._items(event, events, depth, place)
        return self._map(event, events, depth, place)

    def _items(self, start: Any, events: Iterator[Any], depth: int, place: Place) -> Node:
        from ruamel.yaml.events import SequenceEndEvent

        found: list[Node] = []
        for event in events:
            if isinstance(event, SequenceEndEvent):
                break
            found.append(self._node(event, events, depth + 1))
        return Items(tuple(_rejoined(found)), place)

    def _map(self, start: Any, events: Iterator[Any], depth: int, place: Place) -> Node:
        from ruamel.yaml.events import MappingEndEvent

        pairs: list[tuple[Word, Node]] = []
        for event in events:
            if isinstance(event, MappingEndEvent):
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
