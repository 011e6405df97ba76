"""Groups: parts, joints and groups in a frame of their own, then placed, mirrored and copied as one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from solids.model.finding import Place
from solids.model.geometry import STILL, Frame, Vector
from solids.model.part import Part, Stock
from solids.model.piece import Joint
from solids.spec.formula import FARTHEST, FormulaError, Quantity
from solids.spec.joining import joined
from solids.spec.ledger import is_name, lawful_name, quoted
from solids.spec.parts import EXTENTS, Bare, House, PartDeclaration
from solids.spec.placing import box_of, mirror_plane, point, repeated, standing, twin, twin_blank, twin_frame
from solids.spec.scope import Lazy, Scope, Thing, Told, as_map, as_word, nearest, refuse_unknown
from solids.spec.source import Items, Map, Node, Word

GROUP_KEYS = ("parts", "joints", "groups", "place", "mirror", "about", "copies")
TWIN_KEYS = ("mirror", "about", "copies")
MOST_PARTS = 20_000  # that a group and its copies may come to


class Group:
    """The piece itself, or one entry of `groups`: what stands in it, in its own frame."""

    def __init__(self, name: str, node: Map, scope: Scope, stock: Callable[[Word], Stock]) -> None:
        self.name = name
        self.node = node
        self.scope = scope
        self.stock = stock
        self.parts: dict[str, PartDeclaration] = {}
        self.groups: dict[str, GroupDeclaration] = {}
        house = House(scope, stock, self.find, self.owner)
        for word, value in self._entries("parts"):
            part = PartDeclaration(word, value, house)
            self.parts[word.text] = part
            scope.declare(word, part.thing)
        for word, value in self._entries("groups"):
            group = GroupDeclaration(word, value, self)
            self.groups[word.text] = group
            scope.declare(word, group.thing)

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
        named = [lawful_name(entry, self.scope.ledger) for entry in found.entries.values()]
        return [(entry.key, entry.value) for entry in named if is_name(entry.key.text)]

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
            return [b for b in declared.bares() if b.id == name or b.id.startswith(name + ".") or _copyless(b.id, name)]
        except FormulaError as e:
            raise self.scope.ledger.tell(declared.word.place, str(e)) from None

    def resolved(self) -> tuple[list[Part], list[Joint]]:
        """All parts with all cuts, and all joints, in the group's own frame; what failed is told and left out."""
        parts: list[Part] = []
        joints: list[Joint] = []
        for declared in self.parts.values():
            try:
                parts += declared.parts()
            except Told:
                continue
            except FormulaError as e:
                self.scope.ledger.tell(declared.word.place, str(e))
        for group in self.groups.values():
            try:
                more, their = group.resolved()
            except Told:
                continue
            except FormulaError as e:
                self.scope.ledger.tell(group.word.place, str(e))
                continue
            parts += more
            joints += their
        self._refuse_far(parts)
        return self._joined(parts, joints)

    def _refuse_far(self, parts: list[Part]) -> None:
        """Tell of every part that stands over a kilometre away, of copies only the first."""
        told: set[Place | None] = set()
        for part in parts:
            low, high = part.extents()
            if part.place not in told and max(map(abs, (*low, *high))) > FARTHEST:
                told.add(part.place)
                self.scope.ledger.tell(part.place or self.node.place, f"`{part.id}` stands over a kilometre away")

    def _joined(self, parts: list[Part], joints: list[Joint]) -> tuple[list[Part], list[Joint]]:
        given = self.node.get("joints")
        if given is None:
            return parts, joints
        if not isinstance(given, Items):
            self.scope.ledger.tell(given.place, "`joints` is a list, as `[{miter: [front, left]}]`")
            return parts, joints
        whole = {p.id.split(".")[0] for p in parts}
        broken = [n for n in (*self.parts, *self.groups) if n not in whole]
        return joined(given, parts, joints, self.scope, broken)


def _names(id_: str, name: str) -> bool:
    return id_ == name or id_.startswith(name + ".")


def _copyless(id_: str, name: str) -> bool:
    """`bay.side` stands for `bay.1.side` and `bay.2.side` too."""
    return ".".join(s for s in id_.split(".") if not s.isdigit()) == name


class GroupDeclaration:
    """One entry of `groups`."""

    def __init__(self, word: Word, node: Node, outer: Group) -> None:
        self.word = word
        self.name = word.text
        self.outer = outer
        ledger = outer.scope.ledger
        self.node = Lazy(self.name, ledger, lambda: self._node(node))
        self.inner = Lazy(self.name, ledger, self._inner)
        self.frame = Lazy(self.name, ledger, self._frame)
        self.moves = Lazy(self.name, ledger, lambda: repeated(self.node.get().get("copies"), outer.scope))
        self.thing = Thing("group", word.place, self._value)

    def _node(self, node: Node) -> Map:
        ledger = self.outer.scope.ledger
        given = as_map(node, ledger, self.word.place, f"the group `{self.name}`")
        if given.get("mirror") is not None:
            return refuse_unknown(given, TWIN_KEYS, ledger, "a handed twin")
        return refuse_unknown(given, GROUP_KEYS, ledger, f"the group `{self.name}`")

    @property
    def is_twin(self) -> bool:
        return self.node.get().get("mirror") is not None

    def original(self) -> GroupDeclaration:
        """The group that this one is the handed twin of. Raises Told."""
        ledger = self.outer.scope.ledger
        word = as_word(self.node.get().get("mirror"), ledger, self.word.place, "the group to mirror")
        if word.text == self.name:
            raise ledger.tell(word.place, f"`{self.name}` can't be its own twin")
        if word.text in self.outer.groups:
            return self.outer.groups[word.text]
        others = [name for name in self.outer.groups if name != self.name]
        raise ledger.tell(word.place, f"no group is called {quoted(word.text)}{nearest(word.text, others)}")

    def mirror(self) -> tuple[int, float]:
        return mirror_plane(self.node.get().get("about"), self.outer.scope, self.node.get().place)

    def _inner(self) -> Group:
        scope = Scope(self.outer.scope.ledger, self.outer.scope.units, self.outer.scope)
        return Group(self.name, self.node.get(), scope, self.outer.stock)

    def _frame(self) -> Frame:
        place = self.node.get().get("place")
        if place is None:
            return STILL
        scope = self.outer.scope
        node = as_map(place, scope.ledger, self.word.place, "`place`")
        node = refuse_unknown(node, ("at", "lean", "turn"), scope.ledger, "a group's `place`")
        at = point(node.get("at"), scope, node.place) if node.get("at") else Vector(0.0, 0.0, 0.0)
        low, high = box_of(b.extents() for b in self.inner.get().bares()) if node.get("lean") else (at, at)
        return standing(node, scope, at, high.minus(low), low)

    def _first(self) -> list[Bare]:
        """The blanks of its first copy, in the outer frame, their ids without the group's."""
        if self.is_twin:
            axis, at = self.mirror()
            return [
                Bare(b.id, twin_blank(b.blank, axis), twin_frame(b.blank, b.frame, axis, at))
                for b in self.original()._first()
            ]
        frame = self.frame.get()
        return [Bare(b.id, b.blank, b.frame.within(frame)) for b in self.inner.get().bares()]

    def bares(self) -> list[Bare]:
        """Every blank of every copy, in the outer frame. Raises Told or FormulaError."""
        moves = self.moves.get()
        if moves is None:
            return [Bare(f"{self.name}.{b.id}", b.blank, b.frame) for b in self._first()]
        first = self._first()
        self._bounded(len(moves) * len(first))
        return [
            Bare(f"{self.name}.{k + 1}.{b.id}", b.blank, b.frame.within(m)) for k, m in enumerate(moves) for b in first
        ]

    def _bounded(self, many: int) -> None:
        if many > MOST_PARTS:
            told = f"the group `{self.name}` comes to {many} parts; the most is {MOST_PARTS}"
            raise self.outer.scope.ledger.tell(self.word.place, told)

    def _value(self, path: list[str], name: str) -> Quantity:
        if not path:
            raise FormulaError(f"`{name}` is a group; say which part and size, as `{name}.side.length`")
        *before, last = path
        wanted = ".".join([self.name, *before])
        found = [b for b in self.bares() if _names(b.id, wanted) or _copyless(b.id, wanted)]
        if not found:
            raise FormulaError(f"`{name}`: nothing in the group `{self.name}` is called `{'.'.join(before)}`")
        if last in EXTENTS:
            low, high = box_of(b.extents() for b in found)
            axis, end = EXTENTS[last]
            return Quantity((low, high)[end][axis], "length", 1)
        return found[0].value(last, name)

    def _wood(self) -> tuple[list[Part], list[Joint]]:
        """Parts and joints of its first copy, in the outer frame, their ids without the group's."""
        if self.is_twin:
            axis, at = self.mirror()
            parts, joints = self.original()._wood()
            return [twin(p, axis, at) for p in parts], joints
        parts, joints = self.inner.get().resolved()
        frame = self.frame.get()
        return [replace(p, frame=p.frame.within(frame)) for p in parts], joints

    def resolved(self) -> tuple[list[Part], list[Joint]]:
        """All parts and joints of all copies, in the outer frame. Raises Told or FormulaError."""
        parts, joints = self._wood()
        moves = self.moves.get()
        if moves is None:
            return _prefixed(self.name, parts, joints, STILL)
        self._bounded(len(moves) * len(parts))
        all_parts: list[Part] = []
        all_joints: list[Joint] = []
        for k, m in enumerate(moves):
            more, their = _prefixed(f"{self.name}.{k + 1}", parts, joints, m)
            all_parts += more
            all_joints += their
        return all_parts, all_joints


def _prefixed(name: str, parts: list[Part], joints: list[Joint], move: Frame) -> tuple[list[Part], list[Joint]]:
    placed = [replace(p, id=f"{name}.{p.id}", frame=p.frame.within(move)) for p in parts]
    named = [
        replace(j, a=f"{name}.{j.a}", b=f"{name}.{j.b}", cuts=tuple((f"{name}.{p}", c) for p, c in j.cuts))
        for j in joints
    ]
    return placed, named


__all__ = ["Group", "Place"]
