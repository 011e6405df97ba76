"""What is told, and how values are asked for: as a map, a list or a word, each slip told once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Any, TypeVar

from solids.model.finding import Mistake, Place
from solids.spec.source import Entry, Items, Map, Node, Word

T = TypeVar("T")
NO_NAME = "is no name: letters, digits and `_`, with a letter among them"
COMMENT = "what stands behind ` #` is a comment"


_NAME = re.compile(r"(?=\w*[^\W\d])\w+")  # letters, digits and `_`, with a letter somewhere


class Told(Exception):
    """This could not be read, and the maker has been told why."""


class Ledger:
    """All mistakes found so far, and the values on their way to being known."""

    def __init__(self) -> None:
        self.mistakes: list[Mistake] = []
        self.waiting: list[str] = []
        self.partial = False  # whether some names could not be read at all: one not found may be one of them
        self.reads: dict[Place, tuple[bool, float]] = {}

    def tell(self, place: Place, message: str) -> Told:
        """Note a mistake; raise what comes back where the value is needed."""
        self.mistakes.append(Mistake(place, message))
        return Told(message)


def each(compute: Callable[[Any], T], items: Iterable[Any]) -> list[T]:
    """What comes of every item; where one can't be read the others still are, and then Told is raised."""
    out: list[T] = []
    failed: Told | None = None
    for item in items:
        try:
            out.append(compute(item))
        except Told as e:
            failed = e
    if failed:
        raise failed
    return out


def quietly(compute: Callable[[], T]) -> T | None:
    """What comes of it, or None where it can't be read, which was told."""
    try:
        return compute()
    except Told:
        return None


def nearest_of(name: str, known: Iterable[str]) -> str | None:
    """The known word that a misspelt one most likely stands for."""
    known = sorted(set(known))
    near = get_close_matches(name, known, 1, 0.6) or [k for k in known if k.lower() == name.lower()]
    return near[0] if near else None


def nearest(name: str, known: Iterable[str]) -> str:
    """`; did you mean ...?` for a misspelt word, or what there is to choose from."""
    known = sorted(set(known))
    near = nearest_of(name, known)
    if near:
        return f"; did you mean `{near}`?"
    if known and len(known) <= 12:
        return "; there is " + ", ".join(f"`{k}`" for k in known)
    return ""


def quoted(text: str) -> str:
    """A word of the spec as a message shows it, cut short where it is long."""
    return f"`{text}`" if len(text) <= 60 else f"`{text[:57]}...`"


def as_map(node: Node | None, ledger: Ledger, place: Place, what: str) -> Map:
    """The node as a map. Raises Told where it is none."""
    if isinstance(node, Map):
        return node
    found = "nothing" if node is None or (isinstance(node, Word) and not node.text) else _shown(node)
    raise ledger.tell(node.place if node else place, f"{what} is a map, as `key: value`; {found} stands here")


def _shown(node: Node) -> str:
    return quoted(node.text) if isinstance(node, Word) else "a list" if isinstance(node, Items) else "a map"


def as_word(node: Node | None, ledger: Ledger, place: Place, what: str) -> Word:
    """The node as one word. Raises Told where it is a list, a map, or empty."""
    if isinstance(node, Word) and node.text:
        return node
    found = "nothing" if node is None or isinstance(node, Word) else _shown(node)
    hint = f" ({COMMENT})" if isinstance(node, Word) and not node.quoted else ""
    raise ledger.tell(node.place if node else place, f"{what} is wanted here; {found} stands here{hint}")


def as_list(node: Node | None, ledger: Ledger, place: Place, what: str) -> list[Node]:
    """The node as a list; one word stands for a list of one. Raises Told where it is a map or empty."""
    if isinstance(node, Items):
        return list(node.items)
    if isinstance(node, Word) and node.text:
        return [node]
    raise ledger.tell(node.place if node else place, f"{what} is a list, as `[a, b]`")


def refuse_unknown(node: Map, allowed: Iterable[str], ledger: Ledger, what: str) -> Map:
    """Tell every key that is not among those allowed.

    The map comes back as it was most likely meant, misspelt keys put right, so
    that one slip is told once.
    """
    allowed = list(allowed)
    meant = {key: entry for key, entry in node.entries.items() if key in allowed}
    for key, entry in node.entries.items():
        if key in meant:
            continue
        apart = run_together(entry)
        if apart and apart.key.text in allowed:
            ledger.tell(entry.key.place, f"{quoted(key)} lacks a space after the `:`")
            meant.setdefault(apart.key.text, apart)
            continue
        ledger.tell(entry.key.place, f"{what} has no {quoted(key)}{decimal_comma(entry) or nearest(key, allowed)}")
        near = nearest_of(key, allowed)
        if near:
            meant.setdefault(near, entry)
    return Map(meant, node.place)


def run_together(entry: Entry) -> Entry | None:
    """`{by:12}` as `by: 12`; None where the key is no such thing."""
    key = entry.key
    before, colon, after = key.text.partition(":")
    if not colon or key.quoted or not isinstance(entry.value, Word) or entry.value.text:
        return None
    p = key.place
    return Entry(Word(before, p), Word(after.strip(), Place(p.file, p.line, p.column + len(before) + 1)))


def decimal_comma(entry: Entry) -> str:
    """What to say where the second half of `1,5` stands as a key."""
    empty = isinstance(entry.value, Word) and not entry.value.text
    return "; a decimal is written with a point, as 1.5" if entry.key.text.isdigit() and empty else ""


def is_name(text: str) -> bool:
    """Whether it may name a size, a stock, a part or a group."""
    return _NAME.fullmatch(text) is not None


def lawful_name(entry: Entry, ledger: Ledger) -> Entry:
    """The entry, its key told where it can't be a name; `{tall:300}` comes back as it was meant."""
    key = entry.key
    if is_name(key.text):
        return entry
    apart = run_together(entry)
    if apart and is_name(apart.key.text):
        ledger.tell(key.place, f"{quoted(key.text)} lacks a space after the `:`")
        return apart
    ledger.tell(key.place, f"{quoted(key.text)} {NO_NAME}{decimal_comma(entry)}")
    return entry
