"""What changed from one state of a piece to another: every part's wood and sizes, and what is found."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from solids.compare.wood import State, state_of
from solids.fit.check import Report
from solids.fit.deviation import key
from solids.fit.scene import Solid
from solids.model import field as f
from solids.model.finding import Finding
from solids.model.measured import numbers
from solids.model.part import Made, Part

SAME = 1e-6  # mm or degrees
BLANK = ("length", "width", "thickness")


@dataclass(frozen=True, slots=True)
class Resized:
    """A number that is another one: what it is called, before and after, in mm or degrees."""

    name: str
    before: float
    after: float
    is_angle: bool = False


@dataclass(frozen=True, slots=True)
class PartChange:
    """What becomes of a part: `was` is its name before, where that is another; `said` what no number tells.

    `cut` says that it was measured, so that it is cut already.
    """

    id: str
    state: State
    was: str = ""
    moved: bool = False
    cut: bool = False
    sizes: tuple[Resized, ...] = ()
    said: tuple[str, ...] = ()


@dataclass(frozen=True)
class Difference:
    """Two reports of one piece, the old and the new, and what became of each part."""

    old: Report
    new: Report
    parts: tuple[PartChange, ...]

    def of(self, *states: State) -> tuple[PartChange, ...]:
        """The parts of which one of these things becomes."""
        return tuple(p for p in self.parts if p.state in states)

    @cached_property
    def counts(self) -> dict[str, int]:
        """How many parts stay good, are cut again, made again, new, and dropped."""
        found = Counter(p.state for p in self.parts)
        return {state: found[state] for state in ("good", "recut", "remake", "new", "dropped")}

    @cached_property
    def gone(self) -> tuple[Finding, ...]:
        """What was found and is no more."""
        return _without(self.old.findings, self.new.findings)

    @cached_property
    def come(self) -> tuple[Finding, ...]:
        """What is found and was not."""
        return _without(self.new.findings, self.old.findings)

    @cached_property
    def left(self) -> tuple[Finding, ...]:
        """What is found still."""
        return tuple(g for g in self.new.findings if g not in self.come)

    @cached_property
    def overall(self) -> tuple[Resized, ...]:
        """Width, depth and height over all, and the mass of the wood in kg; those that are others."""
        before, after = _overall(self.old), _overall(self.new)
        return tuple(Resized(n, before[n], after[n]) for n in before if abs(before[n] - after[n]) > SAME)


def difference(old: Report, new: Report) -> Difference:
    """What changed from the old state of a piece to the new."""
    parts = sorted([*_both(old, new), *_alone(old, new)], key=lambda p: (p.id, p.state))
    return Difference(old, new, tuple(parts))


def _solids(report: Report) -> dict[str, tuple[Part, Solid]]:
    pairs = zip(report.piece.parts, report.dry.scene.solids, strict=True)
    return {part.id: (part, solid) for part, solid in pairs}


def _both(old: Report, new: Report) -> Iterator[PartChange]:
    """The parts that are in both by one name."""
    before, after = _solids(old), _solids(new)
    measured = {p for m in (*old.piece.measured, *new.piece.measured) if not m.stock for p in m.parts}
    for id_ in before.keys() & after.keys():
        (a, a_solid), (b, b_solid) = before[id_], after[id_]
        state = state_of(a_solid, b_solid, a.stock, b.stock)
        sizes = () if state == "good" else tuple(_sizes(a, b))
        said = () if state == "good" else tuple(_said(a, b))
        yield PartChange(id_, state, "", _is_moved(a, b), id_ in measured, sizes, said)


def _alone(old: Report, new: Report) -> Iterator[PartChange]:
    """The parts that are in one only; a new one that is of the same wood as one that is dropped takes its place."""
    before, after = _solids(old), _solids(new)
    dropped = {id_: before[id_] for id_ in sorted(before.keys() - after.keys())}
    for id_ in sorted(after.keys() - before.keys()):
        part, solid = after[id_]
        like = next((d for d, (p, s) in dropped.items() if state_of(s, solid, p.stock, part.stock) == "good"), None)
        if like is None:
            yield PartChange(id_, "new")
        else:
            dropped.pop(like)
            yield PartChange(id_, "good", was=like, moved=True)
    for id_ in dropped:
        yield PartChange(id_, "dropped")


def _is_moved(a: Part, b: Part) -> bool:
    """Whether it stands elsewhere, or otherwise."""
    return any(abs(p - q) > SAME for u, v in zip(a.frame, b.frame, strict=True) for p, q in zip(u, v, strict=True))


def _sizes(a: Part, b: Part) -> Iterator[Resized]:
    """The sizes of the blank and the numbers of cuts that are others."""
    for field in BLANK:
        before, after = getattr(a.blank, field), getattr(b.blank, field)
        if abs(before - after) > SAME:
            yield Resized(field, before, after)
    for made in b.cuts:
        was = a.cut_named(made.name)
        if was is not None and was.cut.kind == made.cut.kind:
            yield from _renumbered(was, made)


def _renumbered(was: Made, now: Made) -> Iterator[Resized]:
    before, after = numbers(was.cut), numbers(now.cut)
    for field in (k for k in before if k in after):
        a, b = before[field].value, after[field].value
        if abs(a - b) > SAME:
            yield Resized(f"{now.name}.{field}", a, b, isinstance(after[field].kind, f.Angle))


def _said(a: Part, b: Part) -> Iterator[str]:
    """What is otherwise and no number: the stock, cuts that are new or gone, cuts of another kind or side."""
    stocks = [p.stock.name if p.stock else "nothing" for p in (a, b)]
    if a.stock != b.stock and stocks[0] != stocks[1]:
        yield f"of {stocks[1]}, not of {stocks[0]}"
    before, after = {m.name: m for m in a.cuts}, {m.name: m for m in b.cuts}
    yield from (f"{name} is new" for name in after if name not in before)
    yield from (f"{name} is gone" for name in before if name not in after)
    for name in (k for k in before if k in after):
        if before[name].cut != after[name].cut and not list(_renumbered(before[name], after[name])):
            yield f"{name} is cut otherwise"


def _without(findings: tuple[Finding, ...], others: tuple[Finding, ...]) -> tuple[Finding, ...]:
    known = {key(other) for other in others}
    return tuple(one for one in findings if key(one) not in known)


def _overall(report: Report) -> dict[str, float]:
    scene = report.dry.scene
    real = np.isfinite(scene.part_low).all(1)
    size = scene.part_high[real].max(0) - scene.part_low[real].min(0) if real.any() else np.zeros(3)
    mass = sum(
        s.faces.volume * p.stock.density * 1e-9
        for p, s in zip(report.piece.parts, scene.solids, strict=True)
        if p.stock
    )
    return {"width": float(size[0]), "depth": float(size[1]), "height": float(size[2]), "mass": mass}
