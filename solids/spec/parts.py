"""Parts as declared: blank, place, twins and copies known when wanted; own cuts read after."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from solids.cuts import CUTS
from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Corner, Frame, Plane, Vector
from solids.model.part import Blank, Made, Part, Stock
from solids.spec.formula import FormulaError, Quantity
from solids.spec.items import item_of
from solids.spec.placing import (
    ROOM_AXES,
    SetDown,
    mirror_plane,
    point,
    repeated,
    set_down,
    sized,
    standing,
    twin,
    twin_blank,
    twin_frame,
)
from solids.spec.scope import Lazy, Scope, Thing, Told, as_map, as_word, nearest, refuse_unknown
from solids.spec.source import Items, Map, Node, Word
from solids.spec.values import Reading, read, side

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
        if path in ("length", "width", "thickness"):
            return Quantity(getattr(self.blank, path), "length", 1)
        if path in EXTENTS:
            axis, end = EXTENTS[path]
            return Quantity(self.extents()[end][axis], "length", 1)
        known = ("length", "width", "thickness", *EXTENTS)
        raise FormulaError(f"`{name}`: a part has no `.{path}`{nearest(path, known)}")


@dataclass(frozen=True, slots=True)
class House:
    """What a part needs to know of the group that it is declared in."""

    scope: Scope
    stock: Callable[[Word], Stock]
    find: Callable[[str], list[Bare]]
    owner: Callable[[Word], PartDeclaration]


class PartDeclaration:
    """One entry of `parts`."""

    def __init__(self, word: Word, node: Node, house: House) -> None:
        self.word = word
        self.name = word.text
        self.house = house
        self.scope = house.scope
        ledger = self.scope.ledger
        self.places: dict[str, Place] = {}
        self.node = Lazy(self.name, ledger, lambda: as_map(node, ledger, word.place, f"the part `{word.text}`"))
        self.blank = Lazy(self.name, ledger, self._blank)
        self.frame = Lazy(self.name, ledger, self._frame)
        self.moves = Lazy(self.name, ledger, lambda: repeated(self.node.get().get("copies"), self.scope))
        self.thing = Thing("part", word.place, self._value)

    @property
    def is_twin(self) -> bool:
        return self.node.get().get("mirror") is not None

    def original(self) -> PartDeclaration:
        """The part that this one is the handed twin of. Raises Told."""
        given = self.node.get().get("mirror")
        word = as_word(given, self.scope.ledger, self.word.place, "the part to mirror")
        return self.house.owner(word)

    def mirror(self) -> tuple[int, float]:
        return mirror_plane(self.node.get().get("about"), self.scope, self.node.get().place)

    def stock(self) -> Stock | None:
        """What it is made of; None where that is not said. Raises Told."""
        if self.is_twin:
            return self.original().stock()
        given = self.node.get().get("stock")
        if given is None:
            return None
        return self.house.stock(as_word(given, self.scope.ledger, self.word.place, "the name of a stock"))

    def _blank(self) -> Blank:
        if self.is_twin:
            return twin_blank(self.original().blank.get(), self.mirror()[0])
        node = self.node.get()
        stock = self.stock()
        down = self._down()
        length, width, thickness = self._size(node, stock)
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

    def _size(self, node: Map, stock: Stock | None) -> tuple[float, float, float]:
        given = node.get("size")
        if given is None and node.get("outline") is not None:
            return (*self._outline_size(node), self._thickness(None, stock))
        if not isinstance(given, Items) or len(given.items) not in (2, 3):
            at = given.place if given else node.place
            told = f"the part `{self.name}` lacks its `size: [length, width]`: along the grain, then across"
            raise self.scope.ledger.tell(at, told)
        r = Reading(self.scope)
        items = given.items
        self.places.update(zip(("length", "width", "thickness"), (i.place for i in items), strict=False))
        length = read(f.Length(), items[0], r, given.place, "the length")
        width = read(f.Length(), items[1], r, given.place, "the width")
        return length, width, self._thickness(items[2] if len(items) == 3 else None, stock, given)

    def _outline_size(self, node: Map) -> tuple[float, float]:
        corners = read(f.Outline(), node.get("outline"), Reading(self.scope), node.place, "`outline`")
        return max(c.a for c in corners), max(c.b for c in corners)

    def _thickness(self, node: Node | None, stock: Stock | None, size: Node | None = None) -> float:
        if node is not None:
            return float(read(f.Length(), node, Reading(self.scope), node.place, "the thickness"))
        if stock is None:
            at = (size or self.node.get()).place
            told = f"the part `{self.name}` has no `stock`; then its size needs a third number, the thickness"
            raise self.scope.ledger.tell(at, told)
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
        size = self.blank.get().size
        return standing(node, self.scope, self._down().at, size, Vector(0.0, 0.0, 0.0))

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
        if path[0] in ("length", "width", "thickness") and len(path) == 1:
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
        bares = self.bares()
        first = self.cut_part()
        return [replace(first, id=b.id, frame=b.frame) for b in bares]

    def cut_part(self) -> Part:
        """The wood itself, as the first of its copies stands. Raises Told."""
        if self.is_twin:
            refuse_unknown(self.node.get(), TWIN_KEYS, self.scope.ledger, "a handed twin")
            return replace(
                twin(self.original().cut_part(), *self.mirror()),
                source=self.name,
                place=self.word.place,
                frame=self.frame.get(),
            )
        node = self.node.get()
        refuse_unknown(node, (*PART_KEYS, "mirror", "about"), self.scope.ledger, f"the part `{self.name}`")
        if node.get("about") is not None:
            self.scope.ledger.tell(node.entries["about"].key.place, "`about` belongs to `mirror`; here it says nothing")
        part = Part(self.name, self.blank.get(), self.frame.get(), (), self.stock(), self.name, False, self.word.place)
        return replace(part, cuts=self._cuts(part, node), places=dict(self.places))

    def _cuts(self, part: Part, node: Map) -> tuple[Made, ...]:
        given = node.get("cuts")
        if given is None:
            return ()
        if not isinstance(given, Items):
            raise self.scope.ledger.tell(given.place, "`cuts` is a list, as `[{rabbet: rear, on: right, ...}]`")
        made: list[Made] = []
        failed = False
        for item in given.items:
            try:
                made.append(self._cut(part, item, made))
            except Told:
                failed = True
        if failed:
            raise Told(self.name)
        return tuple(made)

    def _cut(self, part: Part, item: Node, before: list[Made]) -> Made:
        def target(node: Node, place: Place) -> Plane:
            return self._target(part, node)

        r = Reading(self.scope, part.blank, target)
        cut, place = item_of(CUTS, item, r, "a cut")
        problems = list(cut.problems(part.blank))
        for which, told in problems:
            self.scope.ledger.tell(r.places.get(which, place), told)
        if problems:
            raise Told(self.name)
        return Made(cut_name(cut, [m.name for m in before]), cut, place, "", dict(r.places))

    def _target(self, part: Part, node: Node) -> Plane:
        """`{z: 0}`, `PART.SIDE`, or a point and what is square to it, as a plane of the part's own axes."""
        if isinstance(node, Map) and "through" in node.entries:
            refuse_unknown(node, ("through", "square_to"), self.scope.ledger, "`to`")
            at = point(node.get("through"), self.scope, node.place)
            normal = point(node.get("square_to"), self.scope, node.place)
            if normal.length() < 1e-12:
                raise self.scope.ledger.tell(node.place, "`square_to` has no direction")
            return _localized(part, Plane.through(at, normal))
        if isinstance(node, Map):
            axis, value = mirror_plane(node, self.scope, node.place)
            normal = Vector(*(1.0 if i == axis else 0.0 for i in range(3)))
            return _localized(part, Plane(normal, value))
        word = as_word(node, self.scope.ledger, self.word.place, "a plane, as `{z: 0}`, or `PART.SIDE`,")
        name, dot, last = word.text.rpartition(".")
        if not dot:
            told = f"`{word.text[:40]}` is no plane: write `{{z: 0}}`, or a part and its side, as `side.right`"
            raise self.scope.ledger.tell(word.place, told)
        s = side(Word(last, word.place), Reading(self.scope), word.place, "`to`")
        found = self.house.find(name)
        if not found:
            raise self.scope.ledger.tell(word.place, f"no part is called `{name}`{self.scope.nearest(name)}")
        if len(found) > 1:
            told = f"`{name}` stands for {len(found)} parts; say which, as `{found[0].id}.{last}`"
            raise self.scope.ledger.tell(word.place, told)
        return _localized(part, found[0].blank.plane(s).moved(found[0].frame))


def _localized(part: Part, plane: Plane) -> Plane:
    n = part.frame.local_direction(plane.normal)
    return Plane(n, plane.offset - plane.normal.dot(part.frame.origin))


def cut_name(cut: object, taken: list[str]) -> str:
    """A cut's own name, else its kind and side; a second of the same has `_2` behind it."""
    name = getattr(cut, "name", "") or "_".join([cut.kind, *_heads(cut)])  # type: ignore[attr-defined]
    return free_name(name, taken)


def free_name(name: str, taken: list[str]) -> str:
    """The name, or the first of `name_2`, `name_3` ... that is not taken."""
    if name not in taken:
        return name
    k = 2
    while f"{name}_{k}" in taken:
        k += 1
    return f"{name}_{k}"


def _heads(cut: object) -> list[str]:
    head = next(d for d in f.declared(type(cut)) if d.metadata["head"])
    value = getattr(cut, head.name)
    if not isinstance(value, tuple):
        return [str(value)]
    sides = [str(v[0] if isinstance(v, tuple) else v) for v in value]
    return ["all"] if len(sides) == 4 else sides
