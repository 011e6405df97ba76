"""Hardware as declared: bolts, screws, runners and hinges, each by the sizes that matter to the wood."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from solids.model.hardware import HARDWARE, Hardware
from solids.spec.formula import FormulaError, Quantity
from solids.spec.items import item_of
from solids.spec.scope import Lazy, Scope, Thing, Told
from solids.spec.source import Node, Word
from solids.spec.values import Reading
from solids.units import lengths_in


class HardwareDeclaration:
    """One entry of `hardware`; `scope` knows the units of the file that it stands in."""

    def __init__(self, word: Word, node: Node, scope: Scope) -> None:
        self.word = word
        self.node = node
        self.scope = scope
        self.hardware = Lazy(word.text, scope.ledger, self._hardware)
        self.thing = Thing("hardware", word.place, self._value)

    def _hardware(self) -> Hardware:
        r = Reading(self.scope)
        found: Any
        found, place = item_of(HARDWARE, self.node, r, "hardware")
        problems = list(found.problems()) if hasattr(found, "problems") else []
        for which, told in problems:
            self.scope.ledger.tell(r.places.get(which, place), lengths_in(told, self.scope.units))
        if problems:
            raise Told(self.word.text)
        named: Hardware = replace(found, name=self.word.text)
        return named

    def _value(self, path: list[str], name: str) -> Quantity:
        value = getattr(self.hardware.get(), path[0], None) if len(path) == 1 else None
        if not isinstance(value, float):
            raise FormulaError(f"`{name}`: hardware has its sizes, as `{self.word.text}.length`")
        return Quantity(value, "length", 1)
