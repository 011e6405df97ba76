"""A spec as a whole: from its text to a Piece, or to every mistake in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

from solids.model.finding import Mistake, Place, SpecError
from solids.model.piece import Piece
from solids.spec import source
from solids.spec.figures import figures_of
from solids.spec.formula import FormulaError, Quantity, as_number
from solids.spec.groups import Group
from solids.spec.heading import named, title_of, units_of
from solids.spec.limiting import read_limits
from solids.spec.measuring import as_measured
from solids.spec.scope import Lazy, Ledger, Scope, Told, refuse_unknown, simple
from solids.spec.sections import SECTIONS, with_sections
from solids.spec.shop import read_shop
from solids.spec.source import Map, Node, Word
from solids.spec.wares import Wares
from solids.spec.written_words import flat_id

KEYS = (
    "title", "units", "use", "sizes", "numbers", "stock", "hardware", "parts", "joints", "groups", "assemblies",
    "moving", "limits",
    "shop", "measured", *SECTIONS,
)  # fmt: skip


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

    def piece(self) -> Piece:
        tree = refuse_unknown(self.tree, KEYS, self.ledger, "a spec")
        units = units_of(tree, self.ledger)
        scope = Scope(self.ledger, units)
        scope.nudges = self.nudges
        self._declare_values(tree, scope)
        wares = Wares(self.path, scope)
        wares.declare(tree)
        if all(tree.get(key) is None for key in ("parts", "groups", "assemblies")):
            self.ledger.tell(tree.place, "a spec has `parts`, or `groups` or `assemblies` of parts")
            self.ledger.partial = True
        group = Group("", tree, scope)
        self._settle(scope, wares)
        parts, joints, bodies = group.resolved()
        if not parts and not self.ledger.mistakes:
            self.ledger.tell(tree.place, "no part stands in this spec: give `parts`, or `groups` or `assemblies`")
        ids = tuple(sorted(parts, key=lambda p: flat_id(p.id)))  # the order that they have written out, too
        title, names = title_of(tree, self.ledger, self.path.stem), tuple(group.groups)
        limits = read_limits(tree.get("limits"), scope, tree.place)
        shop = read_shop(tree.get("shop"), scope, tree.place)
        piece = Piece(
            title,
            units,
            ids,
            tuple(joints),
            limits,
            shop,
            names,
            tuple(bodies),
            source=self.path.name,
            place=tree.place,
        )
        piece = with_sections(replace(piece, hardware=wares.known_hardware()), tree, scope)
        piece = as_measured(piece, tree.get("measured"), scope, tree.place)
        if not piece.measured:  # what measures as planned pins no number down
            tree = Map({key: entry for key, entry in tree.entries.items() if key != "measured"}, tree.place)

        def again(nudges: dict[Place, float]) -> Piece:
            return from_tree(tree, self.path, nudges)

        return replace(piece, figures=figures_of(tree, piece, self.ledger.reads), again=again)

    def _declare_values(self, tree: Map, scope: Scope) -> None:
        for word, value in named(tree, "sizes", self.ledger):
            scope.declare(
                word, simple("size", word.place, Lazy(word.text, self.ledger, self._size(word, value, scope)))
            )
        for word, value in named(tree, "numbers", self.ledger):
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

    def _settle(self, scope: Scope, wares: Wares) -> None:
        """Work out every size and stock, wanted or not, so that no mistake stays hidden."""
        for thing in list(scope.things.values()):
            if thing.what in ("size", "number"):
                self._quietly(partial(thing.value, [], ""), thing.place)
        for stock in wares.stocks.values():
            self._quietly(stock.stock.get, stock.word.place)
        for ware in wares.hardwares.values():
            self._quietly(ware.hardware.get, ware.word.place)

    def _quietly(self, compute: Callable[[], object], place: Place) -> None:
        try:
            compute()
        except Told:
            return
        except FormulaError as e:
            self.ledger.tell(place, str(e))


__all__ = ["Mistake", "from_text", "from_tree", "read"]
