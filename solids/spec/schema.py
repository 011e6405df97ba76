"""The JSON Schema of specs, for editors that check while one types; made from the fields themselves."""

from __future__ import annotations

from dataclasses import MISSING
from typing import Any

from solids.assemblies import ASSEMBLIES
from solids.cuts import CUTS
from solids.joints import JOINTS
from solids.model import field as f
from solids.model.boards import Board
from solids.model.carrying import Passage
from solids.model.hardware import HARDWARE
from solids.model.limits import LIMITS, REPLACEABLE, Band
from solids.model.load import Load
from solids.model.seasons import Seasons
from solids.model.shop import Shop
from solids.model.side import SIDES
from solids.spec.stocks import SAWN

DRAFT = "https://json-schema.org/draft/2020-12/schema"
SIZE = {
    "type": ["string", "number"],
    "description": "a size or a formula, as 7 1/4, 18 mm, width - 2 * cherry.thickness",
}
SIDE = {"enum": [str(s) for s in SIDES]}
NAMES = r"^(?=\w*[^\W\d])\w+$"
# To YAML the comma of `max(a, b)` parts two items, and in a map the rest is a key with nothing behind it.
OPEN, REST = {"type": "string", "pattern": r"\("}, r"\)"


def schema() -> dict[str, Any]:
    """The whole schema as plain data."""
    group = _object({"parts": _named(_part()), "joints": _joints(), "groups": {"$ref": "#/$defs/groups"},
                     "assemblies": _assemblies(), "moving": _named(_moving()),
                     "place": {"$ref": "#/$defs/place"}, "mirror": {"type": "string"}, "about": _room(),
                     "copies": {"$ref": "#/$defs/copies"}})  # fmt: skip
    top = {
        "title": {"type": ["string", "number"]},
        "units": {"enum": ["in", "mm"], "description": "what a bare length means"},
        "use": {"type": ["string", "array"], "items": {"type": "string"}},
        "sizes": _named(SIZE),
        "numbers": _named(SIZE),
        "stock": _named(_stock()),
        "hardware": _named({"anyOf": [item(h) for h in HARDWARE.values()]}),
        "parts": _named(_part()),
        "joints": _joints(),
        "groups": {"$ref": "#/$defs/groups"},
        "assemblies": _assemblies(),
        "moving": _named(_moving()),
        "modules": _named({"type": ["string", "array"], "items": {"type": "string"}}),
        "passages": _named(kind_schema(f.Record(Passage))),
        "room": _named(_object({"from": POINT, "to": POINT}, ["from", "to"])),
        "on_hand": _named(kind_schema(f.Record(Board))),
        "seasons": kind_schema(f.Record(Seasons)),
        "loads": _named(kind_schema(f.Record(Load))),
        "vary": _named(_object({"from": SIZE, "to": SIZE, "step": SIZE}, ["from", "to", "step"])),
        "drawing": {"type": "object", "additionalProperties": {"type": ["string", "number"]}},
        "limits": _limits(),
        "shop": kind_schema(f.Record(Shop)),
        "measured": {"type": "object", "additionalProperties": {"type": "object"}},
    }
    return {
        "$schema": DRAFT,
        "title": "A piece of furniture for dryfit",
        **_object(top, ["units"]),
        "$defs": {"groups": _named(group), "place": _place(), "copies": _copies()},
    }


def _object(properties: dict[str, Any], required: list[str] | None = None) -> dict[str, Any]:
    rest = {"patternProperties": {REST: {"type": "null"}}}
    out: dict[str, Any] = {"type": "object", "properties": properties, **rest, "additionalProperties": False}
    return {**out, "required": required} if required else out


def _list(least: int, most: int) -> dict[str, Any]:
    """A list of sizes; a formula with brackets may make it look longer."""
    return {"type": "array", "items": SIZE, "minItems": least, "anyOf": [{"maxItems": most}, {"contains": OPEN}]}


POINT = _list(3, 3)


def _named(of: dict[str, Any]) -> dict[str, Any]:
    return {"type": "object", "patternProperties": {NAMES: of, REST: {"type": "null"}}, "additionalProperties": False}


def _room() -> dict[str, Any]:
    return _object({"x": SIZE, "y": SIZE, "z": SIZE})


def _stock() -> dict[str, Any]:
    text = {"type": "string"}
    return _object({"wood": text, "sheet": text, "thickness": SIZE, "nominal": SIZE, "density": SIZE,
                    "sawn": {"enum": list(SAWN)}}, ["thickness"])  # fmt: skip


def _part() -> dict[str, Any]:
    cuts = {"type": "array", "items": {"anyOf": [item(c) for c in CUTS.values()]}}
    return _object({
        "stock": {"type": "string"}, "size": _list(2, 3),
        "outline": {"type": "array"}, "place": {"$ref": "#/$defs/place"}, "cuts": cuts,
        "copies": {"$ref": "#/$defs/copies"}, "mirror": {"type": "string"}, "about": _room(),
    })  # fmt: skip


def _joints() -> dict[str, Any]:
    return {"type": "array", "items": {"anyOf": [item(j) for j in JOINTS.values()]}}


def _assemblies() -> dict[str, Any]:
    """Every kind, with what all of them take beside their own fields."""
    own = {"parts": {"type": "object"}, "place": {"$ref": "#/$defs/place"}, "copies": {"$ref": "#/$defs/copies"}}
    items = [item(a) for a in ASSEMBLIES.values()]
    return {"type": "array", "items": {"anyOf": [{**i, "properties": {**i["properties"], **own}} for i in items]}}


def _moving() -> dict[str, Any]:
    side = {"type": "object", "additionalProperties": SIZE}
    slide = {"anyOf": [side, _object({"toward": POINT, "by": SIZE}, ["toward", "by"])]}
    swing = _object({"about": POINT, "axis": POINT, "by": SIZE}, ["about", "axis", "by"])
    return _object({"parts": {"type": ["string", "array"]}, "slide": slide, "swing": swing}, ["parts"])


def _place() -> dict[str, Any]:
    lean = _object({**dict.fromkeys(("left", "right", "front", "rear"), SIZE), "about": {"type": "array"}})
    turn = {"anyOf": [SIZE, _object({"by": SIZE, "about": {"type": "array"}})]}
    return _object(
        {"at": POINT, "length": {"enum": ["across", "deep", "up"]}, "face": SIDE, "lean": lean, "turn": turn}
    )


def _copies() -> dict[str, Any]:
    return _object({"count": SIZE, "step": POINT, "turn": SIZE, "about": {"type": "array"}}, ["count"])


def _limits() -> dict[str, Any]:
    band = _list(2, 2)
    return _object({k: band if isinstance(getattr(LIMITS, k), Band) else SIZE for k in REPLACEABLE})


def item(type_: type[Any]) -> dict[str, Any]:
    """A cut or a joint as an object that starts with its kind."""
    properties, required = {}, []
    for d in f.declared(type_):
        key = type_.kind if d.metadata["head"] else f.key_of(d)
        properties[key] = {**kind_schema(d.metadata["kind"]), "description": d.metadata["says"]}
        if d.default is MISSING:
            required.append(key)
    return _object(properties, required)


def kind_schema(kind: f.Kind) -> dict[str, Any]:
    """What a field's kind takes."""
    distances = {"type": "object", "propertyNames": {"anyOf": [SIDE, {"pattern": REST}]}}
    if isinstance(kind, f.Length | f.Angle | f.Count):
        return dict(SIZE)
    if isinstance(kind, f.Percents):
        return {"type": "array", "items": {"type": ["string", "number"]}, "minItems": 2, "maxItems": 2}
    if isinstance(kind, f.SideOf):
        return dict(SIDE)
    if isinstance(kind, f.Choice):
        return {"enum": list(kind.words)}
    if isinstance(kind, f.Record):
        inner = f.declared(kind.type)
        return _object(
            {f.key_of(d): kind_schema(d.metadata["kind"]) for d in inner},
            [f.key_of(d) for d in inner if d.default is MISSING],
        )
    if isinstance(kind, f.Distances):
        return {**distances, "patternProperties": {REST: {"type": "null"}}, "additionalProperties": SIZE}
    if isinstance(kind, f.At):
        return distances
    if isinstance(kind, f.SidesOf):
        word = {"enum": [*SIDE["enum"], "ends", "edges", "all"]}
        return {"anyOf": [word, {"type": "array", "items": word}]}
    if isinstance(kind, f.CornerOf):
        return {"type": "array", "items": SIDE, "minItems": 2, "maxItems": 2}
    if isinstance(kind, f.Lengths):
        several = _list(kind.count, kind.count) if kind.count else {"type": "array", "items": SIZE}
        return {"anyOf": [SIZE, several]} if kind.one else several
    if isinstance(kind, f.Outline | f.Points):
        return {"type": "array", "items": {"type": "array", "items": SIZE}}
    if isinstance(kind, f.Records):
        one = kind_schema(f.Record(kind.type))
        return {"anyOf": [one, {"type": "array", "items": one}]}
    if isinstance(kind, f.Chosen):
        return _object({word: kind_schema(kind.of) for word in kind.words})
    if isinstance(kind, f.Either):
        return {"anyOf": [kind_schema(kind.map), kind_schema(kind.other)]}
    if isinstance(kind, f.Names):
        return {"type": "array", "items": {"type": "string", "pattern": NAMES}}
    if isinstance(kind, f.YesNo):
        return {"enum": ["yes", "no"]}
    if isinstance(kind, f.OpeningOf):
        four = {side: {"type": "string"} for side in ("left", "right", "bottom", "top")}
        return {"anyOf": [{"type": "string"}, _object(four)]}
    if isinstance(kind, f.Target):
        return {"anyOf": [{"type": "string"}, {"type": "object"}]}
    if isinstance(kind, f.PartName):
        return {"type": ["string", "array"]}
    return {"type": ["string", "number"]}
