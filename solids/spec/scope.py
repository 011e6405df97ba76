"""Names and what they stand for: looked up when they are wanted, so order never matters.

A value that could not be read has been told once; whoever needs it then stays
silent. A name that stands, through others, for itself is a circle.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Generic, TypeVar

from solids.model.finding import Mistake, Place
from solids.spec.formula import FormulaError, Quantity, as_angle, as_count, as_length, as_number, evaluate
from solids.spec.source import Items, Map, Node, Word
from solids.units import Units

T = TypeVar("T")


class Told(Exception):
    """This could not be read, and the maker has been told why."""


class Ledger:
    """All mistakes found so far, and the values on their way to being known."""

    def __init__(self) -> None:
        self.mistakes: list[Mistake] = []
        self.waiting: list[str] = []

    def tell(self, place: Place, message: str) -> Told:
        """Note a mistake; raise what comes back where the value is needed."""
        self.mistakes.append(Mistake(place, message))
        return Told(message)


class Lazy(Generic[T]):
    """A value worked out when first wanted, once; a circle is told with the names that it runs through."""

    def __init__(self, name: str, ledger: Ledger, compute: Callable[[], T]) -> None:
        self.name = name
        self.ledger = ledger
        self.compute = compute
        self.state = "new"
        self.value: T | None = None

    def get(self) -> T:
        if self.state == "known":
            return self.value  # type: ignore[return-value]
        if self.state == "failed":
            raise Told(self.name)
        waiting = self.ledger.waiting
        if self.state == "waiting":
            circle = [*waiting[waiting.index(self.name) :], self.name]
            raise FormulaError("a circle: " + " needs ".join(f"`{n}`" for n in circle))
        self.state = "waiting"
        waiting.append(self.name)
        try:
            self.value = self.compute()
            self.state = "known"
            return self.value
        except (Told, FormulaError):
            self.state = "failed"
            raise
        finally:
            waiting.pop()


class Scope:
    """Where formulas find their names. A group's scope looks in its own first, then outside."""

    def __init__(self, ledger: Ledger, units: Units, outer: Scope | None = None) -> None:
        self.ledger = ledger
        self.units = units
        self.outer = outer
        self.things: dict[str, Thing] = {}
        self.nudges: dict[Place, float] = outer.nudges if outer else {}

    def declare(self, word: Word, thing: Thing) -> None:
        """Give a name a meaning; the same name twice is a mistake at the second."""
        if word.text in self.things:
            first = self.things[word.text]
            told = f"`{word.text}` is a {first.what} already, in line {first.place.line}; names are unique"
            self.ledger.tell(word.place, told)
            return
        self.things[word.text] = thing

    def lookup(self, name: str) -> Quantity:
        """The value of a name in a formula. Raises FormulaError where it stands for none."""
        head, *path = name.split(".")
        scope: Scope | None = self
        while scope is not None:
            if head in scope.things:
                return scope.things[head].value(path, name)
            scope = scope.outer
        raise FormulaError(f"nothing is called `{head}`{self.nearest(head)}")

    def known(self) -> list[str]:
        """Every name that could be meant here."""
        return [*self.things, *(self.outer.known() if self.outer else [])]

    def nearest(self, name: str) -> str:
        return nearest(name, self.known())

    def quantity(self, node: Node | None, place: Place) -> Quantity:
        """The value that a word or formula has. Raises Told."""
        if node is None or (isinstance(node, Word) and not node.text):
            raise self.ledger.tell(node.place if node else place, _missing(node))
        if not isinstance(node, Word):
            what = "list" if isinstance(node, Items) else "map"
            raise self.ledger.tell(node.place, f"a {what} stands here; one size or formula is wanted")
        try:
            return evaluate(node.text, self.units, self.lookup)
        except FormulaError as e:
            raise self._told(node, e) from None

    def _told(self, word: Word, error: FormulaError) -> Told:
        p = word.place
        shifted = Place(p.file, p.line, p.column + error.offset + word.quoted)
        return self.ledger.tell(shifted, f"{_quoted(word.text)}: {error}")

    def _converted(self, node: Node | None, place: Place, convert: Callable[[Quantity], T]) -> T:
        q = self.quantity(node, place)
        assert isinstance(node, Word)
        try:
            return convert(q)
        except FormulaError as e:
            raise self._told(node, e) from None

    def length(self, node: Node | None, place: Place) -> float:
        """mm, of any sign. Raises Told."""
        value = self._converted(node, place, lambda q: as_length(q, self.units))
        return value + self.nudges.get(node.place, 0.0) if self.nudges and node else value

    def angle(self, node: Node | None, place: Place) -> float:
        """Degrees, of any sign. Raises Told."""
        value = self._converted(node, place, as_angle)
        return value + self.nudges.get(node.place, 0.0) if self.nudges and node else value

    def count(self, node: Node | None, place: Place) -> int:
        """A whole number. Raises Told."""
        return self._converted(node, place, as_count)

    def number(self, node: Node | None, place: Place) -> float:
        """A plain number. Raises Told."""
        return self._converted(node, place, as_number)


class Thing:
    """What a name stands for in formulas: `what` it is, where it was declared, and its values by path."""

    def __init__(self, what: str, place: Place, value: Callable[[list[str], str], Quantity]) -> None:
        self.what = what
        self.place = place
        self.value = value


def simple(what: str, place: Place, lazy: Lazy[Quantity]) -> Thing:
    """A name that is a value itself, with nothing after a dot."""

    def value(path: list[str], name: str) -> Quantity:
        if path:
            raise FormulaError(f"`{name}`: a {what} has no `.{path[0]}`")
        return lazy.get()

    return Thing(what, place, value)


def nearest(name: str, known: Iterable[str]) -> str:
    """`; did you mean ...?` for a misspelt word, or what there is to choose from."""
    known = sorted(set(known))
    near = get_close_matches(name, known, 1, 0.6) or [k for k in known if k.lower() == name.lower()]
    if near:
        return f"; did you mean `{near[0]}`?"
    if known and len(known) <= 12:
        return "; there is " + ", ".join(f"`{k}`" for k in known)
    return ""


def _quoted(text: str) -> str:
    return f"`{text}`" if len(text) <= 60 else f"`{text[:57]}...`"


def _missing(node: Node | None) -> str:
    if node is None:
        return "a value is missing here"
    return "the value is empty; what stands behind ` #` is a comment, and a key needs a space after its `:`"


def as_map(node: Node | None, ledger: Ledger, place: Place, what: str) -> Map:
    """The node as a map. Raises Told where it is none."""
    if isinstance(node, Map):
        return node
    found = "nothing" if node is None or (isinstance(node, Word) and not node.text) else _shown(node)
    raise ledger.tell(node.place if node else place, f"{what} is a map, as `key: value`; {found} stands here")


def _shown(node: Node) -> str:
    return _quoted(node.text) if isinstance(node, Word) else "a list" if isinstance(node, Items) else "a map"


def as_word(node: Node | None, ledger: Ledger, place: Place, what: str) -> Word:
    """The node as one word. Raises Told where it is a list, a map, or empty."""
    if isinstance(node, Word) and node.text:
        return node
    found = "nothing" if node is None or isinstance(node, Word) else _shown(node)
    raise ledger.tell(node.place if node else place, f"{what} is wanted here; {found} stands here")


def as_list(node: Node | None, ledger: Ledger, place: Place, what: str) -> list[Node]:
    """The node as a list; one word stands for a list of one. Raises Told where it is a map or empty."""
    if isinstance(node, Items):
        return list(node.items)
    if isinstance(node, Word) and node.text:
        return [node]
    raise ledger.tell(node.place if node else place, f"{what} is a list, as `[a, b]`")


def refuse_unknown(node: Map, allowed: Iterable[str], ledger: Ledger, what: str) -> None:
    """Tell every key that is not among those allowed, with the nearest that is."""
    allowed = list(allowed)
    for key, entry in node.entries.items():
        if key in allowed:
            continue
        before, colon, _ = key.partition(":")
        if colon and isinstance(entry.value, Word) and not entry.value.text and before in allowed:
            ledger.tell(entry.key.place, f"`{key}` lacks a space after the `:`")
        else:
            ledger.tell(entry.key.place, f"{what} has no `{key}`{nearest(key, allowed)}")
