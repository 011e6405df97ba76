"""What moves as one: a body with all that is fixed to it, and whose each part is."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

from solids.model.motion import Body
from solids.model.piece import Joint, Piece

LOOSE = ("hinge", "reveal", "clearance")  # joints that hold nothing together


def whole_bodies(piece: Piece) -> tuple[Body, ...]:
    """The bodies of a piece, each with what its joints fix to it: a door with its handle, a drawer with its front.

    What a body is hinged to, hangs on, or keeps a gap from is never part of it.
    """
    beside: dict[str, list[Joint]] = defaultdict(list)
    for joint in piece.joints:
        beside[joint.a].append(joint)
        beside[joint.b].append(joint)
    taken = {p for body in piece.bodies for p in body.parts}
    return tuple(replace(body, parts=_whole(body, beside, taken)) for body in piece.bodies)


def _whole(body: Body, beside: dict[str, list[Joint]], taken: set[str]) -> tuple[str, ...]:
    found = dict.fromkeys(body.parts)
    stands = {_other(j, p) for p in body.parts for j in beside[p] if j.kind in LOOSE}
    left = list(found)
    while left:
        part = left.pop()
        for joint in beside[part]:
            other = _other(joint, part)
            if joint.kind not in LOOSE and other not in found and other not in stands and other not in taken:
                found[other] = None
                left.append(other)
    return tuple(found)


def _other(joint: Joint, part: str) -> str:
    return joint.b if joint.a == part else joint.a


class Apart:
    """Which pairs of parts, by number, are meant to keep apart: they move by themselves, or a joint asks for a gap."""

    def __init__(self, piece: Piece) -> None:
        number = {p.id: i for i, p in enumerate(piece.parts)}
        # A piece may be looked at in part: two boards of a drawer without the rest of it.
        self._body = {number[part]: name for part, name in body_of(piece).items() if part in number}
        pairs = [(number[j.a], number[j.b]) for j in piece.joints if j.kind in LOOSE]
        self._joined = {(min(p), max(p)) for p in pairs}

    def __contains__(self, pair: tuple[int, int]) -> bool:
        i, j = pair
        if self._body and self._body.get(i, "") != self._body.get(j, ""):
            return True
        return (min(i, j), max(i, j)) in self._joined


def body_of(piece: Piece) -> dict[str, str]:
    """The body that each part belongs to, by part id; what stands still is in none."""
    return {part: body.name for body in whole_bodies(piece) for part in body.parts}
