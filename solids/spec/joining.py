"""Joints as declared: names become pairs of parts, pairs become cuts in both."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from solids.joints import JOINTS
from solids.joints.house import House
from solids.joints.miter import MiterJoint
from solids.joints.outcome import Outcome, apart
from solids.model.finding import Place
from solids.model.geometry import Vector
from solids.model.motion import Body
from solids.model.part import Made, Part
from solids.model.piece import Joint
from solids.spec.contents import Contents
from solids.spec.items import item_of
from solids.spec.naming import free_name
from solids.spec.scope import Scope, Told, nearest
from solids.spec.source import Node, Word
from solids.spec.values import Reading
from solids.units import lengths_in

MOST_PAIRS = 5000  # of one joint
REACH = 3.0  # mm: parts of a name that stands for several are a pair when their blanks are this near


def joined(given: Sequence[Node], contents: Contents, scope: Scope, broken: list[str]) -> Contents:
    """With the cuts of every joint in the parts, the joints, and what swings by them; a mistake leaves its joint out.

    `broken` names what could not be read: joints that ask for it stay silent.
    """
    parts = contents.parts
    own = Directory(parts)
    added: dict[str, list[Made]] = {p.id: [] for p in parts}
    found, bodies = list(contents.joints), list(contents.bodies)
    for item in given:
        r = Reading(scope)
        try:
            joint, place = item_of(JOINTS, item, r, "a joint")
            _refuse_problems(joint, r, place)
            pairs = _pairs(joint, own, scope, place, broken)
            for a, b in pairs:
                if getattr(joint, "by", ()):
                    found.append(_by_hand(joint, a, b, place, scope))
                    continue
                outcome = joint.make(a, b)
                found.append(_made(joint, outcome, a, b, place, r.places, added))
                if outcome.motion is not None:
                    bodies.append(Body(a.id, (a.id,), outcome.motion, place))
        except Told:
            continue
    return Contents([replace(p, cuts=(*p.cuts, *added[p.id])) for p in parts], found, bodies)


def _refuse_problems(joint: Any, r: Reading, place: Place) -> None:
    """Tell what is wrong with a joint's own fields. Raises Told where anything is."""
    problems = list(joint.problems()) if hasattr(joint, "problems") else []
    for which, told in problems:
        r.tell(r.places.get(which, place), lengths_in(told, r.scope.units))
    if problems:
        raise Told(joint.kind)


def _pairs(joint: Any, parts: Directory, scope: Scope, place: Place, broken: list[str]) -> list[tuple[Part, Part]]:
    left, right = joint.sides()
    if not left or not right:
        raise scope.ledger.tell(place, f"a {joint.kind} joins two parts, as `[a, b]`")
    pairs: dict[frozenset[str], tuple[Part, Part]] = {}  # `[wall, wall]` meets each two only once
    for one in left:
        for other in right:
            first, second = _named(one, parts, scope, broken), _named(other, parts, scope, broken)
            for a, b in _near(first, second):
                pairs.setdefault(frozenset((a.id, b.id)), (a, b))
                if len(pairs) > MOST_PAIRS:
                    told = f"this {joint.kind} stands for over {MOST_PAIRS} pairs of parts; name fewer of them"
                    raise scope.ledger.tell(place, told)
    if not pairs:
        raise scope.ledger.tell(place, f"a {joint.kind} can't join a part to itself")
    return list(pairs.values())


class Directory:
    """Parts by every name that stands for them: their own, their copies' common one, a group's."""

    def __init__(self, parts: list[Part]) -> None:
        self.exact: dict[str, list[Part]] = defaultdict(list)
        self.general: dict[str, list[Part]] = defaultdict(list)
        for part in parts:
            steps = part.id.split(".")
            for names, kept in ((self.exact, steps), (self.general, [s for s in steps if not s.isdigit()])):
                for k in range(1, len(kept) + 1):
                    names[".".join(kept[:k])].append(part)

    def get(self, name: str) -> list[Part]:
        """The parts that a name stands for; none where it stands for nothing."""
        return self.exact.get(name) or self.general.get(name) or []

    def known(self) -> set[str]:
        """The names of single parts and of all copies of one."""
        return {p.id for found in self.exact.values() for p in found} | set(self.general)


def _named(word: Word, parts: Directory, scope: Scope, broken: list[str]) -> list[Part]:
    """The parts that a name stands for: itself, its copies, a group's. Raises Told."""
    name = word.text
    found = parts.get(name)
    if found:
        return found
    if name.split(".")[0] in broken or scope.ledger.partial:
        raise Told(name)
    raise scope.ledger.tell(word.place, f"no part is called `{name[:60]}`{nearest(name, parts.known())}")


def part_ids(word: Word, own: Directory, scope: Scope) -> list[str]:
    """The ids of the parts that a name stands for. Raises Told."""
    return [p.id for p in _named(word, own, scope, [])]


def _near(first: list[Part], second: list[Part]) -> Iterator[tuple[Part, Part]]:
    """Every pair within reach; where none is, the nearest, so that the check can say how far it is."""
    if len(first) == len(second) == 1:  # two names of one part each are meant, however far apart
        yield from ((a, b) for a, b in zip(first, second, strict=True) if a.id != b.id)
        return
    boxes = {p.id: p.extents() for p in (*first, *second)}
    nearest_pair, least = None, math.inf
    for a in first:
        for b in second:
            if a.id == b.id:
                continue
            gap = _gap(a, b, boxes)
            if gap <= REACH:
                yield a, b
            if gap < least:
                nearest_pair, least = (a, b), gap
    if nearest_pair and least > REACH:
        yield nearest_pair


def _gap(a: Part, b: Part, boxes: dict[str, tuple[Vector, Vector]]) -> float:
    """How far two blanks are apart, in mm, at least; by their boxes alone where these are far apart."""
    (low_a, high_a), (low_b, high_b) = boxes[a.id], boxes[b.id]
    by_box = max(max(low_a[i] - high_b[i], low_b[i] - high_a[i]) for i in range(3))
    return by_box if by_box > REACH else apart(a, b)


def _made(
    joint: Any,
    outcome: Outcome,
    a: Part,
    b: Part,
    place: Place,
    places: dict[str, Place],
    added: dict[str, list[Made]],
) -> Joint:
    names: list[tuple[str, str]] = []
    for part, other, cuts in ((a, b, outcome.a), (b, a, outcome.b)):
        for cut in cuts:
            taken = [m.name for m in (*part.cuts, *added[part.id])]
            name = free_name(f"{joint.kind}_{other.id}", taken)
            added[part.id].append(Made(name, cut, place, joint.kind, dict(places)))
            names.append((part.id, name))
    depth = joint.depth or 0.0 if isinstance(joint, House) else 0.0
    made = Joint(joint.kind, a.id, b.id, joint.fit, tuple(names), place, outcome.trouble, outcome.gap, depth)
    ware = getattr(joint, "with_", None)
    return replace(made, asked=getattr(joint, "gap", None), hardware=ware.name if ware else "")


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
    outcome = _as_asked(joint, a, b)
    made = Joint(joint.like, a.id, b.id, joint.fit, tuple(cuts), place, outcome.trouble, outcome.gap, joint.depth)
    return replace(made, hardware=joint.with_.name if joint.with_ else "")


def _as_asked(joint: Any, a: Part, b: Part) -> Outcome:
    """Whether the joint that made the cuts would find the blanks long enough: all that its cuts don't show."""
    if joint.like == "miter":
        return MiterJoint(parts=()).make(a, b)
    if joint.like == "house" and joint.depth:
        return House(guest=(), into=(), depth=joint.depth).make(a, b)
    return Outcome()
