"""A spec as a whole: from its text to a Piece, or to every mistake in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from solids.model.finding import Mistake, Place, SpecError
from solids.model.limits import LIMITS, REPLACEABLE, Band, Limits
from solids.model.part import Stock
from solids.model.piece import Piece
from solids.spec import source
from solids.spec.figures import figures_of
from solids.spec.formula import RESERVED, FormulaError, Quantity, as_number
from solids.spec.groups import Group
from solids.spec.ledger import is_name, lawful_name, quoted
from solids.spec.measuring import as_measured
from solids.spec.scope import Lazy, Ledger, Scope, Told, as_list, as_map, as_word, each, nearest, refuse_unknown, simple
from solids.spec.shop import read_shop
from solids.spec.source import Items, Map, Node, Word
from solids.spec.stocks import StockDeclaration
from solids.units import Units

KEYS = ("title", "units", "use", "sizes", "numbers", "stock", "parts", "joints", "groups", "limits", "shop", "measured")
USED_KEYS = ("title", "units", "use", "stock")
LATER = {
    "assemblies": "assemblies", "hardware": "hardware", "modules": "modules", "passages": "passages",
    "seasons": "seasons", "vary": "families of sizes", "room": "the room",
    "drawing": "title blocks", "on_hand": "boards on hand",
}  # fmt: skip
MOST_USES = 20


def read(path: str | Path, nudges: dict[Place, float] | None = None) -> Piece:
    """Read a spec file. Raises SpecError with every mistake in it.

    `nudges` adds to the value written at each place, in mm or degrees: what the
    search for a fault's cause does.
    """
    path = Path(path)
    return from_tree(source.load(path), path, nudges)


def from_text(text: str, name: str = "spec.yaml", folder: Path | None = None) -> Piece:
    """Read a spec's text; files that it uses are looked for in `folder`. Raises SpecError."""
    return from_tree(source.parse(text, name), (folder or Path()) / name)


def from_tree(tree: Map, path: Path, nudges: dict[Place, float] | None = None) -> Piece:
    """Make the piece that a tree of text describes. Raises SpecError."""
    ledger = Ledger()
    try:
        piece = _Spec(tree, path, ledger, nudges or {}).piece()
    except Told:
        piece = None
    except RecursionError:
        ledger.tell(tree.place, "names stand for names too many times over")
        piece = None
    if ledger.mistakes or piece is None:
        raise SpecError(ledger.mistakes)
    return piece


class _Spec:
    """The reading of one spec."""

    def __init__(self, tree: Map, path: Path, ledger: Ledger, nudges: dict[Place, float]) -> None:
        self.tree = tree
        self.path = path
        self.ledger = ledger
        self.nudges = nudges
        self.stocks: dict[str, StockDeclaration] = {}

    def piece(self) -> Piece:
        tree = self._refuse_unknown(self.tree, KEYS)
        units = self._units(tree)
        scope = Scope(self.ledger, units)
        scope.nudges = self.nudges
        self._declare_values(tree, scope)
        self._declare_stock(tree, scope)
        for name, stock in self._used(tree, self.path, (self.path.resolve(),)).items():
            if name not in scope.things:
                self.stocks[name] = stock
                scope.things[name] = stock.thing
        if tree.get("parts") is None and tree.get("groups") is None:
            self.ledger.tell(tree.place, "a spec has `parts`, or `groups` of parts")
            self.ledger.partial = True
        group = Group("", tree, scope, self._stock)
        self._settle(scope)
        parts, joints = group.resolved()
        ids = tuple(sorted(parts, key=lambda p: p.id))
        title, names = self._title(tree), tuple(group.groups)
        limits, shop = self._limits(tree, scope), read_shop(tree.get("shop"), scope, tree.place)
        piece = Piece(title, units, ids, tuple(joints), limits, shop, names, self.path.name, tree.place)
        piece = as_measured(piece, tree.get("measured"), scope, tree.place)
        if not piece.measured:  # what measures as planned pins no number down
            tree = Map({key: entry for key, entry in tree.entries.items() if key != "measured"}, tree.place)

        def again(nudges: dict[Place, float]) -> Piece:
            return from_tree(tree, self.path, nudges)

        return replace(piece, figures=figures_of(tree, piece, self.ledger.reads), again=again)

    def _refuse_unknown(self, tree: Map, keys: tuple[str, ...]) -> Map:
        for key, entry in tree.entries.items():
            if key in LATER and key not in keys:
                told = f"`{key}` can't be read yet: this version does not know {LATER[key]}; take it out"
                self.ledger.tell(entry.key.place, told)
        known = [*keys, *(k for k in LATER if k in tree.entries)]
        return refuse_unknown(tree, known, self.ledger, "a spec")

    def _title(self, tree: Map) -> str:
        given = tree.get("title")
        if given is None:
            return self.path.stem
        try:
            return as_word(given, self.ledger, tree.place, "the title").text
        except Told:
            return ""

    def _units(self, tree: Map) -> Units:
        given = tree.get("units")
        if given is None:
            self.ledger.tell(tree.place, "say what a bare length means: `units: in` or `units: mm`")
            return "mm"
        try:
            word = as_word(given, self.ledger, tree.place, "`in` or `mm`")
        except Told:
            return "mm"
        if word.text == "in":
            return "in"
        if word.text != "mm":
            self.ledger.tell(word.place, f"`units` is `in` or `mm`, not {quoted(word.text)}")
        return "mm"

    def _declare_values(self, tree: Map, scope: Scope) -> None:
        for word, value in self._named(tree, "sizes"):
            scope.declare(
                word, simple("size", word.place, Lazy(word.text, self.ledger, self._size(word, value, scope)))
            )
        for word, value in self._named(tree, "numbers"):
            lazy = Lazy(word.text, self.ledger, self._number(word, value, scope))
            scope.declare(word, simple("number", word.place, lazy))

    def _size(self, word: Word, node: Node, scope: Scope) -> Callable[[], Quantity]:
        def value() -> Quantity:
            if scope.quantity(node, word.place).kind == "angle":
                return Quantity(scope.angle(node, word.place), "angle")
            try:
                return Quantity(scope.length(node, word.place), "length", 1)
            except Told:
                hint = f"`{word.text}` is a size, a length or an angle; counts and ratios go under `numbers`"
                self._hint(node.place, hint)
                raise

        return value

    def _hint(self, place: Place, hint: str) -> None:
        """Say more about the mistake that was just told at a place."""
        last = self.ledger.mistakes[-1]
        if last.place.line == place.line and "is wanted here" in last.message:
            self.ledger.mistakes[-1] = Mistake(last.place, f"{last.message}; {hint}")

    def _number(self, word: Word, node: Node, scope: Scope) -> Callable[[], Quantity]:
        def value() -> Quantity:
            try:
                return Quantity(as_number(scope.quantity(node, word.place)), "pure")
            except FormulaError as e:
                raise self.ledger.tell(node.place, f"`{word.text}`: {e}; lengths and angles go under `sizes`") from None

        return value

    def _declare_stock(self, tree: Map, scope: Scope) -> None:
        for word, value in self._named(tree, "stock"):
            stock = StockDeclaration(word, value, scope)
            self.stocks[word.text] = stock
            scope.declare(word, stock.thing)

    def _named(self, tree: Map, key: str) -> list[tuple[Word, Node]]:
        given = tree.get(key)
        if given is None:
            return []
        try:
            entries = as_map(given, self.ledger, tree.place, f"`{key}`").entries
        except Told:
            self.ledger.partial = True
            return []
        out = []
        for entry in entries.values():
            entry = lawful_name(entry, self.ledger)
            if entry.key.text in RESERVED:
                self.ledger.tell(entry.key.place, f"`{entry.key.text}` is a word of the formulas; take another name")
            elif is_name(entry.key.text):
                out.append((entry.key, entry.value))
        return out

    def _settle(self, scope: Scope) -> None:
        """Work out every size and stock, wanted or not, so that no mistake stays hidden."""
        for thing in list(scope.things.values()):
            if thing.what in ("size", "number"):
                self._quietly(partial(thing.value, [], ""), thing.place)
        for stock in self.stocks.values():
            self._quietly(stock.stock.get, stock.word.place)

    def _quietly(self, compute: Callable[[], object], place: Place) -> None:
        try:
            compute()
        except Told:
            return
        except FormulaError as e:
            self.ledger.tell(place, str(e))

    def _stock(self, word: Word) -> Stock:
        if word.text in self.stocks:
            return self.stocks[word.text].stock.get()
        if self.ledger.partial:
            raise Told(word.text)
        told = f"no stock is called {quoted(word.text)}{nearest(word.text, self.stocks)}"
        raise self.ledger.tell(word.place, told)

    def _used(self, tree: Map, path: Path, chain: tuple[Path, ...]) -> dict[str, StockDeclaration]:
        """The stock of the files that this one uses, and of those that they use; the nearer name wins."""
        given = tree.get("use")
        found: dict[str, StockDeclaration] = {}
        if given is None:
            return found
        try:
            words = each(lambda n: as_word(n, self.ledger, given.place, "a file's name"), self._list(given))
        except Told:
            self.ledger.partial = True
            return found
        for word in words:
            try:
                found = {**self._from_file(word, path, chain), **found}
            except Told:
                self.ledger.partial = True
            except SpecError as e:
                self.ledger.partial = True
                self.ledger.mistakes += e.mistakes
        return found

    def _list(self, node: Node) -> list[Node]:
        return as_list(node, self.ledger, node.place, "`use`")

    def _from_file(self, word: Word, path: Path, chain: tuple[Path, ...]) -> dict[str, StockDeclaration]:
        target = source.inside(self.path.parent, str(path.parent.relative_to(self.path.parent) / word.text))
        if target is None:
            told = f"`{word.text[:80]}` is not below this file's folder; a spec uses files of its own folder only"
            raise self.ledger.tell(word.place, told)
        if target in chain or len(chain) > MOST_USES:
            raise self.ledger.tell(word.place, f"`{word.text}` uses this file again: a circle")
        if not target.is_file():
            raise self.ledger.tell(word.place, f"there is no file `{word.text[:80]}` here")
        tree = self._refuse_unknown(source.load(target, word.text), USED_KEYS)
        scope = Scope(self.ledger, self._units(tree))
        scope.nudges = self.nudges
        own = {w.text: StockDeclaration(w, n, scope) for w, n in self._named(tree, "stock")}
        for name, stock in own.items():
            scope.things[name] = stock.thing
        inner = self.path.parent.resolve() / target.relative_to(self.path.parent.resolve())
        relative = self.path.parent / inner.relative_to(self.path.parent.resolve())
        return {**self._used(tree, relative, (*chain, target)), **own}

    def _limits(self, tree: Map, scope: Scope) -> Limits:
        given = tree.get("limits")
        if given is None:
            return LIMITS
        limits = LIMITS
        try:
            node = as_map(given, self.ledger, tree.place, "`limits`")
        except Told:
            return LIMITS
        node = refuse_unknown(node, REPLACEABLE, self.ledger, "`limits`")
        for key, entry in node.entries.items():
            if key in REPLACEABLE:
                try:
                    limits = replace(limits, **{key: self._limit(key, entry.value, scope)})  # type: ignore[arg-type]
                except Told:
                    continue
        return limits

    def _limit(self, key: str, node: Node, scope: Scope) -> Band | float:
        if not isinstance(getattr(LIMITS, key), Band):
            value = scope.length(node, node.place)
            if value < 0:
                raise self.ledger.tell(node.place, f"`{key}` is {value:g} mm; it must not be under 0")
            return value
        if not isinstance(node, Items) or len(node.items) != 2:
            raise self.ledger.tell(node.place, f"`{key}` is the least and greatest gap, as `[0.05 mm, 0.4 mm]`")
        low, high = each(lambda i: scope.length(i, i.place), node.items)
        if low < 0:
            raise self.ledger.tell(node.place, f"`{key}` begins at {low:g} mm; a gap is not under 0")
        if low > high:
            raise self.ledger.tell(node.place, f"`{key}` runs from {low:g} to {high:g} mm; the least comes first")
        return Band(low, high)


__all__ = ["Mistake", "from_text", "from_tree", "read"]
