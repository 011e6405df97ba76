"""Stock as declared: solid wood by species, sheet goods by kind, real and nominal thickness."""

from __future__ import annotations

from solids import data
from solids.model import field as f
from solids.model.part import Stock
from solids.spec.formula import FormulaError, Quantity
from solids.spec.ledger import quoted
from solids.spec.scope import Lazy, Scope, Thing, Told, as_map, as_word, each, nearest, refuse_unknown
from solids.spec.source import Map, Node, Word
from solids.spec.values import Reading, read

KEYS = ("wood", "sheet", "thickness", "nominal", "density", "sawn")
SAWN = ("flatsawn", "quartersawn", "riftsawn")
PLAIN = "#b9a58a"


class StockDeclaration:
    """One entry of `stock`; `scope` knows the units of the file that it stands in."""

    def __init__(self, word: Word, node: Node, scope: Scope) -> None:
        self.word = word
        self.node = node
        self.scope = scope
        self.stock = Lazy(word.text, scope.ledger, self._stock)
        self.thing = Thing("stock", word.place, self._value)

    def _value(self, path: list[str], name: str) -> Quantity:
        if path not in (["thickness"], ["nominal"]):
            raise FormulaError(f"`{name}`: a stock has `.thickness` and `.nominal`, as `{self.word.text}.thickness`")
        return Quantity(getattr(self.stock.get(), path[0]), "length", 1)

    def _stock(self) -> Stock:
        ledger = self.scope.ledger
        node = as_map(self.node, ledger, self.word.place, f"the stock `{self.word.text}`")
        node = refuse_unknown(node, KEYS, ledger, "a stock")
        sizes, material, sawn = each(lambda told: told(node), (self._sizes, self._material, self._sawn))
        (thickness, nominal), (name, solid, density, colour) = sizes, material
        place = node.entries["thickness"].value.place
        return Stock(self.word.text, name, thickness, nominal, solid, density, colour, place, sawn)

    def _sizes(self, node: Map) -> tuple[float, float]:
        """Thickness and nominal size. Raises Told."""
        r = Reading(self.scope)
        if node.get("thickness") is None:
            told = f"the stock `{self.word.text}` lacks its `thickness`, as measured"
            raise self.scope.ledger.tell(node.place, told)
        given = [k for k in ("thickness", "nominal") if node.get(k) is not None]
        found = each(lambda key: float(read(f.Length(), node.get(key), r, node.place, f"`{key}`")), given)
        return found[0], found[-1]

    def _material(self, node: Map) -> tuple[str, bool, float, str]:
        """Its name, whether it is solid wood, kg/m³, and the colour. Raises Told."""
        ledger = self.scope.ledger
        wood, sheet = node.get("wood"), node.get("sheet")
        if (wood is None) == (sheet is None):
            told = f"the stock `{self.word.text}` is either a `wood` or a `sheet`: say which, and its name"
            raise ledger.tell(node.place, told)
        own = self._density(node)
        word = as_word(wood if wood is not None else sheet, ledger, self.word.place, "the name of a wood or sheet")
        found = data.species(word.text) if wood is not None else data.sheet(word.text)
        if found is not None:
            return found.name, wood is not None, own or found.density, found.colour
        if own is not None:
            return word.text, wood is not None, own, PLAIN
        known = data.species_names() if wood is not None else data.sheet_names()
        what = "wood" if wood is not None else "sheet"
        told = f"no {what} in the tables is called {quoted(word.text)}{nearest(word.text, known)}".removesuffix("?")
        raise ledger.tell(word.place, f"{told}; for one that is not there give its `density`, in kg per cubic metre")

    def _sawn(self, node: Map) -> str:
        """How its growth rings lie; flatsawn where unsaid. Raises Told."""
        given = node.get("sawn")
        if given is None:
            return SAWN[0]
        if node.get("sheet") is not None:
            raise self.scope.ledger.tell(given.place, "a sheet is not `sawn` from a log: leave it out")
        return str(read(f.Choice(SAWN), given, Reading(self.scope), given.place, "`sawn`"))

    def _density(self, node: Map) -> float | None:
        given = node.get("density")
        if given is None:
            return None
        value = self.scope.number(given, given.place)
        if not 20 <= value <= 12000:
            told = f"`density` is {value:g} kg per cubic metre; woods weigh 100 to 1300, metals up to 12000"
            raise self.scope.ledger.tell(given.place, told)
        return value


__all__ = ["StockDeclaration", "Told"]
