"""What a cut leaves of its own part: too little, two pieces, nothing; or a cut that cuts nothing.

What it checks
    The least thickness between two nearly opposite faces of one part, at least
    one of them made by a cut, and between the wall of a round hole and a face or
    another hole beside it; how many pieces a part falls into; and whether each
    cut takes any wood away.

Why it matters
    Three millimetres of wood behind a dado break in the clamps; a board in two
    pieces was a slip of the pen; a cut in the air is one in the wrong place.

Findings
    thin-wood  the thickness left
    in-two     the part falls into pieces
    misses     the cut takes nothing away

Known limits
    Of a slot its two round ends are measured against the faces beside them, and
    the first against other holes. What a bolt or a screw leaves beside and before itself is told as `near-edge` and
    `insert-breaks-out`.

What to do
    Make the cut shallower, move it from the edge, or put two that meet from
    opposite faces apart.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from solids.fit.dryfit import DryFit
from solids.fit.rule import Rule
from solids.fit.scene import solids_of
from solids.fit.tell import Tell
from solids.fit.wood import Rim, Web, rims
from solids.kernel.mesh import TOOL
from solids.model.finding import Finding, Severity
from solids.model.geometry import Vector
from solids.model.part import Made, Part

BREAKS = 1.0  # mm: less than this does not survive the bench


def check(dry: DryFit) -> Iterator[Finding]:
    """Every part by itself; parts of the same wood and source once."""
    seen: set[tuple[str, str]] = set()
    once: set[int] = set()
    for i, part in enumerate(dry.piece.parts):
        key = (part.source, dry.scene.solids[i].shape.key)
        if key not in seen:
            once.add(i)
            seen.add(key)
    for i in sorted(once):
        yield from _pieces(dry, i)
        yield from _misses(dry, i)
        yield from _rims(dry, i)
    worst: dict[tuple[int, str], Web] = {}
    for w in dry.webs:
        if w.part in once and not _before_a_bolt(dry, w):
            names = [m.name for f in (w.a, w.b) if (m := dry.scene.made(f)) is not None]
            key_ = (w.part, " ".join(sorted(set(names))))
            if key_ not in worst or w.left < worst[key_].left:
                worst[key_] = w
    for w in worst.values():
        yield _thin(dry, w)


def _pieces(dry: DryFit, i: int) -> Iterator[Finding]:
    t = Tell(dry)
    part, faces = dry.part(i), dry.scene.solids[i].faces
    if faces.volume >= 1e-3 and faces.bodies < 2:
        return
    guilty = _guilty(part)
    cuts = tuple(f"{part.id}.{m.name}" for m in guilty)
    if faces.volume < 1e-3:
        yield t.finding(
            "thin-wood", Severity.STOP, f"the cuts leave nothing of {part.id}", (i,), cuts,
            values={"left": 0.0}, advice="one of its cuts is on the wrong side, or too deep",
            place=guilty[-1].place if guilty else part.place,
        )  # fmt: skip
    else:
        by = f": {' and '.join(cuts)} part{'s' * (len(cuts) == 1)} it" if len(cuts) < 3 else ""
        yield t.finding(
            "in-two", Severity.STOP, f"{part.id} falls into {faces.bodies} pieces{by}", (i,), cuts,
            values={"pieces": float(faces.bodies)}, advice="make the cut that goes through it shallower or shorter",
            place=guilty[-1].place if guilty else part.place,
        )  # fmt: skip


def _guilty(part: Part) -> tuple[Made, ...]:
    """The cuts that part the wood, or take all of it, each by itself; all of them where none does alone."""
    alone = solids_of(tuple(replace(part, cuts=(m,)) for m in part.cuts))
    found = tuple(m for m, s in zip(part.cuts, alone, strict=True) if s.faces.bodies > 1 or s.faces.volume < 1e-3)
    return found or part.cuts


def _misses(dry: DryFit, i: int) -> Iterator[Finding]:
    t = Tell(dry)
    part, solid = dry.part(i), dry.scene.solids[i]
    met = {source // TOOL for source in solid.faces.met}
    cutting = {solid.shape.tools[k - 1].cut for k in met if k}
    standing = {m.cut.side for k, m in enumerate(part.cuts) if k in cutting and m.cut.kind in ("tongue", "tenon")}  # type: ignore[attr-defined]
    for k, made in enumerate(part.cuts):
        if k in cutting or solid.faces.volume < 1e-3:
            continue
        if made.cut.kind in ("tongue", "tenon") and made.cut.side in standing:  # type: ignore[attr-defined]
            continue
        yield t.finding(
            "misses", Severity.STOP, f"{part.id}.{made.name} takes no wood away", (i,), (f"{part.id}.{made.name}",),
            advice="it lies beside the part, or where another cut has taken all: check its place", place=made.place,
        )  # fmt: skip


def _thin(dry: DryFit, w: Web) -> Finding:
    t = Tell(dry)
    part = dry.part(w.part)
    made = [m for f in (w.a, w.b) if (m := dry.scene.made(f)) is not None]
    severity = Severity.STOP if w.left < BREAKS else Severity.WARN
    between = f"between {dry.scene.called(w.a)} and {dry.scene.called(w.b)}"
    return t.finding(
        "thin-wood", severity, f"{part.id} has {t.small(w.left)} of wood left {between}", (w.part,),
        tuple(dict.fromkeys(f"{part.id}.{m.name}" for m in made)), Vector(*w.point),
        values={"left": w.left}, allowed={"least": dry.limits.wood_left},
        advice=f"leave {t.small(dry.limits.wood_left)} or more", place=made[0].places.get("depth") or made[0].place,
    )  # fmt: skip


def _before_a_bolt(dry: DryFit, w: Web) -> bool:
    """Whether it is what a bolt's hole leaves: told with the bolt."""
    made = (dry.scene.made(f) for f in (w.a, w.b))
    return any(m is not None and (w.part, m.name) in dry.bolted for m in made)


def _rims(dry: DryFit, i: int) -> Iterator[Finding]:
    """Round holes too near an edge or each other; the thinnest rim of each cut with each."""
    worst: dict[tuple[str, str], Rim] = {}
    for r in rims(dry.scene, i, dry.limits.wood_left):
        if r.face >= 0 and (i, r.made.name) in dry.driven:
            continue
        key = (r.made.name, r.other.name if r.other else "")
        if key not in worst or r.left < worst[key].left:
            worst[key] = r
    for r in worst.values():
        yield _thin_rim(dry, r)


def _thin_rim(dry: DryFit, r: Rim) -> Finding:
    t = Tell(dry)
    part = dry.part(r.part)
    name = t.cut(part, r.made)
    other = t.cut(part, r.other) if r.other else ""
    beside = dry.scene.called(r.face) if r.face >= 0 else "its own row" if other == name else other
    names = tuple(dict.fromkeys(n for n in (name, other) if n))
    return t.finding(
        "thin-wood", Severity.STOP if r.left < BREAKS else Severity.WARN,
        f"{part.id} has {t.small(r.left)} of wood left between {name} and {beside}", (r.part,), names,
        Vector(*r.point), values={"left": r.left}, allowed={"least": dry.limits.wood_left},
        advice=f"leave {t.small(dry.limits.wood_left)} or more", place=r.made.places.get("at") or r.made.place,
    )  # fmt: skip


RULE = Rule("wood", ("thin-wood", "in-two", "misses"), check, __doc__)
