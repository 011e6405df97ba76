"""Faces that should be flush and are not.

What it checks
    Faces of touching parts that look the same way, lie less than 3.2 mm apart
    square to themselves, and meet along an edge that shows; of mitered parts, and
    of what stands out of its housing, up to a quarter of its width.

Why it matters
    A step of a quarter millimetre is felt by the hand, and sanding it away
    takes the veneer with it.

Findings
    proud  one part stands out over the other
    shy    it lies back

Known limits
    A shelf set back by more than 3.2 mm is taken to be meant so; what stands out
    by more than that along its own length is too. The edges of a front keep its
    reveals, and are not looked at beside the box that bears it.

What to do
    Make the one as wide as the other, or set it back so far that it looks meant.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solids.fit.dryfit import DryFit
from solids.fit.flush import Step
from solids.fit.rule import Rule
from solids.fit.tell import Tell
from solids.model.finding import Finding, Severity
from solids.model.geometry import Vector


def check(dry: DryFit) -> Iterator[Finding]:
    """The worst step of each two parts in each direction."""
    worst: dict[tuple[int, int, tuple[float, ...]], Step] = {}
    fronts = {dry.number[j.a] for j in dry.piece.joints if j.kind == "reveal"}
    for s in dry.steps:
        if abs(s.height) <= dry.limits.step + 1e-6 or _is_front_edge(dry, s, fronts):
            continue
        i, j = int(dry.scene.part[s.a]), int(dry.scene.part[s.b])
        if (i, j) in dry.apart:
            continue
        way = tuple((dry.scene.normal[s.a] * 1e3).round().tolist())
        key = (i, j, way)
        if key not in worst or abs(s.height) > abs(worst[key].height):
            worst[key] = s
    often = Counter(int(dry.scene.part[f]) for s in worst.values() for f in (s.a, s.b))
    for s in worst.values():
        found = _told(dry, s, often)
        if found is not None:
            yield found


def _is_front_edge(dry: DryFit, s: Step, fronts: set[int]) -> bool:
    """Whether it is between the edge of a front, which its reveals place, and the box or case that bears it."""
    ours = [i for i in (int(dry.scene.part[s.a]), int(dry.scene.part[s.b])) if i in fronts]
    if len(ours) != 1:
        return False
    part = dry.part(ours[0])
    face = part.frame.direction(part.blank.face.outward)
    return abs(Vector(*dry.scene.normal[s.a].tolist()).dot(face)) < 0.5


def _guest_first(dry: DryFit, i: int, j: int, often: Counter[int]) -> tuple[int, int]:
    """The part that sits in the other, that is off against more of its neighbours, or is the smaller, first."""
    pair = (min(i, j), max(i, j))
    kinds = [joint.kind for joint in dry.joints_by_pair.get(pair, ())]
    for joint in dry.joints_by_pair.get(pair, ()):
        if joint.kind == "house":
            return dry.number[joint.a], dry.number[joint.b]
    for c in dry.by_pair.get(pair, ()):
        if c.host.made is not None and c.meeting in ("wall", "floor", "step") and "lap" not in kinds:
            return c.guest.part, c.host.part
    if often[i] != often[j]:
        return (i, j) if often[i] > often[j] else (j, i)
    volume = [dry.scene.solids[k].faces.volume for k in (i, j)]
    return (i, j) if volume[0] <= volume[1] else (j, i)


def _told(dry: DryFit, s: Step, often: Counter[int]) -> Finding | None:
    t = Tell(dry)
    i, j = int(dry.scene.part[s.a]), int(dry.scene.part[s.b])
    guest, host = _guest_first(dry, i, j, often)
    if guest in dry.floating_panels:
        return None
    height = s.height if guest == j else -s.height
    severity = _severity(dry, guest, host, s, height)
    if severity is None:
        return None
    kind = "proud" if height > 0 else "shy"
    face = s.b if guest == j else s.a
    other = s.a if guest == j else s.b
    word = dry.scene.role(face)
    a, b = dry.part(guest), dry.part(host)
    lies = "stands proud of" if height > 0 else "lies shy of"
    meant = " if it is not meant to stand out" if severity is Severity.WARN else ""
    by = f"{t.small(abs(height))} {'smaller' if height > 0 else 'larger'}"
    return t.finding(
        kind, severity, f"{dry.scene.called(face)} {lies} {dry.scene.called(other)} by {t.small(abs(height))}",
        (guest, host), (), Vector(*s.point), values={"step": abs(height)}, allowed={"step": dry.limits.step},
        advice=f"make {a.id} {by} at its {word}, or {b.id} the other way{meant}",
        place=a.place,
    )  # fmt: skip


def _severity(dry: DryFit, guest: int, host: int, s: Step, height: float) -> Severity | None:
    """Small steps are faults where a joint or a cut ties the two; what looks meant is noted, or let be."""
    pair = (min(guest, host), max(guest, host))
    kinds = {j.kind for j in dry.joints_by_pair.get(pair, ())}
    tied = bool(kinds) or pair in dry.held or any(c.meeting in ("miter", "slant") for c in dry.by_pair.get(pair, ()))
    if abs(height) < dry.limits.flush:
        return Severity.STOP if tied else Severity.NOTE
    if abs(height) > _may_be_a_slip(dry, guest, s):
        return None
    if "miter" in kinds:
        return Severity.STOP
    return Severity.WARN if height > 0 and pair in dry.held else None


def _may_be_a_slip(dry: DryFit, guest: int, s: Step) -> float:
    """How far a part may stand out before that looks meant; along its own length at once."""
    part = dry.part(guest)
    way = part.frame.local_direction(Vector(*dry.scene.normal[s.a].tolist()))
    axis = max(range(3), key=lambda i: abs(way[i]))
    if axis == part.blank.face.axis:  # a panel thicker than its rabbet is deep
        return part.blank.thickness
    return 0.0 if axis == part.blank.grain else part.blank.size[axis] / 4


RULE = Rule("step", ("proud", "shy"), check, __doc__)
