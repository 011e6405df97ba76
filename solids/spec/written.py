"""A piece as a spec again, every joint's cuts written out: sizes in mm, nothing left to work out."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import MISSING
from typing import Any

from solids.model import field as f
from solids.model.geometry import Corner, Frame, Plane, Vector, Z, arc, sides
from solids.model.limits import LIMITS, REPLACEABLE, Band, Limits
from solids.model.part import Blank, Made, Part
from solids.model.piece import Piece
from solids.model.shop import Shop
from solids.model.side import Side
from solids.spec.written_whole import hardware_lines, value_words, whole_lines
from solids.spec.written_words import DECIMALS, flat_id, plain_number, quoted
from solids.units import exact

WORDS = ("across", "deep", "up")
SETTLES = 5  # times that a point is rounded and put back on its plane, until its last digits stay


def written(piece: Piece) -> str:
    """The whole piece as a spec that reads back as the same wood in the same places."""
    return "\n".join(_lines(piece)) + "\n"


def _lines(piece: Piece) -> Iterator[str]:
    yield f"title: {quoted(piece.title)}"
    yield "units: mm"
    yield from _shop_line(piece.shop)
    stocks = {p.stock.name: p.stock for p in piece.parts if p.stock}
    if stocks:
        yield "stock:"
    for name, s in sorted(stocks.items()):
        kind = "wood" if s.solid_wood else "sheet"
        nominal = f", nominal: {plain_number(s.nominal)}" if s.nominal != s.thickness else ""
        sizes = f"thickness: {plain_number(s.thickness)}{nominal}, density: {plain_number(s.density)}"
        sawn = f", sawn: {s.sawn}" if s.solid_wood and s.sawn != "flatsawn" else ""
        yield f"  {name}: {{{kind}: {quoted(s.material)}, {sizes}{sawn}}}"
    yield from hardware_lines(piece)
    yield "parts:"
    for part in piece.parts:
        yield from part_lines(part)
    yield from _joint_lines(piece)
    yield from whole_lines(piece)
    yield from _limit_lines(piece.limits)


def _shop_line(shop: Shop) -> Iterator[str]:
    """What the tools can do, where anything is said of it."""
    said = [(d.name, getattr(shop, d.name)) for d in f.declared(Shop)]
    words = [f"{name}: {value_words(value)}" for name, value in said if value is not None]
    if words:
        yield f"shop: {{{', '.join(words)}}}"


def part_lines(part: Part) -> Iterator[str]:
    """One part: size, place and cuts."""
    blank = part.blank
    yield f"  {flat_id(part.id)}:"
    if part.stock:
        yield f"    stock: {part.stock.name}"
    size = (blank.length, blank.width, blank.thickness)
    yield f"    size: [{', '.join(plain_number(v) for v in size)}]"
    if blank.outline:
        yield f"    outline: {_outline(blank.outline)}"
    yield f"    place: {_place(blank, part.frame)}"
    if part.cuts:
        yield "    cuts:"
    for made in part.cuts:
        yield f"      - {cut_text(made, part)}"


def _place(blank: Blank, frame: Frame) -> str:
    at = ", ".join(plain_number(c) for c in frame.origin)
    head = f"at: [{at}], length: {WORDS[blank.grain]}, face: {blank.face}"
    lean, turn = lean_and_turn(frame)
    if lean:
        angles = ", ".join(f"{s}: {plain_number(v)}" for s, v in lean)
        head += f", lean: {{{angles}, about: [{at}]}}"
    if turn:
        head += f", turn: {plain_number(turn)}"
    return f"{{{head}}}"


def lean_and_turn(frame: Frame) -> tuple[list[tuple[Side, float]], float]:
    """A frame's turning as one tip and one turn about the upright, in degrees.

    Raises ValueError where the top looks level or down: no lean says that.
    """
    up = frame.z
    if up.z <= 1e-9:
        raise ValueError("a part that leans by 90 degrees or more can't be written with `lean`")
    axis = Z.cross(up)
    if axis.length() < 1e-12:
        return [], _degrees(frame.x)
    # Of a tip after a turn, what is left of the matrix across its diagonal is the turn alone.
    turn = math.degrees(math.atan2(frame.x.y - frame.y.x, frame.x.x + frame.y.y))
    swing = _untwisted(frame, turn)
    slope = Vector(swing.x / swing.z, swing.y / swing.z, 0.0)
    lean = []
    for side_low, side_high, value in ((Side.LEFT, Side.RIGHT, slope.x), (Side.FRONT, Side.REAR, slope.y)):
        if abs(value) > 1e-13:
            lean.append((side_high if value > 0 else side_low, math.degrees(math.atan(abs(value)))))
    return lean, 0.0 if abs(turn) < 1e-11 else turn


def _untwisted(frame: Frame, turn: float) -> Vector:
    """Where the top looked before the turn about the upright."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    u = frame.z
    return Vector(c * u.x + s * u.y, c * u.y - s * u.x, u.z)


def _degrees(x: Vector) -> float:
    turn = math.degrees(math.atan2(x.y, x.x))
    return 0.0 if abs(turn) < 1e-11 else turn


def cut_text(made: Made, part: Part) -> str:
    """One cut as a map of one line."""
    cut = made.cut
    items = []
    for d in f.declared(type(cut)):
        value = getattr(cut, d.name)
        if d.name == "name" or (d.default is not MISSING and value == d.default):
            continue
        key = cut.kind if d.metadata["head"] else f.key_of(d)
        items.append(f"{key}: {value_text(d.metadata['kind'], value, part)}")
    return "{" + ", ".join([*items, f"name: {flat_id(made.name)}"]) + "}"


def value_text(kind: f.Kind, value: Any, part: Part) -> str:
    """A field's value as the reader of its kind takes it."""
    if isinstance(kind, f.Length | f.Angle):
        return plain_number(value)
    if isinstance(kind, f.Lengths):
        return "[" + ", ".join(plain_number(v) for v in value) + "]"
    if isinstance(kind, f.Outline):
        return _outline(value)
    if isinstance(kind, f.Target):
        return _plane(value, part)
    if isinstance(kind, f.Record):
        inner = [
            f"{f.key_of(d)}: {value_text(d.metadata['kind'], getattr(value, d.name), part)}"
            for d in f.declared(kind.type)
            if getattr(value, d.name) is not None
        ]
        return "{" + ", ".join(inner) + "}"
    if isinstance(kind, f.At | f.Distances):
        return _distances(value)
    if isinstance(value, tuple):
        return "[" + ", ".join(str(v) for v in value) + "]"
    return str(value)


def _distances(pairs: Any) -> str:
    return "{" + ", ".join(f"{s}: {_distances(d) if isinstance(d, tuple) else plain_number(d)}" for s, d in pairs) + "}"


def _plane(plane: Plane, part: Part) -> str:
    """A plane of the part's own axes, in the room, by a point and what it is square to.

    The point is the plane's nearest to the part's corner, as it comes out again of the numbers that are written.
    """
    square, corner = _rounded(part.frame.direction(plane.normal)), _rounded(part.frame.origin)
    normal = square.unit()
    point = part.frame.point(plane.normal.times(plane.offset))
    for _ in range(SETTLES):
        point = _rounded(corner.plus(normal.times(point.minus(corner).dot(normal))))
    through, square_to = (", ".join(plain_number(c) for c in v) for v in (point, square))
    return f"{{through: [{through}], square_to: [{square_to}]}}"


def _rounded(v: Vector) -> Vector:
    """As it is written."""
    return Vector(*(round(c, DECIMALS) + 0.0 for c in v))


def _outline(outline: tuple[Corner, ...]) -> str:
    """Points with corner radii again: a rounding is the corner where its two sides would meet."""
    points = []
    for k, (p, q) in enumerate(sides(outline)):
        if p.bulge:
            points.append("[" + ", ".join(plain_number(v) for v in _sharp(p, q)) + "]")
        elif not outline[k - 1].bulge:
            points.append(f"[{plain_number(p.a)}, {plain_number(p.b)}]")
    return "[" + ", ".join(points) + "]"


def _sharp(p: Corner, q: Corner) -> tuple[float, float, float]:
    a, b, radius, _, swept = arc(p, q)
    middle = ((p.a + q.a) / 2, (p.b + q.b) / 2)
    out = (middle[0] - a, middle[1] - b)
    scale = 1 / math.cos(swept / 2) ** 2
    return a + out[0] * scale, b + out[1] * scale, radius


def _joint_lines(piece: Piece) -> Iterator[str]:
    """Joints as what they leave behind: which cuts are to meet, and how closely."""
    if piece.joints:
        yield "joints:"
    for j in piece.joints:
        if j.asked is not None:
            ware = f", with: {j.hardware}" if j.hardware else ""
            kind = "clearance" if j.kind == "hinge" else j.kind  # a hinge that is let into neither
            yield f"  - {{{kind}: [{flat_id(j.a)}, {flat_id(j.b)}], gap: {plain_number(j.asked)}{ware}}}"
            continue
        by = ", ".join(f"{flat_id(p)}.{flat_id(c)}" for p, c in j.cuts)
        how = f", by: [{by}], like: {j.kind}" if by else ""
        deep = f", depth: {plain_number(j.depth)}" if by and j.depth else ""
        ware = f", with: {j.hardware}" if by and j.hardware else ""
        yield f"  - {{touch: [{flat_id(j.a)}, {flat_id(j.b)}]{how}{deep}{ware}, fit: {j.fit}}}"


def _limit_lines(limits: Limits) -> Iterator[str]:
    """The limits that the spec replaces."""
    said = {k: getattr(limits, k) for k in REPLACEABLE if getattr(limits, k) != getattr(LIMITS, k)}
    if said:
        yield "limits:"
    for key, value in said.items():
        yield (
            f"  {key}: [{', '.join(exact(v) for v in value)}]"
            if isinstance(value, Band)
            else f"  {key}: {exact(value)}"
        )
