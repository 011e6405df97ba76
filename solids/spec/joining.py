"""Joints as declared: names become pairs of parts, pairs become cuts in both."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from solids.joints import JOINTS
from solids.joints.outcome import apart
from solids.model.finding import Place
from solids.model.part import Made, Part
from solids.model.piece import Joint
from solids.spec.items import item_of
from solids.spec.naming import free_name
from solids.spec.scope import Scope, Told, nearest
from solids.spec.source import Items, Word
from solids.spec.values import Reading

REACH = 3.0  # mm: parts of a name that stands for several are a pair when their blanks are this near


def joined(
    given: Items, parts: list[Part], joints: list[Joint], scope: Scope, broken: list[str]
) -> tuple[list[Part], list[Joint]]:
    """The parts with the cuts of every joint, and the joints; a mistake leaves its joint out.

    `broken` names what could not be read: joints that ask for it stay silent.
    """
    own = list(parts)
    added: dict[str, list[Made]] = {p.id: [] for p in parts}
    found = list(joints)
    for item in given.items:
        r = Reading(scope)
        try:
            joint, place = item_of(JOINTS, item, r, "a joint")
            pairs = _pairs(joint, own, scope, place, broken)
            if getattr(joint, "by", ()):
                found += [_by_hand(joint, a, b, place, scope) for a, b in pairs]
                continue
            found += [_made(joint, a, b, place, r.places, added) for a, b in pairs]
        except Told:
            continue
    return [replace(p, cuts=(*p.cuts, *added[p.id])) for p in own], found


def _pairs(joint: Any, parts: list[Part], scope: Scope, place: Place, broken: list[str]) -> list[tuple[Part, Part]]:
    left, right = joint.sides()
    if not left or not right:
        raise scope.ledger.tell(place, f"a {joint.kind} joins two parts, as `[a, b]`")
    pairs: dict[frozenset[str], tuple[Part, Part]] = {}  # `[wall, wall]` meets each two only once
    for one in left:
        for other in right:
            first, second = _named(one, parts, scope, broken), _named(other, parts, scope, broken)
            for a, b in _near(first, second):
                pairs.setdefault(frozenset((a.id, b.id)), (a, b))
    if not pairs:
        raise scope.ledger.tell(place, f"a {joint.kind} can't join a part to itself")
    return list(pairs.values())


def _named(word: Word, parts: list[Part], scope: Scope, broken: list[str]) -> list[Part]:
    """The parts that a name stands for: itself, its copies, a group's. Raises Told."""
    name = word.text
    exact = [p for p in parts if p.id == name or p.id.startswith(name + ".")]
    found = exact or [p for p in parts if _copyless(p.id) == name or _copyless(p.id).startswith(name + ".")]
    if found:
        return found
    if name.split(".")[0] in broken or scope.ledger.partial:
        raise Told(name)
    known = {p.id for p in parts} | {_copyless(p.id) for p in parts}
    raise scope.ledger.tell(word.place, f"no part is called `{name[:60]}`{nearest(name, known)}")


def _copyless(id_: str) -> str:
    return ".".join(s for s in id_.split(".") if not s.isdigit())


def _near(first: list[Part], second: list[Part]) -> list[tuple[Part, Part]]:
    """Every pair within reach; where none is, the nearest, so that the check can say how far it is."""
    pairs = [(a, b) for a in first for b in second if a.id != b.id]
    if len(pairs) <= 1:
        return pairs
    gaps = [apart(a, b) for a, b in pairs]
    near = [p for p, g in zip(pairs, gaps, strict=True) if g <= REACH]
    return near or [min(zip(gaps, pairs, strict=True), key=lambda x: x[0])[1]]


def _made(joint: Any, a: Part, b: Part, place: Place, places: dict[str, Place], added: dict[str, list[Made]]) -> Joint:
    outcome = joint.make(a, b)
    names: list[tuple[str, str]] = []
    for part, other, cuts in ((a, b, outcome.a), (b, a, outcome.b)):
        for cut in cuts:
            taken = [m.name for m in (*part.cuts, *added[part.id])]
            name = free_name(f"{joint.kind}_{other.id}", taken)
            added[part.id].append(Made(name, cut, place, joint.kind, dict(places)))
            names.append((part.id, name))
    return Joint(joint.kind, a.id, b.id, joint.fit, tuple(names), place, outcome.trouble, outcome.gap)


def _by_hand(joint: Any, a: Part, b: Part, place: Place, scope: Scope) -> Joint:
    """A joint whose cuts the spec writes out itself. Raises Told where a part has no such cut."""
    cuts = []
    for word in joint.by:
        owner = next((p for p in (a, b) if word.text.startswith(p.id + ".")), None)
        name = word.text[len(owner.id) + 1 :] if owner else ""
        if owner is None or owner.cut_named(name) is None:
            known = [f"{p.id}.{m.name}" for p in (a, b) for m in p.cuts]
            raise scope.ledger.tell(word.place, f"neither part has a cut `{word.text[:60]}`{nearest(word.text, known)}")
        cuts.append((owner.id, name))
    return Joint(joint.like, a.id, b.id, joint.fit, tuple(cuts), place)
