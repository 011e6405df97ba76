"""One member of a family: the spec with some of its sizes at other values, read and put together dry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import prod

import numpy as np

from solids.model.family import Varied
from solids.model.finding import Finding, Severity, SpecError
from solids.spec.reader import from_tree
from solids.spec.source import Entry, Map, Word
from solids.units import exact
from solids.vary.bundle import Bundle, unpacked

MOST_MEMBERS = 100_000
UNITS = {"length": " mm", "angle": " deg", "pure": ""}
FITS, WARNS, MISFITS, UNREADABLE = "fits", "fits, with warnings", "does not fit", "can't be read"
Values = tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Member:
    """What to try: the values of the varied sizes, in the order of `varied`."""

    bundle: Bundle
    varied: tuple[Varied, ...]
    values: Values


@dataclass(frozen=True, slots=True)
class Tried:
    """What came of a member: its verdict, how many of each gravity, the gravest finding, and sizes in mm and kg."""

    values: Values
    verdict: str
    stops: int = 0
    warnings: int = 0
    notes: int = 0
    first: str = ""
    size: tuple[float, float, float] = (0.0, 0.0, 0.0)
    mass: float = 0.0

    @property
    def fits(self) -> bool:
        return self.verdict in (FITS, WARNS)


def members(bundle: Bundle, varied: Sequence[Varied]) -> list[Member]:
    """Every member, the first size changing most slowly. Raises ValueError where there are too many."""
    count = prod(v.count for v in varied)
    if count > MOST_MEMBERS:
        raise ValueError(f"this family has {count} members; {MOST_MEMBERS} are the most: take longer steps")
    return [Member(bundle, tuple(varied), values) for values in product(*(v.values() for v in varied))]


def tried(member: Member) -> Tried:
    """Read the member and put it together; what can't be read is its verdict."""
    from solids.fit.cause import folded
    from solids.fit.check import found
    from solids.fit.dryfit import dry_fit

    tree, path = unpacked(member.bundle)
    try:
        piece = from_tree(_with_values(tree, member), path)
    except SpecError as e:
        return Tried(member.values, UNREADABLE, first=str(e.mistakes[0]))
    dry = dry_fit(piece)
    findings = folded(found(dry), dry)
    counts = Counter(f.severity for f in findings)
    stops, warnings, notes = (counts[s] for s in (Severity.STOP, Severity.WARN, Severity.NOTE))
    real = np.isfinite(dry.scene.part_low).all(1)
    size = dry.scene.part_high[real].max(0) - dry.scene.part_low[real].min(0) if real.any() else np.zeros(3)
    weighed = zip(piece.parts, dry.scene.solids, strict=True)
    mass = sum(s.faces.volume * p.stock.density * 1e-9 for p, s in weighed if p.stock)
    verdict = MISFITS if stops else WARNS if warnings else FITS
    wide, deep, high = (round(float(v), 6) for v in size)
    return Tried(
        member.values, verdict, stops, warnings, notes, _first(findings), (wide, deep, high), round(float(mass), 6)
    )


def _first(findings: Sequence[Finding]) -> str:
    """The gravest finding in one line; notes are not told."""
    order = {Severity.STOP: 0, Severity.WARN: 1}
    grave = [f for f in findings if f.severity in order]
    if not grave:
        return ""
    first = min(grave, key=lambda f: (order[f.severity], f.kind, f.parts, f.message))
    return f"{first.kind}: {first.message}"


def _with_values(tree: Map, member: Member) -> Map:
    """The tree with other words for the varied sizes."""
    for varied, value in zip(member.varied, member.values, strict=True):
        text = exact(value) + UNITS[varied.kind]
        tree = _with_value(tree, "numbers" if varied.kind == "pure" else "sizes", varied.name, text)
    return tree


def _with_value(tree: Map, section: str, name: str, text: str) -> Map:
    holder = tree.entries[section]
    assert isinstance(holder.value, Map), "the family was made from this section"
    old = holder.value.entries[name]
    word = Word(text, old.value.place)
    named = replace(holder.value, entries={**holder.value.entries, name: Entry(old.key, word)})
    return replace(tree, entries={**tree.entries, section: Entry(holder.key, named)})
