"""Groups: parts, joints, assemblies and groups in a frame of their own."""

from __future__ import annotations

from functools import partial

from solids.model.finding import Place
from solids.model.part import Part
from solids.spec.assembling import AssemblyDeclaration, assemblies_of
from solids.spec.contents import Contents, nothing
from solids.spec.formula import FARTHEST, FormulaError
from solids.spec.grouping import GroupDeclaration, copyless
from solids.spec.joining import joined
from solids.spec.ledger import is_name, lawful_name, quietly, quoted
from solids.spec.moving import bodies_of
from solids.spec.parts import Bare, House, PartDeclaration
from solids.spec.scope import Scope, Told, as_map, nearest
from solids.spec.source import Items, Map, Node, Word
from solids.spec.worked import Worked


class Group:
    """The piece itself, or one entry of `groups`: what stands in it, in its own frame."""

    def __init__(self, name: str, node: Map, scope: Scope) -> None:
        self.name = name
        self.node = node
        self.scope = scope
        self.parts: dict[str, PartDeclaration] = {}
        self.groups: dict[str, GroupDeclaration] = {}
        house = House(scope, self.find, self.owner)
        for word, value in self._entries("parts"):
            part = PartDeclaration(word, value, house)
            self.parts[word.text] = part
            scope.declare(word, part.thing)
        for word, value in self._entries("groups"):
            group = GroupDeclaration(word, value, self)
            self.groups[word.text] = group
            scope.declare(word, group.thing)
        for assembly in assemblies_of(node.get("assemblies"), self):
            scope.declare(assembly.word, assembly.thing)
            self.groups.setdefault(assembly.name, assembly)

    def inside(self, name: str, node: Map) -> Group:
        """A group that stands in this one; its formulas know the names of both."""
        return Group(name, node, Scope(self.scope.ledger, self.scope.units, self.scope))

    def _entries(self, key: str) -> list[tuple[Word, Node]]:
        """The named entries of `parts` or `groups`, with unlawful names told."""
        given = self.node.get(key)
        if given is None:
            return []
        try:
            found = as_map(given, self.scope.ledger, self.node.place, f"`{key}`")
        except Told:
            self.scope.ledger.partial = True
            return []
        entries = [
            e if isinstance(e.key, Worked) else lawful_name(e, self.scope.ledger) for e in found.entries.values()
        ]  # an assembly numbers its parts: 1, 2, 3
        return [(e.key, e.value) for e in entries if isinstance(e.key, Worked) or is_name(e.key.text)]

    def owner(self, word: Word, twin: str) -> PartDeclaration:
        """The part of this group that a word names, for its twin. Raises Told."""
        if word.text in self.parts:
            return self.parts[word.text]
        others = [name for name in self.parts if name != twin]
        told = f"no part is called {quoted(word.text)}{nearest(word.text, others)}"
        raise self.scope.ledger.tell(word.place, told)

    def bares(self) -> list[Bare]:
        """Every blank in the group, in its own frame. Raises Told or FormulaError."""
        own = [b for p in self.parts.values() for b in p.bares()]
        return own + [b for g in self.groups.values() for b in g.bares()]

    def find(self, name: str) -> list[Bare]:
        """The blanks that a name stands for: a part, one copy, a group, or part of a group. Raises Told."""
        head = name.split(".")[0]
        declared: PartDeclaration | GroupDeclaration | None = self.parts.get(head) or self.groups.get(head)
        if declared is None:
            return []
        try:
            return [b for b in declared.bares() if b.id == name or b.id.startswith(name + ".") or copyless(b.id, name)]
        except FormulaError as e:
            raise self.scope.ledger.tell(declared.word.place, str(e)) from None

    def resolved(self) -> Contents:
        """All parts with all cuts, all joints and all that moves, in the group's own frame; what failed is left out."""
        whole = nothing()
        for declared in self.parts.values():
            try:
                whole.parts.extend(declared.parts())
            except Told:
                continue
            except FormulaError as e:
                self.scope.ledger.tell(declared.word.place, str(e))
        for group in self.groups.values():
            try:
                whole = whole.plus(group.resolved())
            except Told:
                continue
            except FormulaError as e:
                self.scope.ledger.tell(group.word.place, str(e))
        self._refuse_far(whole.parts)
        joined = self._joined(whole)
        return joined._replace(bodies=[*joined.bodies, *bodies_of(self.node.get("moving"), joined.parts, self.scope)])

    def _refuse_far(self, parts: list[Part]) -> None:
        """Tell of every part that stands over a kilometre away, of copies only the first."""
        told: set[Place | None] = set()
        for part in parts:
            low, high = part.extents()
            if part.place not in told and max(map(abs, (*low, *high))) > FARTHEST:
                told.add(part.place)
                self.scope.ledger.tell(part.place or self.node.place, f"`{part.id}` stands over a kilometre away")

    def _joined(self, contents: Contents) -> Contents:
        """With the joints that it declares, and those that its assemblies make with what they fill."""
        whole = {p.id.split(".")[0] for p in contents.parts}
        broken = [n for n in (*self.parts, *self.groups) if n not in whole]
        return joined([*self._declared_joints(), *self._joints_around()], contents, self.scope, broken)

    def _declared_joints(self) -> tuple[Node, ...]:
        given = self.node.get("joints")
        if given is None or isinstance(given, Items):
            return given.items if given else ()
        self.scope.ledger.tell(given.place, "`joints` is a list, as `[{miter: [front, left]}]`")
        return ()

    def _joints_around(self) -> list[Node]:
        assemblies = [g for g in self.groups.values() if isinstance(g, AssemblyDeclaration)]
        gone = [name for a in assemblies for name in quietly(a.gone) or ()]
        return [item for a in assemblies for item in quietly(partial(a.joints_around, gone)) or ()]
