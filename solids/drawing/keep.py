"""Sheets as bytes and back: what is kept of a part whose numbers have not changed."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from pathlib import Path as File
from typing import Any

from solids.drawing.pens import PENS
from solids.drawing.sheet import Arc, Dimension, Line, Mark, Path, Sheet, Text

DRAWN_BY = ("cuts", "drawing", "kernel", "model")  # rooms whose text decides what a sheet looks like
_PEN = {p.name: p for p in PENS}


def packed(sheet: Sheet) -> bytes:
    """A sheet as JSON, its numbers in full."""
    marks = [_told(m) for m in sheet.marks]
    return json.dumps([sheet.width, sheet.height, sheet.name, sheet.title, marks]).encode()


def opened(data: bytes) -> Sheet:
    """The sheet that `packed` wrote. Raises ValueError where there is none."""
    try:
        width, height, name, title, marks = json.loads(data)
        return Sheet(width, height, name, title, tuple(_mark(m) for m in marks))
    except (ValueError, TypeError, KeyError, IndexError) as problem:
        raise ValueError("these bytes hold no sheet") from problem


def _told(mark: Mark) -> list[Any]:
    if isinstance(mark, Line):
        return ["line", mark.a, mark.b, mark.pen.name]
    if isinstance(mark, Arc):
        return ["arc", mark.centre, mark.radius, mark.pen.name, mark.start, mark.end]
    if isinstance(mark, Path):
        return ["path", mark.points, mark.pen.name, mark.closed, mark.solid]
    if isinstance(mark, Text):
        at = [mark.at, mark.text, mark.height, mark.across, mark.upright, mark.angle, mark.pen.name]
        return ["text", *at]
    marks = [_told(m) for m in mark.marks]
    return ["dimension", mark.kind, marks, mark.points, mark.text, mark.value, mark.scale, mark.angle]


def _mark(told: list[Any]) -> Any:
    kind, *rest = told
    if kind == "line":
        return Line(_point(rest[0]), _point(rest[1]), _PEN[rest[2]])
    if kind == "arc":
        return Arc(_point(rest[0]), rest[1], _PEN[rest[2]], rest[3], rest[4])
    if kind == "path":
        return Path(tuple(map(_point, rest[0])), _PEN[rest[1]], rest[2], rest[3])
    if kind == "text":
        return Text(_point(rest[0]), rest[1], rest[2], rest[3], rest[4], rest[5], _PEN[rest[6]])
    points = tuple(map(_point, rest[2]))
    return Dimension(rest[0], tuple(map(_mark, rest[1])), points, rest[3], rest[4], rest[5], rest[6])


def _point(told: list[float]) -> tuple[float, float]:
    return told[0], told[1]


def key_of(*parts: object) -> str:
    """A name for a sheet by all that it is made from, the text of the rooms that draw it among it."""
    text = "|".join((_own_text(), *(repr(p) for p in parts)))
    return hashlib.sha256(text.encode()).hexdigest()[:32]


@cache
def _own_text() -> str:
    found = hashlib.sha256()
    house = File(__file__).parents[1]
    for room in DRAWN_BY:
        for path in sorted((house / room).rglob("*.py")):
            found.update(path.read_bytes())
    return found.hexdigest()
