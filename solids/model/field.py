"""What may stand in a spec: kinds of values, declared once beside the field that takes them.

A cut or a joint is a frozen dataclass whose fields say what they read. From
that one declaration come the reader, the writer of `dryfit expand`, the
schema for editors, the reference pages, and the handed twin.
"""

from __future__ import annotations

import dataclasses
from dataclasses import MISSING, dataclass, replace
from typing import Any, TypeVar

from solids.model.geometry import Corner, Plane, Vector
from solids.model.part import Blank
from solids.model.side import Side


@dataclass(frozen=True, slots=True)
class Kind:
    """What a field takes."""


@dataclass(frozen=True, slots=True)
class Length(Kind):
    """A length over 0, or 0 too where `zero` says so; `signed` for a place in the room."""

    zero: bool = False
    signed: bool = False


@dataclass(frozen=True, slots=True)
class Angle(Kind):
    """Degrees, over `least` and under `most`; `closed` lets the least itself in."""

    least: float = 0.0
    most: float = 90.0
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Count(Kind):
    """A whole number from `least` up to `most`."""

    least: int = 1
    most: int = 1000


@dataclass(frozen=True, slots=True)
class Percent(Kind):
    """A relative humidity, over 0 and under 100."""


@dataclass(frozen=True, slots=True)
class Percents(Kind):
    """The least and the greatest relative humidity, as `[35, 65]`."""


@dataclass(frozen=True, slots=True)
class Temperature(Kind):
    """A temperature of a room, as `21 C` or `70 F`. As a value: °C."""


@dataclass(frozen=True, slots=True)
class Weight(Kind):
    """A load over 0, as `40 kg` or `90 lb`; `per_length` as `30 kg/m` or `20 lb/ft`. As a value: kg, or kg/m."""

    per_length: bool = False


@dataclass(frozen=True, slots=True)
class Text(Kind):
    """Words of the maker's own."""


@dataclass(frozen=True, slots=True)
class Name(Kind):
    """Letters, digits and `_`."""


@dataclass(frozen=True, slots=True)
class Choice(Kind):
    """One of a few words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SideOf(Kind):
    """One side of the part; `kinds` are those of `end`, `edge`, `face` that serve."""

    kinds: tuple[str, ...] = ("end", "edge", "face")


@dataclass(frozen=True, slots=True)
class SidesOf(Kind):
    """One or more sides: a word, a list, or `ends`, `edges`, `all`."""


@dataclass(frozen=True, slots=True)
class CornerOf(Kind):
    """An edge and a broad face, as a list of two sides: the corner that stays long."""


@dataclass(frozen=True, slots=True)
class Distances(Kind):
    """A map of sides to lengths; `zero` lets 0 in. As a value: pairs of Side and mm."""

    zero: bool = False


@dataclass(frozen=True, slots=True)
class At(Kind):
    """A map of sides to distances; `swung` lets a side take a distance at each of two other sides."""

    swung: bool = False


@dataclass(frozen=True, slots=True)
class Lengths(Kind):
    """A list of that many lengths, or of any number where `count` is 0; `one` lets a single length stand for all."""

    count: int = 2
    one: bool = False


@dataclass(frozen=True, slots=True)
class Outline(Kind):
    """A list of points `[a, b]` or `[a, b, corner radius]`, along the grain and across."""


@dataclass(frozen=True, slots=True)
class Target(Kind):
    """A plane of the room, `{z: 0}`, or a side, `PART.SIDE`. As a value: a Plane of the part's own axes."""


@dataclass(frozen=True, slots=True)
class Record(Kind):
    """A map with fields of its own, as a frozen dataclass."""

    type: type


@dataclass(frozen=True, slots=True)
class Records(Kind):
    """A list of such maps; one map stands for a list of one. As a value: a tuple."""

    type: type


@dataclass(frozen=True, slots=True)
class Points(Kind):
    """A list of points `[x, z]`, or `[x, y]` in plan, of any sign."""


@dataclass(frozen=True, slots=True)
class Chosen(Kind):
    """A map of one of a few words to a value, as `{out: 12}`; `many` lets several stand. As a value: pairs."""

    words: tuple[str, ...]
    of: Kind
    many: bool = False


@dataclass(frozen=True, slots=True)
class Either(Kind):
    """One kind where a map stands, another where a list or a word does."""

    map: Kind
    other: Kind


@dataclass(frozen=True, slots=True)
class YesNo(Kind):
    """`yes` or `no`. As a value: a bool."""


@dataclass(frozen=True, slots=True)
class Names(Kind):
    """A list of names of the maker's own. As a value: a tuple of str."""


@dataclass(frozen=True, slots=True)
class StockName(Kind):
    """The name of a stock. As a value: the Stock."""


@dataclass(frozen=True, slots=True)
class HardwareName(Kind):
    """The name of some hardware, of the kinds given. As a value: the hardware itself."""

    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OpeningOf(Kind):
    """A case, or the parts on four sides: `{left, right, bottom, top}`. As a value: an Opening."""


@dataclass(frozen=True, slots=True)
class AssemblyName(Kind):
    """The name of another assembly beside this one, of the kind given. As a value: that assembly."""

    kind: str


@dataclass(frozen=True, slots=True)
class PartName(Kind):
    """The name of a part, a group, or copies; `many` lets a list stand."""

    many: bool = False


def takes(kind: Kind, says: str, default: Any = MISSING, head: bool = False) -> Any:
    """Declare a field: its kind, one line for the reference, and its value when unsaid."""
    metadata = {"kind": kind, "says": says, "head": head}
    return dataclasses.field(default=default, metadata=metadata)


def declared(type_: type) -> list[dataclasses.Field[Any]]:
    """The fields of a cut, joint or record that a spec may say, the heading one first."""
    fields = [f for f in dataclasses.fields(type_) if "kind" in f.metadata]
    return sorted(fields, key=lambda f: not f.metadata["head"])


def key_of(field: dataclasses.Field[Any]) -> str:
    """What a spec calls a field: words that Python keeps for itself have a `_` behind them in the code."""
    return field.name.rstrip("_")


C = TypeVar("C")


def mirrored(cut: C, blank: Blank, axis: int) -> C:
    """The handed twin's cut: no field has a sign, so exchanging the words for two sides is all there is to it."""
    changed = {}
    for f in declared(type(cut)):
        value = getattr(cut, f.name)
        changed[f.name] = _mirrored_value(f.metadata["kind"], value, blank, axis)
    return replace(cut, **changed)  # type: ignore[type-var]


def _mirrored_value(kind: Kind, value: Any, blank: Blank, axis: int) -> Any:
    if value is None:
        return None
    if isinstance(kind, Outline):
        return mirrored_outline(value, blank, axis)
    if isinstance(kind, Target):
        return mirrored_plane(value, blank, axis)
    if isinstance(kind, Record):
        return mirrored(value, blank, axis)
    return _exchanged(value, axis)


def _exchanged(value: Any, axis: int) -> Any:
    if isinstance(value, Side):
        return value.mirrored(axis)
    if isinstance(value, tuple):
        return tuple(_exchanged(v, axis) for v in value)
    return value


def mirrored_outline(outline: tuple[Corner, ...], blank: Blank, axis: int) -> tuple[Corner, ...]:
    """An outline along the grain and across, as the handed twin has it."""
    if axis == blank.face.axis:
        return outline
    along = axis == blank.grain
    length, width = blank.length, blank.width
    flipped = [Corner(length - c.a if along else c.a, c.b if along else width - c.b) for c in outline]
    n = len(flipped)
    return tuple(Corner(flipped[k].a, flipped[k].b, outline[k - 1].bulge) for k in range(n - 1, -1, -1))


def mirrored_plane(plane: Plane, blank: Blank, axis: int) -> Plane:
    """A plane of the part's own axes, as the handed twin has it."""
    n = Vector(*(-c if i == axis else c for i, c in enumerate(plane.normal)))
    return Plane(n, plane.offset - plane.normal[axis] * blank.size[axis], plane.name)
