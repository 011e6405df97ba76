"""The stock and the hardware that a spec can name: its own, and those of the files that it uses."""

from __future__ import annotations

from pathlib import Path
from typing import TypeAlias

from solids.model.finding import SpecError
from solids.model.hardware import Hardware
from solids.model.part import Stock
from solids.spec import source
from solids.spec.hardware import HardwareDeclaration
from solids.spec.heading import named, units_of
from solids.spec.ledger import quoted
from solids.spec.scope import Scope, Told, as_list, as_word, each, nearest, refuse_unknown
from solids.spec.source import Map, Word, inside
from solids.spec.stocks import StockDeclaration

USED_KEYS = ("title", "units", "use", "stock", "hardware")
MOST_USES = 20
Ware: TypeAlias = StockDeclaration | HardwareDeclaration


class Wares:
    """What was declared, by name; `path` is the spec's file, `scope` the spec's own."""

    def __init__(self, path: Path, scope: Scope) -> None:
        self.path = path
        self.scope = scope
        self.ledger = scope.ledger
        self.stocks: dict[str, StockDeclaration] = {}
        self.hardwares: dict[str, HardwareDeclaration] = {}
        scope.stock, scope.hardware = self.stock, self.hardware

    def declare(self, tree: Map) -> None:
        """Take in what the spec declares, then what the files that it uses do; the spec's own names win."""
        for ware in self._declared(tree, self.scope):
            self._keep(ware)
            self.scope.declare(ware.word, ware.thing)
        for name, ware in self._used(tree, self.path, (self.path.resolve(),)).items():
            if name not in self.scope.things:
                self._keep(ware)
                self.scope.things[name] = ware.thing

    def _keep(self, ware: Ware) -> None:
        if isinstance(ware, StockDeclaration):
            self.stocks[ware.word.text] = ware
        else:
            self.hardwares[ware.word.text] = ware

    def stock(self, word: Word) -> Stock:
        """The stock that a word names. Raises Told."""
        if word.text in self.stocks:
            return self.stocks[word.text].stock.get()
        raise self._unknown(word, "stock", self.stocks)

    def hardware(self, word: Word) -> Hardware:
        """The hardware that a word names. Raises Told."""
        if word.text in self.hardwares:
            return self.hardwares[word.text].hardware.get()
        raise self._unknown(word, "hardware", self.hardwares)

    def _unknown(
        self, word: Word, what: str, known: dict[str, StockDeclaration] | dict[str, HardwareDeclaration]
    ) -> Told:
        if self.ledger.partial:
            return Told(word.text)
        return self.ledger.tell(word.place, f"no {what} is called {quoted(word.text)}{nearest(word.text, known)}")

    def known_hardware(self) -> dict[str, Hardware]:
        """All hardware that could be read, by name."""
        known = {name: ware.hardware for name, ware in sorted(self.hardwares.items())}
        return {name: lazy.get() for name, lazy in known.items() if lazy.state == "known"}

    def _declared(self, tree: Map, scope: Scope) -> list[Ware]:
        stocks = [StockDeclaration(word, value, scope) for word, value in named(tree, "stock", self.ledger)]
        hardware = [HardwareDeclaration(word, value, scope) for word, value in named(tree, "hardware", self.ledger)]
        return [*stocks, *hardware]

    def _used(self, tree: Map, path: Path, chain: tuple[Path, ...]) -> dict[str, Ware]:
        """What the files that one uses declare, and those that they use; the nearer name wins."""
        given = tree.get("use")
        found: dict[str, Ware] = {}
        if given is None:
            return found
        try:
            items = as_list(given, self.ledger, given.place, "`use`")
            words = each(lambda n: as_word(n, self.ledger, given.place, "a file's name"), items)
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

    def _from_file(self, word: Word, path: Path, chain: tuple[Path, ...]) -> dict[str, Ware]:
        folder = self.path.parent
        target = inside(folder, str(path.parent.relative_to(folder) / word.text))
        if target is None:
            told = f"`{word.text[:80]}` is not below this file's folder; a spec uses files of its own folder only"
            raise self.ledger.tell(word.place, told)
        if target in chain or len(chain) > MOST_USES:
            raise self.ledger.tell(word.place, f"`{word.text}` uses this file again: a circle")
        if not _is_file(target):
            raise self.ledger.tell(word.place, f"there is no file `{word.text[:80]}` here")
        tree = refuse_unknown(source.load(target, word.text), USED_KEYS, self.ledger, "a file of wares")
        scope = Scope(self.ledger, units_of(tree, self.ledger))
        scope.nudges = self.scope.nudges
        own = {ware.word.text: ware for ware in self._declared(tree, scope)}
        for name, ware in own.items():
            scope.things[name] = ware.thing
        relative = folder / target.relative_to(folder.resolve())
        return {**self._used(tree, relative, (*chain, target)), **own}


def _is_file(path: Path) -> bool:
    """Whether it is a plain file; a name that the disk can't have is none."""
    try:
        return path.is_file()
    except OSError:
        return False
