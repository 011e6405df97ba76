"""A group as declared: placed, leaned, mirrored and copied as one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from solids.model.geometry import STILL, Frame, Vector
from solids.spec.contents import Contents, nothing
from solids.spec.formula import FormulaError, Quantity
from solids.spec.ledger import quoted
from solids.spec.parts import EXTENTS, Bare
from solids.spec.placing import box_of, mirror_plane, point, repeated, standing, twin_blank, twin_frame
from solids.spec.scope import Lazy, Thing, as_map, as_word, nearest, refuse_unknown
from solids.spec.source import Map, Node, Word

if TYPE_CHECKING:
    from solids.spec.groups import Group

GROUP_KEYS = ("parts", "joints", "groups", "assemblies", "moving", "place", "mirror", "about", "copies")
TWIN_KEYS = ("mirror", "about", "copies")
MOST_PARTS = 20_000  # that a group and its copies may come to


class GroupDeclaration:
    """One entry of `groups`."""

    what = "group"

    def __init__(self, word: Word, node: Node, outer: Group) -> None:
        self.word = word
        self.name = word.text
        self.outer = outer
        ledger = outer.scope.ledger
        self.node = Lazy(self.name, ledger, lambda: self._node(node))
        self.inner = Lazy(self.name, ledger, self._inner)
        self.frame = Lazy(self.name, ledger, self._frame)
        self.moves = Lazy(self.name, ledger, lambda: repeated(self.node.get().get("copies"), outer.scope))
        self.thing = Thing(self.what, word.place, self._value)

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
        return self.outer.inside(self.name, self.node.get())

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
            raise FormulaError(f"`{name}` is {_a(self.what)}; say which part and size, as `{name}.side.length`")
        *before, last = path
        wanted = ".".join([self.name, *before])
        found = [b for b in self.bares() if named(b.id, wanted) or copyless(b.id, wanted)]
        if not found:
            raise FormulaError(f"`{name}`: nothing in the {self.what} `{self.name}` is called `{'.'.join(before)}`")
        if last in EXTENTS:
            low, high = box_of(b.extents() for b in found)
            axis, end = EXTENTS[last]
            return Quantity((low, high)[end][axis], "length", 1)
        return found[0].value(last, name)

    def _contents(self) -> Contents:
        """What stands in its first copy, in the outer frame, by names without the group's."""
        if self.is_twin:
            return self.original()._contents().twin(*self.mirror())
        return self.inner.get().resolved().within(self.frame.get())

    def resolved(self) -> Contents:
        """What stands in all its copies, in the outer frame. Raises Told or FormulaError."""
        first, moves = self._contents(), self.moves.get()
        if moves is None:
            return first.prefixed(self.name)
        self._bounded(len(moves) * len(first.parts))
        whole = nothing()
        for k, move in enumerate(moves):
            whole = whole.plus(first.within(move).prefixed(f"{self.name}.{k + 1}"))
        return whole


def named(id_: str, name: str) -> bool:
    """Whether a name stands for a part of that id: itself, or all that is in a group."""
    return id_ == name or id_.startswith(name + ".")


def copyless(id_: str, name: str) -> bool:
    """`bay.side` stands for `bay.1.side` and `bay.2.side` too."""
    return ".".join(s for s in id_.split(".") if not s.isdigit()) == name


def _a(what: str) -> str:
    return f"an {what}" if what[0] in "aeiou" else f"a {what}"
