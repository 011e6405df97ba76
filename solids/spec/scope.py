"""Names and what they stand for: looked up when they are wanted, so order never matters.

A value that could not be read has been told once; whoever needs it then stays
silent. A name that stands, through others, for itself is a circle.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, NoReturn, TypeVar

from solids.model.finding import Place
from solids.model.hardware import Hardware
from solids.model.part import Stock
from solids.spec.formula import FormulaError, Quantity, as_angle, as_count, as_length, as_number, evaluate
from solids.spec.ledger import COMMENT, Ledger, Told, as_list, as_map, as_word, each, nearest, quoted, refuse_unknown
from solids.spec.source import Items, Node, Word
from solids.spec.worked import Worked
from solids.units import Units

T = TypeVar("T")


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
            through = waiting[waiting.index(self.name) :]
            circle = [n for k, n in enumerate(through) if not k or n != through[k - 1]] + [self.name]
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
        self.stock: Callable[[Word], Stock] = outer.stock if outer else _none_known
        self.hardware: Callable[[Word], Hardware] = outer.hardware if outer else _none_known

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
        if self.ledger.partial:
            raise Told(head)
        raise FormulaError(f"nothing is called `{head}`{self.nearest(head)}")

    def known(self, *what: str) -> list[str]:
        """Every name that could be meant here; only those of one kind or another where `what` says so."""
        own = [name for name, thing in self.things.items() if not what or thing.what in what]
        return own + (self.outer.known(*what) if self.outer else [])

    def nearest(self, name: str, *what: str) -> str:
        return nearest(name, self.known(*what))

    def quantity(self, node: Node | None, place: Place) -> Quantity:
        """The value that a word or formula has. Raises Told."""
        if node is None or (isinstance(node, Word) and not node.text):
            raise self.ledger.tell(node.place if node else place, _missing(node))
        if not isinstance(node, Word):
            what = "list" if isinstance(node, Items) else "map"
            raise self.ledger.tell(node.place, f"a {what} stands here; one size or formula is wanted")
        try:
            return evaluate(node.text, self._units_of(node), self.lookup)
        except FormulaError as e:
            raise self._told(node, e) from None

    def _units_of(self, node: Word) -> Units:
        """What a bare number means there: what an assembly wrote is in mm."""
        return "mm" if isinstance(node, Worked) else self.units

    def _told(self, word: Word, error: FormulaError) -> Told:
        p = word.place
        shifted = Place(p.file, p.line, p.column + error.offset + word.quoted)
        shown, told = quoted(word.text), str(error)
        return self.ledger.tell(shifted, told if told.startswith(shown) else f"{shown}: {told}")

    def _converted(self, node: Node | None, place: Place, convert: Callable[[Quantity, Units], T]) -> T:
        q = self.quantity(node, place)
        assert isinstance(node, Word)
        try:
            return convert(q, self._units_of(node))
        except FormulaError as e:
            raise self._told(node, e) from None

    def length(self, node: Node | None, place: Place) -> float:
        """mm, of any sign. Raises Told."""
        value = self._converted(node, place, as_length)
        return self._noted(node, value, is_angle=False)

    def angle(self, node: Node | None, place: Place) -> float:
        """Degrees, of any sign. Raises Told."""
        value = self._converted(node, place, lambda q, _: as_angle(q))
        return self._noted(node, value, is_angle=True)

    def _noted(self, node: Node | None, value: float, *, is_angle: bool) -> float:
        """The value, nudged where that is asked for, and remembered with its place."""
        if node is None or isinstance(node, Worked):
            return value
        value += self.nudges.get(node.place, 0.0)
        self.ledger.reads[node.place] = (is_angle, value)
        return value

    def count(self, node: Node | None, place: Place) -> int:
        """A whole number. Raises Told."""
        return self._converted(node, place, lambda q, _: as_count(q))

    def number(self, node: Node | None, place: Place) -> float:
        """A plain number. Raises Told."""
        return self._converted(node, place, lambda q, _: as_number(q))


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


def _none_known(word: Word) -> NoReturn:
    raise Told(word.text)


def _missing(node: Node | None) -> str:
    if node is None:
        return "a value is missing here"
    return f"the value is empty; {COMMENT}, and a key needs a space after its `:`"


__all__ = [
    "Lazy", "Ledger", "Scope", "Thing", "Told", "as_list", "as_map", "as_word", "each", "nearest", "refuse_unknown",
    "simple",
]  # fmt: skip
