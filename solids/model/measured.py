"""Wood as it measures: which number of a part, a cut or a stock came out otherwise than planned, and what that makes.

A part keeps its face where it stands, and its left, front, bottom corner; a
cut keeps its long side. All other numbers stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from solids.model import field as f
from solids.model.finding import Place
from solids.model.geometry import Plane, Vector
from solids.model.part import Cut, Part

SIZES = ("length", "width", "thickness")
SAME = 1e-6  # mm or degrees: as planned


@dataclass(frozen=True, slots=True)
class Measure:
    """One number as measured, in mm or degrees; of `cut` in each of `parts`, or of their blanks.

    `stock` is the name of the stock that was measured, where it was one.
    """

    name: str
    field: str
    parts: tuple[str, ...]
    planned: float
    value: float
    is_angle: bool = False
    cut: str = ""
    stock: str = ""
    place: Place | None = None

    @property
    def off(self) -> float:
        """By how much it is more than planned; 0 where that is rounding."""
        off = self.value - self.planned
        return off if abs(off) > SAME else 0.0


def as_found(parts: tuple[Part, ...], measures: tuple[Measure, ...]) -> tuple[Part, ...]:
    """The parts with every number as measured."""
    for m in (m for m in measures if m.off):
        parts = tuple(_found(p, m) for p in parts)
    return parts


def _found(part: Part, m: Measure) -> Part:
    if m.stock and part.stock is not None and part.stock.name == m.stock:
        nominal = m.value if part.stock.nominal == part.stock.thickness else part.stock.nominal
        part = replace(part, stock=replace(part.stock, thickness=m.value, nominal=nominal))
    if part.id not in m.parts:
        return part
    return recut(part, m.cut, m.field, m.value) if m.cut else resized(part, m.field, m.value)


def resized(part: Part, field: str, value: float, from_high: bool = False) -> Part:
    """The part with another length, width or thickness; `from_high` keeps its right, rear or top where it is.

    Its thickness is always taken from behind its face.
    """
    blank = part.blank
    axis = {"length": blank.grain, "width": blank.across, "thickness": blank.face.axis}[field]
    keeps_high = blank.face.sign > 0 if field == "thickness" else from_high
    less = blank.size[axis] - value
    size = Vector(*(value if i == axis else c for i, c in enumerate(blank.size)))
    moved = Vector(*(less if i == axis and keeps_high else 0.0 for i in range(3)))
    cuts = tuple(replace(m, cut=_still(m.cut, moved)) for m in part.cuts)
    frame = part.frame._replace(origin=part.frame.point(moved))
    return replace(part, blank=replace(blank, size=size), frame=frame, cuts=cuts)


def _still(cut: Any, moved: Vector) -> Any:
    """The cut with its planes where they are in the room, though the part's own corner has moved."""
    planes = {
        d.name: Plane(p.normal, p.offset - p.normal.dot(moved), p.name)
        for d in f.declared(type(cut))
        if isinstance(p := getattr(cut, d.name), Plane)
    }
    return replace(cut, **planes) if planes else cut


def recut(part: Part, name: str, field: str, value: float) -> Part:
    """The part with another number in one of its cuts."""
    cuts = tuple(replace(m, cut=with_number(m.cut, field, value)) if m.name == name else m for m in part.cuts)
    return replace(part, cuts=cuts)


@dataclass(frozen=True, slots=True)
class Number:
    """A number of a cut and the kind of value that it is."""

    value: float
    kind: f.Length | f.Angle


def numbers(cut: Cut) -> Mapping[str, Number]:
    """The numbers of a cut that can be measured, as a spec calls them: `depth`, `at.bottom`, `size.1`."""
    return dict(_numbers(cut))


def _numbers(cut: Cut) -> Iterator[tuple[str, Number]]:
    for d in f.declared(type(cut)):
        kind, value = d.metadata["kind"], getattr(cut, d.name)
        key = cut.kind if d.metadata["head"] else d.name
        if isinstance(kind, f.Angle):  # what is planned as nought may measure nought
            yield key, Number(value, f.Angle(kind.least, kind.most, closed=True))
        elif isinstance(kind, f.Length) and value is not None:
            yield key, Number(value, kind)
        elif isinstance(kind, f.Lengths) and value is not None:
            yield from ((f"{key}.{k + 1}", Number(v, f.Length())) for k, v in enumerate(value))
        elif isinstance(kind, f.At | f.Distances):
            yield from ((f"{key}.{k}", Number(v, f.Length(zero=True))) for k, v in _distances(value))


def _distances(pairs: Any) -> Iterator[tuple[str, float]]:
    for side, value in pairs:
        if isinstance(value, tuple):
            yield from ((f"{side}.{end}", v) for end, v in value)
        else:
            yield str(side), value


def with_number(cut: Cut, path: str, value: float) -> Cut:
    """The cut with one of its `numbers` changed."""
    key, *rest = path.split(".")
    field = next(d for d in f.declared(type(cut)) if key == (cut.kind if d.metadata["head"] else d.name))
    return replace(cut, **{field.name: _with(getattr(cut, field.name), rest, value)})  # type: ignore[type-var]


def _with(old: Any, path: list[str], value: float) -> Any:
    if not path:
        return value
    if path[0].isdigit():
        return tuple(value if k + 1 == int(path[0]) else v for k, v in enumerate(old))
    return tuple((side, _with(v, path[1:], value) if str(side) == path[0] else v) for side, v in old)
