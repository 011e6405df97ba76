"""What a spec says of the piece as a whole, written out again: what moves, modules, passages, the room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from solids.model import field as f
from solids.model.boards import Board
from solids.model.carrying import Passage
from solids.model.geometry import Vector
from solids.model.load import Load
from solids.model.motion import Body, Slide
from solids.model.piece import Piece
from solids.model.seasons import Seasons
from solids.spec.written_words import flat_id, plain_number, quoted


def whole_lines(piece: Piece) -> Iterator[str]:
    """The sections after the parts and joints, those that say anything."""
    yield from _section("moving", ((flat_id(b.name), _body(b)) for b in piece.bodies))
    modules = ((m.name, f"[{', '.join(map(flat_id, m.parts))}]") for m in piece.modules)
    yield from _section("modules", modules)
    yield from _section("passages", ((p.name, _passage(p)) for p in piece.passages))
    room = ((o.name, f"{{from: {_point(o.low)}, to: {_point(o.high)}}}") for o in piece.room)
    yield from _section("room", room)
    yield from _section("on_hand", ((b.name, _board(b)) for b in _usable(piece)))
    if piece.seasons:
        yield f"seasons: {_seasons(piece.seasons)}"
    yield from _section("loads", ((flat_id(load.part), _load(load)) for load in piece.loads))
    yield from _section("drawing", ((quoted(k), quoted(v)) for k, v in piece.drawing.items()))


def _usable(piece: Piece) -> Iterator[Board]:
    """The boards on hand that are of a stock which some part is made of."""
    used = {p.stock.name for p in piece.parts if p.stock}
    return (b for b in piece.on_hand if b.stock.name in used)


def _board(board: Board) -> str:
    size = f"[{plain_number(board.length)}, {plain_number(board.width)}]"
    thick = "" if board.thickness is None else f", thickness: {plain_number(board.thickness)}"
    return f"{{stock: {board.stock.name}, size: {size}{thick}, count: {plain_number(board.count)}}}"


def _seasons(seasons: Seasons) -> str:
    low, high = seasons.humidity
    air = f"humidity: [{plain_number(low)}, {plain_number(high)}], temperature: {plain_number(seasons.temperature)} C"
    made = "" if seasons.made_at is None else f", made_at: {plain_number(seasons.made_at)}"
    return f"{{{air}{made}}}"


def _load(load: Load) -> str:
    units = {"spread": "kg/m", "total": "kg", "middle": "kg"}
    said = [(key, getattr(load, key), unit) for key, unit in units.items() if getattr(load, key) is not None]
    return "{" + ", ".join(f"{key}: {plain_number(value)} {unit}" for key, value, unit in said) + "}"


def hardware_lines(piece: Piece) -> Iterator[str]:
    """The hardware that joints name, by its sizes."""
    used = {j.hardware for j in piece.joints if j.hardware}
    yield from _section("hardware", ((name, _record(ware)) for name, ware in piece.hardware.items() if name in used))


def _record(value: Any) -> str:
    """A record's fields that say anything."""
    said = [(d, getattr(value, d.name)) for d in f.declared(type(value))]
    return "{" + ", ".join(f"{f.key_of(d)}: {value_words(v)}" for d, v in said if v is not None and v != ()) + "}"


def value_words(value: Any) -> str:
    """A number, a word, a list or a record as a spec says it."""
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, float | int):
        return plain_number(value)
    if isinstance(value, tuple):
        return f"[{', '.join(value_words(v) for v in value)}]"
    return _record(value)


def _section(key: str, entries: Iterable[tuple[str, str]]) -> Iterator[str]:
    lines = [f"  {name}: {text}" for name, text in entries]
    if lines:
        yield f"{key}:"
        yield from lines


def _body(body: Body) -> str:
    parts = ", ".join(map(flat_id, body.parts))
    m = body.motion
    if isinstance(m, Slide):
        how = f"slide: {{toward: {_point(m.toward)}, by: {plain_number(m.travel)}}}"
    else:
        how = f"swing: {{about: {_point(m.about)}, axis: {_point(m.axis)}, by: {plain_number(m.by)}}}"
    return f"{{parts: [{parts}], {how}}}"


def _passage(passage: Passage) -> str:
    said = [(f.key_of(d), getattr(passage, d.name)) for d in f.declared(Passage)]
    return "{" + ", ".join(f"{key}: {plain_number(v)}" for key, v in said if v is not None) + "}"


def _point(v: Vector) -> str:
    return f"[{', '.join(plain_number(c + 0.0) for c in v)}]"  # no -0
