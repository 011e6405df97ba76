"""Parts as declared: blank, place, twins and copies known when wanted; own cuts read after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from solids.cuts import CUTS
from solids.joints.outcome import local_plane
from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Corner, Frame, Plane, Vector
from solids.model.part import Blank, Made, Part, Stock
from solids.spec.formula import FormulaError, Quantity
from solids.spec.items import item_of
from solids.spec.ledger import quietly, quoted
from solids.spec.naming import cut_name
from solids.spec.placing import (
    ROOM_AXES,
    SetDown,
    mirror_plane,
    point,
    repeated,
    set_down,
    sized,
    square_plane,
    standing,
    twin,
    twin_blank,
    twin_frame,
)
from solids.spec.scope import Lazy, Scope, Thing, Told, as_map, as_word, each, nearest, refuse_unknown
from solids.spec.source import Items, Map, Node, Word
from solids.spec.values import Reading, read, side
from solids.units import lengths_in

SIZES = ("length", "width", "thickness")
PART_KEYS = ("stock", "size", "outline", "place", "cuts", "copies")
TWIN_KEYS = ("mirror", "about", "copies")
EXTENTS = {f"{axis}{end}": (i, end) for axis, i in ROOM_AXES.items() for end in (0, 1)}


class Bare(NamedTuple):
    """A blank where it stands, before any cut: its id, the wood and the frame."""

    id: str
    blank: Blank
    frame: Frame

    def extents(self) -> tuple[Vector, Vector]:
        return Part(self.id, self.blank, self.frame).extents()

    def value(self, path: str, name: str) -> Quantity:
        """`length`, `width`, `thickness`, or `x0` to `z1`. Raises FormulaError."""
        if path in SIZES:
            return Quantity(getattr(self.blank, path), "length", 1)
        if path in EXTENTS:
            axis, end = EXTENTS[path]
            return Quantity(self.extents()[end][axis], "length", 1)
        known = (*SIZES, *EXTENTS)
        raise FormulaError(f"`{name}`: a part has no `.{path}`{nearest(path, known)}")


@dataclass(frozen=True, slots=True)
class House:
    """What a part needs to know of the group that it is declared in."""

    scope: Scope
    find: Callable[[str], list[Bare]]
    owner: Callable[[Word, str], PartDeclaration]


class PartDeclaration:
    """One entry of `parts`."""

    def __init__(self, word: Word, node: Node, house: House) -> None:
        self.word = word
        self.name = word.text
        self.house = house
        self.scope = house.scope
        ledger = self.scope.ledger
        self.places: dict[str, Place] = {}
        self.node = Lazy(self.name, ledger, lambda: self._node(node))
        self.down = Lazy(self.name, ledger, self._down)
        self.blank = Lazy(self.name, ledger, self._blank)
        self.frame = Lazy(self.name, ledger, self._frame)
        self.moves = Lazy(self.name, ledger, lambda: repeated(self.node.get().get("copies"), self.scope))
        self.thing = Thing("part", word.place, self._value)

    def _node(self, node: Node) -> Map:
        ledger = self.scope.ledger
        given = as_map(node, ledger, self.word.place, f"the part `{self.name}`")
        if given.get("mirror") is not None:
            return refuse_unknown(given, TWIN_KEYS, ledger, "a handed twin")
        return refuse_unknown(given, (*PART_KEYS, *TWIN_KEYS), ledger, f"the part `{self.name}`")

    @property
    def is_twin(self) -> bool:
        return self.node.get().get("mirror") is not None

    def original(self) -> PartDeclaration:
        """The part that this one is the handed twin of. Raises Told."""
        given = self.node.get().get("mirror")
        word = as_word(given, self.scope.ledger, self.word.place, "the part to mirror")
        if word.text == self.name:
            raise self.scope.ledger.tell(word.place, f"`{self.name}` can't be its own twin")
        return self.house.owner(word, self.name)

    def mirror(self) -> tuple[int, float]:
        return mirror_plane(self.node.get().get("about"), self.scope, self.node.get().place)

    def stock(self) -> Stock | None:
        """What it is made of; None where that is not said. Raises Told."""
        if self.is_twin:
            return self.original().stock()
        given = self.node.get().get("stock")
        if given is None:
            return None
        return self.scope.stock(as_word(given, self.scope.ledger, self.word.place, "the name of a stock"))

    def _blank(self) -> Blank:
        if self.is_twin:
            return twin_blank(self.original().blank.get(), self.mirror()[0])
        node = self.node.get()
        known = each(lambda read: read(), (self.stock, self.down.get, lambda: self._size(node)))
        stock, down, (length, width, third) = known
        thickness = third if third is not None else self._stock_thickness(stock)
        blank = Blank(sized(down.grain, down.face, length, width, thickness), down.grain, down.face)
        outline = node.get("outline")
        if outline is not None:
            blank = replace(blank, outline=self._outline(outline, length, width))
        return replace(blank, grained=stock is None or stock.solid_wood)

    def _outline(self, node: Node, length: float, width: float) -> tuple[Corner, ...]:
        r = Reading(self.scope)
        corners: tuple[Corner, ...] = read(f.Outline(), node, r, node.place, "`outline`")
        a, b = max(c.a for c in corners), max(c.b for c in corners)
        if abs(a - length) > 1e-6 or abs(b - width) > 1e-6:
            told = f"the outline reaches {a:g} by {b:g} mm, the size says {length:g} by {width:g} mm"
            raise r.tell(node.place, told)
        return corners

    def _size(self, node: Map) -> tuple[float, float, float | None]:
        """Length, width, and the thickness where a third number gives it. Raises Told."""
        given = node.get("size")
        if given is None and node.get("outline") is not None:
            return (*self._outline_size(node), None)
        if not isinstance(given, Items) or len(given.items) not in (2, 3):
            at = given.place if given else node.place
            told = f"the part `{self.name}` lacks its `size: [length, width]`: along the grain, then across"
            raise self.scope.ledger.tell(at, told)
        named = dict(zip(SIZES, given.items, strict=False))
        self.places.update({name: item.place for name, item in named.items()})
        r = Reading(self.scope)
        found = each(lambda n: float(read(f.Length(), named[n], r, given.place, f"the {n}")), named)
        return found[0], found[1], found[2] if len(found) == 3 else None

    def _outline_size(self, node: Map) -> tuple[float, float]:
        corners = read(f.Outline(), node.get("outline"), Reading(self.scope), node.place, "`outline`")
        return max(c.a for c in corners), max(c.b for c in corners)

    def _stock_thickness(self, stock: Stock | None) -> float:
        if stock is None:
            node = self.node.get()
            told = f"the part `{self.name}` has no `stock`; then its size needs a third number, the thickness"
            raise self.scope.ledger.tell((node.get("size") or node).place, told)
        return stock.thickness

    def _down(self) -> SetDown:
        place = self.node.get().get("place")
        node = as_map(place, self.scope.ledger, self.word.place, "`place`") if place is not None else None
        return set_down(node, self.scope)

    def _frame(self) -> Frame:
        if self.is_twin:
            other = self.original()
            return twin_frame(other.blank.get(), other.frame.get(), *self.mirror())
        place = self.node.get().get("place")
        node = place if isinstance(place, Map) else None
        blank, down = (quietly(self.blank.get), quietly(self.down.get))
        origin = Vector(0.0, 0.0, 0.0)
        frame = standing(node, self.scope, down.at if down else origin, blank.size if blank else origin, origin)
        if blank is None or down is None:
            raise Told(self.name)
        return frame

    def bares(self) -> list[Bare]:
        """Its blank, or each of its copies, where they stand. Raises Told or FormulaError."""
        blank = self.blank.get()
        if self.is_twin and self.moves.get() is None and self.original().moves.get() is not None:
            axis, at = self.mirror()
            twins = [twin_frame(b.blank, b.frame, axis, at) for b in self.original().bares()]
            return [Bare(f"{self.name}.{k + 1}", blank, frame) for k, frame in enumerate(twins)]
        moves = self.moves.get()
        if moves is None:
            return [Bare(self.name, blank, self.frame.get())]
        return [Bare(f"{self.name}.{k + 1}", blank, self.frame.get().within(m)) for k, m in enumerate(moves)]

    def _value(self, path: list[str], name: str) -> Quantity:
        if not path:
            raise FormulaError(f"`{name}` is a part; say which of its sizes, as `{name}.length` or `{name}.x1`")
        if path[0] in SIZES and len(path) == 1:
            blank = self.blank.get()
            return Quantity(getattr(blank, path[0]), "length", 1)
        if path[0].isdigit():
            bares = self.bares()
            k = int(path[0])
            if not 1 <= k <= len(bares) or len(path) != 2:
                raise FormulaError(f"`{name}`: `{self.name}` has copies 1 to {len(bares)}, each with its sizes")
            return bares[k - 1].value(path[1], name)
        if len(path) != 1:
            raise FormulaError(f"`{name}` goes further than a part's sizes")
        return self.bares()[0].value(path[0], name)

    def parts(self) -> list[Part]:
        """The part, or each copy, with its own cuts. Raises Told."""
        _, first, bares = each(lambda read: read(), (self.moves.get, self.cut_part, self.bares))
        return [replace(first, id=b.id, frame=b.frame) for b in bares]

    def cut_part(self) -> Part:
        """The wood itself, as the first of its copies stands. Raises Told."""
        if self.is_twin:
            return replace(
                twin(self.original().cut_part(), *self.mirror()),
                source=self.name,
                place=self.word.place,
                frame=self.frame.get(),
            )
        node = self.node.get()
        if node.get("about") is not None:
            self.scope.ledger.tell(node.entries["about"].key.place, "`about` belongs to `mirror`; here it says nothing")
        known = (self.blank.get, self.frame.get, self.stock, self._cuts)
        blank, frame, stock, cuts = each(lambda read: read(), known)
        return Part(self.name, blank, frame, cuts, stock, self.name, False, self.word.place, dict(self.places))

    def _cuts(self) -> tuple[Made, ...]:
        """Its own cuts; of a part that can't stand, so that their mistakes are told too. Raises Told."""
        given = self.node.get().get("cuts")
        if given is None:
            return ()
        if not isinstance(given, Items):
            raise self.scope.ledger.tell(given.place, "`cuts` is a list, as `[{rabbet: rear, on: right, ...}]`")
        blank = quietly(self.blank.get)
        found = each(lambda item: self._cut(item, blank), given.items)
        taken: list[str] = []
        for made in found:
            taken.append(cut_name(made.cut, taken))
        return tuple(replace(made, name=name) for made, name in zip(found, taken, strict=True))

    def _cut(self, item: Node, blank: Blank | None) -> Made:
        """One cut, not yet named. Raises Told."""

        def target(node: Node, place: Place) -> Plane:
            plane = self._target(node)
            return local_plane(Part(self.name, self.blank.get(), self.frame.get()), plane)

        r = Reading(self.scope, blank, target)
        cut, place = item_of(CUTS, item, r, "a cut")
        if blank is None:
            raise Told(self.name)
        problems = list(cut.problems(blank))
        for which, told in problems:
            self.scope.ledger.tell(r.places.get(which, place), lengths_in(told, self.scope.units))
        if problems:
            raise Told(self.name)
        return Made("", cut, place, "", dict(r.places))

    def _target(self, node: Node) -> Plane:
        """`{z: 0}`, `PART.SIDE`, or a point and what is square to it, as a plane of the room."""
        if isinstance(node, Map) and "through" in node.entries:
            node = refuse_unknown(node, ("through", "square_to"), self.scope.ledger, "`to`")
            at, normal = each(lambda key: point(node.get(key), self.scope, node.place), ("through", "square_to"))
            if normal.length() < 1e-12:
                raise self.scope.ledger.tell(node.place, "`square_to` has no direction")
            return Plane.through(at, normal)
        if isinstance(node, Map):
            told = "a plane of the room stands at one of `x`, `y` and `z`, as `to: {z: 0}`"
            axis, value = square_plane(node, self.scope, "`to`", told)
            normal = Vector(*(1.0 if i == axis else 0.0 for i in range(3)))
            return Plane(normal, value)
        word = as_word(node, self.scope.ledger, self.word.place, "a plane, as `{z: 0}`, or `PART.SIDE`,")
        name, dot, last = word.text.rpartition(".")
        if not dot:
            told = f"{quoted(word.text)} is no plane: write `{{z: 0}}`, or a part and its side, as `side.right`"
            raise self.scope.ledger.tell(word.place, told)
        s = side(Word(last, word.place), Reading(self.scope), word.place, "`to`")
        found = self.house.find(name)
        if not found:
            near = self.scope.nearest(name, "part", "group")
            raise self.scope.ledger.tell(word.place, f"no part is called {quoted(name)}{near}")
        if len(found) > 1:
            told = f"`{name}` stands for {len(found)} parts; say which, as `{found[0].id}.{last}`"
            raise self.scope.ledger.tell(word.place, told)
        return found[0].blank.plane(s).moved(found[0].frame)
