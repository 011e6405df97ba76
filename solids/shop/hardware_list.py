"""The hardware list: what is bought by the piece, how many, where it goes, and the sizes that hang on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace

from solids.cuts.hole import Hole
from solids.cuts.mortise import Mortise
from solids.model.hardware import Bolt, Hardware, Hinge, Runner, Screw
from solids.model.part import Cut
from solids.model.piece import Joint, Piece
from solids.shop.tables import Cell
from solids.shop.words import Words

GLUE_ROOM = 2.0  # mm that a dowel is shorter than its two holes (common practice)


@dataclass(frozen=True, slots=True)
class Ware:
    """One thing to have in hand before the wood is cut: what, its size, how many, what depends on it, and where."""

    what: str
    size: str
    count: int
    rule: str
    where: tuple[str, ...]


def hardware_list(piece: Piece, words: Words) -> tuple[Ware, ...]:
    """Everything that the joints take, each thing once."""
    found: dict[tuple[str, str, str], Ware] = {}
    for joint in piece.joints:
        for ware in _wares(piece, joint, words):
            key = ware.what, ware.size, ware.rule
            before = found.get(key)
            where = dict.fromkeys([*(before.where if before else ()), *ware.where])
            found[key] = replace(ware, count=ware.count + (before.count if before else 0), where=tuple(where))
    return tuple(found[key] for key in sorted(found))


def _wares(piece: Piece, joint: Joint, words: Words) -> Iterator[Ware]:
    """What one joint takes."""
    where = (f"{joint.a} - {joint.b}",)
    ware = piece.hardware.get(joint.hardware)
    if ware is not None:
        count = _times(piece, joint, joint.a) or 1
        for what, size, rule in _sizes(ware, words):
            yield Ware(what, size, count, rule, where)
    elif joint.kind == "dowel":
        yield from _pins(piece, joint, words, where)
    elif joint.kind == "loose_tenon":
        yield from _loose_tenons(piece, joint, words, where)


def _cuts(piece: Piece, joint: Joint, id_: str) -> list[Cut]:
    """The cuts that a joint made in one of its parts."""
    names = {name for part, name in joint.cuts if part == id_}
    return [m.cut for m in piece.part(id_).cuts if m.name in names]


def _times(piece: Piece, joint: Joint, id_: str) -> int:
    """How many of its kind a joint has: the cuts of the widest sort that it made in a part."""
    counts: dict[str, int] = defaultdict(int)
    for cut in _cuts(piece, joint, id_):
        row = getattr(cut, "row", None)
        counts[f"{cut.kind} {getattr(cut, 'diameter', 0.0)}"] += row.count if row else 1
    return min(counts.values(), default=0)


def _sizes(ware: Hardware, w: Words) -> Iterator[tuple[str, str, str]]:
    """A thing and what belongs to it: what, size, and the rule for the wood."""
    if isinstance(ware, Bolt):
        yield "bolt", ware.bolt, f"hole {w.setting(ware.clearance)} in the part under its head"
        if ware.washer:
            size = f"{w.setting(ware.washer_diameter)} across, {w.setting(ware.washer_thickness)} thick"
            yield "washer", size, f"for {ware.bolt}"
        if ware.insert:
            size = f"{w.setting(ware.insert.diameter)} x {w.setting(ware.insert.length)}, for {ware.bolt}"
            yield "threaded insert", size, f"pilot {w.setting(ware.insert.pilot)}"
        if ware.cross_dowel:
            size = f"{w.setting(ware.cross_dowel.diameter)} x {w.setting(ware.cross_dowel.length)}, for {ware.bolt}"
            yield "cross dowel", size, f"bore {w.setting(ware.cross_dowel.diameter)} across the bolt"
    elif isinstance(ware, Screw):
        yield "screw", ware.screw, f"hole {w.setting(ware.clearance)} in the part under its head"
    elif isinstance(ware, Runner):
        room = w.setting(ware.side_clearance)
        rule = f"box = clear width - 2 x {room}; each side within {w.setting(ware.clearance_band)} of {room}"
        yield f"runner, {ware.runner}", f"{w.setting(ware.length)} long, {w.setting(ware.height)} high", rule
    elif isinstance(ware, Hinge):
        yield _hinge(ware, w)


def _hinge(ware: Hinge, w: Words) -> tuple[str, str, str]:
    if ware.hinge == "butt":
        long, wide = ware.leaf
        rule = f"recess {w.setting(ware.leaf_thickness or 0.0)} deep in leaf and case"
        return "butt hinge", f"leaf {w.setting(long)} x {w.setting(wide)}", rule
    size = f"cup {w.setting(ware.diameter or 0.0)} across, {w.setting(ware.depth or 0.0)} deep"
    return "cup hinge", size, f"cup's edge {w.setting(ware.from_edge or 0.0)} from the leaf's edge"


def _pins(piece: Piece, joint: Joint, w: Words, where: tuple[str, ...]) -> Iterator[Ware]:
    holes = [[c for c in _cuts(piece, joint, id_) if isinstance(c, Hole)] for id_ in (joint.a, joint.b)]
    if holes[0] and holes[1]:
        a, b = holes[0][0], holes[1][0]
        long = sum(c.depth or 0.0 for c in (a, b)) - GLUE_ROOM
        rule = "2 mm shorter than both holes" if w.units == "mm" else "5/64 in shorter than both holes"
        yield Ware("dowel", f"{w.setting(a.diameter)} x {w.size(long)}", _times(piece, joint, joint.a), rule, where)


def _loose_tenons(piece: Piece, joint: Joint, w: Words, where: tuple[str, ...]) -> Iterator[Ware]:
    pockets = [[c for c in _cuts(piece, joint, id_) if isinstance(c, Mortise)] for id_ in (joint.a, joint.b)]
    if pockets[0] and pockets[1]:
        a, b = pockets[0][0], pockets[1][0]
        long = sum(c.depth or 0.0 for c in (a, b)) - GLUE_ROOM
        wide, thick = max(a.size), min(a.size)
        size = f"{w.setting(thick)} x {w.setting(wide)} x {w.size(long)}"
        yield Ware("loose tenon", size, _times(piece, joint, joint.a), "planed to slide in by hand", where)


COLUMNS = ("what", "size", "count", "rule", "where", "in_hand")


def csv_rows(wares: tuple[Ware, ...]) -> Iterator[tuple[Cell, ...]]:
    """The list as a table; the last cell is for the pencil: have it in hand before the wood is cut."""
    for w in wares:
        yield w.what, w.size, w.count, w.rule, "; ".join(w.where), ""
