"""The piece as it measures: `measured` names parts, copies, cuts and stock that came out otherwise than planned.

Formulas and joints have been worked out from the plan before; only the wood
that is named changes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from solids.model import field as f
from solids.model.finding import Place
from solids.model.measured import SAME, SIZES, Measure, Number, as_found, numbers
from solids.model.part import Part
from solids.model.piece import Piece
from solids.spec.joining import Directory
from solids.spec.ledger import quoted
from solids.spec.scope import Scope, Told, as_map, each, nearest
from solids.spec.source import Entry, Items, Map, Node, Word
from solids.spec.values import Reading, read

FARTHEST = 0.3  # of what was planned: more is another piece, or a slip of the pen
RIGHT_ANGLE_HALF = 45.0  # degrees: what an angle that was planned as nought is compared to


def as_measured(piece: Piece, node: Node | None, scope: Scope, place: Place) -> Piece:
    """The piece with the sizes that `measured` gives; the piece itself where all are as planned.

    What can't be read is told and left out.
    """
    if node is None:
        return piece
    try:
        entries = as_map(node, scope.ledger, place, "`measured`").entries.values()
        names = Directory(list(piece.parts))
        found = each(lambda e: _of_entry(e, piece, names, scope), entries)
    except Told:
        return piece
    measures = tuple(_winners([m for group in found for m in group]))
    if not any(m.off for m in measures):
        return piece
    parts = as_found(piece.parts, measures)
    _tell_problems(piece, parts, measures, scope)
    return replace(piece, parts=parts, measured=measures, plan=piece)


def _winners(measures: list[Measure]) -> list[Measure]:
    """The measures in one order, each with the parts that no closer name measures too: a copy's own size is its own."""
    ranked = sorted(measures, key=lambda m: (not m.stock, -len(m.parts), m.name, m.field))
    last = {(p, m.cut, m.field): k for k, m in enumerate(ranked) for p in m.parts}
    kept = [
        replace(m, parts=tuple(p for p in m.parts if last[p, m.cut, m.field] == k)) for k, m in enumerate(ranked)
    ]  # fmt: skip
    return [m for m in kept if m.parts or m.stock]


class _Target(NamedTuple):
    """What a name of `measured` stands for: parts, one cut in each of them, or a stock."""

    parts: list[Part]
    cut: str = ""
    stock: str = ""

    def numbers(self) -> dict[str, Number]:
        """What can be measured on it, as planned in its first part."""
        first = self.parts[0]
        if self.cut:
            made = first.cut_named(self.cut)
            return dict(numbers(made.cut)) if made else {}
        if self.stock and first.stock:
            return {"thickness": Number(first.stock.thickness, f.Length())}
        sizes = ("thickness",) if first.blank.outline else SIZES
        return {s: Number(getattr(first.blank, s), f.Length()) for s in sizes}

    def plans(self, field: str) -> set[float | None]:
        """What is planned for one number in its parts; None where a part has no such number."""
        alone = (_Target([p], self.cut, self.stock).numbers().get(field) for p in self.parts)
        return {round(n.value, 6) if n else None for n in alone}


def _of_entry(entry: Entry, piece: Piece, names: Directory, scope: Scope) -> list[Measure]:
    """The sizes given for one name. Raises Told."""
    word = entry.key
    target = _target(word, piece, names, scope)
    given = as_map(entry.value, scope.ledger, word.place, f"what was measured on `{word.text}`")
    return each(lambda pair: _measure(word.text, target, pair[0], pair[1], scope), list(_flat(given)))


def _flat(given: Map) -> Iterator[tuple[Word, Node]]:
    """Each number with its whole key: `at: {bottom: 131}` is `at.bottom`, `size: [60, 8]` is `size.1` and `size.2`."""
    for key, entry in given.entries.items():
        if isinstance(entry.value, Map):
            for below, value in _flat(entry.value):
                yield Word(f"{key}.{below.text}", below.place), value
        elif isinstance(entry.value, Items):
            yield from ((Word(f"{key}.{k + 1}", item.place), item) for k, item in enumerate(entry.value.items))
        else:
            yield entry.key, entry.value


def _target(word: Word, piece: Piece, names: Directory, scope: Scope) -> _Target:
    """The parts, cut or stock that a name stands for. Raises Told."""
    name = word.text
    if name in scope.things and scope.things[name].what == "stock":
        of_stock = [p for p in piece.parts if p.stock and p.stock.name == name]
        if not of_stock and not scope.ledger.mistakes:
            raise scope.ledger.tell(word.place, f"no part is made of `{name}`: nothing of it can be measured")
        return _Target(_known(of_stock), stock=name)
    if parts := names.get(name):
        return _Target(_alike(parts, word, scope))
    head, dot, cut = name, ".", ""
    while dot:
        head, dot, last = head.rpartition(".")
        cut = f"{last}.{cut}" if cut else last
        parts = [p for p in names.get(head) if p.cut_named(cut)] if head else []
        if parts:
            return _Target(_alike(parts, word, scope), cut)
    if scope.ledger.mistakes:
        raise Told(name)  # it may be what could not be read
    stocks = {p.stock.name for p in piece.parts if p.stock}
    cuts = {f"{p.id}.{m.name}" for p in piece.parts for m in p.cuts}
    near = nearest(name, {*names.known(), *stocks, *cuts})
    raise scope.ledger.tell(word.place, f"no part, cut or stock is called {quoted(name)}{near}")


def _known(parts: list[Part]) -> list[Part]:
    if not parts:
        raise Told("parts")  # they could not be read
    return parts


def _alike(parts: list[Part], word: Word, scope: Scope) -> list[Part]:
    """Copies of one part. Raises Told where a name stands for unlike ones."""
    if len({(p.source, p.blank.size) for p in parts}) > 1:
        told = f"`{word.text}` stands for {len(parts)} parts that are not copies of one; say which, as `{parts[0].id}`"
        raise scope.ledger.tell(word.place, told)
    return parts


def _measure(name: str, target: _Target, key: Word, node: Node, scope: Scope) -> Measure:
    """One number, read as its place asks and held against the plan. Raises Told."""
    known = target.numbers()
    if key.text not in known:
        told = f"`{name}` has no {quoted(key.text)} that could be measured{nearest(key.text, known)}"
        raise scope.ledger.tell(key.place, told)
    planned, kind = known[key.text].value, known[key.text].kind
    if len(target.plans(key.text)) > 1:
        told = f"`{key.text}` is not planned alike in all that `{name}` stands for; name one, as of"
        raise scope.ledger.tell(key.place, f"{told} `{target.parts[0].id}`")
    value = float(read(kind, node, Reading(scope), key.place, f"`{key.text}`"))
    is_angle = isinstance(kind, f.Angle)
    about = planned or (RIGHT_ANGLE_HALF if is_angle else target.parts[0].blank.thickness)
    if abs(value - planned) > FARTHEST * about + SAME:
        raise scope.ledger.tell(node.place, _too_far(key.text, name, planned, value, "degrees" if is_angle else "mm"))
    parts = tuple(p.id for p in target.parts if not target.stock or abs(p.blank.thickness - planned) < SAME)
    return Measure(name, key.text, parts, planned, value, is_angle, target.cut, target.stock, node.place)


def _too_far(field: str, name: str, planned: float, value: float, unit: str) -> str:
    off = f" ({abs(value - planned) / planned:.0%} off)" if planned else ""
    told = f"`{field}` of `{name}` is {value:g} {unit}, planned as {planned:g} {unit}{off}"
    return f"{told}; a size as measured is within 30 % of the plan: look at its unit, or change the plan"


def _tell_problems(plan: Piece, parts: tuple[Part, ...], measures: tuple[Measure, ...], scope: Scope) -> None:
    """Tell every cut that could be made as planned, and can't in the wood as it measures."""
    place = {id_: m.place for m in reversed(measures) for id_ in m.parts}
    for before, part in zip(plan.parts, parts, strict=True):
        for was, made in zip(before.cuts, part.cuts, strict=True):
            for _, told in set(made.cut.problems(part.blank)) - set(was.cut.problems(before.blank)):
                at = place[part.id]
                assert at is not None
                scope.ledger.tell(at, f"as measured, `{part.id}.{made.name}` can't be made: {told}")
