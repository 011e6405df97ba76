"""Assemblies as declared: their few sizes are read, what they write is read as a group, with the maker's changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from solids.assemblies import ASSEMBLIES
from solids.assemblies.writing import Plain, Written
from solids.model.finding import Place
from solids.model.geometry import STILL, Frame
from solids.model.opening import Opening
from solids.spec.bounding import opening_between
from solids.spec.changes import joining, left_out, with_changes, without
from solids.spec.grouping import GroupDeclaration
from solids.spec.ledger import is_name, lawful_name, quoted
from solids.spec.scope import Lazy, Told, as_map, as_word, nearest
from solids.spec.source import Entry, Items, Map, Node, Word
from solids.spec.values import Reading, read_record
from solids.spec.worked import as_tree, tree_of
from solids.units import lengths_in

if TYPE_CHECKING:
    from solids.spec.groups import Group

PLACED = ("parts", "place", "copies")  # what every assembly takes beside its own fields


class AssemblyDeclaration(GroupDeclaration):
    """One item of `assemblies`: a group whose text it works out itself."""

    what = "assembly"

    def __init__(self, kind: str, word: Word, given: Map, outer: Group) -> None:
        super().__init__(word, given, outer)
        self.kind = kind
        self.given = given
        self._ledger = outer.scope.ledger
        self.value = Lazy(self.name, self._ledger, self._read)
        self.written = Lazy(self.name, self._ledger, self._written)
        self.node = Lazy(self.name, self._ledger, self._as_group)

    def _read(self) -> Any:
        """Its own fields, as a value of its kind. Raises Told."""
        ledger = self.outer.scope.ledger
        own = {key: entry for key, entry in self.given.entries.items() if key not in PLACED}
        r = Reading(self.outer.scope, opening=self._opening_of, beside=self._beside)
        value = read_record(ASSEMBLIES[self.kind], Map(own, self.given.place), r, self._called(), head=self.kind)
        problems = list(value.problems())
        for which, told in problems:
            ledger.tell(r.places.get(which, self.word.place), lengths_in(told, self.outer.scope.units))
        if problems:
            raise Told(self.name)
        return value

    def _called(self) -> str:
        """`a case`; `drawers`."""
        return self.kind if self.kind.endswith("s") else f"a {self.kind}"

    def _written(self) -> Written:
        written: Written = self.value.get().write()
        return written

    def _as_group(self) -> Map:
        """What it writes, with the maker's changes, as the map of a group. Raises Told."""
        tree = self._tree()
        changes = self.given.get("parts")
        if changes is not None:
            tree = with_changes(tree, as_map(changes, self._ledger, self.given.place, "`parts`"), self._ledger)
        placed = {k: e for k, e in self.given.entries.items() if k in ("place", "copies")}
        return Map({**tree.entries, **placed}, self.word.place)

    def _tree(self) -> Map:
        """What it writes, as text. Raises Told."""
        written = self.written.get()
        text: dict[str, Plain] = {"parts": written.parts, "joints": written.joints}
        text.update({k: v for k, v in (("groups", written.groups), ("moving", written.moving)) if v})
        return as_tree(text, self.word.place)

    def gone(self) -> list[str]:
        """The parts that the maker leaves out, by the names that they would have outside. Raises Told."""
        changes = self.given.get("parts")
        return [f"{self.name}.{p}" for p in left_out(self._tree(), changes)] if isinstance(changes, Map) else []

    def joints_around(self, gone: list[str]) -> list[Node]:
        """Its joints with what stands beside it, but for those of parts that are gone. Raises Told."""
        items = [tree_of(item, self.word.place) for item in self.written.get().around]
        return joining(kept for item in items if (kept := without(item, gone)) is not None)

    def _frame(self) -> Frame:
        """Where it stands: as it is placed; unplaced, where the opening that it fills is."""
        if self.given.get("place") is None:
            filled = getattr(self.value.get(), "opening", None)
            return filled.frame if isinstance(filled, Opening) else STILL
        return super()._frame()

    def opening(self) -> Opening:
        """Its inside, in the outer axes. Raises Told."""
        inside = self.written.get().opening
        if inside is None:
            raise self.outer.scope.ledger.tell(self.word.place, f"{self._called()} has no inside that can be filled")
        return inside.within(self.frame.get(), self.name)

    def _opening_of(self, node: Node, place: Place) -> Opening:
        """`opening: body`, or `{left: P, right: P, bottom: P, top: P}`. Raises Told."""
        scope = self.outer.scope
        if isinstance(node, Map):
            return opening_between(node, self.outer, scope)
        word = as_word(node, scope.ledger, place, "a case, or the parts on four sides")
        found = self.outer.groups.get(word.text)
        if found is self or not isinstance(found, AssemblyDeclaration):
            known = [n for n, g in self.outer.groups.items() if isinstance(g, AssemblyDeclaration) and g is not self]
            told = f"no case beside this is called {quoted(word.text)}{nearest(word.text, known)}"
            raise scope.ledger.tell(word.place, told)
        if found.moves.get() is not None:
            told = f"`{word.text}` stands several times over; put it and what fills it into one group, and copy that"
            raise scope.ledger.tell(word.place, told)
        return found.opening()

    def _beside(self, word: Word, kind: str) -> Any:
        """The value of another assembly of a kind beside this one, and where it stands. Raises Told."""
        found = self.outer.groups.get(word.text)
        if not isinstance(found, AssemblyDeclaration) or found.kind != kind:
            known = [n for n, g in self.outer.groups.items() if isinstance(g, AssemblyDeclaration) and g.kind == kind]
            told = f"no {kind} beside this is called {quoted(word.text)}{nearest(word.text, known)}"
            raise self.outer.scope.ledger.tell(word.place, told)
        return found.value.get()


def assemblies_of(node: Node | None, outer: Group) -> list[AssemblyDeclaration]:
    """The items of `assemblies`, each with its name; what can't be read is told."""
    if node is None:
        return []
    ledger = outer.scope.ledger
    if not isinstance(node, Items):
        ledger.tell(node.place, "`assemblies` is a list, as `[{case: body, ...}]`")
        ledger.partial = True
        return []
    out = []
    for item in node.items:
        try:
            out.append(_declared(item, outer))
        except Told:
            ledger.partial = True
    return out


def _declared(item: Node, outer: Group) -> AssemblyDeclaration:
    ledger = outer.scope.ledger
    given = as_map(item, ledger, item.place, "an assembly")
    # `frame: {...}` among the fields of fronts is no second assembly: what an assembly is called is one word.
    heads = [k for k, e in given.entries.items() if k in ASSEMBLIES and isinstance(e.value, Word)]
    if len(heads) != 1:
        first = next(iter(given.entries.values()), None)
        word = first.key.text if first else ""
        hint = nearest(word, ASSEMBLIES) or "; there is " + ", ".join(f"`{k}`" for k in ASSEMBLIES)
        told = f"`{heads[0]}` and `{heads[1]}` in one: make two items of the list" if heads else None
        at = given.entries[heads[1]].key.place if heads else first.key.place if first else given.place
        raise ledger.tell(at, told or f"an assembly starts with what it is, and {quoted(word)} is none{hint}")
    entry = given.entries[heads[0]]
    name = as_word(entry.value, ledger, entry.key.place, f"the name of this {heads[0]}")
    if not is_name(lawful_name(Entry(name, name), ledger).key.text):
        raise Told(name.text)
    return AssemblyDeclaration(heads[0], name, given, outer)
